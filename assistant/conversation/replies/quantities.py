"""What is said of how many to order."""

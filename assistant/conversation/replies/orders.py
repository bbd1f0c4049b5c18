"""What is said of purchase orders."""

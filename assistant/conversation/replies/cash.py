"""What is said of money in and out."""

"""What is said of costs, postage and rates."""

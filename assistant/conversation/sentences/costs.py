"""What buttons say of costs, postage and rates."""

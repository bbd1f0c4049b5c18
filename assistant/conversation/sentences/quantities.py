"""What buttons say of how many to order."""

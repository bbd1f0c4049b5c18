"""What buttons say of money in and out."""

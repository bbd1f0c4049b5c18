"""What buttons say of purchase orders."""

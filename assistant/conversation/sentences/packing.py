"""What buttons say of the packing run."""

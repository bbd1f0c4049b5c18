"""What buttons say of how likely a box is to be complete."""

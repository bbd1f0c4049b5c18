"""What buttons say of what a box taught."""

"""What is said of how likely a box is to be complete."""

"""What is said of the packing run."""

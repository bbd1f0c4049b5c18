"""What is said of what a box taught."""

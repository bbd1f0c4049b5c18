"""What goes into the boxes of a year."""

"""The year of boxes: what a shop knows and what follows from it. Pure."""

"""One vendor a file or folder; they never import each other."""

"""What the buttons of types say; invariants as in the package."""

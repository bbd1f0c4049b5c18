"""What the buttons of contents say; invariants as in the package."""

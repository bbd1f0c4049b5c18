"""What the buttons of sitting say; invariants as in the package."""

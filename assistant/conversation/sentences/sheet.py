"""What the buttons of sheet say; invariants as in the package."""

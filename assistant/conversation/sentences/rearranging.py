"""What the buttons of rearranging say; invariants as in the package."""

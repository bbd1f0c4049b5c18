"""What is said of what was ordered and came."""

"""What buttons say of what was ordered and came."""

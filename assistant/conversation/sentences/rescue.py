"""What buttons say of ways out for what is late."""

"""What is said of ways out for what is late."""

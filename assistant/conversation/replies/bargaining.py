"""What is said of quotes and bargaining."""

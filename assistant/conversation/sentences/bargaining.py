"""What buttons say of quotes and bargaining."""

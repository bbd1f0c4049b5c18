"""What buttons say of who does what."""

"""What is said of who does what."""

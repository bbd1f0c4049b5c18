"""What is said of counting in, and claims."""

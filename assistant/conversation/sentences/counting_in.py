"""What buttons say of counting in, and claims."""

"""What buttons say of counts of subscribers."""

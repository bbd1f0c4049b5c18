"""What is said of counts of subscribers."""

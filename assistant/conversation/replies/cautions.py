"""What is said of goods that carry duties."""

"""What buttons say of goods that carry duties."""

"""Sentences about types."""

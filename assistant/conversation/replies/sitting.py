"""Sentences about sitting."""

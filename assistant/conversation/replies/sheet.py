"""Sentences about sheet."""

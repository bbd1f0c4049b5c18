"""Sentences about rearranging."""

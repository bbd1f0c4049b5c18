"""Sentences about contents."""

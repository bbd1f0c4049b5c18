"""Recurring types spread through the year: see the modules of this package."""

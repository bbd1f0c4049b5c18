"""Dates in, dates out: working calendars, ship days, chains worked back. Pure."""

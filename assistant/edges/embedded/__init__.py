"""State and queue of one machine in one SQLite file."""

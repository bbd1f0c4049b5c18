"""The calendar over HTTP, to be subscribed to (tornado)."""

"""The order of events: what is taken, what is saved, what is sent. Names no vendor."""

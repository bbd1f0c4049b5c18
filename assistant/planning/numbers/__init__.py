"""How many: subscribers, pieces, lots."""

"""For how much: what things cost, and when money comes and goes."""

"""Words in, words out. Knows no channel, no clock and no store. Pure."""

"""The terminal: a channel, a prompt to type at, a script to play."""

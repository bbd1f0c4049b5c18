"""Between bytes and the plan: files read into rows, plans written to files. Pure."""

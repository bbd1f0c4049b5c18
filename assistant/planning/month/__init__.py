"""How a month runs: what comes, what is late, packing, cautions, what it taught."""

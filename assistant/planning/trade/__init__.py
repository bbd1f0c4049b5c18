"""From whom: what suppliers are asked for, quotes, purchase orders."""

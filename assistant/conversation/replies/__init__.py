"""Every sentence the owner can read, one module a room."""

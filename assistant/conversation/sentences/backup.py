"""What the buttons of backups say; invariants as in the package."""


def back_up() -> str:
    """Ask for a backup."""
    return "back up"


def last_backup() -> str:
    """Ask when the newest backup was made."""
    return "when was the last backup"


def how_to_restore() -> str:
    """Ask how to go back to a backup."""
    return "how do I restore a backup"

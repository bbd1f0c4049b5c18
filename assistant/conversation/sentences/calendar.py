"""What the buttons of the calendar say; invariants as in the package."""


def calendar_file(box: str = "") -> str:
    """Ask for the calendar as a file, whole or of one box."""
    return f"calendar file of {box}" if box else "calendar file"


def share_calendar() -> str:
    """Ask for an address at which the calendar can be subscribed to."""
    return "share the calendar"


def withdraw_calendar() -> str:
    """Let no address of the calendar work any more."""
    return "withdraw the calendar address"

"""What is said of the calendar: beside a file of it, and of its address.

Knows: how much a file holds, where it came from. Must not know: how a file is written or served.
Invariants: with a file stands how to bring it in; an address is told together with who can read
behind it and how it is withdrawn.
"""

from datetime import date

from assistant.conversation.replies.plain import box_name, day, plural
from assistant.sheets.writing import file_name as named

PORT = 8420  # an example
OWNERS_THING = "share the calendar"
OWNERS_WITHDRAW = "withdraw the calendar's address"
NOTHING = "Nothing is dated yet, so the calendar is empty. To begin: March theme rain and roots"
NOT_SERVED = (
    "I read that you want an address to subscribe to, but none is served here.",
    f"Whoever runs me starts me with --feed-port {PORT}, or sets port under [feed] in "
    "config/defaults.toml.",
    "Until then, as a file: calendar file",
)
IMPORT = "Open it on your phone or computer to bring it in; a newer one changes it in place."
TO_YOU_ALONE = "I sent the address to you in our own chat, so that nobody else reads it."
WITHDRAWN_ALREADY = "No address of the calendar is out. To make one: share the calendar"


def nothing_of(box: str, today: date) -> str:
    """Say that a box has no dates, and what can be asked instead."""
    return f"Nothing of {box_name(box, today)} is dated. The whole year: calendar file"


def title(box: str, today: date) -> str:
    """The heading of a file: "Calendar", "Calendar of March"."""
    return f"Calendar of {box_name(box, today)}" if box else "Calendar"


def held(events: int, gone: int, last: date, today: date) -> tuple[str, ...]:
    """Say what a file holds."""
    dates = f"{plural(events - gone, 'date')} up to {day(last, today)}"
    kinds = "deadlines with a reminder at your morning hour, pack days, ship days."
    away = f"{plural(gone, 'date')} that went away: marked as cancelled." if gone else ""
    return f"{dates}: {kinds}", away, IMPORT


def file_name(shop: str, box: str, today: date) -> str:
    """Name the file of a calendar."""
    return named(shop, f"calendar {box}".strip(), today, "ics")


def address(url: str, *, again: bool, public: bool) -> tuple[str, ...]:
    """Tell the address, once."""
    return (
        url,
        "Subscribe to it in your calendar; it keeps itself up to date.",
        "" if public else "It works on the machine that I run on, and nowhere else.",
        "Whoever has it can read your dates, but no money. I keep no copy, so I show it once.",
        "Your address from before works no more." if again else "",
    )


def withdrawn(count: int) -> str:
    """Say that addresses work no more."""
    if count == 1:
        return "The calendar's address works no more, and cannot be brought back."
    return f"All {count} addresses of the calendar work no more, and cannot be brought back."

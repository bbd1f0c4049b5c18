"""What is said of a year file: what was read, what was not and why, what bringing it in would do.

Knows: rows that were refused, what would change (planning/bringing_in). Must not know: file
formats. Invariants: everything from the file is shown cut to a line; a reply stays readable on a
phone however long the file, and says how much it leaves out.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.conversation.replies.plan import lead
from assistant.planning.bringing_in import Altered, Incoming, Refused
from assistant.planning.model import Lead

NAME = 60  # characters of a file's or a record's name
LINE = 120  # characters of a line about one row
LINES = 5  # lines of each kind

NOTHING_READ = "Nothing of it could be read. A row needs a month and an item or a theme."
LOST = "The file could not be fetched. Send it again."
NO_DRAFT = "No file waits to be brought in. Send one: CSV or XLSX, a month and an item on each row."


def heading(name: str, boxes: int, items: int) -> str:
    """The title of what was read: "Read year.xlsx: 12 boxes, 41 items"."""
    return f"Read {short(name, NAME)}: {plural(boxes, 'box', 'boxes')}, {plural(items, 'item')}"


def summary(
    incoming: Incoming, rows: int, unread: Sequence[Refused], notes: Sequence[str], today: date
) -> tuple[str, ...]:
    """Say what bringing the file's `rows` in would do, and what of it was not read."""
    refused = (*unread, *incoming.refused)
    return (
        *(would(incoming, today) if rows else (NOTHING_READ,)),
        *_some("Not read", (f"{one.where}: {one.why}" for one in refused)),
        *_some("Look at", (*(_alike(one.name, one.known) for one in incoming.alike),)),
        *_some("", (*incoming.warnings, *notes)),
    )


def would(incoming: Incoming, today: date) -> tuple[str, ...]:
    """Say what the file would change, or that it changes nothing."""
    if not incoming.changes:
        return ("Nothing in it is new: the plan stays as it is.",)
    counts = [
        plural(len(incoming.boxes), "box", "boxes") if incoming.boxes else "",
        plural(len(incoming.new_items), "item") if incoming.new_items else "",
        plural(len(incoming.suppliers), "supplier") if incoming.suppliers else "",
    ]
    new = listed([count for count in counts if count])
    old = set(incoming.boxes)
    changes = [*(one for one in incoming.themes if one.box not in old), *incoming.altered]
    ships = [one for one in incoming.ships if one.box not in old]
    same = plural(incoming.same, "item") if incoming.same else ""
    return (
        f"New: {new}." if new else "",
        *_some("Changed", (_altered(one, today) for one in (*changes, *ships))),
        f"As it was: {same}." if same else "",
    )


def brought_in(incoming: Incoming, today: date) -> tuple[str, ...]:
    """Say what a file changed."""
    return ("Brought in.", *would(incoming, today))


def late_at_once(late: int) -> str:
    """Say how much of what came in should have been done by now."""
    if not late:
        return ""
    things = "1 thing in it is" if late == 1 else f"{late} things in it are"
    return f"{things} late already: say what is late"


def nothing_new(name: str) -> str:
    """Say that all of a file is in the plan already."""
    return f"All of {short(name, NAME)} is in the plan already. Nothing was changed."


def left(name: str) -> str:
    """Say that a file was left."""
    return f"Left {short(name, NAME)}. Nothing was changed."


def _some(heading: str, lines: Iterable[str]) -> Iterator[str]:
    """The first few of many lines under a heading, and how many more there are."""
    every = [short(line, LINE) for line in lines]
    if not every:
        return
    if heading:
        yield f"{heading}:"
    yield from (f"\u2022 {line}" for line in every[:LINES])
    if len(every) > LINES:
        yield f"and {len(every) - LINES} more"


def _alike(name: str, known: str) -> str:
    return (
        f"{short(name, NAME)} is nearly {short(known, NAME)}; "
        "they stay two suppliers unless you change the file"
    )


def _altered(one: Altered, today: date) -> str:
    whose = f"{short(one.name, NAME)}, " if one.item else ""
    was = f", was {_value(one.old, today)}" if one.old not in (None, "") else ""
    return f"{whose}{box_name(one.box, today)}: {one.field} {_value(one.new, today)}{was}"


def _value(value: str | int | Decimal | date | Lead | None, today: date) -> str:
    if isinstance(value, Lead):
        return lead(value)
    if isinstance(value, date):
        return day(value, today)
    return short(str(value), NAME) if value is not None else "none"

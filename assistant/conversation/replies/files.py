"""What is said of a file: what was read, what was not and why, what bringing it in would do.

Knows: rows that were refused, what would change (planning/bringing_in). Must not know: file
formats. Invariants: everything from the file is shown cut to a line; a reply stays readable on a
phone however long the file, and says how much it leaves out.
"""

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.conversation.replies.plan import lead
from assistant.planning.accounts.money import plain_number
from assistant.planning.bringing_in import Altered, Incoming, Refused, Value
from assistant.planning.model import Break, Lead
from assistant.planning.year.measures import Size

NAME = 60  # characters of a file's or a record's name
LINE = 120  # characters of a line about one row
CHANGES, PROBLEMS, REMARKS = 3, 6, 3  # lines of each kind that a reply shows

NOTHING_READ = "Nothing of it could be read. A row needs a month and an item or a theme."
WHOLE = "All of it, line by line."
WHOLE_NAME = "what was read.txt"
LOST = "The file could not be fetched. Send it again."
NO_DRAFT = (
    "No file waits to be brought in. Send one as CSV or XLSX: a year (a month and an item on each "
    "row), a supplier's price list or answers of a survey."
)


def heading(name: str, boxes: int, items: int) -> str:
    """The title of what was read: "Read year.xlsx: 12 boxes, 41 items"."""
    return f"Read {short(name, NAME)}: {plural(boxes, 'box', 'boxes')}, {plural(items, 'item')}"


class Part(NamedTuple):
    """Lines of one kind, under a heading, of which a reply shows so many at the most."""

    heading: str
    lines: tuple[str, ...]
    most: int


def summary(
    incoming: Incoming, rows: int, unread: Sequence[Refused], notes: Sequence[str], today: date
) -> tuple[str, ...]:
    """Say what bringing the file's `rows` in would do, and what of it was not read."""
    parts = _parts(incoming, unread, notes, today)
    head = _new(incoming) if rows else (NOTHING_READ,)
    return (*head, *(line for part in parts for line in some(part)))


def whole(incoming: Incoming, unread: Sequence[Refused], notes: Sequence[str], today: date) -> str:
    """Write what the summary leaves out, with the rest of it, as the text of a file; "" where it
    leaves out nothing."""
    return written_out(_parts(incoming, unread, notes, today))


def written_out(parts: Sequence[Part]) -> str:
    """Write parts in full; "" where a reply shows all of them."""
    if all(len(part.lines) <= part.most for part in parts):
        return ""
    texts = ("\n".join((part.heading, *part.lines)) for part in parts if part.lines)
    return "\n\n".join(texts) + "\n"


def _parts(
    incoming: Incoming, unread: Sequence[Refused], notes: Sequence[str], today: date
) -> tuple[Part, ...]:
    refused = (*unread, *incoming.refused)
    alike = (_alike(one.name, one.known) for one in incoming.alike)
    return (
        Part("Changed", tuple(_altered(one, today) for one in _changes(incoming)), CHANGES),
        Part("Not read", tuple(f"{one.where}: {one.why}" for one in refused), PROBLEMS),
        Part("Look at", (*alike, *incoming.warnings, *notes), REMARKS),
    )


def _new(incoming: Incoming) -> tuple[str, ...]:
    """Say what is new, or that nothing is."""
    if not incoming.changes:
        return ("Nothing in it is new: the plan stays as it is.",)
    new = _counted(incoming)
    same = plural(incoming.same, "item") if incoming.same else ""
    return (f"New: {new}." if new else "", f"As it was: {same}." if same else "")


def _counted(incoming: Incoming) -> str:
    """Count what is new: "2 boxes, 3 items and 1 supplier"."""
    counts = (
        plural(len(incoming.boxes), "box", "boxes") if incoming.boxes else "",
        plural(len(incoming.new_items), "item") if incoming.new_items else "",
        plural(len(incoming.suppliers), "supplier") if incoming.suppliers else "",
    )
    return listed([count for count in counts if count])


def _changes(incoming: Incoming) -> tuple[Altered, ...]:
    """What the file changes of what the plan had."""
    new = set(incoming.boxes)
    themes = (one for one in incoming.themes if one.box not in new)
    ships = (one for one in incoming.ships if one.box not in new)
    return (*themes, *incoming.altered, *ships)


def brought_in(incoming: Incoming) -> str:
    """Say what a file changed, in one line."""
    changes = len(_changes(incoming))
    old = f"{plural(changes, 'change')} to what you had" if changes else ""
    return f"Brought in: {'; '.join(filter(None, (_counted(incoming), old)))}."


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


def some(part: Part) -> Iterator[str]:
    """The first few of many lines under their heading, and how many more there are."""
    if part.lines:
        yield f"{part.heading}:"
    yield from (f"\u2022 {short(line, LINE)}" for line in part.lines[: part.most])
    if len(part.lines) > part.most:
        yield f"and {len(part.lines) - part.most} more, in the file below"


def _alike(name: str, known: str) -> str:
    return (
        f"{short(name, NAME)} is nearly {short(known, NAME)}; "
        "they stay two suppliers unless you change the file"
    )


def _altered(one: Altered, today: date) -> str:
    whose = f"{short(one.name, NAME)}, " if one.item else ""
    was = f", was {_value(one.old, today)}" if one.old not in (None, "", ()) else ""
    return f"{whose}{box_name(one.box, today)}: {one.field} {_value(one.new, today)}{was}"


def _value(value: Value, today: date) -> str:
    if isinstance(value, Lead):
        return lead(value)
    if isinstance(value, tuple):
        return _several(value)
    if isinstance(value, date):
        return day(value, today)
    return short(str(value), NAME) if value is not None else "none"


def _several(value: Size | tuple[Break, ...]) -> str:
    """A size, or prices from so many pieces on."""
    told = [
        f"{plain_number(one.price)} from {one.quantity:,}" if isinstance(one, Break) else str(one)
        for one in value
    ]
    return ", ".join(told) if isinstance(value[0], Break) else f"{' x '.join(told)} mm"

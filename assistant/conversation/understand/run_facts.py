"""What is told of a packing run in one go: the day it begins, hands, hours, the day of collection;
and the names of packing materials.

Knows: clauses and how they are parted. Must not know: patterns, what follows from a fact.
Invariants: a fact is read whole or nothing is; a day without a year is the one nearest to the day
on which its box ships.
"""

import re
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from assistant.conversation.understand.amounts import read_count
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import COUNT, count_of, read_day
from assistant.conversation.understand.names import known_item
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, fold, singular
from assistant.planning.changes import find
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Material

Facts = dict[str, Any]  # fields of ChangeRun
Read = Callable[[re.Match[str], str, Context], Any]

FAR = 45  # days from its ship date that a day of a run may lie
BEFORE = 4  # days before the ship date: where the days of a run are looked for
_NUMBER = r"\d{1,3}(?:[.,]\d{1,2})?"
_HANDS = rf"(?P<n>{COUNT}) (?:people|persons?|hands|helpers?|of us|packers?)"
_HOURS = rf"(?P<n>{_NUMBER}) ?h(?:ours?|rs?)?"
_BEGIN = "from|with|starting|beginning|for|collection|collected|picked up"
_FACT = "|".join((_BEGIN, *(one.replace("(?P<n>", "(?:") for one in (_HANDS, _HOURS))))
_CUT = re.compile(rf",? ?(?:\band )?(?<![\d.,])(?=\b(?:{_FACT})\b)", re.IGNORECASE)
_BARE_DAY = re.compile(r"(?:on )?(?:the )?(\d{1,2})(?:st|nd|rd|th)?", re.IGNORECASE)


def read_run(text: str, box: str, c: Context) -> Facts | Unclear | None:
    """Read all that is told of the run of a box: "from the 8th with 3 people, 7 hours"."""
    facts: Facts = {}
    pieces = (one.strip(" ,") for one in _CUT.split(text.strip()))
    for piece in _joined(filter(None, pieces)):
        found = _one(piece, box, c)
        if found is None or isinstance(found, Unclear):
            return found
        facts |= found
    return facts or None


def _joined(pieces: Any) -> list[str]:
    """Pieces with each "with", "for" or the like put before what it belongs to."""
    joined: list[str] = []
    before = ""
    for piece in pieces:
        if re.fullmatch(r"with|for|and", piece, re.IGNORECASE):
            before = f"{piece} "
            continue
        joined.append(before + piece)
        before = ""
    return joined


def _one(piece: str, box: str, c: Context) -> Facts | Unclear | None:
    for form, field, read in _CLAUSES:
        if found := form.fullmatch(piece):
            value = read(found, box, c)
            return value if value is None or isinstance(value, Unclear) else {field: value}
    return None


def near_day(text: str, box: str, c: Context) -> date | Unclear | None:
    """The day that a text names, near the day on which a box ships where it says no year."""
    ships = ship_date(c.shop, box, c.today)
    near = ships - timedelta(BEFORE) if ships else None
    bare_day = _BARE_DAY.fullmatch(text.strip())
    if near and bare_day and (found := _nearest(int(bare_day[1]), near)):
        return found
    day = read_day(text, c.today, near)
    if not isinstance(day, date):
        return day
    if ships is not None and abs((day - ships).days) > FAR:
        return Unclear(f"{day:%-d %B %Y} is far from the day on which that box ships")
    return day


def _nearest(number: int, near: date) -> date | None:
    """The day of this number of some month that is nearest to a day."""
    month = range(-31, 32)
    days = (near + timedelta(ahead) for ahead in sorted(month, key=abs))
    return next((day for day in days if day.day == number), None)


def _day(found: re.Match[str], box: str, c: Context) -> date | Unclear | None:
    return near_day(found["day"], box, c)


def _crew(found: re.Match[str], _box: str, _c: Context) -> int | Unclear | None:
    return read_count(found["n"]) if found["n"].isdecimal() else count_of(found["n"])


def _hours(found: re.Match[str], _box: str, _c: Context) -> Decimal:
    return Decimal(found["n"].replace(",", "."))


def _form(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)


_CLAUSES: tuple[tuple[re.Pattern[str], str, Read], ...] = (
    (_form(r"(?:from|starting(?: on| from)?|beginning(?: on)?) (?P<day>.{2,40})"), "first", _day),
    (_form(rf"(?:with |for )?{_HANDS}(?: packing)?"), "crew", _crew),
    (
        _form(rf"(?:with |for )?{_HOURS}(?: (?:a|per|each|every) day| daily)?"),
        "hours",
        _hours,
    ),
    (
        _form(
            r"(?:collection|collected|picked up)(?: is)?(?: booked)?(?: on| for| by)? (?P<day>.+)"
        ),
        "collection",
        _day,
    ),
)


# --- materials ------------------------------------------------------------------------------

# What shops pack with, in the singular; a name that ends in one of these is a material's. Common
# practice, no source.
USUAL = frozenset(
    {"mailer", "tissue", "tape", "label", "card", "carton", "envelope", "filler", "shred", "ribbon"}
    | {"sticker", "wrap", "twine", "string", "sleeve", "insert", "bag", "cushion", "paper", "sheet"}
)


def read_material(text: str, c: Context) -> str | None:
    """The name of a material that words are: one that is kept, else one that shops pack with; no
    item of the plan."""
    if (known := known_material(text, c)) is not None:
        return known
    name = bare(text.strip(' "'))
    last = singular(name.rpartition(" ")[2])
    if len(name.split()) > 3 or last not in USUAL or known_item(name, c) is not None:
        return None
    return name


def known_material(text: str, c: Context) -> str | None:
    """The name of a material that is kept, however it is counted."""
    found = material_named(text, c.shop.materials)
    return None if found is None else found.name


def material_named(text: str, kept: tuple[Material, ...]) -> Material | None:
    """Find a material by its name, singular or plural."""
    said = bare(text.strip(' "'))
    exact = find(kept, said)
    if exact is not None:
        return exact
    return next((one for one in kept if _one_of(one.id) == _one_of(said)), None)


def _one_of(name: str) -> str:
    return " ".join(map(singular, fold(name).split()))

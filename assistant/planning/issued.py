"""What of the calendar has left the house: events that were issued, addresses it can be read at.

Knows: the fields of these records. Must not know: what an event says, who reads it. Invariants:
those of model.py, through which all of these are known; this is the assistant's memory and not part
of the plan, so nobody can undo it; an address is kept only as its SHA-256.
"""

from datetime import date, datetime
from hashlib import sha256

from assistant.planning.records import Record


class CalendarEvent(Record):
    """One event as it was issued last. `key` names it among those of the shop, `mark` stands for
    all it said, `sequence` counts its revisions (RFC 5545, section 3.8.7.4); `gone`: it was issued
    as cancelled. `last` is its last day, inclusive."""

    key: str
    first: date
    last: date
    summary: str
    mark: str
    sequence: int = 0
    gone: bool = False


class Issue(Record, tag="issue"):
    """The events of one box that were issued; `id` is Box.id. That of id "" holds the `seed` from
    which all names of events are made, so that those of two shops never meet."""

    id: str
    events: tuple[CalendarEvent, ...] = ()
    seed: str = ""


class Feed(Record, tag="feed"):
    """An address at which the calendar of one person (Person.id) can be read, kept only as the
    SHA-256 in hex (`id`) of its unguessable part."""

    id: str
    person: str
    at: datetime


def hashed(token: str) -> str:
    """Return what is kept of the unguessable part of an address: its SHA-256 in hex."""
    return sha256(token.encode("utf-8", "replace")).hexdigest()

"""Who does what: deadlines given to one person, days off, what was done by whom.

Knows: people, the ledger's marks, the newest entries of the history. Must not know: how a thing is
given or told. Invariants: what is given to one person is nudged for to that person alone, until it
is late by `LATE_DAYS` working days or while that person is off or cannot be reached: then owners
are told too; what is given to nobody who is in is everybody's; a deed is told once, by the words
that did it where they are known.
"""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta

from msgspec.structs import replace

from assistant.planning.calendars import cached_by_identity, closed_spans
from assistant.planning.changes import find, place
from assistant.planning.listing import Deadline
from assistant.planning.model import (
    Change,
    Closure,
    Delivery,
    Entry,
    Mark,
    Person,
    Put,
    Record,
    Remove,
    Shop,
)

LATE_DAYS = 2  # the shop's working days after which the owners hear of what was given away
DAY = timedelta(days=1)


# --- given to one person --------------------------------------------------------------------


def given(shop: Shop) -> Mapping[str, Person]:
    """Return who alone is nudged, by deadline key; what nobody alone is nudged for is not there."""
    return _given(shop.ledger, shop.people)


@cached_by_identity(8)
def _given(ledger: tuple[Mark, ...], people: tuple[Person, ...]) -> Mapping[str, Person]:
    known = {one.id: one for one in people}
    return {mark.id: known[mark.to] for mark in ledger if mark.to in known}


def others(shop: Shop, person: str) -> Mapping[str, Person]:
    """Return the same without what is given to this person (Person.id)."""
    return {key: one for key, one in given(shop).items() if one.id != person}


def is_told(shop: Shop, person: Person, deadline: Deadline, day: date) -> bool:
    """Whether a person is nudged on a day for a deadline, whose float is that of the day."""
    whose = given(shop).get(deadline.key)
    if whose is None or whose.id == person.id:
        return True
    away = not whose.reachable or is_off(whose, day)
    return person.role == "owner" and (away or deadline.float <= -LATE_DAYS)


def give(shop: Shop, keys: Iterable[str], person: str) -> tuple[Change, ...]:
    """Return the changes that give deadlines to one person (Person.id), "" to everybody."""
    marks = (find(shop.ledger, key) or Mark(key) for key in keys)
    return tuple(Put(replace(mark, to=person)) for mark in marks if mark.to != person)


def given_back(shop: Shop, person: str) -> tuple[Change, ...]:
    """Return the changes that give all that was one person's back to everybody."""
    return tuple(Put(replace(mark, to="")) for mark in shop.ledger if mark.to == person)


# --- days off -------------------------------------------------------------------------------


def is_off(person: Person, day: date) -> bool:
    """Whether a person does not work on a day, as they said."""
    return any(_covers(closure, day) for closure in person.off)


def _covers(closure: Closure, day: date) -> bool:
    spans = closed_spans(closure, range(day.year - 1, day.year + 2))
    return any(one.first <= day and (one.last is None or day <= one.last) for one in spans)


def back_on(person: Person, day: date) -> Person:
    """Return a person who works again from a day on: days off that go on over it end on the day
    before, those that begin on it are forgotten, and so are those of every year that touch it."""
    kept = []
    for closure in person.off:
        first = closure.first
        if not _covers(closure, day):
            kept.append(closure)
        elif first is not None and first < day and not (closure.yearly or closure.festival):
            kept.append(replace(closure, last=day - DAY))
    return replace(person, off=tuple(kept))


def off_from(person: Person, day: date) -> tuple[Closure, ...]:
    """Return the days off that are not over on a day, the next first."""
    coming = [
        one
        for one in person.off
        if one.yearly or one.festival or one.last is None or one.last >= day
    ]
    return tuple(sorted(coming, key=lambda one: one.first or day))


# --- who did it -----------------------------------------------------------------------------


class Deed(Record):
    """Something that was done: when, by whom (Person.id), in which words (`why`); or, where these
    are not known any more, that the deadline `key` was marked `state`."""

    at: datetime
    by: str
    why: str = ""
    key: str = ""
    state: str = ""


def deeds(
    shop: Shop, back: Iterable[int], *, item: str = "", box: str = "", person: str = ""
) -> tuple[Deed, ...]:
    """Return what was done of an item, a box (its items too) or by a person, the newest first.

    `back` are the numbers of entries that were taken back: they count as not done.
    """
    gone = set(back)
    entries = [one for one in shop.recent if one.number not in gone and not one.undoes]
    about = _about(shop, item, box)
    told = [
        Deed(one.at, one.by, one.why)
        for one in entries
        if (not person or one.by == person) and (about is None or _touches(one, about))
    ]
    spoken = {change.record.id for one in entries for change in _marks(one)}
    marked = [
        Deed(mark.at, mark.by, key=mark.id, state=mark.state)
        for mark in shop.ledger
        if mark.at is not None
        and mark.state != "open"
        and mark.id not in spoken
        and (not person or mark.by == person)
        and (about is None or mark.id.rpartition("/")[0] in about)
    ]
    return tuple(sorted((*told, *marked), key=lambda one: one.at, reverse=True))


def _about(shop: Shop, item: str, box: str) -> frozenset[str] | None:
    """The ids of boxes and items that are asked about; None is everything."""
    if item:
        return frozenset((item,))
    if not box:
        return None
    return frozenset((box, *(one.id for one in shop.items if one.box == box)))


def _touches(entry: Entry, ids: frozenset[str]) -> bool:
    """Whether an entry touched one of these boxes or items, or what is kept of it."""
    return any(_id_of(change) in ids for change in (*entry.changes, *entry.inverse))


def _id_of(change: Change) -> str:
    """The box or item that a change is about."""
    table, id = place(change)
    if table == "ledger":
        return id.rpartition("/")[0]
    record = None if isinstance(change, Remove) else change.record
    return record.item if isinstance(record, Delivery) else id


def _marks(entry: Entry) -> Iterable[Put]:
    return (one for one in entry.changes if isinstance(one, Put) and isinstance(one.record, Mark))

"""The invented shop whose calendar is written, and calendar files read back by two parsers:
icalendar, and vobject, which does not share its code."""

from datetime import UTC, date, datetime, timedelta
from typing import Any, NamedTuple

import vobject
from icalendar import Calendar
from msgspec.structs import replace

from assistant.planning.model import Person, Shop
from assistant.sheets.calendar_file import Made, calendar_file
from tests.trade import shop, with_holidays

TODAY = date(2027, 1, 11)  # a Monday
NOW = datetime(2027, 1, 11, 9, tzinfo=UTC)
WREN = Person("wren", "terminal:wren", name="Wren", role="owner")
JO = Person("jo", "telegram:2", name="Jo")
NOTEBOOK, TEA = "2027-03.notebook", "2027-05.tea"
LONDON, NEW_YORK = "Europe/London", "America/New_York"


def plan(**profile: Any) -> Shop:
    made = shop(
        "Aldermoor DE: lead 20d",
        "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; pin",
        "2027-05 First swifts: tea",
        **{"subscribers": 420, **profile},
    )
    return replace(with_holidays(made, TODAY), people=(WREN, JO))


PLAN = plan()


def made(shop: Shop, person: Person = WREN, **more: Any) -> Made:
    return calendar_file(shop, person, more.pop("today", TODAY), NOW, "seed", **more)


class Read(NamedTuple):
    """One event as a parser reads it; `last` is inclusive, `rings` are moments."""

    uid: str
    summary: str
    first: date
    last: date
    sequence: int
    status: str
    rings: tuple[datetime, ...]


def by_icalendar(content: bytes) -> dict[str, Read]:
    read = Calendar.from_ical(content)
    assert not read.errors
    found = {}
    for event in read.events:
        assert not event.errors
        first, end = event["DTSTART"].dt, event["DTEND"].dt
        assert type(first) is type(end) is date
        rings = tuple(alarm["TRIGGER"].dt for alarm in event.walk("VALARM"))
        uid, summary = str(event["UID"]), str(event["SUMMARY"])
        last = end - timedelta(days=1)
        number, status = int(event["SEQUENCE"]), str(event["STATUS"])
        found[uid] = Read(uid, summary, first, last, number, status, rings)
    assert len(found) == len(read.events)  # no name twice
    return found


def by_vobject(content: bytes) -> dict[str, Read]:
    found = {}
    for event in vobject.readOne(content.decode()).contents.get("vevent", ()):
        rings = tuple(alarm.trigger.value for alarm in event.contents.get("valarm", ()))
        first, end = event.dtstart.value, event.dtend.value
        assert type(first) is type(end) is date
        uid, last = event.uid.value, end - timedelta(days=1)
        found[uid] = Read(
            uid,
            event.summary.value,
            first,
            last,
            int(event.sequence.value),
            event.status.value,
            tuple(ring.astimezone(UTC) for ring in rings),
        )
    return found


def read(content: bytes) -> dict[str, Read]:
    """The events by their UID, as both parsers read them."""
    events = by_icalendar(content)
    assert by_vobject(content) == events
    return events


def titled(content: bytes) -> dict[str, Read]:
    events = read(content).values()
    found = {one.summary: one for one in events}
    assert len(found) == len(events)
    return found

"""The plan as a calendar has it: everything dated that is to be done, each with its days and with
the moment at which one person is reminded of it.

Knows: deadlines, ship days, packing runs, people and their mornings. Must not know: in which words
or files any of it leaves the house. Invariants: one entry a deadline that is nudged for, under its
key, and none for what is not needed; the packing of a box is one entry over all its days; what is
done, or nudged to somebody else alone, has no reminder. There is no money in it.
"""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from functools import cache

from assistant.planning.calendars import calendars
from assistant.planning.crew import given
from assistant.planning.deadlines import Deadline, deadlines, ship_date
from assistant.planning.model import Person, Record, Shop
from assistant.planning.month.packing import PACK
from assistant.planning.nudges import morning_of

FURTHEST = date.max - timedelta(days=400)  # a day that means "never"; no morning is found for it

Remind = Callable[[date], datetime | None]


class Entry(Record):
    """One thing to be done, from `first` to `last` (inclusive; one day but for packing). `todo` is
    that of its deadline; `to` who alone is nudged for it; `remind` the moment (UTC) at which the
    person is reminded, None for never. Of its box: `box` (Box.id) and `theme`; of its item:
    `supplier` (name)."""

    key: str
    box: str
    stage: str
    todo: str
    first: date
    last: date
    item: str = ""
    theme: str = ""
    supplier: str = ""
    done: bool = False
    provisional: bool = False
    missing: tuple[str, ...] = ()
    until: date | None = None
    to: Person | None = None
    remind: datetime | None = None


def agenda(shop: Shop, person: Person, today: date) -> tuple[Entry, ...]:
    """Return what the calendar of a person holds, by date; `today` is the shop's local day."""
    themes = {box.id: box.theme for box in shop.boxes}
    sellers = {one.id: one.name for one in shop.suppliers}
    by_item = {item.id: sellers.get(item.supplier, "") for item in shop.items}
    whose, remind, ends = given(shop), _reminder(shop, person), _last_pack_days(shop, today)
    entries = []
    for one in deadlines(shop, today):
        if not one.nudge or one.state == "not needed":
            continue
        alone = whose.get(one.key)
        told = one.state == "open" and (alone is None or alone.id == person.id)
        entries.append(
            Entry(
                key=one.key,
                box=one.box,
                stage="" if one.item else one.stage,
                todo=one.todo,
                first=one.on,
                last=ends(one) if not one.item and one.stage == PACK else one.on,
                item=one.name,
                theme=themes.get(one.box, ""),
                supplier=by_item.get(one.item, ""),
                done=one.state == "done",
                provisional=one.provisional,
                missing=one.missing,
                until=one.until if one.until and one.until > one.on else None,
                to=alone,
                remind=remind(max(one.on, one.until or one.on)) if told else None,
            )
        )
    return tuple(entries)


def _reminder(shop: Shop, person: Person) -> Remind:
    """When a person is reminded of what is due on a day."""
    return cache(lambda day: morning_of(shop, person, day) if day < FURTHEST else None)


def _last_pack_days(shop: Shop, today: date) -> Callable[[Deadline], date]:
    """The last pack day of a run that begins at a deadline: the working day before its boxes are
    collected, on the day booked, else on the ship date."""
    calendar = calendars(shop, today).shop
    booked = {run.id: run.collection for run in shop.runs}

    def last(one: Deadline) -> date:
        leaves = booked.get(one.box) or ship_date(shop, one.box, today)
        end = calendar.shift(leaves, -1) if leaves else None
        return max(end or one.on, one.on)

    return last

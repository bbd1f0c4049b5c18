"""The packing run of a box: the days that it needs, the days that there are, and what would make it
fit.

Knows: boxes to pack, hands and who is off, pace, hours, the shop's calendar, what is in hand and
when. Must not know: words, materials (materials.py). Invariants: nothing is packed on a day on
which the shop does not work, nor on the day of collection; each way out that is offered was walked
day by day and fits; what was chosen for a run is never changed here.

A run ends on the working day before its boxes are collected: the day booked, else the ship date.
It begins on the day chosen for it, else on the day of its stage "pack", but neither before today
nor before the working day after all is in hand; one that has begun goes on today. A day of n
people takes n x hours x pace boxes.
Which way out comes first is ours: an earlier start asks for nobody's time, longer days for no new
people, more hands for people who may not be there, and a later collection is not for the shop
alone to choose. Common practice, no source.
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, timedelta
from decimal import ROUND_CEILING, Decimal
from typing import Literal, NamedTuple

from msgspec.structs import replace

from assistant.planning.calendars import cached_by_identity, calendars, closed_spans
from assistant.planning.chains import outlooks
from assistant.planning.changes import find
from assistant.planning.deadlines import deadline, ship_date
from assistant.planning.model import Person, Record, Run, Shop
from assistant.planning.month.pace import (
    Pace,
    hands_of,
    hours_of,
    line,
    pace_now,
    packed_on,
    work_of,
)
from assistant.planning.numbers.flows import newest
from assistant.planning.numbers.subscribers import COUNT, expected
from assistant.scheduling.workdays import Calendar, Roll

PACK = "pack"  # the stage at which packing begins
MOST_DAYS = 260  # of one run, beyond which no day is named
MOST_HOURS = Decimal(10)  # a day, that are offered
MOST_HANDS = 10  # times as many as now, that are offered
MOST_OFF = 10  # people who may be off at once
HALF = Decimal("0.5")
Way = Literal["earlier", "hours", "hands", "both", "later"]


class PackDay(NamedTuple):
    """A day of a run: how many pack, and how many boxes they can."""

    on: date
    hands: int
    boxes: Decimal


class Option(Record):
    """A way to make a run fit: it would begin on `first` with `crew` people for `hours` a day, and
    be done on `last`. `ships`: the collection it then needs, only of a later one."""

    way: Way
    first: date
    crew: int
    hours: Decimal
    last: date
    ships: date | None = None


class Packing(Record):
    """The packing run of a box.

    `boxes` are to be packed in all, `counted` says that their final number is known; `packed` are.
    `first` is the day on which it begins, or goes on; `chosen` that it was chosen so; `ready` the
    first day on which all is in hand, None where something never will be. `until` is the day by
    whose morning all must be packed (`collection` where one is booked, else `ships`). `days` are
    those it takes, the last of them `last`; of `needed` working days `there` are so many before
    `until`. `latest` is the last day on which it could begin and still fit. `off` are days of the
    run with fewer hands.
    """

    box: str
    boxes: int
    counted: bool
    packed: int
    pace: Pace
    crew: int
    hours: Decimal
    first: date | None = None
    chosen: bool = False
    ready: date | None = None
    ships: date | None = None
    collection: date | None = None
    until: date | None = None
    days: tuple[PackDay, ...] = ()
    last: date | None = None
    needed: int = 0
    there: int = 0
    fits: bool = False
    latest: date | None = None
    off: tuple[PackDay, ...] = ()
    options: tuple[Option, ...] = ()

    @property
    def left(self) -> int:
        """How many boxes are still to be packed."""
        return max(self.boxes - self.packed, 0)

    @property
    def a_day(self) -> int:
        """Whole boxes that all hands pack in a day."""
        return int(self.pace.boxes * self.crew * self.hours)


@cached_by_identity(32)
def packing(shop: Shop, box_id: str, today: date) -> Packing:
    """Return how the packing of a box stands on a day, the shop's own. Asking again of the same
    shop costs a look-up."""
    run, going = find(shop.runs, box_id), expected(shop, box_id, today)
    boxes, already = round(going.mean), packed(run)
    found = Packing(
        box=box_id,
        boxes=boxes,
        counted=_counted(shop, box_id, going.on, today),
        packed=already,
        pace=pace_now(shop, run, boxes - already, today),
        crew=hands_of(shop, run),
        hours=hours_of(shop, run),
        chosen=run is not None and run.first is not None,
        ships=ship_date(shop, box_id, today),
        collection=run.collection if run else None,
    )
    until = found.collection or found.ships
    if until is None:
        return found
    begun = already > 0
    found = replace(found, until=until, ready=today if begun else _ready(shop, box_id, today))
    start = deadline(shop, f"{box_id}/{PACK}", today)
    planned = run.first if run and run.first else start.on if start else None
    planned = today if begun else planned
    return _walked(found, _Table(shop, today, packed_on(shop, run, today)), planned)


def done_at(found: Packing, now: datetime, today: date) -> datetime | None:
    """Return the moment at which the last box will be packed at the pace of now, where that is
    today; `found` is the packing as of `today`."""
    if found.last != today or not found.left:
        return None
    hands = found.days[0].hands
    return now + timedelta(hours=found.left / float(found.pace.boxes * hands)) if hands else None


def packed(run: Run | None) -> int:
    """Return how many boxes of a run are packed."""
    return sum(boxes for _, boxes in run.packed) if run else 0


def _counted(shop: Shop, box: str, on: date, today: date) -> bool:
    """Whether subscribers were counted for a box: said so, or counted on its count day or later."""
    mark, count = find(shop.ledger, f"{box}/{COUNT}"), newest(shop.counts, today)
    return (mark is not None and mark.state == "done") or (count is not None and count.on >= on)


def _ready(shop: Shop, box_id: str, today: date) -> date | None:
    """The first day on which all items are in hand: the working day after the last of them, as
    things stand; today where they are."""
    awaited = [one for one in outlooks(shop, box_id, today) if not one.in_hand]
    if not awaited:
        return today
    if any(one.expected is None for one in awaited):
        return None
    last = max(one.expected for one in awaited if one.expected)
    return calendars(shop, today).shop.shift(last, 1)


# --- days -----------------------------------------------------------------------------------


class _Table:
    """The working days of the shop, and how many can pack on each. `already` boxes were packed
    today, and take that much of it."""

    def __init__(self, shop: Shop, today: date, already: int) -> None:
        self.calendar: Calendar = calendars(shop, today).shop
        self.today, self._already = today, already
        self._off = _off_by_day(shop.people, today.year)
        self._named = _named(shop.people)

    def hands(self, on: date, crew: int) -> int:
        """How many of a crew are there: those let in who are off are not. People who were not let
        in may be of the crew, too."""
        return max(min(crew, max(crew, self._named) - self._off.get(on, 0)), 0)

    def days(self, first: date, crew: int, a_head: Decimal) -> Iterator[PackDay]:
        """The working days from a day on, `a_head` boxes a person and day."""
        rank = self.calendar.rank(first.toordinal())
        for nth in range(rank, rank + MOST_DAYS):
            ordinal = self.calendar.nth(nth)
            if ordinal is None:
                return
            on = date.fromordinal(ordinal)
            hands = self.hands(on, crew)
            boxes = hands * a_head
            if on == self.today:
                boxes = max(boxes - self._already, Decimal(0))
            yield PackDay(on, hands, boxes)

    def from_day(self, on: date) -> date:
        """The first working day from a day on."""
        return self.calendar.roll(on, Roll.FOLLOWING) or on

    def already(self, days: Iterable[PackDay]) -> int:
        """How many boxes were packed on those of these days that have begun."""
        return self._already if any(day.on == self.today for day in days) else 0

    def run(self, first: date, crew: int, a_head: Decimal, boxes: int) -> tuple[PackDay, ...]:
        """The days that it takes to pack so many boxes; () where they never would be."""
        taken: list[PackDay] = []
        left = Decimal(boxes)
        for day in self.days(first, crew, a_head):
            if left <= 0:
                break
            taken.append(day)
            left -= day.boxes
        return tuple(taken) if left <= 0 else ()

    def before(self, first: date, until: date, crew: int, a_head: Decimal) -> tuple[PackDay, ...]:
        """The working days from a day to the day before another."""
        return tuple(
            day
            for _, day in zip(
                range(max(self.calendar.count(first, until), 0)),
                self.days(first, crew, a_head),
                strict=False,
            )
        )

    def latest(self, until: date, crew: int, a_head: Decimal, boxes: int) -> date | None:
        """The last day on which a run could begin and still be done before a day."""
        rank, left = self.calendar.rank(until.toordinal()), Decimal(boxes)
        for nth in range(rank - 1, rank - 1 - MOST_DAYS, -1):
            ordinal = self.calendar.nth(nth)
            if ordinal is None:
                return None
            on = date.fromordinal(ordinal)
            left -= self.hands(on, crew) * a_head
            if left <= 0:
                return on
        return None


@cached_by_identity(8)
def _off_by_day(people: tuple[Person, ...], year: int) -> Mapping[date, int]:
    """How many of the people let in are off on a day. Owners count as one: she may have let
    herself in over several channels."""
    days: dict[date, set[str]] = {}
    for one in people:
        for closure in one.off:
            for span in closed_spans(closure, range(year - 1, year + 3)):
                first, last = span.first, span.last or date(year + 2, 12, 31)
                for ordinal in range(first.toordinal(), last.toordinal() + 1):
                    days.setdefault(date.fromordinal(ordinal), set()).add(_name(one))
    return {on: len(who) for on, who in days.items()}


def _named(people: Iterable[Person]) -> int:
    return len({_name(one) for one in people})


def _name(one: Person) -> str:
    return one.role if one.role == "owner" else one.id


# --- the run, and ways to make it fit ---------------------------------------------------------


def _walked(found: Packing, table: _Table, planned: date | None) -> Packing:
    """Lay the run over the days, from the one that is planned on; `found.until` is known."""
    until = found.until or table.today
    a_head = found.pace.boxes * found.hours
    latest = table.latest(until, found.crew, a_head, found.left)
    first = table.from_day(max(filter(None, (planned or latest, table.today, found.ready))))
    days = table.run(first, found.crew, a_head, found.left)
    there = table.before(first, until, found.crew, a_head)
    last = days[-1].on if days else None
    in_time = last is not None and last < until and found.ready is not None
    found = replace(
        found,
        first=first,
        latest=latest,
        days=days,
        last=last,
        needed=len(days),
        there=len(there),
        fits=in_time or not found.left,
        off=tuple(day for day in days if day.hands < found.crew),
    )
    return found if found.fits else replace(found, options=tuple(_options(found, table, there)))


def _options(found: Packing, table: _Table, there: tuple[PackDay, ...]) -> Iterator[Option]:
    """The ways to make a run fit, the best first; none for one whose items never come."""
    first, until = found.first, found.until
    if first is None or until is None or found.ready is None:
        return
    earliest = table.from_day(max(table.today, found.ready))
    sooner = None
    if found.latest is not None and earliest <= found.latest < first:
        sooner = _option("earlier", found, table, found.latest, found.crew, found.hours)
    fewer = _hands("both", found, table, earliest) if earliest < first and not sooner else None
    more = _hands("hands", found, table, first)
    if fewer and more and fewer.crew >= more.crew:
        fewer = None
    yield from filter(None, (sooner, _hours(found, table, there), fewer, more))
    if found.last is not None:
        ships = table.calendar.shift(found.last, 1)
        yield Option("later", first, found.crew, found.hours, found.last, ships)


def _option(
    way: Way, found: Packing, table: _Table, first: date, crew: int, hours: Decimal
) -> Option | None:
    """A way out as it goes day by day; None where it does not fit."""
    days = table.run(first, crew, found.pace.boxes * hours, found.left)
    if not days or found.until is None or days[-1].on >= found.until:
        return None
    return Option(way, first, crew, hours, days[-1].on)


def _hours(found: Packing, table: _Table, there: tuple[PackDay, ...]) -> Option | None:
    """Longer days: as many half hours a day as it takes."""
    hands = sum(day.hands for day in there)
    if not hands or found.first is None:
        return None
    boxes = found.left + table.already(there)
    halves = (boxes / (found.pace.boxes * hands) / HALF).to_integral_value(ROUND_CEILING)
    hours = max(halves * HALF, found.hours + HALF)
    if hours > MOST_HOURS:
        return None
    return _option("hours", found, table, found.first, found.crew, hours)


def _hands(way: Way, found: Packing, table: _Table, first: date) -> Option | None:
    """More hands from a day on: as many as keep up the cycle that the hours there are ask for, and
    others in place of those who are off."""
    until = found.until or first
    there = table.before(first, until, found.crew, found.pace.boxes * found.hours)
    if not there:
        return None
    boxes = found.left + table.already(there)
    at_table = line(boxes, len(there) * float(found.hours), work_of(found.pace.boxes))
    least = max(at_table.hands, found.crew + (way == "hands"))
    for crew in range(least, min(least + MOST_OFF, found.crew * MOST_HANDS) + 1):
        if option := _option(way, found, table, first, crew, found.hours):
            return option
    return None

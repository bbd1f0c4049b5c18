"""Deadlines: the dated things to be done, derived from the year plan and never stored.

Knows: boxes, items, the ledger, the stages laid out (stages.py). Must not know: who is told of a
deadline and when (nudges.py), or in which words. Invariants: a deadline's key is
`<box or item id>/<stage>` and stays the same wherever its date moves; the dates follow from the
plan alone, `today` only decides what is late and how much float is left.

`deadlines` remembers its last answers by the identity of the shop's tables: asking again about an
unchanged plan costs nothing.
"""

import re
from calendar import monthrange
from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from itertools import chain
from operator import attrgetter, is_
from typing import NamedTuple

from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.changes import find, profile_of
from assistant.planning.model import (
    Almanac,
    Box,
    House,
    Item,
    Mark,
    MarkState,
    Profile,
    Record,
    Shop,
    Supplier,
)
from assistant.planning.stages import SHIP, Ask, Track, Workings, workings
from assistant.scheduling.shipdays import EveryWeeks, ShipRule, ship_dates
from assistant.scheduling.shipdays import ship_date as rule_date
from assistant.scheduling.shiprules import parse_rule
from assistant.scheduling.workdays import Calendar, Problem

KEPT_AFTER_SHIPPING = timedelta(days=14)
BOX_ID = re.compile(r"([12]\d{3})-(0[1-9]|1[0-2])([b-z]?)")


class Deadline(Record, gc=False):
    """One dated thing to be done.

    `float` is the number of the shop's working days from today to `on`, at most -1 once `on` is
    past. `until`: put off, no nudge before that day. `provisional`: the date leans on a holiday
    year or a closure that is not settled. `ask` is what all deadlines of its kind have in common.
    """

    key: str
    box: str  # Box.id
    item: str  # Item.id, "" for a deadline of the box
    name: str  # of the item
    on: date
    float: int
    state: MarkState
    until: date | None
    provisional: bool
    ask: Ask

    @property
    def stage(self) -> str:
        """The stage's name in the table of stages."""
        return self.ask.rule.name

    @property
    def late(self) -> bool:
        """Whether it is open and its date is past."""
        return self.float < 0 and self.state == "open"

    @property
    def todo(self) -> str:
        """What is to be done, as in "order notebook"."""
        before, named, after = self.ask.rule.todo.partition("{item}")
        return before + self.name + after if named else before

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not known of the item or the box on which the date rests."""
        return self.ask.missing

    @property
    def notice(self) -> int:
        """Working days ahead at which the first nudge comes."""
        return self.ask.rule.notice

    @property
    def nudge(self) -> bool:
        """Whether it is nudged for; if not, it only carries a date."""
        return self.ask.rule.nudge


def deadlines(shop: Shop, today: date) -> tuple[Deadline, ...]:
    """Return every deadline of the boxes not yet shipped, by date, then in the stages' order.

    A box is shipped when its ship date is past and its ship stage done, or 14 days after that
    date. What the shipping does not settle (`implied` false: payments) stays until 14 days after
    its own date. A box that the ship-day rule gives no date has no deadlines.
    """
    return _deadlines(
        shop.house,
        shop.profile,
        shop.suppliers,
        shop.boxes,
        shop.items,
        shop.ledger,
        shop.almanac,
        today,
    )


def deadline(shop: Shop, key: str, today: date) -> Deadline | None:
    """Return the deadline with this key, or None where there is none (any more)."""
    return by_key(deadlines(shop, today)).get(key)


def ship_date(shop: Shop, box_id: str, today: date) -> date | None:
    """Return the ship date of a box, planned or not: its own, else by the shop's ship-day rule.

    A second box of a month (`2027-03b`) takes the rule's second date in that month, or its last
    if there are fewer. None when the rule gives no date there, or cannot be read.
    """
    box = find(shop.boxes, box_id) or Box(id=box_id)
    return _ship_dates(profile_of(shop).ship_rule, calendars(shop, today).shop).of(box)


def coming_box(shop: Shop, month: int, today: date) -> str:
    """Return the id of the box that a month's name means: the plan's nearest of that month from
    this month on, else the next such month whose ship date is not past."""
    ending = f"-{month:02}"
    planned = (
        box.id for box in shop.boxes if box.id[4:7] == ending and box.id[:7] >= f"{today:%Y-%m}"
    )
    coming = f"{today.year + (month < today.month):04}{ending}"
    ships = ship_date(shop, coming, today)
    if ships is not None and ships < today:
        coming = f"{today.year + 1:04}{ending}"
    return min(planned, default=coming)


@cached_by_identity(4)
def by_key(found: tuple[Deadline, ...]) -> Mapping[str, Deadline]:
    """Return deadlines by their key."""
    return {one.key: one for one in found}


@cached_by_identity(4)
def marks_of(ledger: tuple[Mark, ...]) -> Mapping[str, Mark]:
    """Return the ledger's marks by deadline key."""
    return {mark.id: mark for mark in ledger}


@cached_by_identity(4)
def _deadlines(
    house: House,
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    boxes: tuple[Box, ...],
    items: tuple[Item, ...],
    ledger: tuple[Mark, ...],
    almanac: tuple[Almanac, ...],
    today: date,
) -> tuple[Deadline, ...]:
    shop = Shop("", house, 0, profile, suppliers, boxes, items, almanac=almanac)
    known = calendars(shop, today)
    made = workings(house, profile, suppliers, known)
    lister, memory = Lister(made, known.shop, today), _memory(profile, known.shop, today)
    contents: dict[str, list[Item]] = {}
    for item in items:
        contents.setdefault(item.box, []).append(item)
    marks, marked = marks_of(ledger), _marks_by_owner(ledger)
    ships = _ship_dates(profile_of(shop).ship_rule, known.shop)
    lists = []
    for box in sorted(boxes, key=attrgetter("id")):
        ship = ships.of(box)
        if ship is not None:
            inside = contents.get(box.id, ())
            tracks = tuple(map(made.item, inside))
            rests_on = (box, *inside, made.box, made.after_items, made.without_items, *tracks)
            if marked:
                rests_on += tuple(chain.from_iterable(marked.get(o.id, ()) for o in (box, *inside)))
            kept = memory.get(box.id)
            if kept is None or not kept.stands(rests_on):
                found = lister.list_box(box, tuple(zip(inside, tracks, strict=True)), marks, ship)
                kept = memory[box.id] = Kept(rests_on, found)
            lists.append(kept.found)
    return tuple(sorted(chain.from_iterable(lists), key=attrgetter("on")))


class Kept(NamedTuple):
    """The deadlines of one box, and the records and tracks that they were derived from."""

    rests_on: tuple[object, ...]
    found: list[Deadline]

    def stands(self, rests_on: tuple[object, ...]) -> bool:
        """Whether nothing has changed: a record that was not touched stays the same object."""
        return len(rests_on) == len(self.rests_on) and all(map(is_, rests_on, self.rests_on))


@cached_by_identity(4)
def _memory(
    profile: tuple[Profile, ...],  # noqa: ARG001 - the arguments are the key
    calendar: Calendar,  # noqa: ARG001
    today: date,  # noqa: ARG001
) -> dict[str, Kept]:
    """What was last listed for each box, so that a change costs its own box only."""
    return {}


@cached_by_identity(8)
def _marks_by_owner(ledger: tuple[Mark, ...]) -> dict[str, list[Mark]]:
    """Marks by the box or item that they belong to."""
    by_owner: dict[str, list[Mark]] = {}
    for mark in ledger:
        by_owner.setdefault(mark.id.rpartition("/")[0], []).append(mark)
    return by_owner


# By place in the layout: the day (0 for none), whether it is provisional, whether it is done.
Laid = tuple[list[int], list[bool], list[bool]]


class Lister:
    """Lays out boxes and lists their deadlines."""

    def __init__(self, made: Workings, calendar: Calendar, today: date) -> None:
        self._made = made
        self._calendar = calendar
        self._today = today
        self._today_is = today.toordinal()
        self._rank = calendar.rank(self._today_is)
        self._days: dict[int, tuple[date, int]] = {}  # date and float of a day

    def list_box(
        self,
        box: Box,
        items: Sequence[tuple[Item, Track]],
        marks: Mapping[str, Mark],
        ship: date,
    ) -> list[Deadline]:
        """The deadlines of one box and its items, the earliest stages first; `marks` by key."""
        mark = marks.get(f"{box.id}/{SHIP}")
        sent = mark is not None and mark.state == "done"
        shipped = ship < self._today and (sent or self._over(ship))
        size, found, rows = len(self._made.layout.names), list[Deadline](), list[Laid]()
        laid = [0] * size + [ship.toordinal()], [False] * (size + 1), [False] * size + [sent]
        laid = days, doubts, done = self._add(found, box, None, self._made.box, laid, marks)
        for item, track in reversed(items):
            row = days.copy(), doubts, done.copy()
            rows.append(self._add(found, box, item, track, row, marks))
        self._add(found, box, None, self._after_items(laid, rows), laid, marks)
        found.reverse()  # stages hang on later ones, so they were added from last to first
        if shipped:
            found = [one for one in found if self._outlives_shipping(one)]
        return found

    def _after_items(self, laid: Laid, rows: list[Laid]) -> Track:
        """The track of what hangs on the items: from the earliest of them, done when all are."""
        days, doubts, done = laid
        for source in self._made.sources:
            dated = [row for row in rows if row[0][source]]
            if dated:
                days[source] = min([row[0][source] for row in dated])
                doubts[source] = True in [row[1][source] for row in dated]
                done[source] = False not in [row[2][source] for row in dated]
        laid_any = any(days[source] for source in self._made.sources)
        return self._made.after_items if laid_any else self._made.without_items

    def _add(
        self,
        found: list[Deadline],
        box: Box,
        item: Item | None,
        track: Track,
        laid: Laid,
        marks: Mapping[str, Mark],
    ) -> Laid:
        """Lay out one track and add its deadlines. The inner loop of the whole plan."""
        days, doubts, done = laid
        if not track.lay(days) or True in doubts:
            doubts = track.doubts(days, doubts)
        box_id, themed = box.id, box.theme != ""
        item_id, name = (item.id, item.name) if item else ("", "")
        owner, dates = item_id or box_id, self._days
        for ask in track.asks:
            place, hangs, suffix, implied, by_theme, _, _ = ask
            if not (day := days[place]):
                continue
            key, until = owner + suffix, None
            met = (implied and done[hangs]) or (by_theme and themed)
            state: MarkState = "done" if met else "open"
            if (mark := marks.get(key)) is not None:
                met, until = met or mark.state == "done", mark.until
                state = state if mark.state == "open" else mark.state
            done[place] = met
            on, spare = dates.get(day) or self._date(day)
            found.append(
                Deadline(key, box_id, item_id, name, on, spare, state, until, doubts[place], ask)
            )
        return days, doubts, done

    def _outlives_shipping(self, one: Deadline) -> bool:
        return not one.ask.implied and one.state == "open" and not self._over(one.on)

    def _over(self, on: date) -> bool:
        return on + KEPT_AFTER_SHIPPING < self._today

    def _date(self, day: int) -> tuple[date, int]:
        """A day's date and float, kept for the next that asks."""
        on, calendar = date.fromordinal(day), self._calendar
        spare = calendar.rank(day) - self._rank
        if day < self._today_is:
            spare = min(calendar.count(self._today, on), -1)
        self._days[day] = found = on, spare
        return found


class ShipDates:
    """The ship dates that a rule gives, each worked out when first asked for."""

    def __init__(self, rule: str, calendar: Calendar) -> None:
        self._rule = parse_rule(rule)
        self._calendar = calendar
        self._found: dict[str, date | None] = {}

    def of(self, box: Box) -> date | None:
        """The ship date of a box: its own, else by the rule."""
        if box.ship_on is not None:
            return box.ship_on
        if box.id not in self._found:
            self._found[box.id] = _by_rule(box.id, self._rule, self._calendar)
        return self._found[box.id]


_ship_dates = cached_by_identity(64)(ShipDates)


def _by_rule(box_id: str, rule: ShipRule | Problem, calendar: Calendar) -> date | None:
    found = BOX_ID.fullmatch(box_id)
    if isinstance(rule, Problem) or found is None:
        return None
    year, month, nth = int(found[1]), int(found[2]), ord(found[3] or "a") - ord("a")
    first = rule_date(rule, year, month, calendar)
    if first is None or nth == 0 or not isinstance(rule.pattern, EveryWeeks):
        return first
    end = date(year, month, monthrange(year, month)[1])
    dates = (first, *(day for day in ship_dates(rule, first, end, calendar) if day > first))
    return dates[min(nth, len(dates) - 1)]

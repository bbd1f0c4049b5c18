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
from collections.abc import Mapping
from datetime import date
from itertools import chain
from operator import attrgetter

from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.changes import find, profile_of
from assistant.planning.listing import KEPT_AFTER_SHIPPING as KEPT_AFTER_SHIPPING
from assistant.planning.listing import Deadline as Deadline
from assistant.planning.listing import Kept, Lister
from assistant.planning.model import (
    Almanac,
    Box,
    Claim,
    Delivery,
    House,
    Item,
    Mark,
    Profile,
    Shop,
    Supplier,
)
from assistant.planning.month.claims import follow_ups
from assistant.planning.stages import Starts, starts, workings
from assistant.scheduling.shipdays import EveryWeeks, ShipRule, ship_dates
from assistant.scheduling.shipdays import ship_date as rule_date
from assistant.scheduling.shiprules import parse_rule
from assistant.scheduling.workdays import Calendar, Problem

BOX_ID = re.compile(r"([12]\d{3})-(0[1-9]|1[0-2])([b-z]?)")


def deadlines(shop: Shop, today: date) -> tuple[Deadline, ...]:
    """Return every deadline of the boxes not yet shipped, by date, then in the stages' order.

    A box is shipped when its ship date is past and its ship stage done, or 14 days after that
    date. What the shipping does not settle (`implied` false: payments) stays until 14 days after
    its own date. A box that the ship-day rule gives no date has no deadlines but those of claims,
    which stay until they are met or marked.
    """
    return _deadlines(
        shop.house,
        shop.profile,
        shop.suppliers,
        shop.boxes,
        shop.items,
        shop.ledger,
        shop.almanac,
        shop.claims,
        shop.deliveries if shop.claims else (),
        starts(shop.runs),
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
    claims: tuple[Claim, ...],
    deliveries: tuple[Delivery, ...],
    chosen: Starts,
    today: date,
) -> tuple[Deadline, ...]:
    shop = Shop("", house, 0, profile, suppliers, boxes, items, almanac=almanac)
    known = calendars(shop, today)
    made = workings(house, profile, suppliers, known)
    lister = Lister(made, known.shop, today, _marks_by_owner(ledger), chosen)
    memory = _memory(profile, known.shop)
    contents: dict[str, list[Item]] = {}
    for item in items:
        contents.setdefault(item.box, []).append(item)
    ships = _ship_dates(profile_of(shop).ship_rule, known.shop)
    lists = []
    for box in sorted(boxes, key=attrgetter("id")):
        ship = ships.of(box)
        if ship is not None:
            kept = lister.list_box(box, contents.get(box.id, ()), ship, memory.get(box.id))
            memory[box.id] = kept
            lists.append(kept.found)
    if claims:
        marks = marks_of(ledger)
        lists.append([*follow_ups(claims, deliveries, items, marks, known.shop, today)])
    return tuple(sorted(chain.from_iterable(lists), key=attrgetter("on")))


@cached_by_identity(4)
def _memory(
    profile: tuple[Profile, ...],  # noqa: ARG001 - the arguments are the key
    calendar: Calendar,  # noqa: ARG001
) -> dict[str, Kept]:
    """What was last listed for each box."""
    return {}


@cached_by_identity(8)
def _marks_by_owner(ledger: tuple[Mark, ...]) -> dict[str, tuple[Mark, ...]]:
    """Marks by the box or item that they belong to."""
    by_owner: dict[str, tuple[Mark, ...]] = {}
    for mark in ledger:
        owner = mark.id.rpartition("/")[0]
        by_owner[owner] = (*by_owner.get(owner, ()), mark)
    return by_owner


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

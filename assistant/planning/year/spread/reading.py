"""A shop read as a year to be spread: boxes become numbers, wishes become sets of them.

Knows: the plan, the wishes, what is ordered and what was sent. Must not know: the solver, ways to
return. Invariants: what is ordered or sent is fixed; types are taken in the order of their names,
so that the order in which they were told changes nothing.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal
from math import gcd
from typing import NamedTuple

from assistant.planning.calendars import calendars
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Item, RecurringType, Shop
from assistant.planning.shipping import is_ordered
from assistant.planning.year.recurring import plain
from assistant.planning.year.spread.problem import Wanted, Year
from assistant.scheduling.shipdays import EveryWeeks, ship_dates
from assistant.scheduling.shiprules import parse_rule
from assistant.scheduling.weeks import Problem

MONTHS = 12
CENTS = 100
EVIDENCE = 4  # boxes settled from which it can be told how many months lie between boxes


class Reading(NamedTuple):
    """The year, the ids of its boxes, the types in the order of `year.wanted`, and the items of
    each that stand in these boxes: those that are fixed, and those that may move."""

    year: Year
    boxes: tuple[str, ...]
    types: tuple[RecurringType, ...]
    fixed: tuple[tuple[Item, ...], ...]
    free: tuple[tuple[Item, ...], ...]


def read(shop: Shop, today: date, first: str, last: str) -> Reading:
    """Read the boxes from `first` to `last` (ids, both included) and what is wished for them."""
    boxes = boxes_between(shop, first, last)
    number = {box: n for n, box in enumerate(boxes)}
    types = tuple(sorted(shop.types, key=lambda one: (plain(one.name), one.id)))
    sent = tuple(n for box, n in number.items() if is_sent(shop, box, today))
    inside = [[item for item in placed(shop, one) if item.box in number] for one in types]
    fixed = tuple(
        tuple(i for i in items if number[i.box] in sent or is_ordered(shop, i, today))
        for items in inside
    )
    free = tuple(
        tuple(item for item in items if item not in stays)
        for items, stays in zip(inside, fixed, strict=True)
    )
    wanted = tuple(
        _wanted(shop, one, boxes, sent, {number[item.box] for item in stays})
        for one, stays in zip(types, fixed, strict=True)
    )
    records = [find(shop.boxes, box) for box in boxes]
    own = tuple(n for n, box in enumerate(records) if box is not None and box.room is not None)
    usual = profile_of(shop).room
    year = Year(
        room=tuple(usual if box is None or box.room is None else box.room for box in records),
        wanted=wanted,
        sent=sent,
        names=boxes,
        months=tuple(int(box[5:7]) for box in boxes),
        own_room=own,
    )
    return Reading(year, boxes, types, fixed, free)


def is_sent(shop: Shop, box: str, today: date) -> bool:
    """Whether nothing can be added to a box any more: its ship date is past."""
    on = ship_date(shop, box, today)
    return on < today if on is not None else box[:7] < f"{today:%Y-%m}"


def placed(shop: Shop, type: RecurringType) -> tuple[Item, ...]:
    """Return the items of a recurring type, by box: those whose `type` is its name, without regard
    to case and plural."""
    name = plain(type.name)
    return tuple(
        sorted(
            (item for item in shop.items if item.type and plain(item.type) == name),
            key=lambda item: (item.box, item.id),
        )
    )


# --- which boxes there are ------------------------------------------------------------------


def boxes_between(shop: Shop, first: str, last: str) -> tuple[str, ...]:
    """Return the boxes (ids) from `first` to `last`, both included (all of a month where `last` is
    one): those of the plan and those that the ship-day rule gives, by month, or every so many
    months where the plan's boxes lie so far apart."""
    rule = parse_rule(profile_of(shop).ship_rule)
    last = last if last[7:] else f"{last}z"
    planned = {box.id for box in shop.boxes if first <= box.id <= last}
    if not isinstance(rule, Problem) and isinstance(rule.pattern, EveryWeeks):
        given: Iterable[str] = _by_weeks(shop, first, last)
    else:
        given = _by_months(shop, first, last)
    return tuple(sorted({*planned, first, *given}))


def _by_months(shop: Shop, first: str, last: str) -> Iterable[str]:
    step, phase = months_apart(shop), _month(first)
    near = [_month(box.id) for box in shop.boxes]
    if near and step > 1:
        phase = near[0]
    for month in range(_month(first), _month(last) + 1):
        if (month - phase) % step == 0:
            yield f"{month // MONTHS:04}-{month % MONTHS + 1:02}"


def months_apart(shop: Shop) -> int:
    """How many months lie between the boxes of the plan, as far as it can be told; else 1. Boxes
    without a theme or a day may be there only because some item came into them."""
    months = sorted({_month(box.id) for box in shop.boxes})
    if sum(bool(box.theme or box.ship_on) for box in shop.boxes) < EVIDENCE:
        return 1
    return gcd(*(month - months[0] for month in months[1:])) or 1


def _by_weeks(shop: Shop, first: str, last: str) -> Iterable[str]:
    """The boxes of a rule of weeks: the second of a month is its b, the third its c."""
    rule = parse_rule(profile_of(shop).ship_rule)
    if isinstance(rule, Problem):
        return
    begin = date(int(first[:4]), int(first[5:7]), 1)
    end = date(int(last[:4]), int(last[5:7]), 28) + timedelta(days=4)
    calendar = calendars(shop, begin).shop
    months: list[str] = []
    for day in ship_dates(rule, begin, end - timedelta(days=end.day), calendar):
        months.append(f"{day:%Y-%m}")
        box = months[-1] + ("", *"bcdefghij")[months.count(months[-1]) - 1]
        if first <= box <= last:
            yield box


def _month(box: str) -> int:
    return int(box[:4]) * MONTHS + int(box[5:7]) - 1


# --- what is wished of a type ---------------------------------------------------------------


def _wanted(
    shop: Shop,
    one: RecurringType,
    boxes: tuple[str, ...],
    sent: tuple[int, ...],
    fixed: set[int],
) -> Wanted:
    number = {box: n for n, box in enumerate(boxes)}
    pins = {number[box] for box in one.pins if box in number} - fixed
    months = dict.fromkeys(box[:7] for box in boxes if int(box[5:7]) in one.must)
    must = (tuple(n for box, n in number.items() if box[:7] == month) for month in months)
    ahead = {*range(len(boxes))}.difference(sent) | fixed  # what went by cannot be wished any more
    words = {plain(word) for phrase in one.suits for word in phrase.split()}
    return Wanted(
        id=one.id,
        times=max(times_in(shop, one, boxes), len(fixed)),
        must=tuple(group for group in must if not ahead.isdisjoint(group)),
        shut=tuple(n for box, n in number.items() if int(box[5:7]) in one.must_not),
        fixed=tuple(sorted(fixed)),
        pins=tuple(sorted(pins)),
        room=one.room,
        apart=tuple(sorted({*one.apart}.intersection(other.id for other in shop.types) - {one.id})),
        cost=int((one.unit_cost or Decimal(0)) * CENTS),
        suits=tuple(
            number[box.id] for box in shop.boxes if box.id in number and _suits(box.theme, words)
        ),
        now=tuple(sorted({number[item.box] for item in placed(shop, one) if item.box in number})),
        before=before(shop, one, boxes),
    )


def times_in(shop: Shop, one: RecurringType, boxes: tuple[str, ...]) -> int:
    """How often a type comes in these boxes: its times a year in proportion, halves upwards."""
    months = _month(boxes[-1]) - _month(boxes[0]) + months_apart(shop)
    return (2 * one.times * months + MONTHS) // (2 * MONTHS)


def _suits(theme: str, words: set[str]) -> bool:
    said = "".join(letter if letter.isalnum() else " " for letter in theme)
    return not words.isdisjoint(plain(word) for word in said.split())


def before(shop: Shop, one: RecurringType, boxes: tuple[str, ...]) -> int | None:
    """How many boxes before the first the type came last, as a number below zero.

    Boxes that lie before are counted by their months, as densely as those that are spread over.
    """
    earlier = [item.box for item in placed(shop, one) if item.box < boxes[0]]
    if not earlier:
        return None
    months = _month(boxes[-1]) - _month(boxes[0]) + months_apart(shop)
    a_month = max(1, round(len(boxes) / months))
    since: float = _month(boxes[0]) - _month(earlier[-1])
    since -= (ord(earlier[-1][7:] or "a") - ord("a")) / a_month
    return -max(1, round(since * len(boxes) / months))

"""Which boxes a year's sitting is about, and which days fall to each of them.

Knows: the plan, the ship-day rule, when a box arrives. Must not know: themes that could be had,
words of a conversation. Invariants: the boxes of a year are in order; every day falls to one box of
an unbroken row of boxes; the same plan on the same day gives the same boxes.
"""

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import groupby, pairwise

from assistant.planning.calendars import calendars
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Shop
from assistant.scheduling.shipdays import EveryWeeks, ship_dates
from assistant.scheduling.shiprules import ShipRule, parse_rule
from assistant.scheduling.workdays import Problem

ARRIVES = timedelta(2)  # from ship date to the subscribers' doors; common practice, no source
NEXT_YEAR_FROM = 10  # the month from which a sitting is about the coming year
_EVERY_MONTH = tuple(range(1, 13))
_EVEN = (2, 3)  # months from box to box that are taken for a rhythm when a whole year keeps them


def year_boxes(shop: Shop, year: int, today: date) -> tuple[str, ...]:
    """Return the ids of the boxes of a year: those of the plan, and those that the shop's rhythm
    adds and whose ship date is not past.

    The rhythm is the plan's where its boxes of that year, or of the year before, lie two or three
    months apart all year round; else it is that of the ship-day rule.
    """
    planned = {box.id for box in shop.boxes}
    ids = _row(shop, year, today)
    return tuple(id for id in ids if id in planned or not _past(shop, id, today))


def open_boxes(shop: Shop, year: int, today: date) -> tuple[str, ...]:
    """Return the boxes of a year that have no theme and whose ship date is not past."""
    themed = {box.id for box in shop.boxes if box.theme.strip()}
    ids = year_boxes(shop, year, today)
    return tuple(id for id in ids if id not in themed and not _past(shop, id, today))


def sitting_year(shop: Shop, today: date) -> int:
    """Return the year that a sitting is about when none is named: this one, from October on the
    coming one; if nothing of it is open, the first with open boxes from this year on."""
    usual = today.year + (today.month >= NEXT_YEAR_FROM)
    years = (usual, today.year, today.year + 1, today.year + 2)
    return next((year for year in years if open_boxes(shop, year, today)), usual)


def neighbours(shop: Shop, box_id: str, today: date) -> tuple[str, str]:
    """Return the boxes before and after a box, planned or not."""
    year = int(box_id[:4])
    around = (id for one in (year - 1, year, year + 1) for id in _row(shop, one, today))
    row = sorted({box_id, *around})
    at = row.index(box_id)
    return row[at - 1], row[at + 1]


def days_of(shop: Shop, box_id: str, today: date) -> tuple[date, date]:
    """Return the first and the last of the days that fall to a box.

    Its subscribers hold it from two days after its ship date until the next box arrives: a day
    worth marking is worth it for the box that is in their hands by then. So St David's Day, 1
    March, falls to the February box of a shop that ships on the 15th. A box that arrives no earlier
    than the next one has the day of its arrival only.
    """
    first = arrival(shop, box_id, today)
    after = arrival(shop, neighbours(shop, box_id, today)[1], today)
    return first, max(first, after - timedelta(1))


def arrival(shop: Shop, box_id: str, today: date) -> date:
    """Return when subscribers hold a box; one without a ship date is taken for mid-month's."""
    ships = ship_date(shop, box_id, today)
    return (ships or date(int(box_id[:4]), int(box_id[5:7]), 15)) + ARRIVES


def _past(shop: Shop, box_id: str, today: date) -> bool:
    ships = ship_date(shop, box_id, today)
    if ships is None:
        return box_id[:7] < f"{today:%Y-%m}"
    return ships < today


def _row(shop: Shop, year: int, today: date) -> tuple[str, ...]:
    """All boxes of a year, those gone by too."""
    planned = {box.id for box in shop.boxes if box.id[:4] == f"{year:04}"}
    months = _rhythm(shop, year)
    if months:
        return tuple(sorted(planned | {_id(year, month) for month in months}))
    rule = parse_rule(profile_of(shop).ship_rule)
    if isinstance(rule, ShipRule) and isinstance(rule.pattern, EveryWeeks):
        return tuple(sorted(planned | _by_weeks(shop, rule, year, today)))
    months = _EVERY_MONTH if isinstance(rule, Problem) else rule.months or _EVERY_MONTH
    return tuple(sorted(planned | {_id(year, month) for month in months}))


def _rhythm(shop: Shop, year: int) -> tuple[int, ...]:
    """The months of a plan that has a box every two or three months; () for any other plan."""
    these, last = (_months(shop, one) for one in (year, year - 1))
    if _is_even(these):
        return these
    return last if _is_even(last) and set(these) <= set(last) else ()


def _months(shop: Shop, year: int) -> tuple[int, ...]:
    return tuple(sorted({int(box.id[5:7]) for box in shop.boxes if box.id[:4] == f"{year:04}"}))


def _is_even(months: Sequence[int]) -> bool:
    steps = {after - before for before, after in pairwise(months)}
    return len(steps) == 1 and (step := steps.pop()) in _EVEN and len(months) * step == 12


def _by_weeks(shop: Shop, rule: ShipRule, year: int, today: date) -> set[str]:
    """The boxes of a rule of weeks: each further date of a month has the next letter."""
    dates = ship_dates(rule, date(year, 1, 1), date(year, 12, 31), calendars(shop, today).shop)
    letters = ("", *"bcdefgh")
    return {
        _id(year, month) + letters[nth]
        for month, days in groupby(dates, key=lambda day: day.month)
        for nth, _ in enumerate(days)
    }


def _id(year: int, month: int) -> str:
    return f"{year:04}-{month:02}"

"""Cash: what is left in the bank day by day, and when it is least.

Knows: flows (payments.py) and what is in the bank. Must not know: how a flow comes about, words.
Invariants: what is left on a day is what was in the bank and every flow up to that day's end, to
the smallest unit; weeks (from Monday) and months add up to the same flows; the lowest point is the
first day of the least that is left, from today on. Where the bank is not told, all that is left is
against nothing: only how far it rises and falls is known.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from decimal import Decimal

from assistant.planning.calendars import cached_by_identity
from assistant.planning.landed import NOTHING, books_of
from assistant.planning.model import Record, Shop
from assistant.planning.payments import Flow, Gap
from assistant.planning.payments import flows as all_flows
from assistant.planning.payments import last_day as last_day
from assistant.scheduling.paydays import month_end

DAY = timedelta(1)


class Step(Record):
    """A week or a month: what came in, what went out (below zero), what is left at its end, and
    the least that was left on one of its days."""

    first: date
    last: date
    into: Decimal
    out: Decimal
    left: Decimal
    least: Decimal


class Cash(Record):
    """Flows from the day `opened` on, on which `opening` was in the bank, up to the day `last`.

    `known`: the owner told what is in the bank. `lowest` is the least that is left on a day from
    `today` on, first on `lowest_on`. `gaps` are what it is all without.
    """

    today: date
    opened: date
    opening: Decimal
    known: bool
    last: date
    flows: tuple[Flow, ...]
    weeks: tuple[Step, ...]
    months: tuple[Step, ...]
    lowest: Decimal
    lowest_on: date
    gaps: tuple[Gap, ...]

    def left_on(self, day: date) -> Decimal:
        """What is left at the end of a day."""
        paid = (one.amount for one in self.flows if one.on <= day)
        return self.opening + sum(paid, NOTHING)


def cash(shop: Shop, today: date, last: date) -> Cash:
    """Return what is left in the bank up to the day `last`, which is not before today."""
    return _cash(shop, today, max(today, last))


@cached_by_identity(4)
def _cash(shop: Shop, today: date, last: date) -> Cash:
    books = books_of(shop)
    known = books.bank is not None
    told = books.bank_on if known and books.bank_on else today
    opened, opening = min(told, today), books.bank or NOTHING
    found, gaps = all_flows(shop, today, opened, last)
    return _curve(found, tuple(gaps), opened, opening, known, today, last)


def with_flows(found: Cash, moved: Iterable[Flow]) -> Cash:
    """Return the cash with these flows in place of its own; later than its last day they drop
    out."""
    kept = tuple(sorted((one for one in moved if one.on <= found.last), key=lambda one: one.on))
    return _curve(
        kept, found.gaps, found.opened, found.opening, found.known, found.today, found.last
    )


def _curve(
    found: tuple[Flow, ...],
    gaps: tuple[Gap, ...],
    opened: date,
    opening: Decimal,
    known: bool,
    today: date,
    last: date,
) -> Cash:
    """Add up flows by day, week and month."""
    levels = _levels(found, opening)
    lowest_on, lowest = _lowest(levels, opening, today)
    return Cash(
        today=today,
        opened=opened,
        opening=opening,
        known=known,
        last=last,
        flows=found,
        weeks=tuple(_steps(found, opening, _spans(opened, last, _week_end))),
        months=tuple(_steps(found, opening, _spans(opened, last, month_end))),
        lowest=lowest,
        lowest_on=lowest_on,
        gaps=gaps,
    )


def flows(shop: Shop, today: date, last: date) -> tuple[Flow, ...]:
    """Return what is paid and received up to a day, in order."""
    return cash(shop, today, last).flows


def _levels(found: Iterable[Flow], opening: Decimal) -> dict[date, Decimal]:
    """What is left at the end of each day on which something is paid, in order."""
    levels: dict[date, Decimal] = {}
    left = opening
    for one in found:
        left += one.amount
        levels[one.on] = left
    return levels


def _lowest(levels: dict[date, Decimal], opening: Decimal, today: date) -> tuple[date, Decimal]:
    """The first day of the least that is left, from today on."""
    past = [left for day, left in levels.items() if day <= today]
    coming = {today: past[-1] if past else opening}
    coming |= {day: left for day, left in levels.items() if day > today}
    on = min(coming, key=lambda day: (coming[day], day))
    return on, coming[on]


def _week_end(day: date) -> date:
    """The Sunday of a day's week."""
    return day + timedelta(6 - day.weekday())


def _spans(first: date, last: date, end: Callable[[date], date]) -> Iterator[tuple[date, date]]:
    """Cut the days from `first` to `last` into weeks or months."""
    while first <= last:
        yield first, min(end(first), last)
        first = end(first) + DAY


def _steps(
    found: tuple[Flow, ...], left: Decimal, spans: Iterable[tuple[date, date]]
) -> Iterator[Step]:
    """Add up the flows of each span; the least counts the day before the first flow of it too."""
    place = 0
    for first, last in spans:
        into = out = NOTHING
        least: Decimal | None = None if place < len(found) and found[place].on == first else left
        while place < len(found) and found[place].on <= last:
            one = found[place]
            into, out = into + max(one.amount, NOTHING), out + min(one.amount, NOTHING)
            left += one.amount
            place += 1
            if place == len(found) or found[place].on != one.on:
                least = left if least is None else min(least, left)
        yield Step(first, last, into, out, left, left if least is None else least)

"""Cash: what is left in the bank day by day, and when it is least.

Knows: flows (payments.py) and what is in the bank. Must not know: how a flow comes about, words.
Invariants: what is left on a day is what was in the bank and every flow up to that day's end, to
the smallest unit; weeks (to Sunday) and months begin today and add up to the same flows; the lowest
point is the first day of the least that is left, from today on. Where the bank is not told, all
that is left is against nothing: only how far it rises and falls is known.
"""

from collections.abc import Callable, Iterable, Iterator
from datetime import date, timedelta
from decimal import Decimal

from assistant.planning.accounts.landed import NOTHING, books_of
from assistant.planning.accounts.payments import Flow, Gap
from assistant.planning.accounts.payments import flows as all_flows
from assistant.planning.accounts.payments import last_day as last_day
from assistant.planning.calendars import cached_by_identity
from assistant.planning.model import Record, Shop
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

    `known`: the owner told what is in the bank. `carried` is left before anything of today is paid;
    weeks and months go on from it. `lowest` is the least that is left on a day from
    `today` on, first on `lowest_on`. `gaps` are what it is all without.
    """

    today: date
    opened: date
    opening: Decimal
    known: bool
    last: date
    flows: tuple[Flow, ...]
    carried: Decimal
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
    carried = opening + sum((one.amount for one in found if one.on < today), NOTHING)
    coming = tuple(one for one in found if one.on >= today)
    lowest_on, lowest = _lowest(coming, carried, today)
    return Cash(
        today=today,
        opened=opened,
        opening=opening,
        known=known,
        last=last,
        flows=found,
        carried=carried,
        weeks=tuple(_steps(coming, carried, _spans(today, last, _week_end))),
        months=tuple(_steps(coming, carried, _spans(today, last, month_end))),
        lowest=lowest,
        lowest_on=lowest_on,
        gaps=gaps,
    )


def flows(shop: Shop, today: date, last: date) -> tuple[Flow, ...]:
    """Return what is paid and received up to a day, in order."""
    return cash(shop, today, last).flows


def _lowest(coming: Iterable[Flow], left: Decimal, today: date) -> tuple[date, Decimal]:
    """The first day, from today on, at whose end the least is left, and how much."""
    levels = {today: left}
    for one in coming:
        left += one.amount
        levels[one.on] = left
    on = min(levels, key=lambda day: (levels[day], day))
    return on, levels[on]


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

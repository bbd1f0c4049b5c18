"""The least cost of lots by trying every quantity: slow, and shares no line with the code."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import cache

from assistant.planning.numbers.lot_terms import Period, Terms


def every_plan(periods: Sequence[Period], terms: Terms, stock: int) -> Decimal:
    """The least cost of any plan, by trying every whole number of cases in every period, pieces
    used in the order in which they came. Slow, and shares no line with the code."""
    total = sum(one.need for one in periods)
    most = total + max([terms.minimum, *(one.quantity for one in terms.breaks)]) + terms.case

    @cache
    def rest(at: int, shelf: tuple[tuple[int, Decimal, int], ...]) -> Decimal | None:
        """The least cost from a period on; `shelf` has (pieces, price, last period) of what is
        there, the oldest first."""
        if at == len(periods):
            return Decimal(0)
        found = [
            cost + later
            for cost, after in choices(at, shelf)
            if (later := rest(at + 1, after)) is not None
        ]
        return min(found, default=None)

    def choices(
        at: int, shelf: tuple[tuple[int, Decimal, int], ...]
    ) -> Iterator[tuple[Decimal, tuple[tuple[int, Decimal, int], ...]]]:
        period = periods[at]
        final = len(periods) - 1
        last = len(periods) if period.last is None or period.last >= final else period.last
        for pieces in range(0, most + 1, terms.case):
            if 0 < pieces < terms.minimum:
                continue
            price = paid(pieces, terms)
            cost = price * pieces
            if pieces:
                cost += period.setup
                if terms.free_from is None or not reaches(pieces, terms):
                    cost += period.carriage
            lots = (*shelf, (pieces, price, last)) if pieces else shelf
            need, kept = period.need, []
            for has, at_price, until in lots:
                used = min(need, has) if until >= at else 0
                need -= used
                if has - used:
                    kept.append((has - used, at_price, until))
            if need:
                continue
            cost += sum(has * (period.hold + at_price * period.share) for has, at_price, _ in kept)
            yield cost, tuple(kept)

    start = ((stock, Decimal(0), len(periods)),) if stock else ()
    least = rest(0, start)
    assert least is not None
    return least - opening(periods, stock)


def opening(periods: Sequence[Period], stock: int) -> Decimal:
    """What storing the opening stock costs, whatever is bought."""
    cost = Decimal(0)
    for period in periods:
        stock = max(0, stock - period.need)
        cost += stock * period.hold
    return cost


def paid(pieces: int, terms: Terms) -> Decimal:
    return min([terms.price] + [one.price for one in terms.breaks if pieces >= one.quantity])


def reaches(pieces: int, terms: Terms) -> bool:
    """Whether this order, or a smaller one that is allowed, has free carriage."""
    assert terms.free_from is not None
    allowed = range(terms.case, pieces + 1, terms.case)
    return any(one * paid(one, terms) >= terms.free_from for one in allowed if one >= terms.minimum)


def every_level(periods: Sequence[Period], terms: Terms) -> Decimal:
    """The least cost of any plan, over every quantity and every level of supply: pieces are
    numbered as they are used, and each costs what it costs to keep until then. Longer rows can be
    tried so than by `every_plan`; nothing is there at first."""
    count = len(periods)
    used = [at for at, period in enumerate(periods) for _ in range(period.need)]
    total = len(used)
    most = total + max([terms.minimum, *(one.quantity for one in terms.breaks)]) + terms.case
    used += [count] * (most + 1)

    def lot(at: int, level: int, pieces: int) -> tuple[Decimal, int]:
        """What an order costs, and the level after it."""
        price = paid(pieces, terms)
        cost = price * pieces + periods[at].setup
        if terms.free_from is None or not reaches(pieces, terms):
            cost += periods[at].carriage
        last = periods[at].last
        keeps = last is None or last >= count - 1
        fit = pieces if keeps else min(pieces, used.index((last or 0) + 1) - level)
        until = [*used[level : level + fit], *[count] * (pieces - fit)]
        cost += sum(kept(at, end, price) for end in until)
        return cost, level + fit

    @cache
    def kept(at: int, end: int, price: Decimal) -> Decimal:
        return sum(
            (one.hold + price * one.share for one in periods[at:end]),
            Decimal(0),
        )

    @cache
    def rest(at: int, level: int) -> Decimal:
        if at == count or level >= total:
            return Decimal(0)
        wait = [rest(at + 1, level)] if used[level] > at else []
        sizes = range(terms.case, total - level + most - total + 1, terms.case)
        for pieces in sizes:
            if pieces >= terms.minimum:
                cost, after = lot(at, level, pieces)
                if after >= total or used[after] > at:
                    wait.append(cost + rest(at + 1, after))
        return min(wait)

    return rest(0, 0)

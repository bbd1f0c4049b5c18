"""Lot sizing beside published plans and beside trying every quantity."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.planning.lot_sizes import Lots, Period, Terms, cheapest
from assistant.planning.model import Break

D = Decimal


def plain(needs: Sequence[int], setups: Sequence[int], hold: str) -> tuple[Period, ...]:
    """Periods without any of the extensions."""
    pairs = zip(needs, setups, strict=True)
    return tuple(Period(need, D(setup), hold=D(hold)) for need, setup in pairs)


def ordered(found: Lots) -> dict[int, int]:
    """Pieces ordered, by the number of the month, counted from 1."""
    return {lot.first + 1: lot.pieces for lot in found.lots}


# --- published plans ------------------------------------------------------------------------

# H. M. Wagner and T. M. Whitin, "Dynamic Version of the Economic Lot Size Model", Management
# Science 5(1), 1958, pages 89-96: the example of twelve months.
NEEDS = (69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56)
SETUPS = (85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114)
LEAST = (85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864)


@pytest.mark.parametrize(("months", "cost"), list(enumerate(LEAST, start=1)))
def test_the_twelve_months(months: int, cost: int) -> None:
    found = cheapest(plain(NEEDS[:months], SETUPS[:months], "1"), Terms())
    assert found.cost == found.bound == cost


def test_the_plan_of_the_twelve_months() -> None:
    found = cheapest(plain(NEEDS, SETUPS, "1"), Terms())
    assert ordered(found) == {1: 98, 3: 97, 5: 121, 8: 112, 10: 67, 11: 135}
    assert found.left == 0
    assert found.goods == 0
    assert found.fixed + found.stock == 864


# L. V. Snyder and Z.-J. M. Shen, Fundamentals of Supply Chain Theory, 2nd ed., Wiley, 2019:
# Example 3.9 and Problem 3.27.
@pytest.mark.parametrize(
    ("needs", "setup", "hold", "plan", "cost"),
    [
        ((90, 120, 80, 70), 500, "2", {1: 210, 3: 150}, "1380"),
        ((150, 100, 80, 200), 120, "0.8", {1: 150, 2: 180, 4: 200}, "424"),
    ],
)
def test_short_cases(
    needs: tuple[int, ...], setup: int, hold: str, plan: dict[int, int], cost: str
) -> None:
    found = cheapest(plain(needs, (setup,) * len(needs), hold), Terms())
    assert ordered(found) == plan
    assert found.cost == found.bound == D(cost)


# --- beside every quantity ------------------------------------------------------------------


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
            return D(0)
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

    start = ((stock, D(0), len(periods)),) if stock else ()
    least = rest(0, start)
    assert least is not None
    return least - opening(periods, stock)


def opening(periods: Sequence[Period], stock: int) -> Decimal:
    """What storing the opening stock costs, whatever is bought."""
    cost = D(0)
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


MONEY = st.integers(0, 60).map(lambda n: D(n) / 4)


@st.composite
def rows(draw: st.DrawFn) -> tuple[Period, ...]:
    """Up to four periods, order costs and storage of their own."""
    count = draw(st.integers(1, 4))
    steady = draw(st.booleans())
    first = draw(MONEY)
    keeps = draw(st.none() | st.integers(0, 2))
    return tuple(
        Period(
            need=draw(st.integers(0, 5)),
            setup=first if steady else draw(MONEY),
            carriage=draw(st.sampled_from((D(0), D(3), D(10)))),
            hold=draw(st.sampled_from((D(0), D("0.25"), D(1)))),
            share=draw(st.sampled_from((D(0), D("0.05"), D("0.5")))),
            last=None if keeps is None else at + keeps,
        )
        for at in range(count)
    )


TERMS = st.builds(
    Terms,
    price=st.integers(4, 12).map(D),
    breaks=st.lists(
        st.builds(Break, st.integers(2, 12), st.integers(4, 40).map(lambda n: D(n) / 4)), max_size=2
    ).map(lambda found: tuple(sorted(found, key=lambda one: one.quantity))),
    minimum=st.integers(1, 6),
    case=st.integers(1, 3),
    free_from=st.none() | st.integers(5, 60).map(D),
)


@settings(max_examples=400, deadline=None)
@given(rows(), TERMS, st.integers(0, 4))
def test_no_plan_is_cheaper(periods: tuple[Period, ...], terms: Terms, stock: int) -> None:
    found = cheapest(periods, terms, stock)
    assert found.cost == found.bound
    assert found.cost == every_plan(periods, terms, stock)

"""Lot sizing beside published plans and beside trying every quantity."""

from collections.abc import Sequence
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.planning.model import Break
from assistant.planning.numbers import lot_sizes
from assistant.planning.numbers.lot_sizes import Lots, Period, Terms, at_once, cheapest, one_each
from assistant.planning.numbers.lot_terms import price_of, tiers
from tests.planning.every_lot import every_level, every_plan

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


@settings(max_examples=60, deadline=None)
@given(rows(), TERMS, st.integers(0, 4))
def test_no_plan_is_cheaper(periods: tuple[Period, ...], terms: Terms, stock: int) -> None:
    found = cheapest(periods, terms, stock)
    assert found.cost == found.bound
    assert found.cost == every_plan(periods, terms, stock)


@settings(max_examples=200, deadline=None)
@given(rows(), TERMS, st.integers(0, 4))
def test_a_plan_adds_up(periods: tuple[Period, ...], terms: Terms, stock: int) -> None:
    best, each, once = (make(periods, terms, stock) for make in (cheapest, one_each, at_once))
    assert best is not None
    for found in (best, each, once):
        if found is None:
            continue
        assert found.cost == found.goods + found.fixed + found.stock >= best.cost
        assert found.goods == sum(lot.pieces * lot.price for lot in found.lots)
        for lot in found.lots:
            assert lot.pieces >= terms.minimum
            assert lot.pieces % terms.case == 0
            assert lot.price == price_of(terms, lot.pieces)
        wasted = sum(lot.wasted for lot in found.lots)
        bought = stock + sum(lot.pieces for lot in found.lots)
        need = sum(one.need for one in periods)
        assert bought - wasted - need == found.left or bought < need + found.left


def test_one_lot_for_all_is_none_where_it_would_not_keep() -> None:
    kept = [Period(5, last=at + 1) for at in range(3)]
    assert at_once(kept, Terms()) is None
    found = at_once(kept[:2], Terms())
    assert found is not None
    assert [lot.pieces for lot in found.lots] == [10]


def test_buying_up_to_a_break_is_no_use_where_the_rest_is_wasted() -> None:
    short = [Period(100, D(20), last=at) for at in range(3)]
    found = cheapest(short, Terms(D(2), (Break(260, D("1.50")),)))
    assert [lot.pieces for lot in found.lots] == [100, 100, 100]
    better = cheapest(short, Terms(D(2), (Break(260, D("0.70")),)))
    assert [(lot.pieces, lot.wasted) for lot in better.lots] == [(260, 160)] * 2 + [(260, 0)]
    assert better.left == 160


def test_tiers_of_terms() -> None:
    terms = Terms(D("2.10"), (Break(600, D("1.90")), Break(1200, D("1.62"))), 500, 24, D(1500))
    assert [(one.least, one.price, one.free) for one in tiers(terms)] == [
        (504, D("2.10"), False),
        (600, D("1.90"), False),
        (792, D("1.90"), True),
        (1200, D("1.62"), True),
    ]


def test_a_break_that_costs_more_is_passed_over() -> None:
    terms = Terms(D(2), (Break(100, D(3)), Break(200, D(1))))
    assert [(one.least, one.price) for one in tiers(terms)] == [(1, D(2)), (200, D(1))]


def test_a_search_that_is_cut_off_says_how_far_it_may_be(monkeypatch: pytest.MonkeyPatch) -> None:
    needs = (41, 57, 38, 66, 49, 52, 44, 61)
    periods = [Period(need, D(20), hold=D("0.1"), share=D("0.01")) for need in needs]
    terms = Terms(D(2), (Break(97, D("1.90")), Break(160, D("1.80"))), 60, 7)
    best = cheapest(periods, terms)
    assert best.bound == best.cost
    monkeypatch.setattr(lot_sizes, "DIVE", 1)
    monkeypatch.setattr(lot_sizes, "STATES", 1)
    cut = cheapest(periods, terms)
    assert cut.bound < best.cost <= cut.cost


@settings(max_examples=100, deadline=None)
@given(st.data())
def test_no_plan_of_a_longer_row_is_cheaper(data: st.DataObject) -> None:
    """Eight periods, larger numbers, edges that divide nothing."""
    steady = data.draw(st.booleans())
    keeps = data.draw(st.sampled_from((None, None, 1, 3)))
    setups = st.integers(0, 40).map(D)
    first = data.draw(setups)
    periods = tuple(
        Period(
            need=data.draw(st.integers(1, 9)),
            setup=first if steady else data.draw(setups),
            carriage=D(4),
            hold=D("0.2"),
            share=D("0.03"),
            last=None if keeps is None else at + keeps,
        )
        for at in range(8)
    )
    edges = sorted(data.draw(st.lists(st.integers(8, 40), min_size=2, max_size=2, unique=True)))
    breaks = (Break(edges[0], D("3.6")), Break(edges[1], D("3.1")))
    case, least = data.draw(st.integers(1, 4)), data.draw(st.integers(1, 15))
    terms = Terms(D(4), breaks, least, case, data.draw(st.none() | st.just(D(60))))
    found = cheapest(periods, terms)
    assert found.cost == found.bound == every_level(periods, terms)

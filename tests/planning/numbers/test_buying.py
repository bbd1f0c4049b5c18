"""What a supplier's terms make of a need, against exhaustive search.

Suppliers and goods are invented.
"""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Break, Item, Offer
from assistant.planning.numbers.buying import Line, over_options, up_to
from assistant.planning.numbers.quantity import buy, price_at

BREAKS = (Break(600, Decimal("1.90")), Break(1200, Decimal("1.62")))
SHARES = (("S", Decimal(20)), ("M", Decimal(50)), ("L", Decimal(30)))


# --- buying ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("need", "order", "spend", "why"),
    [
        (1037, 1200, Decimal("1944.00"), ("case", "break")),
        (1000, 1008, Decimal("1915.20"), ("case",)),
        (590, 600, Decimal("1140.00"), ("case",)),
        (100, 600, Decimal("1140.00"), ("case", "minimum")),
        (600, 600, Decimal("1140.00"), ()),
        (0, 0, Decimal(0), ()),
    ],
)
def test_whole_cases_a_minimum_and_breaks(
    need: int, order: int, spend: Decimal, why: tuple[str, ...]
) -> None:
    # Rounding up to full cases and buying up to a cheaper tier: common practice, no source.
    found = buy(need, case=24, minimum=600, price=Decimal("2.10"), breaks=BREAKS)
    assert (found.order, found.spend, found.because) == (order, spend, why)
    assert found.cases == order // 24


PRICES = st.decimals(Decimal("0.05"), 9, places=2)
TIERS = st.lists(st.tuples(st.integers(2, 90), PRICES), max_size=3, unique_by=lambda one: one[0])


@given(
    st.integers(1, 80),
    st.one_of(st.none(), st.integers(1, 12)),
    st.one_of(st.none(), st.integers(1, 90)),
    PRICES,
    TIERS,
)
def test_no_order_that_is_allowed_costs_less(
    need: int,
    case: int | None,
    minimum: int | None,
    price: Decimal,
    tiers: list[tuple[int, Decimal]],
) -> None:
    breaks = tuple(Break(number, each) for number, each in sorted(tiers))
    found = buy(need, case=case, minimum=minimum, price=price, breaks=breaks)
    item = Item(id="x", box="2027-03", name="x", unit_cost=price, breaks=breaks)
    allowed = (n for n in range(need, 220) if n % (case or 1) == 0 and n >= (minimum or 0))
    spends = [((price_at(item, n) or 0) * n, n) for n in allowed]
    assert (found.spend, found.order) == min(spends)
    assert found.price == price_at(item, found.order)


def test_without_a_price_the_fewest_pieces_are_bought() -> None:
    found = buy(70, case=24, minimum=None, price=None, breaks=BREAKS)
    assert (found.order, found.price, found.spend) == (72, None, None)


def test_the_price_of_an_offer_follows_its_breaks() -> None:
    offer = Offer("o", "aldermoor", "mug", price=Decimal(3), breaks=BREAKS)
    assert [price_at(offer, n) for n in (1, 599, 600, 5000)] == [
        Decimal(3),
        Decimal(3),
        Decimal("1.90"),
        Decimal("1.62"),
    ]


# --- the least value of an order --------------------------------------------------------------

LINES = st.lists(
    st.tuples(st.integers(1, 40), st.integers(1, 8), st.decimals(Decimal("0.1"), 5, places=1)),
    min_size=1,
    max_size=3,
)


@given(LINES, st.integers(1, 400))
def test_an_order_is_raised_to_its_least_value_and_no_step_too_far(
    told: list[tuple[int, int, Decimal]], value: int
) -> None:
    lines = [Line(order * step, step, price) for order, step, price in told]
    raised = up_to(Decimal(value), lines)

    def worth(numbers: tuple[int, ...]) -> Decimal:
        return sum(
            ((line.price or Decimal(0)) * n for line, n in zip(lines, numbers, strict=True)),
            Decimal(0),
        )

    assert worth(raised) >= value
    for place, line in enumerate(lines):
        extra = raised[place] - line.order
        assert extra >= 0
        assert extra % line.step == 0
        if extra:
            less = tuple(n - line.step * (at == place) for at, n in enumerate(raised))
            assert worth(less) < value


def test_the_gap_is_shared_by_what_each_line_comes_to() -> None:
    lines = [Line(100, 10, Decimal(2)), Line(300, 10, Decimal(2))]
    assert up_to(Decimal(1200), lines) == (150, 450)
    assert up_to(Decimal(500), lines) == (100, 300)
    assert up_to(Decimal(500), [Line(10, 1, None), Line(0, 1, Decimal(2))]) == (10, 0)


@given(
    st.lists(st.integers(0, 300), min_size=3, max_size=3),
    st.integers(0, 30),
    st.integers(1, 24),
)
def test_options_are_whole_cases_that_add_up(wanted: list[int], more: int, case: int) -> None:
    order = sum(-(-n // case) * case for n in wanted) + more * case
    shares = over_options(SHARES, wanted, order, case)
    assert sum(n for _, n in shares) == order
    for (_, n), least in zip(shares, wanted, strict=True):
        assert n >= least
        assert n % case == 0


def test_the_cheapest_way_to_a_least_value_is_near() -> None:
    """Sharing out in proportion costs at most one step more than the least that can be spent."""
    lines = [Line(40, 8, Decimal("1.3")), Line(60, 12, Decimal("0.7"))]
    value = Decimal(150)
    raised = up_to(value, lines)

    def worth(numbers: tuple[int, ...]) -> Decimal:
        return numbers[0] * Decimal("1.3") + numbers[1] * Decimal("0.7")

    ways = product(range(40, 200, 8), range(60, 300, 12))
    least = min(worth(way) for way in ways if worth(way) >= value)
    assert least <= worth(raised) < least + max(Decimal("10.4"), Decimal("8.4"))

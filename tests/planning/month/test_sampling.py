"""How many pieces to look at, against a published table of the same plans.

The table is MIL-STD-105E (10 May 1989), a public standard, tables I and II-A: single sampling,
normal inspection, general level II, as reprinted for the limits 0.65 to 15 in table 1-A of the
National Institute of Building Sciences' guide to surveillance of contracts. For each lot its letter
and size, then the number at which it is refused, or which way the arrow points. That ISO 2859-1 has
the same letters, sizes and numbers for these limits is from memory: its own text was not at hand.
"""

from decimal import Decimal
from math import comb, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.month.sampling import (
    LETTERS,
    LOTS,
    SIZES,
    Limit,
    Plan,
    passes,
    plan,
    to_open,
)

LIMITS: tuple[Limit, ...] = ("1.0", "2.5", "4.0")
# Smallest and largest lot, letter, size; refused at (v, ^: the plan below, above).
TABLE = """
2        8       A    2  v  v  v
9       15       B    3  v  v  1
16      25       C    5  v  1  ^
26      50       D    8  v  ^  v
51      90       E   13  1  v  2
91     150       F   20  ^  2  3
151    280       G   32  v  3  4
281    500       H   50  2  4  6
501   1200       J   80  3  6  8
1201  3200       K  125  4  8 11
3201 10000       L  200  6 11 15
10001 35000      M  315  8 15 22
35001 150000     N  500 11 22  ^
150001 500000    P  800 15  ^  ^
500001 9000000   Q 1250 22  ^  ^
"""
ROWS = [line.split() for line in TABLE.strip().splitlines()]


def found(lot: int, limit: Limit) -> tuple[str, int, int]:
    """Letter, size and number of refusal, read off the table by going along its arrows."""
    column = 4 + LIMITS.index(limit)
    at = next(n for n, row in enumerate(ROWS) if int(row[0]) <= lot <= int(row[1]))
    while ROWS[at][column] in "v^":
        at += 1 if ROWS[at][column] == "v" else -1
    return ROWS[at][2], int(ROWS[at][3]), int(ROWS[at][column])


@pytest.mark.parametrize("limit", LIMITS)
@pytest.mark.parametrize("row", ROWS, ids=lambda row: row[2])
def test_plans_are_those_of_the_published_table(row: list[str], limit: Limit) -> None:
    for lot in (int(row[0]), int(row[1])):
        letter, size, refused = found(lot, limit)
        assert plan(lot, limit) == Plan(lot, letter, min(size, lot), refused - 1)
        assert plan(lot, limit).too_many == refused


def test_letters_and_sizes_are_those_of_the_published_table() -> None:
    assert [row[2] for row in ROWS] == list(LETTERS)
    assert [int(row[3]) for row in ROWS] == list(SIZES)
    assert [int(row[1]) for row in ROWS[:-1]] == list(LOTS)


@pytest.mark.parametrize(
    ("lot", "look", "may_be"),
    [(460, 50, 3), (1_000, 80, 5), (40, 5, 0), (60, 20, 1), (5, 5, 0), (2, 2, 0), (1, 1, 0)],
)
def test_lots_of_a_small_shop(lot: int, look: int, may_be: int) -> None:
    """Read off the same tables by hand, at 2.5; a plan larger than its lot looks at all."""
    assert (plan(lot).look, plan(lot).may_be) == (look, may_be)
    assert plan(lot).all is (look == lot)


@given(st.integers(1, 2_000_000), st.sampled_from(LIMITS))
def test_never_more_than_there_are_and_never_fewer_for_more(lot: int, limit: Limit) -> None:
    some, more = plan(lot, limit), plan(lot + 1, limit)
    assert 1 <= some.look <= lot
    assert some.look <= more.look
    assert some.may_be <= more.may_be < more.look


@pytest.mark.parametrize("bad", [1, 5, 10, 25])
@pytest.mark.parametrize("lot", [460, 1_000, 5_000])
def test_the_chance_to_be_taken_is_that_of_the_binomial(lot: int, bad: int) -> None:
    """Summed with exact binomial coefficients."""
    one, p = plan(lot), bad / 100
    exact = sum(comb(one.look, k) * p**k * (1 - p) ** (one.look - k) for k in range(one.may_be + 1))
    assert passes(one, Decimal(bad)) == pytest.approx(exact, rel=1e-9)


def test_good_deliveries_are_mostly_taken_and_bad_ones_mostly_not() -> None:
    assert passes(plan(460), Decimal("2.5")) > 0.9
    assert passes(plan(460), Decimal(15)) < 0.1
    assert (passes(plan(5), Decimal(0)), passes(plan(5), Decimal(20))) == (1, 0)


@given(st.integers(1, 10_000))
def test_cartons_to_open_are_the_square_root_rounded_up(cartons: int) -> None:
    assert to_open(cartons) - 1 < sqrt(cartons) <= to_open(cartons)
    assert to_open(cartons) ** 2 >= cartons > (to_open(cartons) - 1) ** 2


def test_no_cartons_are_none_to_open() -> None:
    assert to_open(0) == 0

"""Shares of a whole number, by three methods, against a published case and their own laws."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.numbers.sharing import Method, apportion

# Source: Northern Kentucky University, course assignment 11 on apportionment.
WEIGHTS = (14978, 12991, 9260, 5453, 4624, 2753)
LISTS = st.lists(st.integers(0, 5000), min_size=1, max_size=8)


@pytest.mark.parametrize(
    ("method", "shares"),
    [
        ("jefferson", (16, 14, 9, 5, 4, 2)),
        ("hamilton", (15, 13, 9, 5, 5, 3)),
        ("webster", (15, 13, 9, 5, 5, 3)),
    ],
)
def test_fifty_seats(method: Method, shares: tuple[int, ...]) -> None:
    assert apportion(WEIGHTS, 50, method) == shares


@given(LISTS, st.integers(0, 400), st.sampled_from(["hamilton", "webster", "jefferson"]))
def test_shares_add_up_and_follow_the_weights(
    weights: list[int], seats: int, method: Method
) -> None:
    shares = apportion(weights, seats, method)
    assert sum(shares) == seats
    for one, share in zip(weights, shares, strict=True):
        assert all(share <= more for w, more in zip(weights, shares, strict=True) if w > one)


@given(LISTS, st.integers(0, 400))
def test_hamilton_keeps_the_quota(weights: list[int], seats: int) -> None:
    whole = sum(weights) or len(weights)
    each = weights if any(weights) else [1] * len(weights)
    for weight, share in zip(each, apportion(weights, seats), strict=True):
        assert abs(share - Fraction(weight * seats, whole)) < 1


@given(LISTS, st.integers(1, 200))
def test_webster_leaves_no_pair_that_a_seat_could_even_out(weights: list[int], seats: int) -> None:
    if not any(weights):
        return
    shares = apportion(weights, seats, "webster")
    for w1, s1 in zip(weights, shares, strict=True):
        for w2, s2 in zip(weights, shares, strict=True):
            if s1:
                assert Fraction(w1, 2 * s1 - 1) >= Fraction(w2, 2 * s2 + 1)


def test_weights_of_nothing_count_as_equal() -> None:
    assert apportion((0, 0, 0), 7) == (3, 2, 2)
    assert apportion((), 5) == ()
    assert apportion((Decimal("12.5"), Decimal("87.5")), 8) == (1, 7)

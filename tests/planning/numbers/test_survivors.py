"""The chances of a total of those who stay and those who join, to 1e-9 against scipy, and against a
simulation. scipy is an oracle here only."""

from collections.abc import Callable
from decimal import Decimal
from math import sqrt
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from assistant.planning.numbers.churn import Constant, joined, stays
from assistant.planning.numbers.subscribers import survivors
from assistant.planning.numbers.survivors import Total, student
from tests.planning.chance import simulated

CHANCES = st.sampled_from((0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99))
SHARES = st.floats(0.01, 0.99)


def is_quantile(found: int, chance: float, at_most: Callable[[int], float]) -> bool:
    """Whether a number is the smallest that is not exceeded with a chance, to 1e-9: scipy's own
    quantiles are one off where a chance is met exactly."""
    return at_most(found) >= chance - 1e-9 and at_most(found - 1) < chance + 1e-9


@given(st.integers(1, 5000), SHARES, CHANCES)
def test_quantiles_of_those_who_stay_are_exact(n: int, p: float, chance: float) -> None:
    assert is_quantile(Total(((n, p),)).quantile(chance), chance, stats.binom(n, p).cdf)


@given(st.floats(0.1, 900), CHANCES)
def test_quantiles_of_those_who_join_are_exact(mean: float, chance: float) -> None:
    assert is_quantile(Total(joins=mean).quantile(chance), chance, stats.poisson(mean).cdf)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 400), SHARES, st.floats(0.5, 80), st.integers(-40, 40), CHANCES)
def test_quantiles_of_both_together_are_exact(
    n: int, p: float, joins: float, fixed: int, chance: float
) -> None:
    found = Total(((n, p),), joins, fixed).quantile(chance) - fixed
    stay = stats.binom(n, p).pmf(range(n + 1))

    def at_most(number: int) -> float:
        return float(sum(stay * stats.poisson(joins).cdf([number - k for k in range(n + 1)])))

    assert is_quantile(found, chance, at_most)


@settings(max_examples=50)
@given(st.integers(200, 5000), st.floats(0.1, 0.9), st.floats(5, 300), CHANCES)
def test_the_expansion_is_within_one_of_the_sums(
    n: int, p: float, joins: float, chance: float
) -> None:
    """With a doubt too small to matter the total is not summed but expanded."""
    summed, expanded = Total(((n, p),), joins), Total(((n, p),), joins, doubt=1e-9)
    assert abs(summed.quantile(chance) - expanded.quantile(chance)) <= 1


def test_a_doubt_makes_nobody_of_nothing() -> None:
    doubtful = Total(((431, 0.9),), fixed=-8, doubt=200.0**2)
    assert doubtful.quantile(0.95) == 431 - 8
    assert Total(((431, 0.9),), joins=5, doubt=200.0**2).quantile(0.95) > 431


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 5, 9, 10, 30])
@pytest.mark.parametrize("chance", [0.5, 0.75, 0.9, 0.95, 0.995])
def test_students_quantiles(chance: float, freedom: int) -> None:
    known = stats.t(freedom).ppf(chance)
    assert student(chance, freedom) == pytest.approx(known, rel=1e-9, abs=1e-9)


def test_mean_spread_and_range_are_those_of_a_simulation() -> None:
    random, ahead, runs = Random(5), 6, 1500
    ends = [simulated(random, 200, 8, 0.06, ahead) for _ in range(runs)]
    curve = Constant(0.06)
    total = Total(((200, stays(curve, ahead)),), 8 * joined(curve, ahead))
    mean = sum(ends) / runs
    spread = sum((end - mean) ** 2 for end in ends) / (runs - 1)
    assert abs(mean - total.mean) < 3 * total.sd / sqrt(runs)
    assert abs(spread - total.variance) < 3 * total.variance * sqrt(2 / runs)
    low, high = total.quantile(0.05), total.quantile(0.95)
    inside = sum(low <= end <= high for end in ends) / runs
    assert inside > 0.9 - 3 * sqrt(0.9 * 0.1 / runs)


def test_survivors_of_a_thousand() -> None:
    """Source: the binomial distribution with n = 1000, p = 0.95**6."""
    left = survivors(1000, Decimal(5), 6)
    assert left.mean == pytest.approx(735.0919, abs=5e-5)
    assert left.sd == pytest.approx(13.9546, abs=5e-5)
    assert [left.quantile(q) for q in (0.05, 0.5, 0.95)] == [712, 735, 758]

"""Distributions of whole days against scipy, and the pooling of records by hand."""

from math import sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from assistant.scheduling.lead_times import (
    Days,
    Lateness,
    ThreePoint,
    gamma,
    gamma_within,
    pooled,
    sure,
    triangular,
)

shares = st.floats(0, 60)


def test_three_exponential_stages_of_mean_5() -> None:
    # Constructed: the Erlang distribution function, 1 - 13 e^-4 for three stages within 20 days.
    assert gamma(15, 5 * sqrt(3)).within(20) == pytest.approx(0.761897, abs=1e-6)


def test_a_triangular_lead_time() -> None:
    # Constructed: the triangular distribution function of 5, 7 and 12 days.
    found = triangular(5, 7, 12)
    assert found.within(9) == pytest.approx(0.742857, abs=1e-6)
    assert found.within(5) == 0
    assert found.within(12) == pytest.approx(1)
    assert found.enough(0.9) == 11  # its quantile is 10.129172
    assert ThreePoint(5, 7, 12).lateness().mean == pytest.approx(8)
    assert ThreePoint(5, 7, 12).lateness().sd ** 2 == pytest.approx(2.166667, abs=1e-6)


@given(st.floats(0.05, 400), st.floats(0, 600))
def test_gamma_is_scipys(shape: float, x: float) -> None:
    assert gamma_within(shape, x) == pytest.approx(stats.gamma.cdf(x, shape), abs=1e-10)


@given(st.floats(0.2, 120), st.floats(0.01, 2))
def test_whole_days_of_a_gamma_distribution(mean: float, variation: float) -> None:
    sd = mean * variation
    found, law = gamma(mean, sd), stats.gamma((mean / sd) ** 2, scale=sd * sd / mean)
    assert all(chance >= -1e-15 for chance in found.chances)
    for days in range(found.least + len(found.chances) + 3):
        assert found.within(days) == pytest.approx(law.cdf(days), abs=2e-6)


@given(shares, shares, shares)
def test_whole_days_of_a_triangular_distribution(a: float, b: float, c: float) -> None:
    least, likely, most = sorted((a, b, c))
    assume(most - least > 1e-6)
    found = triangular(least, likely, most)
    law = stats.triang((likely - least) / (most - least), least, most - least)
    assert sum(found.chances) == pytest.approx(1)
    for days in range(62):
        assert found.within(days) == pytest.approx(law.cdf(days), abs=1e-9)
    told = ThreePoint(least, likely, most).lateness()
    assert told.mean == pytest.approx(law.mean())
    assert told.sd == pytest.approx(law.std(), abs=1e-6)


@pytest.mark.parametrize(
    ("found", "days"),
    [
        (triangular(20, 20, 20), 20),
        (gamma(20, 0), 20),
        (gamma(7.2, 0), 8),
        (ThreePoint(1, 1, 1).of(13), 13),
        (Lateness(1, 0).of(0), 0),
    ],
)
def test_what_does_not_vary_is_sure(found: Days, days: int) -> None:
    assert found == sure(days)
    assert (found.within(days - 1), found.within(days)) == (0, 1)


def test_enough_days_for_a_chance() -> None:
    found = Days(4, (0.5, 0.25, 0.125))
    assert [found.enough(chance) for chance in (0.5, 0.6, 0.875, 0.9)] == [4, 5, 6, None]


# --- pooling --------------------------------------------------------------------------------

KIND = Lateness(1.0, 0.2)


def test_few_deliveries_are_pooled_with_their_kind() -> None:
    # By hand: 4 of the kind's and 2 of its own, of mean 1.3: (4 x 1 + 2 x 1.3) / 6 = 1.1;
    # squares 4 x 0.04 + 2 x 0.01 + 4 x 2 / 6 x 0.09 = 0.3, over 6 = 0.05.
    found = pooled(KIND, 4, (1.2, 1.4))
    assert found.mean == pytest.approx(1.1)
    assert found.sd == pytest.approx(sqrt(0.05))


def test_no_delivery_leaves_the_kind() -> None:
    assert pooled(KIND, 4, ()) is KIND


@given(st.lists(st.floats(0.2, 3), min_size=1, max_size=12))
def test_pooling_at_once_or_one_by_one(ratios: list[float]) -> None:
    step, weight = KIND, 4.0
    for ratio in ratios:
        step, weight = pooled(step, weight, (ratio,)), weight + 1
    at_once = pooled(KIND, 4, ratios)
    assert at_once.mean == pytest.approx(step.mean)
    assert at_once.sd == pytest.approx(step.sd)


@given(st.floats(0.5, 3), st.integers(1, 30))
def test_the_longer_a_record_the_less_the_kind_says(ratio: float, number: int) -> None:
    shorter, longer = (pooled(KIND, 4, [ratio] * n) for n in (number, number + 1))
    assert abs(longer.mean - ratio) <= abs(shorter.mean - ratio) + 1e-12
    assert min(1, ratio) - 1e-12 <= longer.mean <= max(1, ratio) + 1e-12

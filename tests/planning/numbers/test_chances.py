"""Distributions against scipy, and published cases of one season's stock."""

from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from assistant.planning.numbers import chances

CLOSE = 1e-9
CHANCE = st.floats(0.0001, 0.9999)


# --- the normal distribution ----------------------------------------------------------------

# Source: managementpedia.com, z-chart and loss function table; L(1.3): stockpyl documentation.
QUANTILES = {
    0.75: 0.6745,
    0.80: 0.8416,
    0.85: 1.0364,
    0.90: 1.2816,
    0.95: 1.6449,
    0.975: 1.9600,
    0.98: 2.0537,
    0.99: 2.3263,
    0.995: 2.5758,
    0.999: 3.0902,
}
LOSSES = {
    0.0: (0.3989, 5e-5),
    0.25: (0.2863, 5e-5),
    0.5: (0.1978, 5e-5),
    1.0: (0.0833, 5e-5),
    1.3: (0.045528, 5e-5),
    1.5: (0.0293, 5e-5),
    2.0: (0.0085, 5e-5),
    -0.52: (0.712, 5e-4),
    -1.0: (1.083, 5e-4),
    -2.0: (2.008, 5e-4),
}


@pytest.mark.parametrize(("chance", "z"), QUANTILES.items())
def test_printed_normal_quantiles(chance: float, z: float) -> None:
    assert chances.normal_quantile(chance) == pytest.approx(z, abs=5e-5)


@pytest.mark.parametrize(("z", "printed"), LOSSES.items())
def test_printed_unit_losses(z: float, printed: tuple[float, float]) -> None:
    loss, tolerance = printed
    assert chances.unit_loss(z) == pytest.approx(loss, abs=tolerance)


@given(st.floats(1e-9, 1 - 1e-9))
def test_normal_quantiles_are_those_of_scipy(chance: float) -> None:
    assert isclose(chances.normal_quantile(chance), stats.norm.ppf(chance), abs_tol=CLOSE)


@given(st.floats(-8, 8))
def test_unit_losses_are_those_of_scipy(z: float) -> None:
    expected = stats.norm.pdf(z) - z * stats.norm.sf(z)
    assert isclose(chances.unit_loss(z), expected, abs_tol=CLOSE)
    assert isclose(chances.normal_at_most(z), stats.norm.cdf(z), abs_tol=CLOSE)


# --- whole numbers --------------------------------------------------------------------------


@given(st.integers(0, 6000), st.floats(0, 1), st.floats(-0.1, 1.1))
def test_binomial_sums_are_those_of_scipy(trials: int, chance: float, where: float) -> None:
    number, mine = round(trials * where), chances.binomial(trials, chance)
    assert isclose(mine.at_most(number), stats.binom.cdf(number, trials, chance), abs_tol=CLOSE)
    assert isclose(mine.at_least(number), stats.binom.sf(number - 1, trials, chance), abs_tol=CLOSE)


@given(st.floats(0, 6000), st.integers(-1, 7000))
def test_poisson_sums_are_those_of_scipy(mean: float, number: int) -> None:
    mine = chances.poisson(mean)
    assert isclose(mine.at_most(number), stats.poisson.cdf(number, mean), abs_tol=CLOSE)


@given(st.integers(1, 3000), st.floats(0, 0.9), st.integers(0, 4000))
def test_unusable_pieces_are_those_of_scipy(good: int, damage: float, number: int) -> None:
    mine = chances.unusable(good, damage)
    assert isclose(mine.at_most(number), stats.nbinom.cdf(number, good, 1 - damage), abs_tol=CLOSE)


@given(st.integers(1, 3000), st.floats(0.01, 0.99), CHANCE)
def test_a_quantile_is_the_first_number_that_reaches_its_chance(
    trials: int, share: float, chance: float
) -> None:
    for mine in (chances.binomial(trials, share), chances.poisson(trials * share)):
        found = mine.quantile(chance)
        assert mine.at_most(found) >= chance - CLOSE
        assert mine.at_most(found - 1) < chance


@given(st.integers(1, 5000), st.floats(0.001, 0.999))
def test_weights_add_up(trials: int, share: float) -> None:
    weights = chances.binomial(trials, share).weights()
    assert isclose(sum(weight for _, weight in weights), 1, abs_tol=CLOSE)
    mean = sum(number * weight for number, weight in weights)
    assert isclose(mean, trials * share, rel_tol=1e-9, abs_tol=CLOSE)


def test_a_million_neither_overflows_nor_drifts() -> None:
    mine = chances.binomial(1_000_000, 0.02)
    assert isclose(mine.at_most(20_100), stats.binom.cdf(20_100, 1_000_000, 0.02), abs_tol=CLOSE)
    good = chances.with_spares(500_000, 0.02, 0.95)
    assert stats.binom.sf(499_999, good, 0.98) >= 0.95 > stats.binom.sf(499_999, good - 1, 0.98)


# Source: constructed; binomial distribution.
@pytest.mark.parametrize(("good", "number"), [(500, 516), (100, 105)])
def test_spares_of_two_percent_damage_at_95_percent(good: int, number: int) -> None:
    assert chances.with_spares(good, 0.02, 0.95) == number


def test_dividing_by_the_usable_share_is_not_enough() -> None:
    assert chances.binomial(511, 0.98).at_least(500) == pytest.approx(0.6724, abs=5e-5)


@given(st.integers(0, 800), st.floats(0, 0.5), st.floats(0.01, 0.999))
def test_spares_are_the_smallest_number_that_is_enough(
    good: int, damage: float, chance: float
) -> None:
    number = chances.with_spares(good, damage, chance)
    assert number >= good
    assert stats.binom.sf(good - 1, number, 1 - damage) >= chance - CLOSE
    if number > good:
        assert stats.binom.sf(good - 1, number - 1, 1 - damage) < chance


# --- one season -----------------------------------------------------------------------------


def test_best_quantity_for_a_normal_demand() -> None:
    # Source: Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., 2019, Example 4.3.
    quantity = chances.normal_best(50, 8, 0.18, 0.70)
    assert quantity == pytest.approx(56.603956, abs=1e-4)
    for number, cost in ((quantity, 1.9976052), (40, 7.3561316), (60, 2.1561316)):
        assert chances.normal_cost(50, 8, number, 0.18, 0.70) == pytest.approx(cost, abs=1e-4)
    # Source: stockpyl, README.
    quantity = chances.normal_best(120, 10, 2, 18)
    assert quantity == pytest.approx(132.815516, abs=1e-4)
    assert chances.normal_cost(120, 10, quantity, 2, 18) == pytest.approx(35.099666, abs=1e-4)


def test_best_quantity_for_a_poisson_demand() -> None:
    # Source: Snyder and Shen (2019), Example 4.7.
    demand = chances.poisson(6).weights()
    assert chances.best(demand, 1, 4) == 8
    assert chances.cost(demand, 8, 1, 4) == pytest.approx(3.570107, abs=1e-4)
    assert chances.cost(demand, 5, 1, 4) == pytest.approx(6.590296, abs=1e-4)


def test_best_quantity_for_a_listed_demand() -> None:
    # Source: Hillier and Lieberman, Introduction to Operations Research (title from memory),
    # "Freddie the newsboy". Profit = margin on the mean demand less the mismatch.
    demand = ((15, 0.4), (16, 0.2), (17, 0.3), (18, 0.1))
    mean = sum(number * chance for number, chance in demand)
    assert chances.best(demand, 1.0, 1.0) == 16
    for number, profit in ((15, 15.00), (16, 15.20), (17, 15.00), (18, 14.20)):
        found = mean * 1.0 - chances.cost(demand, number, 1.0, 1.0)
        assert found == pytest.approx(profit, abs=0.005)


DEMAND = st.dictionaries(st.integers(0, 60), st.integers(1, 9), min_size=1, max_size=12)


@given(DEMAND, st.floats(0.01, 50), st.floats(0.01, 50))
def test_no_quantity_costs_less_than_the_best(
    counts: dict[int, int], over: float, under: float
) -> None:
    whole = sum(counts.values())
    demand = [(number, count / whole) for number, count in sorted(counts.items())]
    found = chances.cost(demand, chances.best(demand, over, under), over, under)
    assert all(found <= chances.cost(demand, q, over, under) + CLOSE for q in range(62))


@given(st.floats(1, 500), st.floats(0.1, 60), st.floats(0.1, 20), st.floats(0.1, 20))
def test_the_best_normal_quantity_lies_at_the_bottom(
    mean: float, sd: float, over: float, under: float
) -> None:
    best = chances.normal_best(mean, sd, over, under)
    least = chances.normal_cost(mean, sd, best, over, under)
    for step in (-5, -0.1, 0.1, 5):
        assert least <= chances.normal_cost(mean, sd, best + step, over, under) + CLOSE


def test_a_number_that_is_certain_is_short_or_left_whole() -> None:
    assert chances.normal_left(40, 0, 35) == (5, 0)
    assert chances.normal_left(40, 0, 42) == (0, 2)

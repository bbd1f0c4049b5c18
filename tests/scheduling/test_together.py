"""Deliveries that must all come: against closed forms, scipy, and every choice of dates."""

from itertools import product
from math import asin, pi, prod, sqrt
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from assistant.scheduling.together import Choice, all_come, hermite, share_out, weakest

CORRELATION = 0.5
chances = st.floats(0.01, 0.999)
several = st.lists(chances, min_size=2, max_size=8)


# --- independent: the product rule ----------------------------------------------------------


@pytest.mark.parametrize(
    ("number", "each", "together"),
    [
        (8, 0.95, 0.663420),
        (8, NormalDist().cdf(2.48978), 0.95),
        (12, 0.99, 0.886385),
        (2, 0.5, 0.25),
    ],
)
def test_items_of_different_suppliers(number: int, each: float, together: float) -> None:
    # Constructed: the product rule for independent events.
    assert all_come([[each]] * number, CORRELATION) == pytest.approx(together, abs=1e-6)
    assert all_come([[each] * number], 0) == pytest.approx(together, abs=1e-6)


@pytest.mark.parametrize(
    ("day", "together"), [(25, 0.437656), (27, 0.803154), (28, 0.908469), (30, 0.985221)]
)
def test_three_arrivals_of_different_means(day: int, together: float) -> None:
    # Constructed: independent normal arrivals with (mean, sd) as below, the product rule.
    arrivals = NormalDist(20, 3), NormalDist(25, 2), NormalDist(18, 5)
    found = all_come([[arrival.cdf(day)] for arrival in arrivals], CORRELATION)
    assert found == pytest.approx(together, abs=1e-6)


# --- late together --------------------------------------------------------------------------


@pytest.mark.parametrize("number", [1, 2, 3, 10, 24])
def test_nodes_and_weights_are_numpys(number: int) -> None:
    nodes, weights = hermite(number)
    known, known_weights = np.polynomial.hermite_e.hermegauss(number)
    assert nodes == pytest.approx(known, abs=1e-13)
    assert weights == pytest.approx(known_weights / sqrt(2 * pi), abs=1e-13)


@pytest.mark.parametrize("correlation", [0.1, 0.3, 0.5])
def test_two_even_chances(correlation: float) -> None:
    # Sheppard's formula for a quadrant, 1899 (attribution from memory).
    known = 1 / 4 + asin(correlation) / (2 * pi)
    assert all_come([[0.5, 0.5]], correlation) == pytest.approx(known, abs=1e-6)


@given(chances, chances, st.sampled_from((0.2, 0.5)))
def test_two_deliveries_are_scipys(one: float, other: float, correlation: float) -> None:
    law = stats.multivariate_normal(cov=[[1, correlation], [correlation, 1]])
    known = law.cdf(stats.norm.ppf([one, other]))
    assert all_come([[one, other]], correlation) == pytest.approx(known, abs=1e-5)


@pytest.mark.parametrize("each", [[0.95] * 8, [0.5] * 8, [0.99, 0.3, 0.7], [0.999] * 3])
def test_many_deliveries_are_as_integrated_finely(each: list[float]) -> None:
    def given(z: float) -> float:
        below = (stats.norm.ppf(each) - sqrt(CORRELATION) * z) / sqrt(1 - CORRELATION)
        return float(stats.norm.pdf(z) * np.prod(stats.norm.cdf(below)))

    known, _ = integrate.quad(given, -9, 9, epsabs=1e-11, limit=200)
    assert all_come([each], CORRELATION) == pytest.approx(known, abs=1e-5)


@given(several)
def test_late_together_lies_between_apart_and_as_one(each: list[float]) -> None:
    apart, together = (all_come([each], correlation) for correlation in (0, CORRELATION))
    assert apart - 1e-5 <= together <= min(each) + 1e-5


def test_what_is_certain_or_lost_decides() -> None:
    assert all_come([], CORRELATION) == 1
    assert all_come([[1.0, 1.0], [1.0]], CORRELATION) == 1
    assert all_come([[1.0, 0.4]], CORRELATION) == 0.4
    assert all_come([[0.0, 0.4]], CORRELATION) == 0


# --- the weak spot --------------------------------------------------------------------------


@given(st.lists(st.tuples(st.sampled_from("ab"), chances), min_size=1, max_size=6))
def test_the_weak_spot_lifts_most(each: list[tuple[str, float]]) -> None:
    def lifted(place: int) -> float:
        sure = [(group, 1.0 if n == place else p) for n, (group, p) in enumerate(each)]
        return all_come([[p for g, p in sure if g == group] for group in "ab"], CORRELATION)

    found = weakest(each, CORRELATION)
    assert found is not None
    assert found[1] == pytest.approx(max(map(lifted, range(len(each)))))
    assert found[1] == pytest.approx(lifted(found[0]))


def test_no_weak_spot_where_all_is_certain() -> None:
    assert weakest([("a", 1.0), ("b", 1.0)], CORRELATION) is None


def test_the_weak_spot_of_a_box_that_is_lost() -> None:
    assert weakest([("a", 0.0), ("b", 0.9), ("c", 0.0)], 0) == (0, 0)


# --- order dates ----------------------------------------------------------------------------


def together(choices: list[Choice], picks: tuple[int, ...], correlation: float) -> float:
    by_group: dict[str, list[float]] = {}
    for choice, pick in zip(choices, picks, strict=True):
        by_group.setdefault(choice.group, []).append(choice.chances[pick])
    return all_come(by_group.values(), correlation)


def waiting(choices: list[Choice], picks: tuple[int, ...]) -> int:
    return sum(c.days[0] - c.days[pick] for c, pick in zip(choices, picks, strict=True))


def least_waiting(choices: list[Choice], confidence: float, correlation: float) -> int | None:
    """Of every choice of dates that reaches the confidence, the one with the least waiting."""
    reaching = (
        waiting(choices, picks)
        for picks in product(*(range(len(choice.days)) for choice in choices))
        if together(choices, picks, correlation) >= confidence - 1e-12
    )
    return min(reaching, default=None)


@st.composite
def choice_lists(draw: st.DrawFn, groups: str = "abcd") -> list[Choice]:
    found = []
    for _ in range(draw(st.integers(1, 4))):
        rising = sorted(draw(st.lists(chances, min_size=1, max_size=6, unique=True)))
        steps = draw(st.lists(st.integers(1, 9), min_size=len(rising), max_size=len(rising)))
        days = [700_000 - sum(steps[:n]) for n in range(len(rising))]
        found.append(Choice(draw(st.sampled_from(groups)), days, rising))
    return found


@given(choice_lists(), st.sampled_from((0.5, 0.8, 0.9)), st.sampled_from((0.0, CORRELATION)))
def test_dates_reach_the_confidence_with_little_waiting(
    choices: list[Choice], confidence: float, correlation: float
) -> None:
    picks = tuple(share_out(choices, confidence, correlation))
    least = least_waiting(choices, confidence, correlation)
    if least is None:
        assert together(choices, picks, correlation) < confidence
        return
    assert together(choices, picks, correlation) >= confidence - 1e-9
    for n, pick in enumerate(picks):
        if pick:  # none could wait for longer
            later = (*picks[:n], pick - 1, *picks[n + 1 :])
            assert together(choices, later, correlation) < confidence
    longest = max(choice.days[0] - choice.days[-1] for choice in choices)
    assert least <= waiting(choices, picks) <= least + (longest if not correlation else 2 * longest)


@given(
    st.lists(st.lists(st.floats(0.01, 0.5), min_size=1, max_size=6), min_size=1, max_size=4),
    st.sampled_from((0.4, 0.7, 0.9)),
)
def test_dates_are_the_best_where_each_day_gains_less_than_the_one_before(
    losses: list[list[float]], confidence: float
) -> None:
    choices = []
    for n, lost in enumerate(losses):
        falling = sorted(lost, reverse=True)  # what each day gains, as a share
        chance = [prod(1 - loss for loss in falling[day:]) for day in range(len(falling) + 1)]
        choices.append(Choice(str(n), range(9, 8 - len(falling), -1), chance))
    picks = tuple(share_out(choices, confidence, CORRELATION))
    assert waiting(choices, picks) == least_waiting(choices, confidence, CORRELATION)


def test_95_percent_of_eight_items_is_too_little_for_the_box() -> None:
    rising = [0.9, 0.95, 0.98, 0.99, 0.995, 0.999]
    choices = [Choice(str(n), range(6, 0, -1), rising) for n in range(8)]
    picks = share_out(choices, 0.95, CORRELATION)
    assert all(rising[pick] > 0.95 for pick in picks)
    assert together(choices, tuple(picks), CORRELATION) >= 0.95


def test_waiting_goes_where_a_day_gains_most() -> None:
    quick = Choice("a", (30, 29, 28), (0.9, 0.97, 0.99))
    slow = Choice("b", (30, 20, 10), (0.93, 0.97, 0.99))  # closed between the dates
    assert share_out([quick, slow], 0.9, CORRELATION) == [1, 0]

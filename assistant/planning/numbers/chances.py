"""How likely numbers are: normal, binomial, Poisson and negative binomial, and what they advise.

Knows: probabilities and sums. Must not know: boxes, items, money's currency. Invariants: pure, the
standard library alone; a probability is 0..1, a chance asked for lies strictly between; costs are
for one unit and positive. Discrete distributions are exact sums: weights grow from the mode by the
ratio of neighbours and are divided by their sum, so nothing overflows and no factorial is needed.
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate
from math import erfc, exp, floor, pi, sqrt
from statistics import NormalDist

NEGLIGIBLE = 1e-18  # of the weight of the mode
_ROUNDING = 1e-12  # below which a probability counts as reached

_standard_quantile = NormalDist().inv_cdf


@dataclass(frozen=True, slots=True)
class Discrete:
    """A distribution over whole numbers from `first` on; `at_most` are its cumulated
    probabilities."""

    first: int
    cumulated: tuple[float, ...]

    def at_most(self, number: int) -> float:
        """P(X <= number)."""
        place = number - self.first
        if place < 0:
            return 0.0
        return self.cumulated[place] if place < len(self.cumulated) else 1.0

    def at_least(self, number: int) -> float:
        """P(X >= number)."""
        return 1.0 - self.at_most(number - 1)

    def quantile(self, chance: float) -> int:
        """The smallest number with P(X <= number) >= chance."""
        return self.first + bisect_left(self.cumulated, chance - _ROUNDING)

    def weights(self) -> tuple[tuple[int, float], ...]:
        """The numbers with their probabilities."""
        before = (0.0, *self.cumulated)
        return tuple(
            (self.first + place, self.cumulated[place] - before[place])
            for place in range(len(self.cumulated))
        )


@lru_cache(4096)
def normal_quantile(chance: float) -> float:
    """Return z with P(Z <= z) = chance for a standard normal Z."""
    return _standard_quantile(chance)


def normal_at_most(z: float) -> float:
    """Return P(Z <= z) for a standard normal Z."""
    return erfc(-z / sqrt(2)) / 2


def unit_loss(z: float) -> float:
    """Return E[max(Z - z, 0)] for a standard normal Z: the loss function."""
    return exp(-z * z / 2) / sqrt(2 * pi) - z * erfc(z / sqrt(2)) / 2


@lru_cache(2048)
def binomial(trials: int, chance: float) -> Discrete:
    """How many of `trials` come true, each with `chance`."""
    if chance <= 0 or chance >= 1 or trials == 0:
        return Discrete(trials if chance >= 1 else 0, (1.0,))
    odds = chance / (1 - chance)
    mode = min(floor((trials + 1) * chance), trials)
    return _grown(mode, lambda k: (trials - k) / (k + 1) * odds)


@lru_cache(2048)
def poisson(mean: float) -> Discrete:
    """How many rare things happen where `mean` are expected."""
    return _grown(floor(mean), lambda k: mean / (k + 1)) if mean > 0 else Discrete(0, (1.0,))


@lru_cache(4096)
def unusable(good: int, damage: float) -> Discrete:
    """How many unusable pieces come before the `good`-th usable one (negative binomial)."""
    if good == 0 or damage <= 0:
        return Discrete(0, (1.0,))
    mode = max(floor((good - 1) * damage / (1 - damage)), 0)
    return _grown(mode, lambda k: (good + k) / (k + 1) * damage)


def _grown(mode: int, ratio: Callable[[int], float]) -> Discrete:
    """The distribution whose neighbours stand in `ratio(k)` = P(k + 1) / P(k)."""
    up, down = [1.0], []
    number = mode
    while (weight := up[-1] * ratio(number)) > NEGLIGIBLE:
        up.append(weight)
        number += 1
    number, weight = mode - 1, 1.0
    while number >= 0 and (weight := weight / ratio(number)) > NEGLIGIBLE:
        down.append(weight)
        number -= 1
    weights = (*reversed(down), *up)
    sums = tuple(accumulate(weights))
    return Discrete(number + 1, tuple(one / sums[-1] for one in sums))


def with_spares(good: int, damage: float, chance: float) -> int:
    """Return the smallest number of which at least `good` are usable with this chance, where each
    is unusable with probability `damage` (below 1)."""
    return good + unusable(good, damage).quantile(chance)


# --- one season: one unit too many against one short -----------------------------------------


def critical_ratio(over: float, under: float) -> float:
    """Return the chance of enough that is worth paying for, where one unit too many costs `over`
    and one short `under`: the newsvendor's rule."""
    return under / (under + over)


def normal_best(mean: float, sd: float, over: float, under: float) -> float:
    """Return the quantity of least expected cost for a normal demand."""
    return mean + normal_quantile(critical_ratio(over, under)) * sd


def normal_left(mean: float, sd: float, quantity: float) -> tuple[float, float]:
    """Return the expected units short and left over at a quantity for a normal demand."""
    if sd <= 0:
        return max(mean - quantity, 0.0), max(quantity - mean, 0.0)
    short = sd * unit_loss((quantity - mean) / sd)
    return short, quantity - mean + short


def normal_cost(mean: float, sd: float, quantity: float, over: float, under: float) -> float:
    """Return the expected cost of units too many and short at a quantity."""
    short, left = normal_left(mean, sd, quantity)
    return over * left + under * short


def best(demand: Sequence[tuple[int, float]], over: float, under: float) -> int:
    """Return the smallest quantity of least expected cost for a demand of numbers, rising, with
    their probabilities."""
    wanted, reached = critical_ratio(over, under), 0.0
    for number, chance in demand:
        reached += chance
        if reached >= wanted - _ROUNDING:
            return number
    return demand[-1][0]


def cost(demand: Sequence[tuple[int, float]], quantity: int, over: float, under: float) -> float:
    """Return the expected cost of units too many and short at a quantity."""
    return sum(
        chance * (over * max(quantity - number, 0) + under * max(number - quantity, 0))
        for number, chance in demand
    )

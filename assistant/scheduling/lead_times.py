"""Lead times that vary: how likely a stretch of work takes so many days.

Knows: days as whole numbers, and distributions of them. Must not know: dates, calendars, suppliers.
Invariants: pure, the standard library alone; what takes 7.2 days is through on its eighth, so that
P(whole days <= n) is P(days <= n) of the distribution behind; a chance is 0..1.

Three points (at least, most likely, at most) make a triangular distribution, a mean and a standard
deviation a gamma distribution: it is never negative and leans to the late side. For lead times:
common practice, no source.
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import accumulate, pairwise
from math import ceil, exp, floor, fsum, lgamma, log, sqrt
from typing import NamedTuple

NEVER = 1e-6  # a chance left in a tail that is cut off: such a delivery is taken never to come
_ROUNDING = 1e-9  # of a day


class Days(NamedTuple):
    """A number of whole days: `chances[i]` that it is `least + i`. What is missing from a sum of 1
    is the chance that it never ends."""

    least: int
    chances: tuple[float, ...]

    def within(self, days: int) -> float:
        """The chance that it takes at most so many days."""
        return min(1.0, fsum(self.chances[: max(0, days - self.least + 1)]))

    def enough(self, chance: float) -> int | None:
        """The fewest days within which it is through with this chance; None where none are."""
        for place, reached in enumerate(accumulate(self.chances)):
            if reached >= chance - _ROUNDING:
                return self.least + place
        return None


class ThreePoint(NamedTuple):
    """How many times what was quoted it takes: at least, most likely, at most."""

    least: float
    likely: float
    most: float

    def of(self, quoted: int) -> Days:
        """The days that a quote of so many days comes to."""
        return triangular(self.least * quoted, self.likely * quoted, self.most * quoted)

    def lateness(self) -> "Lateness":
        """Its mean and standard deviation, those of the triangular distribution."""
        a, b, c = self
        variance = (a * a + b * b + c * c - a * b - a * c - b * c) / 18
        return Lateness((a + b + c) / 3, sqrt(max(0.0, variance)))


class Lateness(NamedTuple):
    """How many times what was quoted it takes: mean and standard deviation."""

    mean: float
    sd: float

    def of(self, quoted: int) -> Days:
        """The days that a quote of so many days comes to."""
        return gamma(self.mean * quoted, self.sd * quoted)


@lru_cache(1024)
def sure(days: int) -> Days:
    """Return a stretch that always takes so many days."""
    return Days(days, (1.0,))


@lru_cache(4096)
def triangular(least: float, likely: float, most: float) -> Days:
    """Return days between `least` and `most`, `likely` the likeliest (in this order)."""
    if most - least < _ROUNDING:
        return sure(_whole(likely))

    def within(days: int) -> float:
        if days >= most:
            return 1.0
        if days >= likely:
            return 1.0 - (most - days) ** 2 / ((most - least) * (most - likely))
        return (days - least) ** 2 / ((most - least) * (likely - least)) if days > least else 0.0

    return _between(within, floor(least) + 1, ceil(most))


@lru_cache(4096)
def gamma(mean: float, sd: float) -> Days:
    """Return days with a gamma distribution of this mean and standard deviation.

    Without spread they are sure. A chance of less than `NEVER` is cut off the late end.
    """
    if sd < _ROUNDING or mean < _ROUNDING:
        return sure(_whole(mean))
    shape, scale = (mean / sd) ** 2, sd * sd / mean
    reach = max(1.0, sd)
    first = last = max(1, _whole(mean))
    while first > 1 and gamma_within(shape, (first - 1) / scale) > NEVER:
        first = max(1, floor(first - reach))
    while gamma_within(shape, last / scale) < 1 - NEVER:
        last = ceil(last + reach / 2)
    return _between(lambda days: gamma_within(shape, days / scale), first, last)


def gamma_within(shape: float, x: float) -> float:
    """Return the regularised lower incomplete gamma function P(shape, x), to about 1e-10.

    By its series below shape + 1 and its continued fraction above: M. Abramowitz and I. Stegun,
    Handbook of Mathematical Functions, 1964, 6.5.29 and 6.5.31 (attribution from memory).
    """
    if x <= 0:
        return 0.0
    front = exp(shape * log(x) - x - lgamma(shape))
    if x < shape + 1:
        term = total = 1.0 / shape
        over = shape
        while term > total * 1e-12:
            over += 1.0
            term *= x / over
            total += term
        return front * total
    return 1.0 - front * _fraction(shape, x)


def pooled(prior: Lateness, weight: float, ratios: Sequence[float]) -> Lateness:
    """Return the lateness of one party from its own record, pooled with that of its kind.

    `ratios` are actual over quoted days. The kind counts like `weight` deliveries of its own mean
    and spread: the more deliveries a party has, the less its kind says. The rule is the normal
    model's update with a conjugate prior of `weight` observations: A. Gelman and others, Bayesian
    Data Analysis, section 3.3 (attribution from memory).
    """
    number = len(ratios)
    if not number:
        return prior
    own = fsum(ratios) / number
    mean = (weight * prior.mean + number * own) / (weight + number)
    squares = (
        weight * prior.sd**2
        + fsum((ratio - own) ** 2 for ratio in ratios)
        + weight * number / (weight + number) * (own - prior.mean) ** 2
    )
    return Lateness(mean, sqrt(squares / (weight + number)))


def _between(within: Callable[[int], float], first: int, last: int) -> Days:
    """Whole days from a distribution function; what lies before `first` is laid on it."""
    reached = [0.0, *(within(days) for days in range(first, last + 1))]
    return Days(first, tuple([b - a for a, b in pairwise(reached)]))


def _fraction(shape: float, x: float) -> float:
    """The continued fraction of the upper incomplete gamma function, by Lentz's method."""
    b = x + 1.0 - shape
    c, d = 1e300, 1.0 / b
    value, ratio, n = d, 0.0, 0
    while abs(ratio - 1.0) > 1e-12:
        n += 1
        a = n * (shape - n)
        b += 2.0
        d = 1.0 / (a * d + b)
        c = b + a / c
        ratio = c * d
        value *= ratio
    return value


def _whole(days: float) -> int:
    return ceil(days - _ROUNDING)

"""How many of a number of people are there later: the chances of each total.

Knows: independent parts of a total. Must not know: why they leave or join. Invariants: means and
spreads are exact; a quantile is the smallest total that is not exceeded with at least that chance,
exact (sums of binomial and Poisson chances) where the total has few parts and no doubt, else by
the Cornish-Fisher expansion from the exact cumulants (R. A. Fisher and E. A. Cornish, 1960;
attribution from memory).
"""

from collections.abc import Sequence
from decimal import Decimal
from functools import lru_cache
from itertools import accumulate
from math import cos, exp, lgamma, log, log1p, pi, sin, sqrt, tan
from operator import mul
from statistics import NormalDist

from assistant.planning.model import Record

PARTS = 2  # uncertain parts of a total up to which its chances are summed
VARIANCE = 2_000.0  # and its variance; beyond, the expansion is less than half a subscriber off
REACH = 8.0  # standard deviations either side; what lies beyond is less than 1e-12
NORMAL = NormalDist()


class Total(Record):
    """A sum of independent parts: `people` are (number, chance that each is there), `joins` a
    Poisson number, `fixed` are certain (they may be below 0), `doubt` is the variance of the
    mean, as far as the rates behind it are uncertain."""

    people: tuple[tuple[int, float], ...] = ()
    joins: float = 0.0
    fixed: float = 0.0
    doubt: float = 0.0

    @property
    def mean(self) -> float:
        """The expected total."""
        return sum(n * p for n, p in self.people) + self.joins + self.fixed

    @property
    def variance(self) -> float:
        """Of the total, doubt included."""
        return sum(n * p * (1 - p) for n, p in self.people) + self.joins + self.doubt

    @property
    def sd(self) -> float:
        """The standard deviation."""
        return sqrt(self.variance)

    def quantile(self, chance: float) -> int:
        """The smallest total that is not exceeded with at least this chance (0..1, both out)."""
        return _quantile(self, chance)


def survivors(number: int, churn: Decimal, months: int) -> Total:
    """Return how many of a number of subscribers are left after some months, each of whom leaves
    with the same chance (`churn`, percent a month) whatever the others do: binomial."""
    return Total(((number, (1 - float(churn) / 100) ** months),))


@lru_cache(4096)
def _quantile(total: Total, chance: float) -> int:
    people = [(n, p) for n, p in total.people if n and 0 < p < 1]
    uncertain, variance = len(people) + (total.joins > 0), total.variance
    if not variance:
        return round(total.mean)
    if total.doubt or uncertain > PARTS or variance > VARIANCE:
        found = round(_expanded(total, chance))
        most = round(total.fixed) + sum(n for n, _ in total.people)
        return min(found, most) if people and not total.joins else found
    parts = [_binomial(n, p) for n, p in people]
    if total.joins > 0:
        parts.append(_poisson(total.joins))
    sure = total.fixed + sum(n for n, p in total.people if p >= 1)
    return _searched(parts, chance, round(_expanded(total, chance) - sure)) + round(sure)


Chances = tuple[int, list[float]]  # the first number and the chance of it and each that follows


def _searched(parts: list[Chances], chance: float, guess: int) -> int:
    """The quantile of one part or of the sum of two, sought from a guess on."""
    (start, short), (first, long) = sorted([(0, [1.0]), *parts], key=lambda one: len(one[1]))[-2:]
    first += start
    turned, size = short[::-1], len(short)
    up_to = [0.0] * size + list(accumulate(long)) + [1.0] * size

    def at_most(number: int) -> float:
        """The chance of no more than a number: over all that the short parts can be."""
        at = min(max(number - first + size, size - 1), len(up_to) - 1)
        return float(sum(map(mul, turned, up_to[at - size + 1 : at + 1])))

    while at_most(guess) < chance - 1e-12:
        guess += 1
    while at_most(guess - 1) >= chance - 1e-12:
        guess -= 1
    return guess


@lru_cache(1024)
def _binomial(n: int, p: float) -> Chances:
    mode, sd = min(int((n + 1) * p), n), sqrt(n * p * (1 - p))
    low, high = max(0, int(mode - REACH * sd - 8)), min(n, int(mode + REACH * sd + 8))
    at_mode = lgamma(n + 1) - lgamma(mode + 1) - lgamma(n - mode + 1)
    at_mode += mode * log(p) + (n - mode) * log1p(-p)
    odds = p / (1 - p)
    ups = [(n - k) / (k + 1) * odds for k in range(mode, high)]
    downs = [k / (n - k + 1) / odds for k in range(mode, low, -1)]
    return _laid(low, exp(at_mode), ups, downs)


@lru_cache(1024)
def _poisson(mean: float) -> Chances:
    mode, sd = int(mean), sqrt(mean)
    low, high = max(0, int(mode - REACH * sd - 8)), int(mode + REACH * sd + 16)
    at_mode = mode * log(mean) - mean - lgamma(mode + 1)
    ups = [mean / (k + 1) for k in range(mode, high)]
    downs = [k / mean for k in range(mode, low, -1)]
    return _laid(low, exp(at_mode), ups, downs)


def _laid(low: int, at_mode: float, ups: Sequence[float], downs: Sequence[float]) -> Chances:
    """Chances from that of the mode by the ratio of each to the one before, made to sum to 1."""
    above = list(accumulate(ups, mul, initial=at_mode))
    below = list(accumulate(downs, mul, initial=at_mode))
    found = [*below[:0:-1], *above]
    whole = sum(found)
    return low, [one / whole for one in found]


def _expanded(total: Total, chance: float) -> float:
    """The quantile from mean, variance, skewness and excess."""
    z, sd = NORMAL.inv_cdf(chance), total.sd
    third = sum(n * p * (1 - p) * (1 - 2 * p) for n, p in total.people) + total.joins
    fourth = sum(n * p * (1 - p) * (1 - 6 * p * (1 - p)) for n, p in total.people) + total.joins
    skew, excess = third / sd**3, fourth / sd**4
    skew, excess = min(max(skew, -1.0), 1.0), min(max(excess, -1.0), 2.0)
    bent = z + (z * z - 1) * skew / 6 + (z**3 - 3 * z) * excess / 24
    bent -= (2 * z**3 - 5 * z) * skew * skew / 36
    return total.mean + sd * bent


@lru_cache(256)
def student(chance: float, freedom: int) -> float:
    """Return the quantile of Student's t for a whole number of degrees of freedom, for chances from
    one half on. Source: the finite sums of M. Abramowitz and I. A. Stegun, Handbook of Mathematical
    Functions, 26.7.3 and 26.7.4 (attribution from memory), turned round by bisection."""
    low, high = 0.0, pi / 2
    for _ in range(80):
        middle = (low + high) / 2
        if (1 + _student(middle, freedom)) / 2 < chance:
            low = middle
        else:
            high = middle
    return tan(low) * sqrt(freedom)


def _student(angle: float, freedom: int) -> float:
    """The chance that t lies within plus or minus tan(angle) * sqrt(freedom)."""
    odd, square = freedom % 2, cos(angle) ** 2
    term, total = (cos(angle) if odd else 1.0), 0.0
    for k in range(1 + odd, freedom, 2):
        total += term
        term *= k / (k + 1) * square
    return 2 / pi * (angle + sin(angle) * total) if odd else sin(angle) * total

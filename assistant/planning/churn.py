"""How long subscribers stay: churn that is the same at every age, and churn that changes with it.

Knows: shares and months. Must not know: shops, boxes, who asks. Invariants: of those who are there,
a share between 0 and 1 is still there later, never more than before; an age is in months.

Churn that changes with age is the shifted beta-geometric model: each subscriber has a churn of her
own that never changes, drawn from a beta distribution; those with a high one leave first, so a
group loses fewer the older it gets. Source: P. S. Fader and B. G. S. Hardie (2007), How to Project
Customer Retention, Journal of Interactive Marketing (attribution from memory). It is taken only
where it explains the cohorts better by Schwarz's criterion (1978; attribution from memory): twice
the gain in log-likelihood is more than the logarithm of the number of subscribers seen.
"""

from collections.abc import Callable, Iterable
from functools import lru_cache
from itertools import pairwise
from math import ceil, exp, inf, lgamma, log, log1p, sqrt

from assistant.planning.model import Record

Params = tuple[float, ...]
LOWEST, HIGHEST = -9.0, 9.0  # of a parameter, on the scale on which it is fitted


class Constant(Record):
    """The same share `churn` (0..1) leaves every month."""

    churn: float = 0.0


class Changing(Record):
    """The churn of a subscriber is drawn from Beta(`alpha`, `beta`)."""

    alpha: float
    beta: float


Curve = Constant | Changing


class Sight(Record):
    """What was seen of one cohort: so many joined, and (age in months, how many were left) by
    rising age."""

    number: int
    seen: tuple[tuple[float, int], ...]


class Fit(Record):
    """A curve with the doubt about it: for each direction of doubt the curve one standard deviation
    to either side."""

    curve: Curve
    sides: tuple[tuple[Curve, Curve], ...] = ()


class Lifetime(Record):
    """How long a newcomer stays, in whole months, the month she leaves counted.

    `median`: within so many months half are gone. `mean` and `sd` are None where they have no
    bound."""

    median: int
    mean: float | None
    sd: float | None


def stays(curve: Curve, months: float, age: float = 0.0) -> float:
    """Return the share of subscribers of an age that is still there after some months."""
    if isinstance(curve, Constant):
        return float((1.0 - curve.churn) ** months)
    return exp(_log_stays(curve, age + months) - _log_stays(curve, age))


def joined(curve: Curve, months: float) -> float:
    """Return how many are there after some months where one joins at the end of each.

    Churn comes before joins: who joined in a month does not leave in it. The part of a month at the
    end has its part of a join.
    """
    whole = int(months)
    part = months - whole
    if isinstance(curve, Constant):
        kept, churn = 1.0 - curve.churn, curve.churn
        sum_of_powers = (1.0 - kept**whole) / churn if churn > 1e-12 else float(whole)
        return float(sum_of_powers * kept**part) + part
    share, total = stays(curve, part), part
    for month in range(whole):
        total += share
        at = part + month
        share *= (curve.beta + at) / (curve.alpha + curve.beta + at)
    return total


def lifetime(curve: Curve) -> Lifetime | None:
    """Return how long a newcomer stays; None where nobody leaves.

    Source: the geometric distribution; for churn that changes, S(t) as in the module's source.
    """
    if isinstance(curve, Constant):
        if curve.churn <= 0:
            return None
        median = ceil(round(log(0.5) / log1p(-curve.churn), 9))
        return Lifetime(median, 1 / curve.churn, sqrt(1 - curve.churn) / curve.churn)
    median = next((t for t in range(1, 1200) if stays(curve, t) <= 0.5), 1200)
    if curve.alpha <= 1:
        return Lifetime(median, None, None)
    return Lifetime(median, (curve.alpha + curve.beta - 1) / (curve.alpha - 1), None)


def fitted(sights: Iterable[Sight]) -> Fit | None:
    """Return the churn that cohorts show; None where they show nothing."""
    known = tuple(one for one in sights if one.number > 0 and one.seen)
    if not known:
        return None
    flat = _best(lambda params: likelihood(_constant(params), known), (-3.0,))
    plain, ages = _constant(flat), {age for one in known for age, _ in one.seen}
    if len(ages) > 1:
        bent = _best(lambda params: likelihood(_changing(params), known), (-2.0, 1.0))
        gain = likelihood(_changing(bent), known) - likelihood(plain, known)
        if 2 * gain > log(sum(one.number for one in known)):
            return _fit(_changing, bent, known)
    return _fit(_constant, flat, known)


def likelihood(curve: Curve, sights: Iterable[Sight]) -> float:
    """Return the log-likelihood of a curve (without constant terms): how likely losses fall between
    the ages at which a cohort was seen, and how likely the rest stays."""
    total = 0.0
    for one in sights:
        points = ((0.0, one.number), *one.seen)
        for (age, before), (later, left) in pairwise(points):
            lost = stays(curve, age) - stays(curve, later)
            total += (before - left) * log(max(lost, 1e-300)) if before > left else 0.0
        age, left = points[-1]
        total += left * log(max(stays(curve, age), 1e-300))
    return total


def _fit(make: Callable[[Params], Curve], best: Params, known: tuple[Sight, ...]) -> Fit:
    ways = _deviations(lambda params: likelihood(make(params), known), best)
    sides = (
        (
            make(tuple(b - w for b, w in zip(best, way, strict=True))),
            make(tuple(b + w for b, w in zip(best, way, strict=True))),
        )
        for way in ways
    )
    return Fit(make(best), tuple(sides))


def _constant(params: Params) -> Constant:
    return Constant(_share(params[0]))


def _changing(params: Params) -> Changing:
    """From the mean churn of newcomers and how alike subscribers are, which hardly depend on each
    other."""
    mean, alike = _share(params[0]), exp(min(max(params[1], LOWEST), HIGHEST))
    return Changing(mean * alike, (1 - mean) * alike)


def _share(number: float) -> float:
    return 1 / (1 + exp(-min(max(number, LOWEST), HIGHEST)))


@lru_cache(4096)
def _log_stays(curve: Changing, age: float) -> float:
    """ln S(t) = ln B(alpha, beta + t) - ln B(alpha, beta)."""
    both = curve.alpha + curve.beta
    rest = lgamma(curve.beta + age) - lgamma(curve.beta)
    return rest - lgamma(both + age) + lgamma(both)


# --- the largest likelihood -----------------------------------------------------------------


def _best(score: Callable[[Params], float], start: Params) -> Params:
    """Climb to the top by steps along each direction, halved where none leads up."""
    at, top, step = start, score(start), 1.0
    ways = _directions(len(start))
    while step > 1e-5:
        tries = [tuple(a + step * w for a, w in zip(at, way, strict=True)) for way in ways]
        found, where = max((score(one), one) for one in tries)
        if found > top and max(map(abs, where)) <= HIGHEST:
            at, top = where, found
        else:
            step /= 2
    return at


def _directions(size: int) -> tuple[Params, ...]:
    if size == 1:
        return ((1.0,), (-1.0,))
    steps = (-1.0, 0.0, 1.0)
    return tuple((a, b) for a in steps for b in steps if a or b)


def _deviations(score: Callable[[Params], float], at: Params) -> tuple[Params, ...]:
    """One standard deviation in each independent direction, from the curvature at the top (the
    columns of the covariance's Cholesky factor); () where the top is flat or at an edge."""
    h = 1e-3
    if max(map(abs, at)) >= HIGHEST - 1:
        return ()

    def bend(i: int, j: int) -> float:
        def moved(a: float, b: float) -> float:
            params = list(at)
            params[i] += a * h
            params[j] += b * h
            return score(tuple(params))

        return -(moved(1, 1) - moved(1, -1) - moved(-1, 1) + moved(-1, -1)) / (4 * h * h)

    first = bend(0, 0)
    if len(at) == 1:
        return ((1 / sqrt(first),),) if 0 < first < inf else ()
    second, cross = bend(1, 1), bend(0, 1)
    held = first * second - cross * cross
    if not (first > 0 and held > 0):
        return ()
    a = sqrt(second / held)
    b = -cross / held / a
    return ((a, b), (0.0, sqrt(max(first / held - b * b, 0.0))))

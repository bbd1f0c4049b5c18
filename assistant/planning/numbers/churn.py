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

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from itertools import pairwise
from math import ceil, exp, lgamma, log, log1p, sqrt

from assistant.planning.model import Record

Params = tuple[float, ...]
Score = Callable[[Params], float]
LOWEST, HIGHEST = -9.0, 9.0  # of a parameter, on the scale on which it is fitted
STEP, ROUNDS = 1e-3, 60  # of differences, of the climb


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
    later = _weight(curve.alpha, curve.beta, age + months)
    return exp(later - _weight(curve.alpha, curve.beta, age))


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
    seen = _Seen(known)
    flat = _best(lambda params: seen.likelihood(_constant(params)), (-3.0,))
    if len({age for one in known for age, _ in one.seen}) > 1:
        bent = _best(lambda params: seen.likelihood(_changing(params)), (-2.0, 1.0))
        gain = seen.likelihood(_changing(bent)) - seen.likelihood(_constant(flat))
        if 2 * gain > log(sum(one.number for one in known)):
            return _fit(_changing, bent, seen)
    return _fit(_constant, flat, seen)


def likelihood(curve: Curve, sights: Iterable[Sight]) -> float:
    """Return the log-likelihood of a curve (without constant terms): how likely losses fall between
    the ages at which a cohort was seen, and how likely the rest stays."""
    return _Seen(tuple(sights)).likelihood(curve)


class _Seen:
    """What was seen of all cohorts, laid together by age."""

    def __init__(self, sights: tuple[Sight, ...]) -> None:
        lost: Counter[tuple[float, float]] = Counter()
        left: Counter[float] = Counter()
        for one in sights:
            points = ((0.0, one.number), *one.seen)
            for (age, before), (later, after) in pairwise(points):
                lost[age, later] += before - after
            left[points[-1][0]] += points[-1][1]
        self._lost = tuple((ages, many) for ages, many in lost.items() if many)
        self._left = tuple((age, many) for age, many in left.items() if many)
        ages = {age for pair, _ in self._lost for age in pair}
        self._ages = tuple(ages.union(age for age, _ in self._left))

    def likelihood(self, curve: Curve) -> float:
        share = {age: max(stays(curve, age), 1e-300) for age in self._ages}
        total = sum(many * log(share[age]) for age, many in self._left)
        for (age, later), many in self._lost:
            total += many * log(max(share[age] - share[later], 1e-300))
        return total


def _fit(make: Callable[[Params], Curve], best: Params, seen: _Seen) -> Fit:
    ways = _deviations(lambda params: seen.likelihood(make(params)), best)
    sides = (
        (
            make(_aside(best, {n: -by for n, by in enumerate(way)})),
            make(_aside(best, dict(enumerate(way)))),
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


def _weight(alpha: float, beta: float, age: float) -> float:
    """ln S(age) = ln B(alpha, beta + age) - ln B(alpha, beta), but for what is the same at every
    age."""
    return lgamma(beta + age) - lgamma(alpha + beta + age)


# --- the largest likelihood -----------------------------------------------------------------

Matrix = tuple[float, float, float]  # of two by two and symmetric: first, cross, second


def _best(score: Score, start: Params) -> Params:
    """Climb to the top by Newton's steps, shortened until each leads up (Levenberg, 1944;
    attribution from memory)."""
    at, top, damp = start, score(start), 1e-3
    for _ in range(ROUNDS):
        slope, bent = _slope(score, at), _bent(score, at)
        while True:
            where = _moved(at, _solved(bent, slope, damp))
            found = score(where)
            if found >= top:
                break
            damp *= 10
            if damp > 1e9:
                return at
        gain, at, top, damp = found - top, where, found, damp / 10
        if gain < 1e-9:
            break
    return at


def _moved(at: Params, by: Params) -> Params:
    """A step of at most 2 in each direction, inside the range of the parameters."""
    steps = (min(max(step, -2.0), 2.0) for step in by)
    moved = (a + step for a, step in zip(at, steps, strict=False))
    return tuple(min(max(one, LOWEST), HIGHEST) for one in moved)


def _solved(bent: Matrix, slope: Params, damp: float) -> Params:
    """Newton's step, the curvature made steep enough to lead up."""
    first, cross, second = bent
    first, second = first + damp * (1 + abs(first)), second + damp * (1 + abs(second))
    held = first * second - cross * cross
    if first <= 0 or held <= 0:  # no top near: along the slope
        return tuple(one / (damp + abs(first) + abs(second)) for one in slope)
    up, across = (*slope, 0.0)[:2]
    return (second * up - cross * across) / held, (first * across - cross * up) / held


def _slope(score: Score, at: Params) -> Params:
    def along(place: int) -> float:
        low, high = (_aside(at, {place: side}) for side in (-STEP, STEP))
        return (score(high) - score(low)) / (2 * STEP)

    return tuple(along(place) for place in range(len(at)))


def _bent(score: Score, at: Params) -> Matrix:
    """How steeply the score falls away on all sides."""
    top = score(at)

    def along(place: int) -> float:
        low, high = (score(_aside(at, {place: side})) for side in (-STEP, STEP))
        return (2 * top - low - high) / STEP**2

    if len(at) == 1:
        return along(0), 0.0, 0.0
    same = score(_aside(at, {0: STEP, 1: STEP})) + score(_aside(at, {0: -STEP, 1: -STEP}))
    other = score(_aside(at, {0: STEP, 1: -STEP})) + score(_aside(at, {0: -STEP, 1: STEP}))
    return along(0), (other - same) / (4 * STEP**2), along(1)


def _aside(at: Params, by: Mapping[int, float]) -> Params:
    return tuple(one + by.get(place, 0.0) for place, one in enumerate(at))


def _deviations(score: Score, at: Params) -> tuple[Params, ...]:
    """One standard deviation in each independent direction, from the curvature at the top (the
    columns of the covariance's Cholesky factor); () where the top is flat or at an edge."""
    first, cross, second = _bent(score, at)
    if max(map(abs, at)) >= HIGHEST - 1:
        return ()
    if len(at) == 1:
        return ((1 / sqrt(first),),) if first > 0 else ()
    held = first * second - cross * cross
    if first <= 0 or held <= 0:
        return ()
    along = sqrt(second / held)
    across = -cross / held / along
    return ((along, across), (0.0, sqrt(max(first / held - across * across, 0.0))))

"""How many join and leave: as the owner told, or learned from her counts and cohorts.

Knows: counts, cohorts, joins and churn as told. Must not know: boxes, words. Invariants: what was
told holds; what was not told is learned from cohorts (churn), then from counts; with neither joins
nor churn known, the counts tell the net change alone; nothing is known of joins or churn unless
something shows them.
"""

from calendar import monthrange
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise
from typing import Literal

from assistant.planning.calendars import cached_by_identity
from assistant.planning.model import Books, Cohort, Count, Profile, Record
from assistant.planning.numbers.churn import Constant, Curve, Fit, Sight, fitted, joined, stays
from assistant.planning.numbers.survivors import NORMAL, student

APART = timedelta(20)  # days between counts that tell of a change; our choice, no source
LOOK_BACK = timedelta(400)  # counts from longer before the newest tell of another time; ours
TURNOVER, GUESS = 0.05, 3
MOST_CHURN = 0.95  # a month, that can be learned

Known = Literal["", "told", "cohorts", "counts"]


class Way(Record):
    """One way that it may go: joins a month, and how subscribers stay."""

    joins: float
    curve: Curve


class Net(Record):
    """The net change a month, and its variance from month to month, over so many months;
    `wider` by how much a range is wider than the normal one because so few counts show it."""

    change: float
    variance: float
    months: float
    wider: float


class Flow(Record):
    """What is known: where from, of how many counts, and the way it goes. `sides` are the ways one
    standard deviation to either side in each direction of doubt; `net` stands instead of both
    where only the counts are known. `beyond`: the counts rose by more than the joins told, or fell
    by more than the churn known, so the other was taken to be none."""

    way: Way
    joins_from: Known = ""
    churn_from: Known = ""
    counts: int = 0
    sides: tuple[tuple[Way, Way], ...] = ()
    net: Net | None = None
    beyond: bool = False


class Step(Record):
    """From one count to the next: subscribers before and after, months between, and the age of
    those before."""

    before: int
    after: int
    months: float
    age: float


def months(first: date, last: date) -> float:
    """Return the months from one day to a later one: whole ones from day to day (or to the end of
    a shorter month), and the part of one that is left; 0 where the later is not later."""
    if last <= first:
        return 0.0
    whole = (last.year - first.year) * 12 + last.month - first.month
    if _on(first, whole) > last:
        whole -= 1
    since = _on(first, whole)
    return whole + (last - since).days / (_on(first, whole + 1) - since).days


def _on(first: date, ahead: int) -> date:
    years, month = divmod(first.month - 1 + ahead, 12)
    year, month = first.year + years, month + 1
    return date(year, month, min(first.day, monthrange(year, month)[1]))


def newest(counts: tuple[Count, ...], today: date) -> Count | None:
    """Return the newest count up to a day."""
    known = (one for one in counts if one.on <= today)
    return max(known, key=lambda one: one.on, default=None)


def counted(profile: tuple[Profile, ...], counts: tuple[Count, ...], today: date) -> Count:
    """Return what is gone by: the newest count, else the shop's number as if counted today."""
    number = profile[0].subscribers if profile else 0
    return newest(counts, today) or Count("", today, number)


@cached_by_identity(8)
def flow(
    books: tuple[Books, ...], counts: tuple[Count, ...], cohorts: tuple[Cohort, ...], today: date
) -> Flow:
    """Return what is known of joins and churn on a day."""
    told = books[0] if books else Books()
    fit = None if told.churn is not None else _shown(cohorts)
    used = _used(counts, today)
    steps = _steps(used, oldest(cohorts))
    joins = None if told.joins is None else float(told.joins)
    by: Known = "told" if told.churn is not None else "cohorts" if fit else ""
    curve = Constant(float(told.churn) / 100) if told.churn is not None else fit and fit.curve
    if joins is None and curve is None:
        net = _net(steps)
        known: Known = "counts" if net else ""
        return Flow(Way(0.0, Constant()), known, known, len(used), net=net)
    if curve is None and joins is not None:
        return _with_churn(joins, steps, len(used))
    fit = fit or Fit(curve or Constant())
    if joins is None:
        return _with_joins(fit, by, steps, len(used))
    return Flow(Way(joins, fit.curve), "told", by, len(used), _curves(joins, fit))


def _curves(joins: float, fit: Fit) -> tuple[tuple[Way, Way], ...]:
    return tuple((Way(joins, low), Way(joins, high)) for low, high in fit.sides)


def oldest(cohorts: tuple[Cohort, ...]) -> date | None:
    """Return the day in the middle of the month in which the oldest cohort joined."""
    return min((middle(one.joined) for one in cohorts), default=None)


def middle(month: str) -> date:
    """Return the middle of a month, for those who joined in it."""
    return date(int(month[:4]), int(month[5:7]), 15)


# --- learned --------------------------------------------------------------------------------


@cached_by_identity(4)
def _shown(cohorts: tuple[Cohort, ...]) -> Fit | None:
    """The churn that the cohorts show."""
    seen: dict[str, list[Cohort]] = {}
    for one in sorted(cohorts, key=lambda one: one.on):
        seen.setdefault(one.joined, []).append(one)
    return fitted(map(_sight, seen.values()))


def _sight(found: list[Cohort]) -> Sight:
    """All that is known of one cohort; nobody comes back."""
    left, points = found[0].number, []
    for one in found:
        left = min(left, one.left)
        points.append((max(months(middle(one.joined), one.on), 0.01), left))
    return Sight(found[0].number, tuple(points))


def _used(counts: tuple[Count, ...], today: date) -> list[Count]:
    """The counts that tell of change, the oldest first: the newest, and backwards from it those
    far enough apart."""
    used: list[Count] = []
    for one in sorted((one for one in counts if one.on <= today), key=lambda one: one.on)[::-1]:
        if not used or (used[-1].on - one.on >= APART and used[0].on - one.on <= LOOK_BACK):
            used.append(one)
    return used[::-1]


def _steps(used: list[Count], since: date | None) -> tuple[Step, ...]:
    return tuple(
        Step(
            first.subscribers,
            then.subscribers,
            months(first.on, then.on),
            months(since, first.on) if since else 0.0,
        )
        for first, then in pairwise(used)
    )


def _net(steps: tuple[Step, ...]) -> Net | None:
    """The net change a month: the counts walk at random about it.

    Few counts show little of the variance, so it begins with a guess that weighs as much as `GUESS`
    changes: that of a shop in which `TURNOVER` of all leave a month and as many join (Poisson).
    Ranges are those of Student's t. Source: textbook statistics (a scaled inverse chi-squared
    guess), no one source; the guess is ours.
    """
    if not steps:
        return None
    length = sum(one.months for one in steps)
    change = sum(one.after - one.before for one in steps) / length
    guess = max(2 * TURNOVER * steps[-1].after, abs(change), 1.0)
    off = ((one.after - one.before - change * one.months) ** 2 / one.months for one in steps)
    freedom = GUESS + len(steps) - 1
    wider = student(0.95, freedom) / NORMAL.inv_cdf(0.95)
    return Net(change, (GUESS * guess + sum(off)) / freedom, length, wider)


def _with_churn(joins: float, steps: tuple[Step, ...], counts: int) -> Flow:
    """Churn from counts, the joins told: the one at which as many are left as were counted."""
    if not steps:
        return Flow(Way(joins, Constant()), "told", "", counts)

    def over(churn: float) -> float:
        return sum(_expected(one, joins, Constant(churn)) - one.after for one in steps)

    low, high = 0.0, MOST_CHURN
    for _ in range(50):
        churn = (low + high) / 2
        low, high = (churn, high) if over(churn) > 0 else (low, churn)
    way = Way(joins, Constant(low))
    slope = (over(low) - over(low + 1e-5)) / 1e-5
    sd = (_scatter(steps, way) ** 0.5) / slope if slope > 0 else 0.0
    sides = (_either(low, sd, lambda one: Way(joins, Constant(min(one, MOST_CHURN)))),)
    return Flow(way, "told", "counts", counts, sides, beyond=over(0.0) < 0)


def _with_joins(fit: Fit, by: Known, steps: tuple[Step, ...], counts: int) -> Flow:
    """Joins from counts, the churn known: those that the counts need beside it."""
    if not steps:
        return Flow(Way(0.0, fit.curve), "", by, counts, _curves(0.0, fit))
    share = sum(joined(fit.curve, one.months) for one in steps)
    lacking = sum(one.after - _expected(one, 0.0, fit.curve) for one in steps) / share
    joins = max(lacking, 0.0)
    way = Way(joins, fit.curve)
    sd = _scatter(steps, way) ** 0.5 / share
    sides = (_either(joins, sd, lambda one: Way(one, fit.curve)), *_curves(joins, fit))
    return Flow(way, "counts", by, counts, sides, beyond=lacking < 0)


def _either(at: float, sd: float, make: Callable[[float], Way]) -> tuple[Way, Way]:
    return make(max(at - sd, 0.0)), make(at + sd)


def _expected(step: Step, joins: float, curve: Curve) -> float:
    kept = step.before * stays(curve, step.months, step.age)
    return kept + joins * joined(curve, step.months)


def _scatter(steps: tuple[Step, ...], way: Way) -> float:
    """The variance of all changes together: binomial and Poisson, more where the counts scatter
    more."""
    total = scattered = 0.0
    for one in steps:
        share = stays(way.curve, one.months, one.age)
        variance = one.before * share * (1 - share) + way.joins * joined(way.curve, one.months)
        total += variance
        off = one.after - _expected(one, way.joins, way.curve)
        scattered += off * off / max(variance, 1e-9)
    freedom = len(steps) - 1
    return total * max(1.0, scattered / freedom if freedom else 1.0)

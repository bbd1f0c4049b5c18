"""How many subscribers each box will have.

Knows: counts, joins and churn (flows.py), groups who are not as the others. Must not know: what is
ordered for them. Invariants: without any word on joins or churn, the last count holds; churn comes
before joins in every month; the parts of an `Expected` add up to its mean.

Those whose gift or prepaid term runs do not leave; when it has ended, the share that renews stays
and is as the others. Paused subscribers and skippers are in the count and get no box.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from functools import partial

from assistant.planning.calendars import NO_PROFILE, cached_by_identity, calendars
from assistant.planning.deadlines import ship_date
from assistant.planning.model import (
    Almanac,
    Books,
    Box,
    Cohort,
    Count,
    Group,
    House,
    Mark,
    Profile,
    Record,
    Shop,
    Supplier,
)
from assistant.planning.numbers.churn import Constant, joined, stays
from assistant.planning.numbers.flows import Flow, Way, counted, flow, middle, months
from assistant.planning.numbers.survivors import Total
from assistant.planning.numbers.survivors import survivors as survivors
from assistant.planning.shipping import shipped
from assistant.planning.stages import Starts, starts, workings

COUNT = "count"  # the stage at which subscribers are counted for a box
TERMS = ("gift", "prepaid")
LOW, HIGH = 0.05, 0.95  # between these quantiles nine times in ten


class Expected(Record):
    """How many boxes go out, as expected on a day.

    `on` is the day on which subscribers are counted for the box; `mean` and `sd` are of boxes;
    between `low` and `high` nine times in ten. The parts: `counted` on `since`, those of them who
    leave until `on` (`leavers`), those who join and are still there (`joins`), or the `net` change
    where only that is known; `skips`, `pauses`, `ending` (gifts and prepaid terms that are not
    renewed), `one_offs`. `paying` are expected to pay a renewal: gifts, prepaid terms and one-offs
    do not.
    """

    box: str
    on: date
    mean: float
    sd: float
    low: int
    high: int
    counted: int = 0
    since: date = date.min
    joins: float = 0.0
    leavers: float = 0.0
    net: float = 0.0
    skips: int = 0
    pauses: int = 0
    ending: float = 0.0
    one_offs: int = 0
    paying: float = 0.0
    total: Total = Total()


def expected(shop: Shop, box_id: str, today: date) -> Expected:
    """Return how many boxes of a month are expected to go out, whether it is planned or not."""
    found = _by_box(forecast(shop, today)).get(box_id)
    return found or _outlook(shop, today).of(
        box_id, _count_day(shop, starts(shop.runs), box_id, today)
    )


def forecast(shop: Shop, today: date) -> tuple[Expected, ...]:
    """Return what is expected of every box that is still to ship, in the order of the boxes."""
    return _forecast(
        shop.house,
        shop.profile,
        shop.suppliers,
        shop.boxes,
        shop.ledger,
        shop.almanac,
        shop.books,
        shop.counts,
        shop.cohorts,
        shop.groups,
        starts(shop.runs),
        today,
    )


def paying(shop: Shop, box_id: str, today: date) -> float:
    """Return how many subscribers are expected to pay a renewal for a box."""
    return expected(shop, box_id, today).paying


def flow_of(shop: Shop, today: date) -> Flow:
    """Return what is known of joins and churn."""
    return flow(shop.books, shop.counts, shop.cohorts, today)


def count_of(shop: Shop, today: date) -> Count:
    """Return the count that all is reckoned from."""
    return counted(shop.profile, shop.counts, today)


def group_id(group: Group) -> str:
    """Return the id that a group has: one of the same kind and boxes takes its place."""
    return "/".join(filter(None, (group.group, group.first, group.last)))


def groups_ahead(shop: Shop, today: date) -> tuple[Group, ...]:
    """Return the groups that still make a difference, the earliest first: skips and single boxes
    of boxes that have not shipped, pauses that go on, terms that end this month or later."""
    month = f"{today:%Y-%m}"
    ahead = (
        one
        for one in shop.groups
        if (one.last >= month if one.last else one.group == "pause" or one.first >= month)
    )
    return tuple(sorted(ahead, key=lambda one: (one.first or one.last, one.id)))


@cached_by_identity(4)
def _forecast(
    house: House,
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    boxes: tuple[Box, ...],
    ledger: tuple[Mark, ...],
    almanac: tuple[Almanac, ...],
    books: tuple[Books, ...],
    counts: tuple[Count, ...],
    cohorts: tuple[Cohort, ...],
    groups: tuple[Group, ...],
    chosen: Starts,
    today: date,
) -> tuple[Expected, ...]:
    shop = Shop(
        id="",
        house=house,
        profile=profile,
        suppliers=suppliers,
        boxes=boxes,
        ledger=ledger,
        almanac=almanac,
        books=books,
        counts=counts,
        cohorts=cohorts,
        groups=groups,
    )
    outlook, day = _outlook(shop, today), partial(_count_day, shop, chosen, today=today)
    coming = sorted(box.id for box in boxes if not shipped(shop, box.id, today))
    return tuple(outlook.of(id, day(id)) for id in coming)


@cached_by_identity(4)
def _by_box(found: tuple[Expected, ...]) -> Mapping[str, Expected]:
    return {one.box: one for one in found}


def _count_day(shop: Shop, chosen: Starts, box_id: str, today: date) -> date:
    """The day on which subscribers are counted for a box: the deadline of its count, else its ship
    date, else the 15th of its month."""
    ship = ship_date(shop, box_id, today) or middle(box_id)
    known = calendars(shop, today)
    made = workings(shop.house, shop.profile or NO_PROFILE, shop.suppliers, known)
    names = made.layout.names
    days = [0] * len(names) + [ship.toordinal()]
    made.box_from(dict(chosen).get(box_id), ship).lay(days)
    found = days[made.layout.place(COUNT)] if COUNT in names else 0
    return date.fromordinal(found) if found else ship


def _outlook(shop: Shop, today: date) -> "Outlook":
    return _outlook_of(shop.profile, shop.books, shop.counts, shop.cohorts, shop.groups, today)


class Outlook:
    """What is known of a shop's subscribers, to be looked at box by box."""

    def __init__(
        self, base: Count, known: Flow, cohorts: tuple[Cohort, ...], groups: tuple[Group, ...]
    ) -> None:
        self._base, self._flow, self._groups = base, known, groups
        self._terms = tuple(one for one in groups if one.group in TERMS and not self._ended(one))
        self._held = min(sum(one.number for one in self._terms), base.subscribers)
        self._aged = self._by_age(base.subscribers - self._held, cohorts)

    def of(self, box: str, on: date) -> Expected:
        """What is expected of a box whose subscribers are counted on a day."""
        ahead, way = months(self._base.on, on), self._flow.way
        net = self._flow.net
        drift = net.change * ahead if net else 0.0
        people = self._staying(way, ahead)
        ended = [one for one in self._terms if one.last < box]
        renewed = tuple((one.number, self._renewal(one, way, on)) for one in ended)
        running = self._held - min(sum(one.number for one in ended), self._held)
        skips, pauses, singles = (self._away(kind, box) for kind in ("skip", "pause", "one-off"))
        joins = way.joins * joined(way.curve, ahead)
        fixed = running + singles - skips - pauses + drift
        total = Total((*people, *renewed), joins, fixed, self._doubt(ahead))
        staying, renewing = _sum(people), _sum(renewed)
        return Expected(
            box=box,
            on=on,
            mean=max(total.mean, 0.0),
            sd=total.sd,
            low=max(total.quantile(LOW), 0),
            high=max(total.quantile(HIGH), 0),
            counted=self._base.subscribers,
            since=self._base.on,
            joins=joins,
            leavers=sum(n for n, _ in people) - staying,
            net=drift,
            skips=skips,
            pauses=pauses,
            ending=sum(one.number for one in ended) - renewing,
            one_offs=singles,
            paying=max(staying + renewing + joins + drift - skips - pauses, 0.0),
            total=total,
        )

    def _ended(self, term: Group) -> bool:
        """Whether a term had ended when subscribers were counted: the count knows it already."""
        return term.last[:7] < f"{self._base.on:%Y-%m}"

    def _by_age(self, number: int, cohorts: tuple[Cohort, ...]) -> tuple[tuple[int, float], ...]:
        """Subscribers by age: those of each cohort, as last seen; all others are taken to have
        been there as long as the oldest of them."""
        if isinstance(self._flow.way.curve, Constant):
            return ((number, 0.0),)
        latest = {one.joined: one for one in sorted(cohorts, key=lambda one: one.on)}
        found, left = [], number
        for one in sorted(latest.values(), key=lambda one: one.joined, reverse=True):
            age = months(middle(one.joined), self._base.on)
            seen = months(middle(one.joined), one.on)
            share = stays(self._flow.way.curve, max(age - seen, 0.0), seen)
            here = min(round(one.left * share), left)
            found.append((here, age))
            left -= here
        return (*found, (left, max((age for _, age in found), default=0.0)))

    def _staying(self, way: Way, ahead: float) -> tuple[tuple[int, float], ...]:
        return tuple((number, stays(way.curve, ahead, age)) for number, age in self._aged if number)

    def _renewal(self, term: Group, way: Way, on: date) -> float:
        """The chance that one of a term that ended is still there: she renewed, and stayed since
        the month after the last box of her term."""
        since = max(months(middle(term.last), on) - 1, 0.0)
        return float(term.renew or 0) / 100 * stays(way.curve, since)

    def _away(self, kind: str, box: str) -> int:
        """Those of a kind of group who do not get a box, or get it singly."""
        return sum(
            one.number
            for one in self._groups
            if one.group == kind and (one.first == box if kind != "pause" else _paused(one, box))
        )

    def _doubt(self, ahead: float) -> float:
        """The variance of the mean: half the way from one side of a doubt to the other, squared."""
        net = self._flow.net
        if net is not None:
            return net.variance * ahead * (1 + ahead / net.months) * net.wider**2
        means = ([self._mean(side, ahead) for side in pair] for pair in self._flow.sides)
        return sum(((high - low) / 2) ** 2 for low, high in means)

    def _mean(self, way: Way, ahead: float) -> float:
        return _sum(self._staying(way, ahead)) + way.joins * joined(way.curve, ahead)


@cached_by_identity(8)
def _outlook_of(
    profile: tuple[Profile, ...],
    books: tuple[Books, ...],
    counts: tuple[Count, ...],
    cohorts: tuple[Cohort, ...],
    groups: tuple[Group, ...],
    today: date,
) -> Outlook:
    known = flow(books, counts, cohorts, today)
    return Outlook(counted(profile, counts, today), known, cohorts, groups)


def _paused(one: Group, box: str) -> bool:
    return one.first <= box and (not one.last or box < one.last)


def _sum(people: Iterable[tuple[int, float]]) -> float:
    return sum(number * share for number, share in people)

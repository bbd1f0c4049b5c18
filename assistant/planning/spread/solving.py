"""The year of boxes as a model for the solver: each type picks one of its ways to return.

Knows: ways, rooms, types that stay apart. Must not know: items, dates. Invariants: the aims come
one after the other and no later one spoils an earlier: as few returns in two boxes running as
there must be, as even as can be, costs as level as can be within a band, themes that suit, as few
changes as can be. The same wishes give the same year.

A type's ways are looked for up to a margin above its own best. A year that weighs no more than the
margin above the sum of all bests cannot be beaten by one that has a way beyond it: then it is the
most even of all; else the margin is widened to what that year weighs.
"""

from collections.abc import Sequence
from itertools import combinations
from math import ceil, inf, isinf
from typing import NamedTuple

from assistant.planning.spread.boxes import least_running
from assistant.planning.spread.highs import Answer, Model, solve
from assistant.planning.spread.placements import Way, bands
from assistant.planning.spread.problem import Wanted, Year

BAND = 0.02  # of a box's mean cost: how far from level is level enough
LEVEL_NODES = 100

Pool = list[tuple[Way, ...]]


class Picked(NamedTuple):
    """One way for each type, in their order. No year has less unevenness than `bound`."""

    ways: tuple[Way, ...]
    bound: int

    @property
    def uneven(self) -> int:
        """The unevenness of the year."""
        return sum(way.uneven for way in self.ways)

    @property
    def running(self) -> int:
        """Its returns in two boxes running."""
        return sum(way.running for way in self.ways)


def best(year: Year) -> Picked | None:
    """The best year by all aims, or None where the wishes cannot all hold."""
    least = least_running(year)
    if least.values is None:
        return None
    even = most_even(year, round(least.value))
    pool = within(year, even.uneven - sum(bests(year, even.running)), even.running)
    picked = level(year, pool, even.ways, even.uneven, even.running)
    return Picked(suited(year, pool, picked, even.uneven, even.running), even.bound)


def most_even(year: Year, running: int) -> Picked:
    """The most even year with so many returns running; there must be one."""
    least = sum(bests(year, running))
    margin = year.boxes**2
    while True:
        pool = within(year, margin, running)
        answer = solve(Picking(year, pool, running).minimise("uneven"))
        if answer.values is None:
            margin *= 4
            continue
        found = picked_of(pool, answer.values)
        above = sum(way.uneven for way in found) - least
        if above <= margin or margin >= year.boxes**2 * 4**6:
            return Picked(found, _bound(answer, least + margin))
        margin = above


def _bound(answer: Answer, beyond: int) -> int:
    """What no year can beat: the solver's bound, or that of ways that were left out."""
    return min(ceil(answer.bound - 1e-6), beyond) if not isinf(answer.bound) else 0


def bests(year: Year, running: int) -> tuple[int, ...]:
    """The least unevenness of each type by itself."""
    return tuple(bands(year, wanted, running)[0].uneven for wanted in year.wanted)


def within(year: Year, margin: int, running: int) -> Pool:
    """The ways of each type that weigh at most `margin` more than its best."""
    return [bands(year, wanted, running, margin) for wanted in year.wanted]


class Picking:
    """The model: a column for each way, one way for each type, room and company in each box."""

    def __init__(self, year: Year, pool: Pool, running: int) -> None:
        self.model = Model()
        self.year, self.pool = year, pool
        self.at = [[self.model.column() for _ in found] for found in pool]
        self._inside: list[dict[int, list[int]]] = []
        for found, columns in zip(pool, self.at, strict=True):
            self.model.row(((column, 1.0) for column in columns), 1, 1)
            inside: dict[int, list[int]] = {}
            for one, column in zip(found, columns, strict=True):
                for box in one.boxes:
                    inside.setdefault(box, []).append(column)
            self._inside.append(inside)
        self._share()
        if running:
            self.bound("running", running)

    def _share(self) -> None:
        year = self.year
        for box, room in enumerate(year.room):
            there = [(n, w) for n, w in enumerate(year.wanted) if box in self._inside[n]]
            if room is not None and sum(wanted.room for _, wanted in there) > room:
                fixed = sum(wanted.room for _, wanted in there if box in wanted.fixed)
                terms = [(c, float(w.room)) for n, w in there for c in self._inside[n][box]]
                self.model.row(terms, upper=max(room, fixed))
            for (a, one), (b, other) in combinations(there, 2):
                both = box in one.fixed and box in other.fixed
                if (other.id in one.apart or one.id in other.apart) and not both:
                    columns = self._inside[a][box] + self._inside[b][box]
                    self.model.row(((column, 1.0) for column in columns), upper=1)

    def weigh(self, aim: str) -> list[tuple[int, float]]:
        """The columns with what each way weighs by an aim, where it weighs anything."""
        return [
            (column, float(weight))
            for wanted, found, columns in zip(self.year.wanted, self.pool, self.at, strict=True)
            for one, column in zip(found, columns, strict=True)
            if (weight := _weight(aim, wanted, one))
        ]

    def bound(self, aim: str, most: float) -> None:
        """Allow at most so much of an aim's weight."""
        self.model.row(self.weigh(aim), upper=most)

    def minimise(self, aim: str) -> Model:
        """Make an aim the cost; return the model."""
        for column, weight in self.weigh(aim):
            self.model.cost[column] = weight
        return self.model

    def costs(self, box: int) -> list[tuple[int, float]]:
        """The columns of a box with what they cost there."""
        return [
            (column, float(wanted.cost))
            for n, wanted in enumerate(self.year.wanted)
            if wanted.cost
            for column in self._inside[n].get(box, ())
        ]


def _weight(aim: str, wanted: Wanted, one: Way) -> int:
    match aim:
        case "uneven":
            return one.uneven
        case "running":
            return one.running
        case _:  # themes that suit, then returns that stay where they are
            suits, stays = (
                len({*boxes}.intersection(one.boxes)) for boxes in (wanted.suits, wanted.now)
            )
            return -1000 * suits - stays


def picked_of(pool: Pool, values: Sequence[float]) -> tuple[Way, ...]:
    """The ways whose columns are one."""
    picked, at = [], 0
    for found in pool:
        picked.append(next(one for n, one in enumerate(found, at) if values[n] > 0.5))
        at += len(found)
    return tuple(picked)


def spend(year: Year, picked: Sequence[Way]) -> tuple[int, ...]:
    """What the types in each box cost."""
    costs = [0] * year.boxes
    for wanted, one in zip(year.wanted, picked, strict=True):
        for box in one.boxes:
            costs[box] += wanted.cost
    return tuple(costs)


def band(year: Year) -> float:
    """How far from level is level enough, in hundredths."""
    return BAND * sum(wanted.cost * wanted.times for wanted in year.wanted) / year.boxes


def level(
    year: Year, pool: Pool, start: tuple[Way, ...], uneven: int, running: int
) -> tuple[Way, ...]:
    """The year whose cheapest and dearest box lie closest, to within the band."""
    if not any(wanted.cost for wanted in year.wanted):
        return start
    made = Picking(year, pool, running)
    made.bound("uneven", uneven)
    _bound_costs(made, cost=1)
    answer = solve(made.model, within=band(year), nodes=LEVEL_NODES)
    return start if answer.values is None else picked_of(pool, answer.values)


def _bound_costs(made: Picking, *, cost: float, most: float = inf) -> None:
    """Add the cheapest and the dearest box's cost; their difference is at most `most`."""
    low = made.model.column(-cost, inf, whole=False)
    high = made.model.column(cost, inf, whole=False)
    for box in range(made.year.boxes):
        terms = made.costs(box)
        made.model.row([*terms, (low, -1.0)], 0)
        made.model.row([*terms, (high, -1.0)], upper=0)
    made.model.row([(high, 1.0), (low, -1.0)], upper=most)


def suited(
    year: Year, pool: Pool, start: tuple[Way, ...], uneven: int, running: int
) -> tuple[Way, ...]:
    """The year whose types suit their boxes' themes best, and that changes least."""
    made = Picking(year, pool, running)
    model = made.minimise("suits")
    made.bound("uneven", uneven)
    if any(wanted.cost for wanted in year.wanted):
        costs = spend(year, start)
        _bound_costs(made, cost=0, most=max(max(costs) - min(costs), band(year)))
    answer = solve(model, nodes=LEVEL_NODES)
    return start if answer.values is None else picked_of(pool, answer.values)

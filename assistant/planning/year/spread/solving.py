"""The best year: the aims one after the other.

Knows: the order of the aims, what has been proved. Must not know: items, dates, how the model is
built. Invariants: no later aim spoils an earlier one: as few returns in two boxes running as there
must be, as even as can be, costs as level as can be within a band, themes that suit, as few changes
as can be. The same wishes give the same year.

A type's ways are looked at up to a margin above its own best. A year that weighs no more than the
margin above the sum of all bests cannot be beaten by one that has a way beyond it: then it is the
most even of all; else the margin is widened to what that year weighs, as far as it can be paid.
"""

from collections.abc import Sequence
from math import ceil, isinf
from typing import NamedTuple

from msgspec.structs import replace

from assistant.planning.year.spread.boxes import boxes_of, least_running
from assistant.planning.year.spread.catalogue import Catalogue, Pool
from assistant.planning.year.spread.highs import Answer, solve
from assistant.planning.year.spread.picking import Picking
from assistant.planning.year.spread.placements import Way, way
from assistant.planning.year.spread.problem import Year

BAND = 0.02  # of a box's mean cost: how far from level is level enough
EVEN_NODES, LEVEL_NODES = 400, 60
MOST_WAYS, MOST_LEVEL = 1500, 600  # ways to look at in all: for evenness, for the later aims
MANY = 8000  # ways to list in all
ENOUGH = 0.99  # a round that gains less is the last one where there are too many ways
EPSILON = 1e-6


class Picked(NamedTuple):
    """One way for each type, in their order.

    No year has less unevenness than `bound`; `level`: proved that no year as even has costs that
    are more level by more than the band.
    """

    ways: tuple[Way, ...]
    bound: int
    level: bool = False

    @property
    def uneven(self) -> int:
        """The unevenness of the year."""
        return sum(way.uneven for way in self.ways)

    @property
    def running(self) -> int:
        """Its returns in two boxes running."""
        return sum(way.running for way in self.ways)


class Search(NamedTuple):
    """A year with the ways that can be looked at, and how many returns may be running."""

    year: Year
    catalogue: Catalogue
    running: int

    def pool(self, uneven: int, most: int, *extra: tuple[Way, ...]) -> Pool:
        """The ways that can be in a year of so much unevenness; where they are more than `most`,
        those of them that the linear relaxation likes best. Those of the years `extra` are in."""
        pool = self.catalogue.within(uneven, MANY, *extra)
        if pool.size <= most:
            return pool
        reach = max(uneven, *(sum(way.uneven for way in one) for one in extra))
        made = Picking(self.year, pool, self.running)
        made.model.whole = [False] * len(made.model.whole)
        answer = solve(made.minimise("uneven"))
        return pool if answer.values is None else _trimmed(pool, answer, reach, most, extra)


def _trimmed(
    pool: Pool, answer: Answer, reach: int, most: int, extra: tuple[tuple[Way, ...], ...]
) -> Pool:
    """The ways of a pool by their reduced costs: a year that has a way weighs at least the
    relaxation's bound and the way's reduced cost."""
    floors = [ceil(answer.bound + cost - EPSILON) for cost in answer.reduced]
    able = sorted(floor for floor in floors if floor <= reach)
    cut = len(able) > most
    highest = able[most] - 1 if cut else reach
    ways, at = [], 0
    for n, own in enumerate(pool.ways):
        kept = {one[n] for one in extra}
        ways.append(
            [one for one, f in zip(own, floors[at:], strict=False) if f <= highest or one in kept]
        )
        at += len(own)
    return Pool(ways, min(pool.floor, highest + 1), pool.cut or cut)


def best(year: Year) -> tuple[Search, Picked] | None:
    """The best year by all aims, or None where none was found."""
    least = least_running(year)
    if least.values is None:
        return None
    start = tuple(
        way(wanted, boxes, year.boxes)
        for wanted, boxes in zip(year.wanted, boxes_of(year, least.values), strict=True)
    )
    running = sum(one.running for one in start)
    search = Search(year, Catalogue(year, running_each(year, running)), running)
    even = most_even(search, start)
    pool = search.pool(even.uneven, MOST_LEVEL, even.ways)
    levelled, proved = _level(search, pool, even)
    level = proved and not pool.cut
    return search, Picked(_suited(search, pool, levelled), even.bound, level)


def running_each(year: Year, running: int) -> tuple[int, ...]:
    """How many returns of each type may be running: what it cannot do without, and what is left
    over of the year's."""
    if not running:
        return (0,) * len(year.wanted)
    alone = [least_running(replace(year, wanted=(wanted,))).value for wanted in year.wanted]
    left = running - round(sum(alone))
    return tuple(round(own) + left for own in alone)


def most_even(search: Search, start: tuple[Way, ...]) -> Picked:
    """The most even year; `start` is one in which all wishes hold."""
    uneven, bound = search.catalogue.least + search.year.boxes**2, 0
    while True:
        pool = search.pool(uneven, MOST_WAYS, start)
        made = Picking(search.year, pool, search.running)
        answer = solve(made.minimise("uneven"), nodes=EVEN_NODES)
        ways = start if answer.values is None else made.picked(answer.values)
        bound = max(bound, _bound(answer, pool.floor))
        found = Picked(ways, bound)
        gained = found.uneven < ENOUGH * sum(one.uneven for one in start)
        if found.uneven <= bound or (search.catalogue.full and not gained):
            return found
        start, uneven = ways, found.uneven


def _bound(answer: Answer, beyond: int) -> int:
    """What no year can beat: the solver's bound, or that of ways that were left out."""
    return 0 if isinf(answer.bound) else min(ceil(answer.bound - EPSILON), beyond)


def spend(year: Year, picked: Sequence[Way]) -> tuple[int, ...]:
    """What the types in each box cost, in hundredths."""
    costs = [0] * year.boxes
    for wanted, one in zip(year.wanted, picked, strict=True):
        for box in one.boxes:
            costs[box] += wanted.cost
    return tuple(costs)


def band(year: Year) -> float:
    """How far from level is level enough, in hundredths."""
    return BAND * sum(wanted.cost * wanted.times for wanted in year.wanted) / year.boxes


def difference(year: Year, picked: Sequence[Way]) -> int:
    """How much more the dearest box costs than the cheapest, in hundredths."""
    costs = spend(year, picked)
    return max(costs) - min(costs)


def _level(search: Search, pool: Pool, even: Picked) -> tuple[Picked, bool]:
    """A year as even whose cheapest and dearest box lie closest, and whether that is proved to
    within the band."""
    if not any(wanted.cost for wanted in search.year.wanted):
        return even, True
    made = Picking(search.year, pool, search.running)
    made.bound("uneven", even.uneven)
    made.bound_costs(cost=1)
    answer = solve(made.model, within=band(search.year), nodes=LEVEL_NODES)
    if answer.values is None:
        return even, False
    found = even._replace(ways=made.picked(answer.values))
    if difference(search.year, found.ways) > difference(search.year, even.ways):
        return even, answer.proved
    return found, answer.proved


def _suited(search: Search, pool: Pool, levelled: Picked) -> tuple[Way, ...]:
    """A year as even and as level whose types suit their boxes' themes best, and that changes
    least."""
    year = search.year
    if not any(wanted.suits or wanted.now for wanted in year.wanted):
        return levelled.ways
    made = Picking(year, pool, search.running)
    model = made.minimise("suits")
    made.bound("uneven", levelled.uneven)
    if any(wanted.cost for wanted in year.wanted):
        made.bound_costs(most=max(difference(year, levelled.ways), band(year)))
    answer = solve(model, nodes=LEVEL_NODES)
    return levelled.ways if answer.values is None else made.picked(answer.values)

"""The ways of all types side by side, as many as are worth looking at.

Knows: ways, how uneven they are. Must not know: the solver's model. Invariant: what was left out is
known: a year that has a way which is not in a pool weighs at least the pool's `floor`.
"""

from typing import NamedTuple

from assistant.planning.year.spread.placements import GAP, Way, least, near, ways
from assistant.planning.year.spread.problem import Wanted, Year

SOME = 250  # ways of one type that has to bend further than the others
WIDER = 2  # how much wider a margin may be than the last one: ways grow fast


class Pool(NamedTuple):
    """Ways to choose from, by type; `floor`: see above. `cut`: some were left out although they
    might be in a year of the weight that was asked for."""

    ways: list[list[Way]]
    floor: int
    cut: bool = False

    @property
    def size(self) -> int:
        """How many ways there are in all."""
        return sum(map(len, self.ways))


class Catalogue:
    """Lists the ways of each type that have at most `running` (by type) returns in two boxes
    running, each listed once and further when it is asked for more."""

    def __init__(self, year: Year, running: tuple[int, ...]) -> None:
        self._year = year
        self._running = running
        self._listed = [self._first(n, wanted) for n, wanted in enumerate(year.wanted)]
        self.bests = tuple(found[0].uneven for _, found in self._listed)
        self.least = sum(self.bests)
        self._reached = year.boxes**2 // WIDER  # the widest margin that was looked at
        self.full = False  # a wider one gives too many ways

    def within(self, uneven: int, most: int, *extra: tuple[Way, ...]) -> Pool:
        """The ways that can be in a year of so much unevenness, the least uneven where they are
        more than `most`; with those of the years `extra`, and ways near theirs of the types that
        bend further in them. The margin grows by steps: what is beyond the next one is left out."""
        margin = min(uneven - self.least, self._reached * (1 if self.full else WIDER))
        self._reached = max(self._reached, margin)
        found = [self._within(n, best + margin) for n, best in enumerate(self.bests)]
        floor = self.least + margin + 1
        size = sum(map(len, found))
        self.full = self.full or size * WIDER > most
        if size > most:
            pairs = list(zip(found, self.bests, strict=True))
            above = sorted(way.uneven - best for own, best in pairs for way in own)
            beyond = max(above[most], 1)
            found = [[way for way in own if way.uneven - best < beyond] for own, best in pairs]
            floor = self.least + beyond
        for n, own in enumerate(found):
            for one in {one[n] for one in extra}.difference(own):
                others = near(self._year, self._year.wanted[n], one)
                others = [way for way in others if way.running <= self._running[n]]
                own.extend(sorted({one, *others[:SOME]}.difference(own)))
        return Pool(found, floor, floor <= uneven)

    def _first(self, n: int, wanted: Wanted) -> tuple[int, list[Way]]:
        """The ways of a type up to its best, and how far they are listed."""
        k = wanted.times
        limit, step = least(self._year.boxes, k), GAP * k * k
        while not (found := self._list(n, limit)):
            limit, step = limit + step, step * 3 // 2 + 1
        return limit, found

    def _list(self, n: int, limit: int) -> list[Way]:
        found = ways(self._year, self._year.wanted[n], limit)
        return [way for way in found if way.running <= self._running[n]]

    def _within(self, n: int, limit: int) -> list[Way]:
        listed, found = self._listed[n]
        if listed < limit:
            found = self._list(n, limit)
            self._listed[n] = limit, found
        return [way for way in found if way.uneven <= limit]

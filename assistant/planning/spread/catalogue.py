"""The ways of all types side by side, as many as are worth looking at.

Knows: ways, how uneven they are. Must not know: the solver's model. Invariant: what was left out is
known: a year that has a way which is not in a pool weighs at least the pool's `floor`.
"""

from typing import NamedTuple

from assistant.planning.spread.placements import GAP, Way, least, ways
from assistant.planning.spread.problem import Wanted, Year

SOME, FURTHER = 250, 2  # ways of one type that has to bend, and how much further
ANY = 10**12


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
        self._widest = ANY  # margin that there is no use to go beyond: it gives too many ways

    def within(self, uneven: int, most: int, *extra: tuple[Way, ...]) -> Pool:
        """The ways that can be in a year of so much unevenness, the least uneven where they are
        more than `most`; with those of the years `extra`, and some more of the types that bend
        further in them."""
        margin = min(uneven - self.least, self._widest)
        found = [self._within(n, best + margin) for n, best in enumerate(self.bests)]
        floor = self.least + margin + 1
        if sum(map(len, found)) > most:
            self._widest = margin
            pairs = list(zip(found, self.bests, strict=True))
            above = sorted(way.uneven - best for own, best in pairs for way in own)
            beyond = max(above[most], 1)
            found = [[way for way in own if way.uneven - best < beyond] for own, best in pairs]
            floor = self.least + beyond
        for n, own in enumerate(found):
            if bent := {one[n] for one in extra}.difference(own):
                limit = min(max(way.uneven for way in bent), self.bests[n] + FURTHER * margin)
                found[n] = sorted({*own, *self._some(n, limit), *bent})
        return Pool(found, floor, floor <= uneven)

    def _some(self, n: int, limit: int) -> list[Way]:
        """The best ways of a type up to a limit, not many more than some."""
        listed, found = self._listed[n]
        while listed < limit and len(found) < SOME:
            listed = min(limit, listed + max(listed - self.bests[n], GAP) // 2)
            found = self._list(n, listed)
            self._listed[n] = listed, found
        return found[:SOME]

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

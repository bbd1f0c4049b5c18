"""The year as a model for the solver: each type picks one of its ways to return.

Knows: ways, rooms, types that stay apart, costs. Must not know: which aim comes first. Invariant:
whatever the solver answers is a year in which every wish holds.
"""

from collections.abc import Sequence
from itertools import combinations
from math import inf
from typing import Literal

from assistant.planning.year.spread.catalogue import Pool
from assistant.planning.year.spread.highs import Model
from assistant.planning.year.spread.placements import Way
from assistant.planning.year.spread.problem import Wanted, Year

Aim = Literal["uneven", "running", "suits"]
SUITS = 1000  # a theme that suits weighs as much as so many returns that stay where they are


class Picking:
    """The model: a column for each way, one way for each type, room and company in each box."""

    def __init__(self, year: Year, pool: Pool, running: int) -> None:
        self.model = Model()
        self.year, self.pool = year, pool
        self.at = [[self.model.column() for _ in found] for found in pool.ways]
        self._inside: list[dict[int, list[int]]] = []
        for found, columns in zip(pool.ways, self.at, strict=True):
            self.model.row(((column, 1.0) for column in columns), 1, 1)
            inside: dict[int, list[int]] = {}
            for one, column in zip(found, columns, strict=True):
                for box in one.boxes:
                    inside.setdefault(box, []).append(column)
            self._inside.append(inside)
        for box in range(year.boxes):
            self._share(box)
        if running:
            self.bound("running", running)

    def _share(self, box: int) -> None:
        """The room of a box, and who may not share it. What is fixed stays in any case."""
        there = [(n, w) for n, w in enumerate(self.year.wanted) if box in self._inside[n]]
        room = self.year.room[box]
        if room is not None and sum(wanted.room for _, wanted in there) > room:
            fixed = sum(wanted.room for _, wanted in there if box in wanted.fixed)
            terms = [(c, float(w.room)) for n, w in there for c in self._inside[n][box]]
            self.model.row(terms, upper=max(room, fixed))
        for (a, one), (b, other) in combinations(there, 2):
            both = box in one.fixed and box in other.fixed
            if (other.id in one.apart or one.id in other.apart) and not both:
                columns = self._inside[a][box] + self._inside[b][box]
                self.model.row(((column, 1.0) for column in columns), upper=1)

    def weigh(self, aim: Aim) -> list[tuple[int, float]]:
        """The columns with what each way weighs by an aim, where it weighs anything."""
        return [
            (column, float(weight))
            for wanted, found, columns in zip(
                self.year.wanted, self.pool.ways, self.at, strict=True
            )
            for one, column in zip(found, columns, strict=True)
            if (weight := _weight(aim, wanted, one))
        ]

    def bound(self, aim: Aim, most: float) -> None:
        """Allow at most so much of an aim's weight."""
        self.model.row(self.weigh(aim), upper=most)

    def minimise(self, aim: Aim) -> Model:
        """Make an aim the cost; return the model."""
        for column, weight in self.weigh(aim):
            self.model.cost[column] = weight
        return self.model

    def bound_costs(self, cost: float = 0, most: float = inf) -> None:
        """Let the costs of the cheapest and the dearest box differ by at most `most`; a difference
        of one hundredth costs `cost`."""
        low = self.model.column(-cost, inf, whole=False)
        high = self.model.column(cost, inf, whole=False)
        for box in range(self.year.boxes):
            terms = [
                (column, float(wanted.cost))
                for wanted, inside in zip(self.year.wanted, self._inside, strict=True)
                if wanted.cost
                for column in inside.get(box, ())
            ]
            self.model.row([*terms, (low, -1.0)], 0)
            self.model.row([*terms, (high, -1.0)], upper=0)
        self.model.row([(high, 1.0), (low, -1.0)], upper=most)

    def picked(self, values: Sequence[float]) -> tuple[Way, ...]:
        """The ways whose columns are one."""
        return tuple(
            next(one for one, column in zip(found, columns, strict=True) if values[column] > 0.5)
            for found, columns in zip(self.pool.ways, self.at, strict=True)
        )


def _weight(aim: Aim, wanted: Wanted, one: Way) -> int:
    match aim:
        case "uneven":
            return one.uneven
        case "running":
            return one.running
        case "suits":  # then returns that stay where they are
            suits = len({*wanted.suits}.intersection(one.boxes))
            stays = len({*wanted.now}.intersection(one.boxes))
            return -SUITS * suits - stays

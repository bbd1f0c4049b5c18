"""Other years, nearly as even, that differ from those already shown as much as can be.

Knows: ways, years already shown. Must not know: items, dates. Invariants: no alternative has more
returns running than the best year, or is more uneven than `TOLERANCE` allows; each differs from
all before it.
"""

from assistant.planning.spread.highs import solve
from assistant.planning.spread.placements import Way
from assistant.planning.spread.problem import Year
from assistant.planning.spread.solving import LEVEL_NODES, Picked, Picking, bests, picked_of, within

TOLERANCE = 10  # percent more uneven than the best year, or one gap of each type a little off
LITTLE = 16  # a gap that is off by a quarter of its length, sixteenths of `boxes` squared


def alternatives(year: Year, best: Picked, many: int) -> tuple[Picked, ...]:
    """Return up to so many other years; fewer where there are no more."""
    most = best.uneven + max(best.uneven * TOLERANCE // 100, allowance(year))
    pool = within(year, most - sum(bests(year, best.running)), best.running)
    shown = [best]
    while len(shown) <= many:
        found = _furthest(year, pool, shown, most)
        if found is None:
            break
        shown.append(Picked(found, best.bound))
    return tuple(shown[1:])


def allowance(year: Year) -> int:
    """What an alternative may always be more uneven by."""
    return year.boxes**2 * len(year.wanted) // LITTLE


def distance(one: tuple[Way, ...], other: tuple[Way, ...]) -> int:
    """How many returns of one year are not in the other."""
    return sum(len({*a.boxes}.difference(b.boxes)) for a, b in zip(one, other, strict=True))


def _furthest(
    year: Year, pool: list[tuple[Way, ...]], shown: list[Picked], most: int
) -> tuple[Way, ...] | None:
    """The year that is furthest from the nearest of those shown, then from all of them."""
    made = Picking(year, pool, shown[0].running)
    made.bound("uneven", most)
    total = sum(wanted.times for wanted in year.wanted)
    nearest = made.model.column(-total * len(shown), total, lower=1)
    for one in shown:
        terms = [
            (column, float(len({*way.boxes}.difference(old.boxes))))
            for ways, columns, old in zip(pool, made.at, one.ways, strict=True)
            for way, column in zip(ways, columns, strict=True)
        ]
        for column, far in terms:
            made.model.cost[column] -= far
        made.model.row([*terms, (nearest, -1.0)], 0)
    answer = solve(made.model, within=total * len(shown) * 0.99, nodes=LEVEL_NODES)
    return None if answer.values is None else picked_of(pool, answer.values)

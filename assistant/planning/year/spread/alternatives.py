"""Other years, nearly as even, that differ from those already shown as much as can be.

Knows: ways, years already shown. Must not know: items, dates. Invariants: no alternative has more
returns running than the best year, is more uneven than `allowed`, or has costs that are less level
by more than `LESS_LEVEL`; each differs from all before it.
"""

from assistant.planning.year.spread.catalogue import Pool
from assistant.planning.year.spread.highs import solve
from assistant.planning.year.spread.picking import Picking
from assistant.planning.year.spread.placements import Way
from assistant.planning.year.spread.problem import Year
from assistant.planning.year.spread.solving import Picked, Search, difference, spend

TOLERANCE = 10  # percent more uneven than the best year
SHARE = 16  # or by one sixteenth of the boxes squared for each type: its gaps a quarter off
LESS_LEVEL = 2  # half of a box's mean cost
MOST_WAYS, NODES = 600, 20
NEAR = 0.1  # as far as can be, to within so much


def alternatives(search: Search, best: Picked, many: int) -> tuple[Picked, ...]:
    """Return up to so many other years; fewer where there are no more."""
    pool = search.pool(allowed(search.year, best), MOST_WAYS, best.ways)
    shown = [best]
    least = 1
    while len(shown) <= many:
        found = _furthest(search, pool, shown, least)
        if found is not None:
            shown.append(Picked(found, best.bound))
            least = max(1, distance(found, best.ways) // 2) if len(shown) == 2 else least
        elif least > 1:
            least //= 2
        else:
            break
    return tuple(shown[1:])


def allowed(year: Year, best: Picked) -> int:
    """How uneven an alternative may be."""
    share = year.boxes**2 * len(year.wanted) // SHARE
    return best.uneven + max(best.uneven * TOLERANCE // 100, share)


def distance(one: tuple[Way, ...], other: tuple[Way, ...]) -> int:
    """How many returns of one year are not in the other."""
    return sum(len({*a.boxes}.difference(b.boxes)) for a, b in zip(one, other, strict=True))


def _furthest(
    search: Search, pool: Pool, shown: list[Picked], least: int
) -> tuple[Way, ...] | None:
    """The year that is furthest from all of those shown, and at least so far from each; None where
    every such year is less even or less level than is allowed."""
    year, best = search.year, shown[0]
    made = Picking(year, pool, search.running)
    made.bound("uneven", allowed(year, best))
    if any(wanted.cost for wanted in year.wanted):
        mean = sum(spend(year, best.ways)) / year.boxes
        made.bound_costs(most=difference(year, best.ways) + mean / LESS_LEVEL)
    for one in shown:
        terms = [
            (column, float(len({*way.boxes}.difference(old.boxes))))
            for ways, columns, old in zip(pool.ways, made.at, one.ways, strict=True)
            for way, column in zip(ways, columns, strict=True)
        ]
        for column, far in terms:
            made.model.cost[column] -= far
        made.model.row(terms, least)
    far = sum(wanted.times for wanted in year.wanted) * len(shown)
    answer = solve(made.model, within=max(1, NEAR * far), nodes=NODES)
    return None if answer.values is None else made.picked(answer.values)

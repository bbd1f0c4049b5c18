"""How long it takes to spread a year: `python -m tests.bench spread`.

50 invented years of each size (tests/year/spread/years.py), the same in every run; years whose
wishes clash are timed as clashes. Beside ours, on the first years of each size, each on one thread:

direct    OR-Tools CP-SAT: a switch for each type in each box, a place for each return
patterns  OR-Tools CP-SAT on our own ways: it is handed the margin that suffices, which ours has to
          find, and ours also finds out whether the wishes clash
greedy    every n-th box, the first that is free: how many wishes it breaks

All of them have the same aim, evenness alone. Times are in seconds.
"""

import subprocess
import sys
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal
from itertools import combinations, pairwise
from statistics import median
from time import perf_counter
from typing import Any, NamedTuple

import msgspec
from msgspec.structs import replace

from assistant.planning.model import Box, Item, RecurringType, Shop
from assistant.planning.year import spread
from assistant.planning.year.spread.alternatives import alternatives
from assistant.planning.year.spread.boxes import boxes_of, least_running
from assistant.planning.year.spread.catalogue import Catalogue
from assistant.planning.year.spread.clashes import clash
from assistant.planning.year.spread.placements import GAP, way
from assistant.planning.year.spread.problem import Wanted, Year
from assistant.planning.year.spread.solving import Search, best, most_even, running_each
from tests.planning.year.spread.years import realistic
from tests.trade import shop, with_holidays

YEARS, BESIDE, CAP = 50, 8, 5.0
MOST = 20_000  # ways that CP-SAT is handed at most
SIZES = ((12, 8), (12, 16), (24, 8), (26, 8))
TODAY = date(2026, 11, 25)


class Run(NamedTuple):
    """One year: seconds until it was proved most even, until all was done, and what came out."""

    even: float
    whole: float
    off: int
    level: bool


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Seconds that some work took, and what it gave."""
    start = perf_counter()
    found = work()
    return perf_counter() - start, found


def solvable(boxes: int, types: int, many: int = YEARS) -> list[Year]:
    """The first years of a size whose wishes can all hold."""
    found: list[Year] = []
    seed = 0
    while len(found) < many:
        year = realistic(seed, boxes, types)
        if least_running(year).values is not None:
            found.append(year)
        seed += 1
    return found


def evenness(year: Year) -> Any:
    """The first stage alone: the fewest returns running, and the most even year."""
    answer = least_running(year)
    assert answer.values is not None
    picked = zip(year.wanted, boxes_of(year, answer.values), strict=True)
    start = tuple(way(wanted, boxes, year.boxes) for wanted, boxes in picked)
    running = sum(one.running for one in start)
    search = Search(year, Catalogue(year, running_each(year, running)), running)
    return search, most_even(search, start)


def everything(year: Year) -> Any:
    """All stages and three alternatives."""
    found = best(year)
    assert found is not None
    return found[1], alternatives(*found, 3)


def ours(year: Year) -> Run:
    """One year, ours."""
    even, _ = timed(lambda: evenness(year))
    whole, (picked, _) = timed(lambda: everything(year))
    off = -(-100 * (picked.uneven - picked.bound) // max(1, picked.uneven))
    return Run(even, whole, off, picked.level)


# --- a shop -----------------------------------------------------------------------------------


def as_shop(year: Year) -> Shop:
    """A shop with the wishes of a year of twelve boxes, the last returns in the year before."""
    made = with_holidays(shop(room=year.room[0]), TODAY)
    types, items = [], []
    for one in year.wanted:
        types.append(
            RecurringType(
                id=one.id,
                name=f"type {one.id}",
                times=one.times,
                forms=("plain", "ruled", "dotted", "lined"),
                must=tuple(box + 1 for group in one.must for box in group),
                must_not=tuple(box + 1 for box in one.shut),
                apart=one.apart,
                unit_cost=Decimal(one.cost) / 100,
                suits=(f"theme{one.suits[0]}",),
            )
        )
        if one.before is not None:
            month = f"2026-{13 + one.before:02}"
            items.append(Item(one.id, month, one.id, types[-1].name, "plain"))
    boxes = tuple(Box(f"2027-{n + 1:02}", f"Theme{n} of ours") for n in range(12))
    return replace(made, types=tuple(types), items=tuple(items), boxes=boxes)


def spread_shop(made: Shop) -> object:
    """From the shop to options with items and forms."""
    return spread.spread(made, TODAY, first="2027-01", last="2027-12")


COLD = """
import sys
from datetime import date
import msgspec
from assistant.planning.year import spread
from assistant.planning.model import Shop
made = msgspec.json.decode(sys.stdin.buffer.read(), type=Shop)
spread.spread(made, date(2026, 11, 25), first="2027-01", last="2027-12")
"""


def cold(made: Shop) -> float:
    """Seconds of a process that starts, reads one shop and spreads its year."""
    command, text = [sys.executable, "-c", COLD], msgspec.json.encode(made)
    return timed(lambda: subprocess.run(command, input=text, check=True))[0]


# --- beside ours ------------------------------------------------------------------------------


def cp_solver() -> Any:
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = CAP
    return solver


def share(model: Any, year: Year, at: Callable[[int, int], Any]) -> None:
    """Room and company in each box; `at` gives what says that a type is in a box."""
    for box, room in enumerate(year.room):
        if room is not None:
            model.Add(sum(one.room * at(n, box) for n, one in enumerate(year.wanted)) <= room)
        for (a, one), (b, other) in combinations(enumerate(year.wanted), 2):
            if other.id in one.apart or one.id in other.apart:
                model.Add(at(a, box) + at(b, box) <= 1)


def direct(year: Year, running: int) -> tuple[float, bool, float]:
    """(seconds, proved, unevenness) of CP-SAT's direct model."""
    from ortools.sat.python import cp_model

    model, n = cp_model.CpModel(), year.boxes
    costs: list[Any] = []
    inside = {}
    for number, one in enumerate(year.wanted):
        k = one.times
        places = [model.NewIntVar(0, n - 1, "") for _ in range(k)]
        switches = [[model.NewBoolVar("") for _ in range(n)] for _ in range(k)]
        for place, own in zip(places, switches, strict=True):
            model.AddExactlyOne(own)
            model.Add(place == sum(box * switch for box, switch in enumerate(own)))
        for earlier, later in pairwise(places):
            model.Add(later - earlier >= (1 if running else 2))
        for box in range(n):
            inside[number, box] = sum(own[box] for own in switches)
            if box in one.shut:
                model.Add(inside[number, box] == 0)
        for group in one.must:
            model.Add(sum(inside[number, box] for box in group) >= 1)
        costs += spans(model, one, places, n, running)
    share(model, year, lambda number, box: inside[number, box])
    model.Minimize(sum(costs))
    return answered(model)


def spans(model: Any, one: Wanted, places: list[Any], n: int, running: int) -> list[Any]:
    """What each span weighs, by a table."""
    k, found = one.times, []
    for start in range(k):
        for steps in range(1, max(1, k // 2) + 1):
            length = model.NewIntVar(1 if running or steps > 1 or n < 2 else 2, n, "")
            end = places[(start + steps) % k] + n * ((start + steps) // k)
            model.Add(length == end - places[start])
            weight = GAP if steps == 1 else 1
            found.append(element(model, length, k, n, steps, weight))
    if one.before is not None:
        gap, due = model.NewIntVar(1, 2 * n, ""), -(-n // k)
        model.Add(gap == places[0] - max(one.before, -due))
        found.append(element(model, gap, k, n, 1, GAP, 2 * n))
        if one.before == -1 and not running:
            model.Add(places[0] >= 1)
    return found


def element(
    model: Any, length: Any, k: int, n: int, steps: int, weight: int, most: int | None = None
) -> Any:
    table = [weight * (k * span - steps * n) ** 2 for span in range((most or n) + 1)]
    cost = model.NewIntVar(0, max(table), "")
    model.AddElement(length, table, cost)
    return cost


def answered(model: Any) -> tuple[float, bool, float]:
    from ortools.sat.python import cp_model

    solver = cp_solver()
    seconds, status = timed(lambda: solver.Solve(model))
    good = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return seconds, status == cp_model.OPTIMAL, solver.ObjectiveValue() if good else float("inf")


def patterns(year: Year, search: Search, uneven: int) -> tuple[float, bool, float]:
    """(seconds, proved, unevenness) of CP-SAT on our ways."""
    from ortools.sat.python import cp_model

    def made() -> tuple[float, bool, float]:
        model = cp_model.CpModel()
        catalogue = Catalogue(year, running_each(year, search.running))
        while (found := catalogue.within(uneven, MOST)).cut and not catalogue.full:
            pass  # the margin grows by steps
        pool = found.ways
        at = [[model.NewBoolVar("") for _ in found] for found in pool]
        for own in at:
            model.AddExactlyOne(own)

        def inside(number: int, box: int) -> Any:
            pairs = zip(pool[number], at[number], strict=True)
            return sum(switch for one, switch in pairs if box in one.boxes)

        share(model, year, inside)
        chosen = [
            (one, switch)
            for found, own in zip(pool, at, strict=True)
            for one, switch in zip(found, own, strict=True)
        ]
        model.Add(sum(one.running * switch for one, switch in chosen) <= search.running)
        model.Minimize(sum(one.uneven * switch for one, switch in chosen))
        return answered(model)

    seconds, (_, proved, value) = timed(made)
    return seconds, proved, value


def greedy(year: Year) -> int:
    """Every n-th box, from the first with room; a box that is full gives way to the next. Returns
    how many wishes it breaks."""
    n = year.boxes
    picked: list[tuple[int, ...]] = []
    for one in year.wanted:
        boxes: set[int] = set()
        for turn in range(one.times):
            for later in range(n):
                box = (turn * n // one.times + later) % n
                room = year.room[box]
                full = room is not None and sum(box in other for other in picked) >= room
                if box not in boxes and not full:
                    boxes.add(box)
                    break
        picked.append(tuple(sorted(boxes)))
    return broken(year, picked)


def broken(year: Year, picked: Sequence[tuple[int, ...]]) -> int:
    """How many wishes do not hold."""
    pairs = list(zip(year.wanted, picked, strict=True))
    alone = sum(
        (len(boxes) != one.times)
        + len({*one.shut} & {*boxes})
        + sum({*group}.isdisjoint(boxes) for group in one.must)
        for one, boxes in pairs
    )
    apart = sum(
        (other.id in one.apart or one.id in other.apart) and bool({*some} & {*others})
        for (one, some), (other, others) in combinations(pairs, 2)
    )
    return alone + apart


# --- figures ----------------------------------------------------------------------------------


def p90(figures: list[float]) -> float:
    """The ninth decile."""
    return sorted(figures)[len(figures) * 9 // 10]


def sizes() -> None:
    print(f"ours, {YEARS} years each:")
    print(f"{'':14}{'evenness':>18}{'everything':>26}")
    print(f"{'boxes x types':14}{'median':>9}{'p90':>9}{'median':>9}{'p90':>9}{'most':>8}"
          f"{'proved':>8}{'level':>7}{'off at most':>13}")  # fmt: skip
    for boxes, types in SIZES:
        runs = [ours(year) for year in solvable(boxes, types)]
        even, whole = [run.even for run in runs], [run.whole for run in runs]
        print(
            f"{f'{boxes} x {types}':14}{median(even):9.3f}{p90(even):9.3f}{median(whole):9.3f}"
            f"{p90(whole):9.3f}{max(whole):8.2f}{sum(not run.off for run in runs):8}"
            f"{sum(run.level for run in runs):7}{max(run.off for run in runs):11} %"
        )


def shops() -> None:
    made = [as_shop(year) for year in solvable(12, 8)]
    warm = [timed(lambda one=one: spread_shop(one))[0] for one in made]  # type: ignore[misc]
    print(f"a shop, 12 boxes, 8 types, warm: median {median(warm):.3f}, p90 {p90(warm):.3f}")
    colds = [cold(one) for one in made[:20]]
    print(f"the same in a process that has to start: median {median(colds):.3f}")


def clashes() -> None:
    """Years of which each wants one return more than there is room for, or as they come."""
    tight = [
        replace(year, room=(max(1, (year.room[0] or 1) - 1),) * year.boxes)
        for types in (8, 16)
        for year in solvable(12, types, YEARS // 2)
    ]
    others = [realistic(seed, 12, 16) for seed in range(400)]
    none = [year for year in (*tight, *others) if least_running(year).values is None]
    times = [timed(lambda year=year: clash(year))[0] for year in none]  # type: ignore[misc]
    print(f"{len(times)} clashes told: median {median(times):.3f}, most {max(times):.3f}")


def beside() -> None:
    print(f"evenness alone beside CP-SAT, {BESIDE} years each, cap {CAP:.0f} s, one thread:")
    print(f"{'boxes x types':14}{'model':10}{'median':>9}{'most':>8}{'proved':>8}{'x ours':>8}"
          f"{'as even':>9}")  # fmt: skip
    for boxes, types in SIZES:
        table: dict[str, list[tuple[float, bool, float]]] = {}
        for year in solvable(boxes, types, BESIDE):
            seconds, (search, picked) = timed(lambda year=year: evenness(year))  # type: ignore[misc]
            own = seconds, picked.bound >= picked.uneven, float(picked.uneven)
            found = {"ours": own, "patterns": patterns(year, search, picked.uneven)}
            if not search.running:
                found["direct"] = direct(year, search.running)
            for name, (time, proved, value) in found.items():
                table.setdefault(name, []).append((time, proved, value - picked.uneven))
        usual = median(seconds for seconds, _, _ in table["ours"])
        for name, rows in table.items():
            times = [seconds for seconds, _, _ in rows]
            same = sum(abs(more) < 0.5 for _, _, more in rows)
            print(
                f"{f'{boxes} x {types}':14}{name:10}{median(times):9.3f}{max(times):8.2f}"
                f"{f'{sum(proved for _, proved, _ in rows)}/{len(rows)}':>8}"
                f"{median(times) / usual:8.1f}{f'{same}/{len(rows)}':>9}"
            )


def strawman() -> None:
    for boxes, types in SIZES[:2]:
        counts = [greedy(year) for year in solvable(boxes, types)]
        print(
            f"every n-th box, {boxes} x {types}: breaks wishes in {sum(map(bool, counts))} of "
            f"{len(counts)} years, {median(counts):.0f} at the median; ours none"
        )


def main() -> None:
    evenness(realistic(3, 12, 4))  # the solver is imported
    sizes()
    shops()
    clashes()
    beside()
    strawman()


if __name__ == "__main__":
    main()

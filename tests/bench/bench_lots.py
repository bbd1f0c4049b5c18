"""How long it takes to choose lots: `python -m tests.bench lots`.

Invented needs, the same in every run: a box a month of 420 pieces more or less, an order for 33.00,
storage 0.05 a piece a month, money 8 % a year or so. `off` is how much cheaper another plan could
be at most. Beside ours:

every quantity   tries every whole number of cases in every period, on rows short enough
stockpyl         wagner_whitin, which knows order and holding cost alone, without any extension

Times are in milliseconds.
"""

from collections.abc import Callable
from decimal import Decimal
from random import Random
from statistics import median
from time import perf_counter
from typing import Any

from assistant.planning.model import Break
from assistant.planning.numbers.lot_sizes import Period, Terms, cheapest, one_each
from tests.planning.every_lot import every_plan

D = Decimal
RUNS = 12
BREAKS = (Break(1200, D("1.90")), Break(2400, D("1.62")))
ODD = (Break(1100, D("1.90")), Break(2600, D("1.62")))
PLAIN = Terms(D("2.10"))
CASES = Terms(D("2.10"), BREAKS, minimum=600, case=24)
TEN = Terms(D("2.10"), (Break(11000, D("1.90")), Break(26000, D("1.62"))), 5000, 1)
# name, periods, pieces a period, terms, other fields of the periods
KINDS: tuple[tuple[str, int, int, Terms, dict[str, Any]], ...] = (
    ("12, breaks, cases, minimum", 12, 420, CASES, {}),
    ("36, plain", 36, 420, PLAIN, {}),
    ("36, breaks, cases, minimum", 36, 420, CASES, {}),
    ("36, the same, order costs vary", 36, 420, CASES, {"vary": 40}),
    ("36, the same, carriage free from", 36, 420, Terms(D("2.10"), BREAKS, 600, 24, D(2000)), {}),
    ("36, the same, keep 4 months", 36, 420, CASES, {"keeps": 3}),
    ("36, odd breaks, cases of 7", 36, 420, Terms(D("2.10"), ODD, 500, 7), {}),
    ("36, single pieces", 36, 420, Terms(D("2.10"), ODD, 500, 1), {}),
    ("36, ten times the pieces", 36, 4200, TEN, {}),
)


def row(seed: int, count: int, pieces: int, vary: int = 0, keeps: int = -1) -> tuple[Period, ...]:
    """One invented row of needs."""
    random = Random(seed)
    return tuple(
        Period(
            need=random.randint(pieces * 8 // 10, pieces * 12 // 10),
            setup=D(15 + random.randint(0, vary)),
            carriage=D(18),
            hold=D("0.05"),
            share=D("0.0067"),
            last=None if keeps < 0 else at + keeps,
        )
        for at in range(count)
    )


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    """Milliseconds that some work took, and what it gave."""
    start = perf_counter()
    found = work()
    return (perf_counter() - start) * 1000, found


def sizes() -> None:
    print(f"ours, {RUNS} rows each:")
    print(f"{'periods':34}{'median':>8}{'most':>8}{'off':>6}{'orders':>8}{'saves':>8}")
    for name, count, pieces, terms, more in KINDS:
        times, off, orders, saves = [], D(0), [], []
        for seed in range(RUNS):
            periods = row(seed, count, pieces, **more)
            took, found = timed(lambda p=periods, t=terms: cheapest(p, t))  # type: ignore[misc]
            each = one_each(periods, terms).cost
            times.append(took)
            off = max(off, found.cost - found.bound)
            orders.append(len(found.lots))
            saves.append(float((each - found.cost) / each))
        print(
            f"{name:34}{median(times):8.1f}{max(times):8.1f}{off:6.2f}"
            f"{median(orders):8.0f}{median(saves):8.1%}"
        )


def beside_every_quantity() -> None:
    print("beside every quantity, breaks and cases of 2:")
    for count in (3, 4):
        terms = Terms(D(8), (Break(8, D(6)),), minimum=4, case=2)
        ours, theirs, same = [], [], 0
        for seed in range(4):
            periods = row(seed, count, 5)
            mine, found = timed(lambda p=periods, t=terms: cheapest(p, t))  # type: ignore[misc]
            other, least = timed(lambda p=periods, t=terms: every_plan(p, t, 0))  # type: ignore[misc]
            ours.append(mine)
            theirs.append(other)
            same += found.cost == least
        ratio = median(theirs) / median(ours)
        print(
            f"{count} periods: ours {median(ours):.2f}, every quantity {median(theirs):.1f}"
            f" ({ratio:.0f} x), the same cost {same} of 4"
        )


def beside_stockpyl() -> None:
    try:
        from stockpyl.wagner_whitin import wagner_whitin  # type: ignore[import-untyped]
    except ImportError:
        print("stockpyl is not installed: pip install -e '.[bench]'")
        return
    for count in (12, 36):
        ours, theirs, same = [], [], 0
        for seed in range(RUNS):
            needs = [one.need for one in row(seed, count, 420)]
            periods = tuple(Period(need, D(500), hold=D("0.25")) for need in needs)
            mine, found = timed(lambda p=periods: cheapest(p, Terms()))  # type: ignore[misc]
            other, told = timed(lambda n=needs: wagner_whitin(len(n), 0.25, 500, n))  # type: ignore[misc]
            ours.append(mine)
            theirs.append(other)
            same += abs(float(found.cost) - told[1]) < 1e-6
        print(
            f"plain, {count} periods: ours {median(ours):.2f}, stockpyl {median(theirs):.2f}"
            f", the same cost {same} of {RUNS}"
        )


def main() -> None:
    """Print the table."""
    sizes()
    beside_every_quantity()
    beside_stockpyl()

"""How long chances of arrival take: `python -m tests.bench.bench_chance`.

A made-up plan: 36 boxes of 8 items from 12 invented suppliers in ten places; each box has two
items of each of four suppliers. What is compared is the chance of one box, its order dates given:
exactly, and by 10,000 deliveries drawn by lot in pure Python and in numpy, the delays of one
supplier tied together by their ranks. A lot answers for one set of order dates; the exact curves
answer for all of them. Times are the best of several runs, in milliseconds.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta
from itertools import count, islice, product
from math import ceil, prod, sqrt
from random import Random
from time import perf_counter
from typing import NamedTuple

import numpy as np
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Item, Lead, Shop
from assistant.planning.month.arrivals import BoxChance, box_chance, chances, item_curve
from assistant.planning.month.lateness import LeadRecord, usual
from assistant.scheduling import together
from assistant.scheduling.arrival import Leg, curve, last_days
from assistant.scheduling.backward import Unit
from assistant.scheduling.lead_times import ThreePoint, gamma, sure, triangular
from assistant.scheduling.together import Choice, hermite, share_out
from assistant.scheduling.workdays import Calendar, Week
from tests.planning.plans import fresh
from tests.trade import house, shop, with_holidays

TODAY = date(2026, 11, 25)
DAY = timedelta(days=1)
BOXES, ITEMS, RUNS = 36, 8, 10_000
BOX = "2027-07"
COUNTRIES = ("", "GB", "GB/SCT", "DE/BY", "DE/NW", "FR", "IT", "NL", "US", "JP", "CN", "CN")
USUAL = usual(house().chance)
SHARED = sqrt(USUAL.correlation)
OWN = sqrt(1 - USUAL.correlation)


def maker(number: int) -> str:
    """The invented name of a supplier."""
    return f"Maker{chr(97 + number % len(COUNTRIES))}"


def plan() -> Shop:
    """The shop, with the holidays that it needs."""
    suppliers = [
        f"{maker(n)} {country}: confirm 2d, transit {3 + n}d, closed 2-20 Aug yearly"
        for n, country in enumerate(COUNTRIES)
    ]
    boxes = []
    for box in range(BOXES):
        items = (
            f"item {chr(97 + n)}@{maker(box + 3 * (n // 2))} 450, lead {5 + 3 * n}d"
            for n in range(ITEMS)
        )
        boxes.append(f"{2027 + box // 12}-{box % 12 + 1:02} Theme: {'; '.join(items)}")
    return with_holidays(shop(*suppliers, *boxes, subscribers=420), TODAY)


def records(made: Shop) -> tuple[LeadRecord, ...]:
    """Six invented deliveries of each supplier."""
    dice = Random(1)
    return tuple(
        LeadRecord(supplier.id, part, 20, round(20 * dice.uniform(0.9, 1.4)), TODAY)
        for supplier in made.suppliers
        for part in ("making", "transit")
        for _ in range(6)
    )


# --- the same by lot ------------------------------------------------------------------------


class Delivery(NamedTuple):
    """What a lot needs to know of one item."""

    item: Item
    supplier: Calendar
    confirm: int
    making: tuple[float, float, float]
    transit: tuple[float, float, float]
    order_on: date
    latest: date


def deliveries(made: Shop, found: BoxChance) -> list[Delivery]:
    known, terms = calendars(made, TODAY), {one.id: one for one in made.suppliers}
    listed = []
    for told in found.items:
        item = next(item for item in made.items if item.id == told.item)
        supplier = terms[item.supplier]
        abroad = supplier.country not in ("", "GB")
        listed.append(
            Delivery(
                item,
                known.of(supplier.id),
                supplier.confirm_days,
                times(USUAL.spreads["making", abroad], (item.lead or Lead(0)).days),
                times(USUAL.spreads["transit", abroad], supplier.transit_days or 0),
                told.order_by or TODAY,
                told.latest,
            )
        )
    return listed


def times(spread: ThreePoint, quoted: int) -> tuple[float, float, float]:
    least, likely, most = (share * quoted for share in spread)
    return least, likely, most


def by_lot(listed: Sequence[Delivery], dice: Random) -> float:
    """The share of runs in which everything comes: each delivery forward over its calendar."""
    came = [True] * RUNS
    shared = {one.item.supplier: [dice.gauss(0, 1) for _ in range(RUNS)] for one in listed}
    for one in listed:
        ordinals = one.supplier.table.ordinals
        first = one.supplier.rank(one.order_on.toordinal()) + one.confirm
        (a, b, c), (d, e, f) = one.making, one.transit
        lot = dice.triangular
        days = sorted(
            ordinals[first + ceil(lot(a, c, b))] + ceil(lot(d, f, e)) for _ in range(RUNS)
        )
        tied = [SHARED * z + OWN * dice.gauss(0, 1) for z in shared[one.item.supplier]]
        latest = one.latest.toordinal()
        ranks = sorted(range(RUNS), key=tied.__getitem__)
        for run, day in zip(ranks, days, strict=True):
            if day > latest:
                came[run] = False
    return sum(came) / RUNS


def by_numpy(
    listed: Sequence[Delivery], worked: dict[str, np.busdaycalendar], dice: np.random.Generator
) -> float:
    came = np.ones(RUNS, dtype=bool)
    shared = {one.item.supplier: dice.standard_normal(RUNS) for one in listed}
    for one in listed:
        (a, b, c), (d, e, f) = one.making, one.transit
        making = np.ceil(dice.triangular(a, b, c, RUNS)).astype(int) + one.confirm
        transit = np.ceil(dice.triangular(d, e, f, RUNS)).astype(int)
        calendar = worked[one.item.supplier]
        sent = np.busday_offset(
            np.datetime64(one.order_on), making, roll="forward", busdaycal=calendar
        )
        days = np.sort(sent + transit)
        tied = SHARED * shared[one.item.supplier] + OWN * dice.standard_normal(RUNS)
        came[np.argsort(tied)] &= days <= np.datetime64(one.latest)
    return float(came.mean())


def in_numpy(made: Shop) -> dict[str, np.busdaycalendar]:
    all_days = [date(2025, 1, 1) + n * DAY for n in range(5 * 366)]
    known = calendars(made, TODAY)
    return {
        one.id: np.busdaycalendar(
            "1111111", [day for day in all_days if not known.of(one.id).is_working(day)]
        )
        for one in made.suppliers
    }


# --- other rules ----------------------------------------------------------------------------


def five_in_seven(made: Shop, listed: Sequence[Delivery]) -> float:
    """By how much a chance is wrong at most if every week has five working days and no closure."""
    plain = Calendar.build(
        Week.from_string("Mon-Fri"), first=date(2025, 1, 1), last=date(2029, 12, 31)
    )
    worst = 0.0
    for one in listed:
        exact = item_curve(made, one.item, TODAY)
        legs = (
            Leg(triangular(*one.transit), plain, Unit.CALENDAR),
            Leg(triangular(*one.making), plain),
            Leg(sure(one.confirm), plain),
        )
        rough = curve(one.latest, plain, legs)
        if exact is not None:
            days = [one.latest - n * DAY for n in range(120)]
            worst = max(worst, *(abs(exact.chance(d) - rough.chance(d)) for d in days))
    return worst


def days_of_waiting(made: Shop, listed: Sequence[Delivery], confidence: float) -> tuple[int, int]:
    """The days that three items wait, as given out and at the least (every choice tried)."""
    choices = []
    for one in (listed[0], listed[2], listed[4]):  # of three suppliers
        exact = item_curve(made, one.item, TODAY)
        if exact is not None:
            choices.append(Choice(one.item.supplier, *last_days(exact, TODAY)))
    picks = share_out(choices, confidence, USUAL.correlation)
    given = sum(c.days[0] - c.days[n] for c, n in zip(choices, picks, strict=True))
    least = min(
        sum(c.days[0] - c.days[n] for c, n in zip(choices, some, strict=True))
        for some in product(*(range(len(choice.days)) for choice in choices))
        if prod(c.chances[n] for c, n in zip(choices, some, strict=True)) >= confidence
    )
    return given, least


# --- figures --------------------------------------------------------------------------------


def best(work: Callable[[], object], runs: int = 20) -> float:
    """Milliseconds of the quickest of some runs."""
    spent = []
    for _ in range(runs):
        start = perf_counter()
        work()
        spent.append(perf_counter() - start)
    return min(spent) * 1000


def anew(made: Shop) -> Iterable[Shop]:
    """The same plan in records that were never seen, its deadlines known."""
    for _ in count():
        again = fresh(made)
        deadlines(again, TODAY)
        yield again


def from_nothing(made: Shop, work: Callable[[Shop], object], runs: int = 10) -> float:
    """Milliseconds with nothing kept but the nodes: neither curves nor distributions."""
    spent = []
    for again in islice(anew(made), runs):
        triangular.cache_clear()
        gamma.cache_clear()
        together._given.cache_clear()
        start = perf_counter()
        work(again)
        spent.append(perf_counter() - start)
    return min(spent) * 1000


def main() -> None:
    made = plan()
    known = records(made)
    found = box_chance(made, BOX, TODAY)
    assert found is not None
    listed, worked = deliveries(made, found), in_numpy(made)
    lots = by_lot(listed, Random(27)), by_numpy(listed, worked, np.random.default_rng(27))
    error = sqrt(found.chance * (1 - found.chance) / RUNS)

    one = from_nothing(made, lambda again: box_chance(again, BOX, TODAY))
    kept = best(lambda: box_chance(made, BOX, TODAY))
    python = best(lambda: by_lot(listed, Random(27)), 3)
    numpy = best(lambda: by_numpy(listed, worked, np.random.default_rng(27)), 5)
    rows: tuple[tuple[str, float, float | None], ...] = (
        ("a box of 8 items: curves, chance, order dates", one, 5),
        ("  asked again", kept, None),
        (
            "  with six deliveries of each supplier known",
            from_nothing(made, lambda again: box_chance(again, BOX, TODAY, known)),
            5,
        ),
        (
            f"a plan of {BOXES} boxes",
            from_nothing(made, lambda again: chances(again, TODAY)),
            150,
        ),
        (
            "  with six deliveries of each supplier known",
            from_nothing(made, lambda again: chances(again, TODAY, known)),
            150,
        ),
        (
            "  after an item changed",
            best(lambda: chances(replace(made, items=(*made.items,)), TODAY)),
            None,
        ),
        ("nodes and weights, once a process", best(lambda: hermite.__wrapped__(24)), None),
        (f"one set of order dates by {RUNS} lots, Python", python, None),
        (f"one set of order dates by {RUNS} lots, numpy", numpy, None),
    )
    print(f"{'':52}{'ms':>9}{'target':>9}")
    for name, spent, target in rows:
        print(f"{name:52}{spent:9.2f}" + (f"{target:9.0f}" if target else ""))
    print(f"{'':52}{'times':>9}")
    print(f"{'faster than lots in Python':52}{python / one:9.0f}")
    print(f"{'faster than lots in numpy':52}{numpy / one:9.1f}")
    print(f"\nAll of box {BOX} in hand, ordered by these dates: {found.chance:.4f}")
    for name, lot in zip(("Python", "numpy"), lots, strict=True):
        off = lot - found.chance
        print(f"  by lot in {name}: {lot:.4f}, off by {off:+.4f}, standard error {error:.4f}")
    all_listed = [one for box in chances(made, TODAY) for one in deliveries(made, box)]
    wrong = five_in_seven(made, all_listed)
    print(f"Five days in seven and no closures: a chance is wrong by up to {wrong:.2f}")
    waits = [days_of_waiting(made, listed, level) for level in (0.8, 0.9, 0.95)]
    told = ", ".join(f"{given} of {least}" for given, least in waits)
    print(f"Days of waiting given out to three items, of the least possible: {told}")


if __name__ == "__main__":
    main()

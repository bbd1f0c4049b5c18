"""How long the ways out for a late item take: `python -m tests.bench.bench_rescue`.

A made-up shop: 36 boxes of 8 items from 12 invented suppliers, with 40 kept offers and 10 ideas. An
item of a box that ships soon is late. Beside every way: the same found plainly, by copying the
plan with the change made and deriving all its deadlines, amounts and costs anew, as often as the
ways were tried. Times are the best of several runs, in milliseconds.
"""

from collections.abc import Callable
from datetime import UTC, date, datetime
from time import perf_counter

from msgspec.structs import replace

from assistant.planning.accounts.costs import costs
from assistant.planning.changes import apply
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Idea, Item, Shop
from assistant.planning.month.rescue import Way, at_risk, way, ways
from tests.bench.bench_plan import TODAY, best, maker, plan
from tests.planning.plans import fresh
from tests.trade import offer

LATE = "2027-03.item a"
LIMIT = 100  # milliseconds for all ways of an item


def crowded() -> Shop:
    """The shop: the first item of March comes from afar and takes too long."""
    made = plan()
    items = tuple(
        _slow(item) if item.id == LATE else replace(item, name=f"{item.name} {item.box}")
        for item in made.items
    )
    offers = tuple(
        offer(
            f"{maker(n)}: badge {chr(97 + n % 26)}{chr(97 + n // 26)} 2.10, lead {2 + n}d, type a"
        )
        for n in range(40)
    )
    ideas = tuple(
        Idea(f"i{n}", f"theme card {n}", at=datetime(2026, 11, 1, tzinfo=UTC)) for n in range(10)
    )
    return replace(made, items=items, offers=offers, ideas=ideas)


def _slow(item: Item) -> Item:
    lead = item.lead
    return replace(item, name="lamp", type="a", lead=replace(lead, days=69) if lead else None)


def anew(work: Callable[[Shop], object], made: Shop, runs: int = 5) -> float:
    """Milliseconds of the quickest of some runs, each on a plan just changed: its deadlines are
    known, nothing else of it."""
    times = []
    for _ in range(runs):
        changed = replace(made, items=tuple(made.items))
        deadlines(changed, TODAY)
        start = perf_counter()
        work(changed)
        times.append(perf_counter() - start)
    return min(times) * 1000


def plainly(made: Shop, found: int) -> Callable[[], object]:
    """As many copies of the whole plan, each derived anew."""

    def work() -> None:
        for _ in range(found):
            copy = fresh(made)
            deadlines(copy, TODAY)
            costs(copy, TODAY)

    return work


def alone(one: Way) -> Callable[[Shop], object]:
    """Finding one way by itself."""
    return lambda shop: way(shop, LATE, one.how, one.other, TODAY)


def main() -> None:
    """Print the figures."""
    made = crowded()
    found = ways(made, LATE, TODAY)
    print(f"ways out of an item, 36 boxes of 8 items, 40 offers ({date.isoformat(TODAY)})")
    print("  " + ", ".join(one.how for one in found))
    took = anew(lambda shop: ways(shop, LATE, TODAY), made)
    plain = best(plainly(made, len(found)), runs=2)
    print(f"  all {len(found)} ways      {took:8.1f} ms (at most {LIMIT})")
    print(f"  copied and derived {plain:8.1f} ms, {plain / took:.1f} times as long")
    risk = anew(lambda shop: at_risk(shop, TODAY), made)
    print(f"  boxes at risk      {risk:8.1f} ms")
    for told in found:
        one = anew(alone(told), made)
        again = best(plainly(apply(made, told.changes), 1), runs=2)
        ratio = again / one
        print(
            f"  {told.how:10} {one:6.1f} ms, copied and derived {again:6.1f} ms, {ratio:.1f} times"
        )


if __name__ == "__main__":
    main()

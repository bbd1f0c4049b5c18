"""How long the plan's own work takes: `python -m tests.bench.bench_plan`.

A made-up shop: 36 boxes of 8 items from 12 invented suppliers in ten places, a third of whom ask
for a deposit and half of whom give credit. The dates of every stage are found again by a walk from
day to day over plain sets of days, which must agree. Times are the best of several runs, in
milliseconds.
"""

from collections.abc import Callable, Iterable
from datetime import UTC, date, datetime, timedelta
from itertools import count, islice
from time import perf_counter

from msgspec.structs import replace

from assistant.planning import calendars as room
from assistant.planning.calendars import calendars, missing
from assistant.planning.chains import binding, item_chain
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Person, Shop
from assistant.planning.nudges import digest_for, next_due, rehearse
from assistant.planning.stages import workings
from assistant.scheduling.workdays import Calendar
from tests.planning.test_deadlines_at_random import days_of
from tests.trade import shop, with_holidays

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)
DAY = timedelta(days=1)
BOXES, ITEMS = 36, 8
COUNTRIES = ("", "GB", "GB/SCT", "DE/BY", "DE/NW", "FR", "IT", "NL", "US", "JP", "CN", "CN")
WREN = Person("wren", "terminal:", role="owner")


def maker(number: int) -> str:
    """The invented name of a supplier."""
    return f"Maker{chr(97 + number % len(COUNTRIES))}"


def plan() -> Shop:
    """The shop, with the holidays that it needs."""
    suppliers = [
        f"{maker(n)} {country}: confirm 2d, transit {3 + n}d, closed 2-20 Aug yearly"
        + (", deposit 30%" if n % 3 == 0 else "")
        + (", net 30" if n % 2 == 0 else "")
        for n, country in enumerate(COUNTRIES)
    ]
    boxes = []
    for box in range(BOXES):
        items = (
            f"item {chr(97 + n)}@{maker(box * ITEMS + n)} 450 x 3.10, lead {5 + 3 * n}d"
            for n in range(ITEMS)
        )
        boxes.append(f"{2027 + box // 12}-{box % 12 + 1:02} Theme: {'; '.join(items)}")
    made = shop(*suppliers, *boxes, subscribers=420)
    return replace(with_holidays(made, TODAY), people=(WREN,))


# --- the same dates by walking ----------------------------------------------------------------


def worked_days(calendar: Calendar) -> frozenset[date]:
    """The working days of a calendar, as someone would first write them down."""
    days = (date(2025, 1, 1) + n * DAY for n in range(6 * 366))
    return frozenset(day for day in days if calendar.is_working(day))


def walk(made: Shop, plain: dict[str, frozenset[date]], ships: dict[str, date]) -> dict[str, date]:
    """Every item's dates, from day to day."""
    rules = {rule.name: rule for rule in made.house.stages}
    chain = ("stock", "dispatch", "start", "order", "sample", "source", "deposit", "balance")
    found: dict[str, date] = {}
    for item in made.items:
        dates = {
            "pack": back(
                plain[""], ships[item.box], *(days_of(made, rules["pack"], None) or (1, ""))
            )
        }
        for name in chain:
            length = days_of(made, rules[name], item)
            if length is not None:
                party = plain[item.supplier if rules[name].party == "supplier" else ""]
                day = back(party, dates[rules[name].back_from], *length)
                dates[name] = found[f"{item.id}/{name}"] = day
    return found


def back(works: frozenset[date], day: date, days: int, unit: str) -> date:
    if unit == "calendar":
        day, days = day - days * DAY, 0
    while day not in works:
        day -= DAY
    while days:
        day -= DAY
        days -= day in works
    return day


# --- figures ----------------------------------------------------------------------------------


def best(work: Callable[[], object], runs: int = 20) -> float:
    """Milliseconds of the quickest of some runs."""
    times = []
    for _ in range(runs):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return min(times) * 1000


def lay_out(made: Shop, ships: dict[str, date]) -> Callable[[], object]:
    """The days of every item, without making deadlines of them."""
    works = workings(made.house, made.profile, made.suppliers, calendars(made, TODAY))
    boxes = {}
    for box, ship in ships.items():
        boxes[box] = [0] * len(works.layout.names) + [ship.toordinal()]
        works.box.lay(boxes[box])
    return lambda: [works.item(item).lay(boxes[item.box].copy()) for item in made.items]


def on_new_mornings(made: Shop) -> Callable[[], object]:
    """The whole plan on a day on which nobody asked yet."""
    days = (TODAY + n * DAY for n in count(1))
    return lambda: deadlines(made, next(days))


def all_anew(made: Shop) -> Iterable[Shop]:
    """The same plan in records that were never seen: nothing that was kept of it is of use."""
    for _ in count():
        boxes, items = tuple(map(replace, made.boxes)), tuple(map(replace, made.items))
        yield replace(made, boxes=boxes, items=items)


def after_changes(changed: Iterable[Shop]) -> Callable[[], object]:
    """The whole plan after a change that was not seen yet; 20 of them are made beforehand."""
    shops = iter(tuple(islice(changed, 20)))
    return lambda: deadlines(next(shops), TODAY)


def item_changes(made: Shop) -> Iterable[Shop]:
    for n in count():
        items = list(made.items)
        items[77] = replace(items[77], quantity=n)
        yield replace(made, items=tuple(items))


def supplier_changes(made: Shop) -> Iterable[Shop]:
    for n in count():
        suppliers = list(made.suppliers)
        suppliers[3] = replace(suppliers[3], confirm_days=n % 50)
        yield replace(made, suppliers=tuple(suppliers))


def profile_changes(made: Shop) -> Iterable[Shop]:
    for n in count():
        yield replace(made, profile=(replace(made.profile[0], subscribers=400 + n),))


def rebuild(made: Shop) -> object:
    """Every calendar anew."""
    room._calendar.cache_clear()
    return calendars(replace(made, suppliers=(*made.suppliers,)), TODAY)


def main() -> None:
    made = plan()
    known, found = calendars(made, TODAY), deadlines(made, TODAY)
    plain = {one.id: worked_days(known.of(one.id)) for one in made.suppliers}
    plain[""] = worked_days(known.shop)
    ships = {one.box: one.on for one in found if one.stage == "ship"}
    walked = walk(made, plain, ships)
    same = all(walked[one.key] == one.on for one in found if one.item) and len(ships) == BOXES

    whole, again = best(after_changes(all_anew(made))), best(on_new_mornings(made))
    walking = best(lambda: walk(made, plain, ships), 3)
    dates = best(lay_out(made, ships))
    year = best(lambda: rehearse(made, TODAY, TODAY + 365 * DAY), 3)
    rows: tuple[tuple[str, float, float | None], ...] = (
        ("all deadlines with float, from nothing", whole, 3),
        ("  on a new morning", again, 3),
        ("  after an item changed", best(after_changes(item_changes(made))), None),
        ("  after a supplier changed", best(after_changes(supplier_changes(made))), None),
        (
            "  after the shop's own profile changed",
            best(after_changes(profile_changes(made))),
            None,
        ),
        ("  asked again", best(lambda: deadlines(made, TODAY)), None),
        ("the items' dates alone", dates, None),
        ("  by walking day by day", walking, None),
        (f"{len(COUNTRIES) + 1} calendars of five years rebuilt", best(lambda: rebuild(made)), 2),
        ("what holidays are missing (none)", best(lambda: missing(made, TODAY)), None),
        ("when the next digest is due", best(lambda: next_due(made, NOW)), None),
        ("a morning's digest", best(lambda: digest_for(made, WREN, NOW)), None),
        ("why: an item's chain", best(lambda: item_chain(made, made.items[9].id, TODAY)), None),
        ("the item that binds a box", best(lambda: binding(made, made.boxes[5].id, TODAY)), None),
        ("a year rehearsed", year, 1000),
    )
    items = sum(1 for one in found if one.item)
    print(f"{len(found)} deadlines, {items} of items; walking day by day agrees: {same}")
    print(f"{'':48}{'ms':>9}{'target':>9}")
    for name, figure, target in rows:
        print(f"{name:48}{figure:9.3f}{'' if target is None else target:>9}")
    print(f"dates found faster than by walking day by day: {walking / dates:.1f} times")


if __name__ == "__main__":
    main()

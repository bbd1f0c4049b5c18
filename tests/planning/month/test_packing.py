"""The packing run against a walk that asks of each day whether it is worked, and by how many."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from math import ceil

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.chains import item_chain
from assistant.planning.deadlines import deadline, deadlines
from assistant.planning.model import (
    Closure,
    Count,
    Group,
    Lead,
    Mark,
    Person,
    Profile,
    Purchase,
    Run,
    Sent,
    Shop,
)
from assistant.planning.month.packing import Packing, done_at, packing
from tests.planning.plans import done
from tests.trade import shop, with_holidays

TODAY = date(2027, 1, 11)  # a Monday
BOX, SHIPS = "2027-03", date(2027, 3, 15)
IN_HAND = f"{BOX}.notebook/stock"
D = Decimal
OWNER = Person("wren", "pretend:wren", role="owner")


def made(*people: Person, run: Run | None = None, at_hand: bool = True, **profile: object) -> Shop:
    """A shop that packs 431 boxes for March, 180 a day by one person."""
    facts = {"subscribers": 431, **profile}
    plan = shop("2027-03 Rain, ships 2027-03-15: notebook", **facts)
    plan = replace(plan, people=people, runs=(run,) if run else ())
    return with_holidays(done(plan, IN_HAND) if at_hand else plan, TODAY)


def helper(name: str, *off: tuple[int, int]) -> Person:
    """A helper who is off on days of March."""
    spans = (Closure("away", date(2027, 3, a), date(2027, 3, b)) for a, b in off)
    return Person(name, f"pretend:{name}", off=tuple(spans))


# --- an oracle: day by day --------------------------------------------------------------------


def hands(known: Shop, on: date, crew: int) -> int:
    """How many pack on a day: nobody who is off, and people who were not let in make up a crew."""
    helpers = [one for one in known.people if one.role == "helper"]
    off = sum(any(c.first <= on <= c.last for c in one.off) for one in helpers)  # type: ignore[operator]
    there = len(helpers) + any(one.role == "owner" for one in known.people) - off
    strangers = max(crew - len(helpers) - any(one.role == "owner" for one in known.people), 0)
    return min(crew, there + strangers)


def walk(
    known: Shop, first: date, boxes: int, crew: int, a_head: Decimal, days: int = 1200
) -> Iterator[tuple[date, int]]:
    """Each working day from a day on with its hands, until all is packed."""
    worked, packed = calendars(known, TODAY).shop, D(0)
    for ahead in range(days):
        on = first + timedelta(ahead)
        if not worked.is_working(on):
            continue
        there = hands(known, on, crew)
        packed += there * a_head
        yield on, there
        if packed >= boxes:
            return


def fits(known: Shop, first: date, boxes: int, crew: int, a_head: Decimal, until: date) -> bool:
    days = [on for on, _ in walk(known, first, boxes, crew, a_head)]
    total = sum(hands(known, on, crew) * a_head for on in days)
    return bool(days) and total >= boxes and days[-1] < until


OFF = st.tuples(st.integers(1, 14), st.integers(0, 4)).map(lambda d: (d[0], d[0] + d[1]))
HELPERS = st.lists(st.lists(OFF, max_size=2), max_size=3)


@settings(max_examples=120)
@given(
    off=HELPERS,
    boxes=st.integers(1, 3000),
    crew=st.integers(1, 5),
    pace=st.integers(5, 60),
    hours=st.sampled_from(["4", "6", "7.5"]),
    first=st.integers(1, 14),
    collection=st.sampled_from([None, date(2027, 3, 12), date(2027, 3, 17)]),
    week=st.sampled_from(["Mon-Fri", "Mon-Sat", "Tue, Thu"]),
)
def test_against_a_walk(
    off: list[list[tuple[int, int]]],
    boxes: int,
    crew: int,
    pace: int,
    hours: str,
    first: int,
    collection: date | None,
    week: str,
) -> None:
    people = (OWNER, *(helper(f"h{n}", *days) for n, days in enumerate(off)))
    run = Run(BOX, date(2027, 3, first), crew, D(hours), collection)
    facts = {"subscribers": boxes, "boxes_per_hour": pace, "week": week}
    known = made(*people, run=run, **facts)
    found, until, a_head = packing(known, BOX, TODAY), collection or SHIPS, pace * D(hours)
    taken = list(walk(known, date(2027, 3, first), boxes, crew, a_head))
    assert [(day.on, day.hands) for day in found.days] == taken
    assert (found.first, found.last) == (taken[0][0], taken[-1][0])
    assert found.fits == (taken[-1][0] < until)
    latest = [
        on
        for ahead in range(60)
        if calendars(known, TODAY).shop.is_working(on := until - timedelta(ahead + 1))
        and fits(known, on, boxes, crew, a_head, until)
    ]
    if latest:
        assert found.latest == latest[0]
    check_options(known, found, boxes, until, pace)


def check_options(known: Shop, found: Packing, boxes: int, until: date, pace: int) -> None:
    """Every way out fits, and less of it would not."""
    assert bool(found.options) == (not found.fits)
    for one in found.options:
        a_head, first = pace * one.hours, one.first
        if one.way == "later":
            assert one.ships is not None
            assert one.ships > one.last == found.last
            continue
        assert fits(known, first, boxes, one.crew, a_head, until)
        days = [on for on, _ in walk(known, first, boxes, one.crew, a_head)]
        assert one.last == days[-1]
        if one.way == "hours":
            less = pace * (one.hours - D("0.5"))
            assert not fits(known, first, boxes, one.crew, less, until)
        elif one.way in ("hands", "both"):
            assert not fits(known, first, boxes, one.crew - 1, a_head, until)
        elif one.way == "earlier":
            later = first + timedelta(1)
            while not calendars(known, TODAY).shop.is_working(later):
                later += timedelta(1)
            assert not fits(known, later, boxes, one.crew, a_head, until)


# --- one run after another --------------------------------------------------------------------


def test_a_run_as_the_plan_has_it() -> None:
    found = packing(made(), BOX, TODAY)
    assert (found.boxes, found.crew, found.hours, found.a_day) == (431, 1, 6, 180)
    assert (found.first, found.last, found.needed, found.there) == (
        date(2027, 3, 10),
        date(2027, 3, 12),
        3,
        3,
    )
    assert found.fits
    assert found.options == ()


def test_ways_out_the_best_first() -> None:
    found = packing(made(run=Run(BOX, date(2027, 3, 11))), BOX, TODAY)
    assert not found.fits
    assert [one.way for one in found.options] == ["earlier", "hours", "hands", "later"]
    sooner, longer, more, later = found.options
    assert sooner.first == date(2027, 3, 10)
    assert longer.hours == D("7.5")
    assert more.crew == 2
    assert (later.last, later.ships) == (date(2027, 3, 15), date(2027, 3, 16))


def test_goods_that_come_late_leave_only_hands() -> None:
    promised = Purchase(f"{BOX}.notebook", promised=date(2027, 3, 10), ordered=TODAY)
    late = replace(made(at_hand=False), purchases=(promised,))
    late = done(late, f"{BOX}.notebook/order")
    found = packing(late, BOX, TODAY)
    assert found.ready == found.first == date(2027, 3, 11)
    assert [one.way for one in found.options] == ["hours", "hands", "later"]


def test_an_earlier_start_with_more_hands_where_neither_is_enough() -> None:
    run = Run(BOX, date(2027, 3, 12))
    found = packing(made(run=run, subscribers=2000), BOX, date(2027, 3, 8))
    ways = {one.way: one for one in found.options}
    assert ways["both"].first == date(2027, 3, 8)
    assert ways["both"].crew == ceil(2000 / (180 * 5))
    assert "hands" not in ways  # 12 in place of one is no way out


def test_goods_that_never_come_cannot_be_packed() -> None:
    closed = shop("Kirigawa JP: closed from 2027-01-12", "2027-03 Rain: notebook@Kirigawa")
    items = tuple(replace(one, lead=Lead(10)) for one in closed.items)
    known = with_holidays(replace(closed, items=items, profile=(Profile(subscribers=431),)), TODAY)
    found = packing(known, BOX, TODAY)
    assert found.ready is None
    assert not found.fits
    assert found.options == ()


def test_a_collection_before_the_ship_date_ends_the_run() -> None:
    found = packing(made(run=Run(BOX, collection=date(2027, 3, 12))), BOX, TODAY)
    assert found.until == date(2027, 3, 12)
    assert (found.latest, found.fits) == (date(2027, 3, 9), False)


def test_a_first_day_that_is_chosen_moves_the_plan() -> None:
    for chosen, pack, stock in (
        (date(2027, 3, 3), date(2027, 3, 3), date(2027, 3, 2)),
        (date(2027, 3, 7), date(2027, 3, 8), date(2027, 3, 5)),  # a Sunday
        (date(2027, 3, 20), date(2027, 3, 10), date(2027, 3, 9)),  # too late to be meant
    ):
        known = made(run=Run(BOX, chosen), at_hand=False)
        days = [deadline(known, key, TODAY) for key in (f"{BOX}/pack", IN_HAND)]
        assert [one and one.on for one in days] == [pack, stock]


def test_counted_or_only_expected() -> None:
    known = made()
    assert not packing(known, BOX, TODAY).counted
    counted = replace(known, counts=(Count("c", date(2027, 3, 4), 440),))
    found = packing(counted, BOX, date(2027, 3, 5))
    assert (found.counted, found.boxes) == (True, 440)
    skips = replace(counted, groups=(Group(f"skip/{BOX}", "skip", 9, first=BOX),))
    assert packing(skips, BOX, date(2027, 3, 5)).boxes == 431


def test_owners_on_two_channels_are_one() -> None:
    away = (Closure("away", date(2027, 3, 8), date(2027, 3, 12)),)
    owners = (replace(OWNER, off=away), Person("w2", "pretend:w2", role="owner", off=away))
    found = packing(made(*owners), BOX, TODAY)
    assert found.days[0].hands == 0
    assert found.off
    assert not found.fits


# --- a run that goes on -----------------------------------------------------------------------


def at(day: int, hour: float) -> datetime:
    return datetime.combine(date(2027, 3, day), time(), UTC) + timedelta(hours=hour)


def test_what_is_packed_counts_and_today_is_partly_gone() -> None:
    run = Run(BOX, packed=((at(10, 12), 100),))
    found = packing(made(run=run), BOX, date(2027, 3, 10))
    assert (found.packed, found.left) == (100, 331)
    assert [day.boxes for day in found.days] == [80, 180, 180]
    assert found.last == date(2027, 3, 12)


def test_the_pace_of_the_run_so_far_tells_when_it_will_be_done() -> None:
    began = Mark(f"{BOX}/pack", "done", at=at(10, 9))
    run = Run(BOX, packed=((at(10, 10), 60), (at(10, 12), 120)))
    known = made(run=run, subscribers=300)
    known = replace(known, ledger=(*known.ledger, began))
    found = packing(known, BOX, date(2027, 3, 10))
    assert (found.pace.known, found.pace.boxes) == ("run", D(60))
    assert found.last == date(2027, 3, 10)
    assert done_at(found, at(10, 12), date(2027, 3, 10)) == at(10, 14)
    assert done_at(found, at(11, 12), date(2027, 3, 11)) is None


def test_all_packed() -> None:
    run = Run(BOX, packed=((at(10, 12), 431),))
    found = packing(made(run=run), BOX, date(2027, 3, 11))
    assert (found.left, found.fits, found.days, found.options) == (0, True, (), ())


def test_a_box_without_a_ship_date_or_subscribers() -> None:
    bare = replace(made(), profile=(Profile(ship_rule="never"),))
    bare = replace(bare, boxes=tuple(replace(one, ship_on=None) for one in bare.boxes))
    found = packing(bare, BOX, TODAY)
    assert (found.until, found.fits, found.days) == (None, False, ())
    nobody = packing(made(subscribers=0), BOX, TODAY)
    assert (nobody.boxes, nobody.left, nobody.fits) == (0, 0, True)


def test_what_was_noted_when_it_was_sent_counts() -> None:
    sent = Sent("2027-02", date(2027, 2, 15), 400, hours=D(20))
    known = replace(made(), sent=(sent,))
    assert packing(known, BOX, TODAY).pace.boxes == D(20)


def test_a_first_day_that_is_chosen_later_and_forgotten_again() -> None:
    """What was listed before does not stand for a run that was changed; chains agree."""
    plain = made(at_hand=False)
    before = deadline(plain, f"{BOX}/pack", TODAY)
    for run in (Run(BOX, date(2027, 3, 3)), Run(BOX, date(2027, 3, 5)), Run(BOX)):
        known = replace(plain, runs=(run,))
        found = deadline(known, f"{BOX}/pack", TODAY)
        chain = item_chain(known, f"{BOX}.notebook", TODAY)
        assert found is not None
        assert chain is not None
        assert found.on == (run.first or date(2027, 3, 10))
        assert next(link.on for link in chain.links if link.stage == "pack") == found.on
    assert deadline(plain, f"{BOX}/pack", TODAY) == before


def test_counting_boxes_leaves_what_was_listed() -> None:
    known = made(run=Run(BOX, date(2027, 3, 3)))
    listed = deadlines(known, TODAY)
    run = Run(BOX, date(2027, 3, 3), packed=((at(3, 12), 60),))
    assert deadlines(replace(known, runs=(run,)), TODAY) is listed

"""Swaps, moves and drops as changes, and what they do: dates, money, spread, orders.

Dates are worked by hand from the rules in config/defaults.toml on the calendar of England without
its public holidays (no almanac is kept here); shops, suppliers and items are invented.
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply, find, invert
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Box, Item, Mark, Put, RecurringType, Shop
from assistant.planning.shipping import is_ordered, shipped
from assistant.planning.year import fitting, rearranging
from assistant.planning.year.rearranging import BoxCost, Closer, effect
from tests.trade import shop

TODAY = date(2027, 1, 11)  # a Monday

YEAR = shop(
    "Aldermoor: transit 3d",
    "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
    "2027-02 Frost: pin@Hangfeng 450 x 0.90, type enamel pin",
    "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20, main",
    "2027-04 Mud",
    "2027-05 Swifts: pin@Hangfeng 450 x 0.90, type enamel pins; pencil@Aldermoor 450 x 2.00, main",
    "2027-06 Hay",
    "2027-07 Moths: pin@Hangfeng 450 x 0.90, type enamel pin",
    "2027-09 Seed: balm",
    "2027-10 Owls",
    "2027-11 Dark",
    subscribers=420,
    target=Decimal("6.00"),
)
PIN = RecurringType("pin", "enamel pin", 4)
YEAR = apply(YEAR, (Put(PIN), Put(Mark("2027-03.notebook/order", "done"))))
BOXES = [box.id for box in YEAR.boxes] + ["2027-08", "2027-12", "2028-01"]
ITEMS = [item.id for item in YEAR.items]


# --- changes --------------------------------------------------------------------------------


@given(st.sampled_from(BOXES), st.sampled_from(BOXES))
def test_a_swap_made_twice_is_none(first: str, second: str) -> None:
    once = apply(YEAR, rearranging.swap(YEAR, first, second))
    twice = apply(once, rearranging.swap(once, first, second))
    known = {box.id for box in YEAR.boxes}
    assert set(twice.items) == set(YEAR.items)
    assert {box for box in twice.boxes if box.id in known} == set(YEAR.boxes)
    assert set(twice.ledger) == set(YEAR.ledger)


@given(st.sampled_from(BOXES), st.sampled_from(BOXES), st.sets(st.sampled_from(ITEMS)))
def test_every_change_can_be_turned_round(first: str, second: str, items: set[str]) -> None:
    for changes in (
        rearranging.swap(YEAR, first, second),
        rearranging.move(YEAR, dict.fromkeys(items, first)),
        rearranging.drop(YEAR, items),
    ):
        back = apply(apply(YEAR, changes), invert(YEAR, changes))
        for table in ("boxes", "items", "ledger", "types"):
            assert set(getattr(back, table)) == set(getattr(YEAR, table))


def test_a_swap_with_a_month_that_has_no_box_gives_it_the_theme() -> None:
    swapped = apply(YEAR, rearranging.swap(YEAR, "2027-03", "2027-08"))
    assert find(swapped.boxes, "2027-08") == Box("2027-08", "Rain")
    assert find(swapped.boxes, "2027-03") == Box("2027-03")


def test_a_swap_leaves_ship_dates_and_what_belongs_to_the_month() -> None:
    marks = (Mark("2027-03/card", "done"), Mark("2027-03/count", "done"))
    fixed = replace(YEAR.boxes[1], ship_on=date(2027, 3, 12))
    known = apply(YEAR, (Put(fixed), *map(Put, marks)))
    swapped = apply(known, rearranging.swap(known, "2027-03", "2027-05"))
    assert find(swapped.boxes, "2027-03") == replace(fixed, theme="Swifts")
    states = {mark.id for mark in swapped.ledger}
    assert states == {"2027-05/card", "2027-03/count", "2027-03.notebook/order"}


def test_an_item_that_moves_keeps_its_marks_and_never_makes_two_of_a_box_stand_out() -> None:
    moved = apply(YEAR, rearranging.move(YEAR, {"2027-03.tea": "2027-05"}))
    assert [i.name for i in moved.items if i.box == "2027-05" and i.main] == ["pencil"]
    alone = apply(YEAR, rearranging.move(YEAR, {"2027-03.tea": "2027-06"}))
    assert [i.name for i in alone.items if i.box == "2027-06" and i.main] == ["tea"]
    assert moved.ledger == YEAR.ledger


def test_pins_follow_the_items_that_were_pinned() -> None:
    pinned = apply(YEAR, (Put(replace(PIN, pins=("2027-05", "2027-12"))),))
    swapped = apply(pinned, rearranging.swap(pinned, "2027-05", "2027-06"))
    assert swapped.types[0].pins == ("2027-06", "2027-12")
    back = apply(swapped, rearranging.swap(swapped, "2027-05", "2027-06"))
    assert back.types == pinned.types


def test_a_drop_takes_the_ledger_of_its_items_only() -> None:
    known = apply(YEAR, (Put(Mark("2027-03.tea/order", "done")),))
    left = apply(known, rearranging.drop(known, ("2027-03.notebook",)))
    assert find(left.items, "2027-03.notebook") is None
    assert [mark.id for mark in left.ledger] == ["2027-03.tea/order"]


# --- what they do ---------------------------------------------------------------------------


def moved_orders(before: Shop, after: Shop) -> int:
    """Counted deadline by deadline, without `effect`."""
    old = {d.key: d.on for d in deadlines(before, TODAY)}
    return sum(
        d.key in old and d.on != old[d.key]
        for d in deadlines(after, TODAY)
        if d.stage == "order" and d.state == "open"
    )


@given(st.sampled_from(BOXES), st.sampled_from(BOXES))
def test_the_figures_of_a_swap_are_those_of_the_plan_after_it(first: str, second: str) -> None:
    after = apply(YEAR, rearranging.swap(YEAR, first, second))
    found = effect(YEAR, after, TODAY)
    assert found.moved == moved_orders(YEAR, after)
    for cost in found.costs:
        assert cost.after == sum(i.unit_cost or 0 for i in after.items if i.box == cost.box)
        assert cost.before == sum(i.unit_cost or 0 for i in YEAR.items if i.box == cost.box)
    held = (i.box for i in YEAR.items if i.id == "2027-03.notebook")
    assert [i.name for i in found.ordered] == [
        "notebook" for box in held if box in (first, second) and first != second
    ]


def test_a_swap_says_what_becomes_late_ordering_first() -> None:
    # Pins need 10 working days to be made, 2 to be confirmed, 5 calendar days to come: a box that
    # ships on Fri 15 Jan is far too near.
    near = apply(YEAR, (Put(Box("2027-01")),))
    after = apply(near, rearranging.swap(near, "2027-01", "2027-02"))
    late = effect(near, after, TODAY).late
    assert (late[0].stage, late[0].name, late[0].box) == ("order", "pin", "2027-01")
    assert all(one.late for one in late)


def test_costs_are_told_of_boxes_whose_cost_changes_only() -> None:
    after = apply(
        YEAR, rearranging.move(YEAR, {"2027-03.tea": "2027-06", "2027-09.balm": "2027-10"})
    )
    assert effect(YEAR, after, TODAY).costs == (
        BoxCost("2027-03", Decimal("4.30"), Decimal("3.10")),
        BoxCost("2027-06", Decimal("0"), Decimal("1.20")),
    )


@pytest.mark.parametrize(
    ("item", "box", "closer"),
    [
        ("2027-05.pin", "2027-03", (Closer("enamel pin", 1, 2, ("2027-02", "2027-03")),)),
        ("2027-05.pin", "2027-04", ()),
        ("2027-07.pin", "2027-02", (Closer("enamel pin", 0, 2, ("2027-02", "2027-02")),)),
        ("2027-07.pin", "2027-08", ()),
        ("2027-03.tea", "2027-02", ()),
    ],
)
def test_a_type_that_comes_too_soon_is_told(
    item: str, box: str, closer: tuple[Closer, ...]
) -> None:
    after = apply(YEAR, rearranging.move(YEAR, {item: box}))
    assert rearranging.closer(YEAR, after) == closer


def test_what_is_ordered_is_told_by_any_later_stage_too() -> None:
    item = YEAR.items[0]
    assert not is_ordered(YEAR, item, TODAY)
    assert is_ordered(apply(YEAR, (Put(Mark(f"{item.id}/stock", "done")),)), item, TODAY)
    assert shipped(YEAR, "2027-02", TODAY) is None
    assert shipped(YEAR, "2027-02", date(2027, 3, 10)) == date(2027, 2, 15)


# --- boxes that suit ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("months", "today", "boxes"),
    [
        ((9, 10, 11), TODAY, ("2027-09", "2027-10", "2027-11")),
        ((12, 1, 2), TODAY, ("2027-01", "2027-02")),  # this winter: December is over
        ((12, 1, 2), date(2027, 2, 16), ("2027-12", "2028-01", "2028-02")),
        ((6, 7), date(2027, 6, 20), ("2027-07",)),
        ((7, 6), date(2027, 7, 20), ("2028-06", "2028-07")),
        ((1,), date(2027, 1, 20), ("2028-01",)),
    ],
)
def test_months_are_the_next_that_have_boxes_to_come(
    months: tuple[int, ...], today: date, boxes: tuple[str, ...]
) -> None:
    assert fitting.boxes_of(YEAR, months, today) == boxes


def test_second_boxes_of_a_month_are_boxes_too() -> None:
    two = apply(YEAR, (Put(Box("2027-09b")),))
    assert fitting.boxes_of(two, (9,), TODAY) == ("2027-09", "2027-09b")


def pins(known: Shop) -> list[Item]:
    return [item for item in known.items if item.name == "pin"]


def test_items_of_one_name_go_to_boxes_of_their_own() -> None:
    found = fitting.fit(YEAR, pins(YEAR), ("2027-09", "2027-10", "2027-11"))
    assert sorted(box for _, box in found.places) == ["2027-09", "2027-10", "2027-11"]
    assert found.left == ()


def test_what_finds_no_box_free_of_its_name_is_left() -> None:
    found = fitting.fit(YEAR, pins(YEAR), ("2027-09", "2027-10"))
    assert len(found.places) == 2
    assert len(found.left) == 1


def test_a_box_without_room_is_the_last_choice() -> None:
    full = apply(YEAR, (Put(Box("2027-09", room=0)), Put(Box("2027-10", room=0))))
    found = fitting.fit(full, pins(full)[:1], ("2027-09", "2027-10", "2027-11"))
    assert found.places == (("2027-02.pin", "2027-11"),)


def test_a_lone_item_keeps_away_from_the_next_of_its_kind() -> None:
    found = fitting.fit(YEAR, pins(YEAR)[:1], ("2027-08", "2027-09", "2027-10"))
    assert found.places == (("2027-02.pin", "2027-10"),)  # pins stay in May and July


NAMES = st.lists(st.sampled_from(("pin", "tea", "mug", "map")), min_size=1, max_size=6)


@given(NAMES, st.sets(st.sampled_from(BOXES), min_size=1, max_size=5))
def test_fitting_gives_each_item_a_box_of_those_asked_for_and_no_name_twice(
    names: list[str], boxes: set[str]
) -> None:
    moving = [Item(f"new.{n}", "2026-12", name, type=name) for n, name in enumerate(names)]
    known = replace(YEAR, items=(*YEAR.items, *moving))
    found = fitting.fit(known, moving, sorted(boxes))
    assert {id for id, _ in found.places} | set(found.left) == {item.id for item in moving}
    assert {box for _, box in found.places} <= boxes
    after = apply(known, rearranging.move(known, dict(found.places)))
    inside = [(i.box, i.name) for i in after.items if i.box in boxes]
    assert len(inside) == len(set(inside))
    free = {box for box in boxes for id in found.left if (box, name_of(id, moving)) not in inside}
    assert not free  # none is left that could have gone somewhere
    assert found == fitting.fit(known, moving[::-1], sorted(boxes))


def name_of(id: str, items: list[Item]) -> str:
    return next(item.name for item in items if item.id == id)

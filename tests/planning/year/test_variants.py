"""Versions of the year: no order is lost, what was sent stays, taking back brings all back.

Shops, suppliers and items are invented.
"""

from datetime import UTC, date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply, find, invert
from assistant.planning.model import Box, Change, Item, Mark, Put, Remove, Shop, Variant
from assistant.planning.shipping import is_ordered, shipped
from assistant.planning.year import rearranging, variants
from tests.trade import shop

TODAY = date(2027, 4, 2)  # February has shipped, and so has March
NOW = datetime(2027, 4, 2, 9, tzinfo=UTC)

YEAR = shop(
    "Aldermoor: transit 3d",
    "2027-02 Frost: pin 450 x 0.90",
    "2027-03 Rain: notebook@Aldermoor 450 x 3.10; tea 450 x 1.20",
    "2027-04 Mud: mug@Aldermoor 450 x 4.00",
    "2027-05 Swifts: map 450 x 0.90; pencil@Aldermoor 450 x 2.00",
    "2027-06 Hay",
    "2027-07 Moths: moth pin 450 x 0.90",
)
BOXES = [box.id for box in YEAR.boxes]
ITEMS = [item.id for item in YEAR.items]


def kept(known: Shop, name: str = "plan B") -> Variant:
    return variants.keep(known, name, NOW - timedelta(days=1))


def adopted(known: Shop, variant: Variant) -> Shop:
    return apply(known, variants.adopt(known, variant, NOW, TODAY).changes)


def ordered(known: Shop, item: str) -> Shop:
    return apply(known, (Put(Mark(f"{item}/order", "done")),))


def dropped(known: Shop, *items: str) -> Shop:
    return apply(known, rearranging.drop(known, items))


# --- any year against any other -------------------------------------------------------------

MOVES = st.tuples(st.just("move"), st.sampled_from(ITEMS), st.sampled_from(BOXES))
SWAPS = st.tuples(st.just("swap"), st.sampled_from(BOXES), st.sampled_from(BOXES))
DROPS = st.tuples(st.just("drop"), st.sampled_from(ITEMS), st.just(""))
ORDERS = st.tuples(st.just("order"), st.sampled_from(ITEMS), st.just(""))
CALLED_OFF = st.tuples(st.just("reopen"), st.sampled_from(ITEMS), st.just(""))
NEW = st.tuples(st.just("add"), st.sampled_from(("tea", "map", "mug")), st.sampled_from(BOXES))
STEPS = st.lists(st.one_of(MOVES, SWAPS, DROPS, ORDERS, CALLED_OFF, NEW), max_size=8)


def changed(known: Shop, steps: list[tuple[str, str, str]], ref: str) -> Shop:
    """A shop after some of what an owner does; two of one name in a box are left out."""
    for n, (verb, one, other) in enumerate(steps):
        after = apply(known, changes_of(known, verb, one, other, f"{ref}.{n}"))
        places = [(item.box, item.name) for item in after.items]
        known = after if len(places) == len(set(places)) else known
    return known


def changes_of(known: Shop, verb: str, one: str, other: str, id: str) -> tuple[Change, ...]:
    there = find(known.items, one) is not None
    if verb == "swap":
        return rearranging.swap(known, one, other)
    if verb == "add":
        return (Put(Item(id, other, one)),)
    if not there:
        return ()
    if verb == "move":
        return rearranging.move(known, {one: other})
    if verb == "drop":
        return rearranging.drop(known, (one,))
    return (Put(Mark(f"{one}/order", "done" if verb == "order" else "open")),)


YEARS = st.tuples(STEPS, STEPS).map(lambda pair: _two(*pair))


def _two(first: list[tuple[str, str, str]], then: list[tuple[str, str, str]]) -> Shop:
    """A year that was kept as a version, and changed since."""
    before = changed(YEAR, first, "a")
    return changed(apply(before, (Put(kept(before)),)), then, "b")


@given(YEARS)
def test_adopting_taken_back_brings_everything_back(known: Shop) -> None:
    changes = variants.adopt(known, known.variants[0], NOW, TODAY).changes
    back = apply(apply(known, changes), invert(known, changes))
    for table in ("boxes", "items", "ledger", "variants", "types"):
        assert set(getattr(back, table)) == set(getattr(known, table)), table


@given(YEARS)
def test_adopting_never_loses_what_is_ordered(known: Shop) -> None:
    found = variants.adopt(known, known.variants[0], NOW, TODAY)
    after = apply(known, found.changes)
    version = {item.id for item in known.variants[0].items}
    for item in known.items:
        if is_ordered(known, item, TODAY):
            stays = find(after.items, item.id)
            assert stays is not None
            assert is_ordered(after, stays, TODAY)
            assert replace(stays, box="", name="", main=False) == replace(
                item, box="", name="", main=False
            )
            sent = shipped(known, item.box, TODAY)
            assert item.id in version or sent or stays in found.carried


@given(YEARS)
def test_adopting_leaves_what_was_sent_as_it_is(known: Shop) -> None:
    after = adopted(known, known.variants[0])
    for box in BOXES:
        if shipped(known, box, TODAY):
            assert find(after.boxes, box) == find(known.boxes, box)
            assert inside(after, box) == inside(known, box)


@given(YEARS)
def test_adopting_leaves_a_whole_plan(known: Shop) -> None:
    """Every item has a box, every mark an owner, every name is once in its box, the version is
    what the plan is where nothing was ordered or sent."""
    after = adopted(known, known.variants[0])
    boxes, items = {b.id for b in after.boxes}, {i.id for i in after.items}
    assert {item.box for item in after.items} <= boxes
    assert {mark.id.rpartition("/")[0] for mark in after.ledger} <= boxes | items
    places = [(item.box, item.name.casefold()) for item in after.items]
    assert len(places) == len(set(places))
    if not any(is_ordered(known, item, TODAY) for item in known.items):
        for box in known.variants[0].boxes:
            if not shipped(known, box.id, TODAY):
                assert find(after.boxes, box.id) == box


@given(YEARS)
def test_the_year_that_gave_way_can_be_adopted_back(known: Shop) -> None:
    """Boxes to come are as they were but for items that were sent or came back."""
    after = adopted(known, known.variants[0])
    assert [one.name for one in after.variants] == ["before plan B"]
    again = adopted(after, after.variants[0])
    assert [one.name for one in again.variants] == ["plan B"]
    gone = {item.id for item in again.items} ^ {item.id for item in known.items}
    assert all(is_ordered(again, item, TODAY) for item in again.items if item.id in gone)
    assert {item.id for item in known.items} <= {item.id for item in again.items}


def inside(known: Shop, box: str) -> set[Item]:
    return {item for item in known.items if item.box == box}


# --- one by one -----------------------------------------------------------------------------


def test_an_item_ordered_meanwhile_is_carried_over_as_it_was_ordered() -> None:
    version = kept(YEAR)
    lamp = Item("lamp", "2027-06", "lamp", supplier="aldermoor", quantity=450)
    now = ordered(apply(YEAR, (Put(lamp),)), "lamp")
    found = variants.adopt(now, version, NOW, TODAY)
    assert found.carried == (lamp,)
    assert lamp in apply(now, found.changes).items


def test_an_ordered_item_that_the_version_has_elsewhere_moves_with_its_order() -> None:
    version = kept(YEAR)
    now = apply(YEAR, rearranging.move(YEAR, {"2027-05.pencil": "2027-06"}))
    pencil = find(now.items, "2027-05.pencil")
    assert pencil is not None
    now = ordered(apply(now, (Put(replace(pencil, quantity=500)),)), pencil.id)
    after = adopted(now, version)
    stays = find(after.items, pencil.id)
    assert stays is not None
    assert (stays.box, stays.quantity) == ("2027-05", 500)
    assert is_ordered(after, stays, TODAY)


def test_a_carried_item_whose_name_is_taken_gets_a_number() -> None:
    version = kept(YEAR)
    now = dropped(YEAR, "2027-05.map")
    now = ordered(apply(now, (Put(Item("new", "2027-05", "Map")),)), "new")
    after = adopted(now, version)
    assert {i.name for i in inside(after, "2027-05")} == {"map", "Map (2)", "pencil"}


def test_what_was_ordered_when_kept_and_dropped_since_comes_back_and_is_told() -> None:
    version = kept(ordered(YEAR, "2027-05.pencil"))
    now = dropped(ordered(YEAR, "2027-05.pencil"), "2027-05.pencil")
    found = variants.adopt(now, version, NOW, TODAY)
    assert [item.name for item in found.again] == ["pencil"]


def test_an_item_of_the_version_that_was_sent_meanwhile_is_not_sent_again() -> None:
    early = apply(YEAR, rearranging.move(YEAR, {"2027-03.tea": "2027-06"}))
    after = adopted(YEAR, kept(early))  # tea went out in March
    assert [item.box for item in after.items if item.id == "2027-03.tea"] == ["2027-03"]


def test_an_item_whose_box_in_the_version_has_shipped_stays_where_it_is() -> None:
    now = apply(YEAR, rearranging.move(YEAR, {"2027-03.tea": "2027-06"}))
    after = adopted(now, kept(YEAR))  # the version has it in March
    assert [item.box for item in after.items if item.id == "2027-03.tea"] == ["2027-06"]


def test_marks_of_a_box_follow_its_contents_and_those_of_the_month_stay() -> None:
    version = kept(apply(YEAR, (Put(Mark("2027-05/card", "done")),)))
    now = apply(YEAR, (Put(Mark("2027-05/count", "done")), Put(Mark("2027-06/card", "done"))))
    now = apply(now, rearranging.move(now, {"2027-05.map": "2027-07"}))
    states = {mark.id for mark in adopted(now, version).ledger}
    assert states == {"2027-05/card", "2027-05/count", "2027-06/card"}


def test_a_supplier_that_is_no_longer_known_leaves_its_items_without_one() -> None:
    now = dropped(YEAR, *ITEMS)
    now = apply(now, (Remove("suppliers", "aldermoor"),))
    after = adopted(now, kept(YEAR))
    assert {item.supplier for item in after.items} == {""}


def test_a_box_that_the_version_lacks_stays_for_what_is_ordered_in_it() -> None:
    now = apply(YEAR, (Put(Box("2027-09", "Seed")), Put(Item("new", "2027-09", "jar"))))
    assert find(adopted(now, kept(YEAR)).boxes, "2027-09") is None
    assert find(adopted(ordered(now, "new"), kept(YEAR)).boxes, "2027-09") == Box("2027-09", "Seed")


def test_the_year_that_gives_way_never_takes_the_name_of_another_version() -> None:
    known = apply(YEAR, (Put(kept(YEAR)), Put(kept(YEAR, "before plan B"))))
    assert variants.adopt(known, kept(YEAR), NOW, TODAY).kept_as == "before plan B 2"
    long = kept(YEAR, "a" * 40)
    assert len(variants.adopt(YEAR, long, NOW, TODAY).kept_as) <= variants.NAME


def test_differences_are_told_by_box_and_name() -> None:
    after = dropped(YEAR, "2027-05.map")
    after = apply(after, (Put(Box("2027-06", "Straw")), Put(Item("new", "2027-05", "print"))))
    may, june = variants.differences(YEAR, after)
    assert (may.came, may.went, may.other) == (("print",), ("map",), ())
    assert june.theme == ("Hay", "Straw")
    assert variants.differences(YEAR, YEAR) == ()

"""A shop's year spread: what stays, what moves, what is made, and how many boxes there are."""

from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply, find
from assistant.planning.model import Mark, Put, RecurringType, Remove, Shop
from assistant.planning.year import spread
from assistant.scheduling.weeks import Problem
from tests import trade

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)
YEAR = {"first": "2027-01", "last": "2027-12"}


def wish(name: str, times: int, **more: Any) -> RecurringType:
    return RecurringType(name, name, times, **more)


def shop(*texts: str, types: tuple[RecurringType, ...], **profile: Any) -> Shop:
    made = trade.with_holidays(trade.shop(*texts, **profile), TODAY)
    return replace(made, types=types)


def spread_of(made: Shop, today: date = TODAY, **boxes: str) -> spread.Spread:
    found = spread.spread(made, today, **(boxes or YEAR))
    assert isinstance(found, spread.Spread), found
    return found


def months(option: spread.Option, type: str) -> list[str]:
    return [one.box[5:] for one in option.placements if one.type == type and one.box]


def ordered(made: Shop, *items: str) -> Shop:
    return apply(made, [Put(Mark(f"{item}/order", "done", at=NOW)) for item in items])


def used(made: Shop, option: spread.Option) -> Shop:
    return apply(made, spread.changes_of(made, option.placements, "ref"))


def test_four_times_in_twelve_months_is_one_in_each_quarter() -> None:
    """Common practice, no source."""
    option = spread_of(shop(types=(wish("tea", 4),))).options[0]
    assert len({(int(month) - 1) // 3 for month in months(option, "tea")}) == 4
    assert option.gaps == (("tea", (3, 3, 3, 3)),)
    assert option.proved


def test_last_year_s_final_box_and_next_january_count() -> None:
    made = shop("2026-12 Frost: mint tea, type teas", types=(wish("tea", 4),))
    option = spread_of(made).options[0]
    assert months(option, "tea") == ["03", "06", "09", "12"]
    assert option.gaps == (("tea", (3, 3, 3, 3, 3)),)


def test_items_that_are_there_are_moved_and_the_rest_is_made() -> None:
    made = shop(
        "2027-01: black tea, type tea, form black",
        "2027-02: green tea, type tea, form green",
        types=(wish("tea", 3, forms=("black", "green", "white"), unit_cost=Decimal("1.20")),),
    )
    after = used(made, spread_of(made).options[0])
    kept = {item.id for item in made.items}
    assert kept <= {item.id for item in after.items}
    new = [item for item in after.items if item.id not in kept]
    assert [(i.id, i.name, i.type, i.form, i.unit_cost) for i in new] == [
        ("ref.1", "white tea", "tea", "white", Decimal("1.20"))
    ]
    assert all(find(after.boxes, item.box) for item in after.items)
    assert spread_of(after).options[0].moved == 0
    assert spread.changes_of(after, spread_of(after).options[0].placements, "again") == ()


def test_what_is_ordered_never_moves() -> None:
    made = shop("2027-02: a, type tea", "2027-03: b, type tea", types=(wish("tea", 4),))
    made = ordered(made, "2027-02.a", "2027-03.b")
    for option in spread_of(made).options:
        assert {"02", "03"} <= {*months(option, "tea")}
        after = used(made, option)
        assert find(after.items, "2027-02.a") == find(made.items, "2027-02.a")
        assert find(after.items, "2027-03.b") == find(made.items, "2027-03.b")


def test_more_ordered_than_wished_stays_and_nothing_is_added() -> None:
    made = shop("2027-02: a, type tea", "2027-03: b, type tea", types=(wish("tea", 1),))
    made = ordered(made, "2027-02.a", "2027-03.b")
    assert months(spread_of(made).options[0], "tea") == ["02", "03"]


def test_an_item_too_many_is_taken_out_and_the_one_that_is_settled_stays() -> None:
    made = shop(
        "2027-02: a, type tea",
        "2027-08: b@Ald 4 x 1.10, type tea",
        types=(wish("tea", 1, pins=("2027-05",)),),
    )
    option = spread_of(made).options[0]
    assert [(one.item, one.box) for one in option.placements] == [
        ("2027-08.b", "2027-05"),
        ("2027-02.a", ""),
    ]
    assert Remove("items", "2027-02.a") in spread.changes_of(made, option.placements, "ref")


def test_boxes_that_were_sent_keep_what_they_had() -> None:
    made = shop(
        "2027-01: a, type tea", "2027-02", "2027-03", types=(wish("tea", 4), wish("pin", 3))
    )
    option = spread_of(made, date(2027, 4, 20)).options[0]
    assert [month for month in months(option, "tea") if month < "05"] == ["01"]
    assert min(months(option, "pin")) >= "05"


def test_pins_musts_and_months_that_are_out() -> None:
    types = (
        wish("tea", 4, must=(12,), must_not=(3, 6), pins=("2027-05",)),
        wish("pin", 3, apart=("tea",)),
    )
    for option in spread_of(shop(types=types)).options:
        tea, pin = months(option, "tea"), months(option, "pin")
        assert {"12", "05"} <= {*tea}
        assert not {"03", "06"} & {*tea}
        assert not {*tea} & {*pin}


def test_what_she_likes_is_pinned_and_the_rest_spread_again() -> None:
    made = shop(types=(wish("tea", 4), wish("pin", 3), wish("print", 2)))
    first, second = spread_of(made).options[:2]
    liked = [one for one in second.placements if one.type == "tea"]
    pins = tuple(one.box for one in liked)
    again = replace(made, types=(wish("tea", 4, pins=pins), *made.types[1:]))
    for option in spread_of(again).options:
        assert [one.box for one in option.placements if one.type == "tea"] == list(pins)
    assert first.placements != second.placements


def test_a_theme_that_suits_decides_between_equals() -> None:
    made = shop("2027-02 The Tea Gardens: x", types=(wish("tea", 4, suits=("garden",)),))
    assert months(spread_of(made).options[0], "tea") == ["02", "05", "08", "11"]


def test_the_change_from_the_present_year_is_the_last_to_decide() -> None:
    made = shop("2027-03: a, type tea", "2027-06: b, type tea", types=(wish("tea", 4),))
    option = spread_of(made).options[0]
    assert months(option, "tea") == ["03", "06", "09", "12"]
    assert option.moved == 2


def test_forms_rotate_through_the_years() -> None:
    made = shop(
        "2026-08: x, type tea, form black",
        "2026-11: y, type tea, form green",
        types=(wish("tea", 4, forms=("black", "green", "white")),),
    )
    option = spread_of(made).options[0]
    forms = [one.form for one in option.placements]
    assert forms[0] == "white"
    assert {*forms[1:]} == {"black", "green", "white"}
    assert option.again == ()


def test_a_form_list_that_is_too_short_is_told_not_forbidden() -> None:
    option = spread_of(shop(types=(wish("tea", 4, forms=("black",)),))).options[0]
    assert len(option.again) == 3


# --- how many boxes ---------------------------------------------------------------------------


def test_two_years() -> None:
    option = spread_of(shop(types=(wish("tea", 4),)), first="2027-01", last="2028-12").options[0]
    boxes = [one.box for one in option.placements]
    assert len(boxes) == 8
    assert {box[:4] for box in boxes} == {"2027", "2028"}
    assert option.gaps == (("tea", (3,) * 8),)


def test_four_boxes_a_year() -> None:
    boxes = [f"2027-{month:02} Quarter" for month in (1, 4, 7, 10)]
    made = shop(*boxes, types=(wish("tea", 2), wish("pin", 1)))
    assert spread.boxes_between(made, "2028-01", "2028-10") == (
        "2028-01", "2028-04", "2028-07", "2028-10",
    )  # fmt: skip
    option = spread_of(made, first="2028-01", last="2028-10").options[0]
    assert months(option, "tea") in (["01", "07"], ["04", "10"])


@pytest.mark.parametrize(("start", "boxes"), [("2027-01-05", 26), ("2027-01-12", 26)])
def test_every_two_weeks(start: str, boxes: int) -> None:
    made = shop(types=(wish("tea", 6), wish("pin", 4)), ship_rule=f"every 2 weeks from {start}")
    found = spread_of(made)
    assert len(found.boxes) == boxes
    assert len([one for one in found.options[0].placements if one.type == "tea"]) == 6
    (_, pin), (_, tea) = found.options[0].gaps
    assert max(tea) - min(tea) <= 1
    assert max(pin) - min(pin) <= 1


def test_two_boxes_a_month() -> None:
    boxes = [f"2027-{month:02}{nth}" for month in range(1, 13) for nth in ("", "b")]
    made = shop("2026-12b: x, type tea", *boxes, types=(wish("tea", 8),))
    option = spread_of(made, first="2027-01", last="2027-12b").options[0]
    assert option.gaps == (("tea", (3,) * 9),)


def test_half_a_year_takes_half_the_times() -> None:
    option = spread_of(shop(types=(wish("tea", 4),)), first="2027-01", last="2027-06").options[0]
    assert len(option.placements) == 2


def test_a_year_begun_in_the_plan_is_filled_up() -> None:
    made = shop("2027-01 Frost", "2027-02 Thaw", "2027-03 Rain", types=(wish("tea", 4),))
    assert len(spread_of(made).boxes) == 12


# --- what cannot be ---------------------------------------------------------------------------


def test_wishes_that_clash() -> None:
    made = shop(types=(wish("tea", 12), wish("pin", 4)), room=1)
    found = spread.spread(made, TODAY, **YEAR)
    assert isinstance(found, spread.Clash)
    assert {(one.what, one.type, one.number) for one in found.wishes} == {
        ("times", "tea", 12),
        ("times", "pin", 4),
        ("room", "", 1),
    }
    assert found.alone
    assert {(one.wish.what, one.to) for one in found.relaxations} == {
        ("times", 8), ("times", 0), ("room", 2),
    }  # fmt: skip


def test_no_types_and_no_boxes_left() -> None:
    assert isinstance(spread.spread(shop(types=()), TODAY, **YEAR), Problem)
    late = spread.spread(shop(types=(wish("tea", 1),)), date(2028, 3, 1), **YEAR)
    assert isinstance(late, Problem)


@pytest.mark.parametrize(
    ("type", "told"),
    [
        (wish("tea", 13), "12 boxes"),
        (wish("tea", 11, must_not=(1, 2)), "10 boxes"),
        (wish("tea", 2, must=(1, 5, 9)), "3 months"),
        (wish("tea", 2, must=(5,), must_not=(5,)), "May"),
        (wish("tea", 2, pins=("2027-05",), must_not=(5,)), "May"),
        (wish("tea", 2, pins=("2026-09",)), "been sent"),
    ],
)
def test_wishes_that_cannot_hold_by_counting(type: RecurringType, told: str) -> None:
    found = spread.check(shop(types=(type,)), type, TODAY)
    assert isinstance(found, Problem)
    assert told in found.sentence


def test_wishes_that_can_hold() -> None:
    good = wish("tea", 12, must=(1, 2), pins=("2027-05",))
    assert spread.check(shop(types=(good,)), good, TODAY) is None


# --- what is there now ------------------------------------------------------------------------


def test_items_of_a_type_are_found_by_its_name() -> None:
    made = shop("2027-05: b, type Enamel pins", "2027-02: a, type enamel pin; c", types=())
    assert [i.name for i in spread.placed(made, wish("enamel pin", 2))] == ["a", "b"]


def test_gaps_as_planned_now() -> None:
    made = shop(
        "2026-11: z, type tea", "2027-02: a, type tea", "2027-05: b, type tea",
        types=(wish("tea", 4),),
    )  # fmt: skip
    assert spread.gaps(made, "tea", "2027-01", "2027-12") == (3, 3, 9)
    assert spread.gaps(made, "none", "2027-01", "2027-12") == ()


def test_a_fingerprint_changes_with_what_a_spread_rests_on() -> None:
    made = shop("2027-02: a, type tea", types=(wish("tea", 4),))
    here = spread.fingerprint(made, "2027-01", "2027-12")
    assert here == spread.fingerprint(replace(made, version=9), "2027-01", "2027-12")
    others = (
        replace(made, types=(wish("tea", 3),)),
        ordered(made, "2027-02.a"),
        replace(made, items=()),
        replace(made, boxes=(replace(made.boxes[0], theme="Rain"),)),
    )
    assert here not in [spread.fingerprint(other, "2027-01", "2027-12") for other in others]


@given(st.permutations(("tea", "pin", "print", "balm")), st.integers(1, 3))
@settings(max_examples=10)
def test_the_order_in_which_types_were_told_changes_nothing(names: list[str], room: int) -> None:
    made = shop(types=tuple(wish(name, len(name)) for name in names), room=room)
    usual = replace(made, types=tuple(sorted(made.types, key=lambda one: one.name)))
    assert spread.spread(made, TODAY, **YEAR) == spread.spread(usual, TODAY, **YEAR)


def test_no_change_makes_two_items_of_one_name_in_a_box() -> None:
    made = shop("2027-02: tea", types=(wish("tea", 12),))
    after = used(made, spread_of(made).options[0])
    names = sorted((item.box, item.name.casefold()) for item in after.items)
    assert all(one != other for one, other in pairwise(names))

"""A year of boxes as facts. States are common practice, no source; the deadlines on which they
rest are tested on their own."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.deadlines import deadlines, ship_date
from assistant.planning.model import Box, Item, Mark, Put, RecurringType, Shop
from assistant.planning.year.contents import contents
from assistant.planning.year.year_view import (
    MOST_TRACKS,
    NO_BOX,
    QUARTERS,
    STATES,
    BoxView,
    quarter_of,
    year_shown,
    year_view,
)
from tests.planning.plans import shops
from tests.trade import shop

TODAY = date(2026, 11, 25)
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
MARCH = shop(
    "Aldermoor: transit 3d",
    "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
)


def marked(made: Shop, *keys: str) -> Shop:
    """The shop with these done."""
    return apply(made, (Put(Mark(key, "done", at=NOON)) for key in keys))


def only(made: Shop, today: date = TODAY) -> BoxView:
    """The one box of 2027."""
    [box] = year_view(made, 2027, today).boxes
    return box


# --- how far a box is -----------------------------------------------------------------------

NOTEBOOK, TEA = "2027-03.notebook", "2027-03.tea"


@pytest.mark.parametrize(
    ("made", "state"),
    [
        (shop("2027-03"), "no theme"),
        (shop("2027-03 Rain & Roots"), "no items"),
        (shop("2027-03: tea"), "no theme"),
        (MARCH, "to source"),
        (marked(MARCH, f"{NOTEBOOK}/source"), "to source"),
        (marked(MARCH, f"{NOTEBOOK}/source", f"{TEA}/source"), "to order"),
        (marked(MARCH, f"{NOTEBOOK}/order", f"{TEA}/source"), "to order"),
        (marked(MARCH, f"{NOTEBOOK}/order", f"{TEA}/order"), "on order"),
        (marked(MARCH, f"{NOTEBOOK}/stock", f"{TEA}/order"), "on order"),
        (marked(MARCH, f"{NOTEBOOK}/stock", f"{TEA}/stock"), "in hand"),
        (marked(MARCH, "2027-03/pack"), "packed"),
        (shop("2027-03 Rain: tea", ship_rule="fifth Friday"), "no ship date"),
    ],
)
def test_a_box_is_as_far_as_the_least_of_it(made: Shop, state: str) -> None:
    assert only(made).state == state


def test_a_box_is_shipped_when_that_is_said_or_long_past() -> None:
    after = date(2027, 3, 16)
    assert only(MARCH, after).state != "shipped"
    assert only(marked(MARCH, "2027-03/ship"), after).state == "shipped"
    assert only(MARCH, date(2027, 4, 20)).state == "shipped"


def test_what_is_not_needed_holds_nothing_up() -> None:
    bought = marked(MARCH, f"{NOTEBOOK}/stock")
    assert only(bought).state == "to source"
    waived = [Put(Mark(f"{TEA}/{stage}", "not needed")) for stage in ("source", "order", "stock")]
    assert only(apply(bought, waived)).state == "in hand"


def test_late_things_are_counted() -> None:
    assert only(MARCH).late == 0
    late = only(MARCH, date(2027, 3, 1)).late
    assert late == sum(one.late and one.nudge for one in deadlines(MARCH, date(2027, 3, 1))) > 0


@given(shops())
def test_facts_are_those_of_the_plan(made: Shop) -> None:
    for year in (2026, 2027):
        for box in year_view(made, year, TODAY).boxes:
            held = contents(made, box.id, TODAY)
            inside = [item.name for item in made.items if item.box == box.id]
            shown = [name for back in box.returns for name in back.items]
            assert sorted((*shown, *box.others)) == sorted(inside)
            assert (box.items, box.cost, box.target) == (held.items, held.cost, held.target)
            assert box.ships == ship_date(made, box.id, TODAY)
            assert box.state in dict(STATES)


# --- which boxes ----------------------------------------------------------------------------


def test_boxes_stand_in_order_and_only_those_of_the_year() -> None:
    made = shop("2027-05 B", "2027-03b second", "2027-03 A", "2028-01 no", "2026-12 no")
    assert [box.id for box in year_view(made, 2027, TODAY).boxes] == [
        "2027-03",
        "2027-03b",
        "2027-05",
    ]
    assert year_view(made, 2031, TODAY).boxes == ()


def test_a_month_without_a_box_is_a_gap_in_a_monthly_year_only() -> None:
    monthly = shop(*(f"2027-{month:02} x" for month in range(1, 11)))
    gaps = [box.id for box in year_view(monthly, 2027, TODAY).boxes if box.state == NO_BOX]
    assert gaps == ["2027-11", "2027-12"]
    quarterly = shop(*(f"2027-{month:02} x" for month in (3, 6, 9, 12)))
    assert len(year_view(quarterly, 2027, TODAY).boxes) == 4


def test_the_quarters_are_the_year() -> None:
    view = year_view(
        shop(*(f"2027-{month:02}{b}" for month in range(1, 13) for b in " b")), 2027, TODAY
    )
    parts = [quarter_of(view, number) for number in QUARTERS]
    assert tuple(box for part in parts for box in part.boxes) == view.boxes
    assert [len(part.boxes) for part in parts] == [6, 6, 6, 6]
    assert {box.month for box in parts[1].boxes} == {4, 5, 6}
    assert all(part.tracks == view.tracks for part in parts)


def year(of: int, months: int = 12) -> tuple[Box, ...]:
    return tuple(Box(f"{of}-{month:02}", "x") for month in range(1, months + 1))


@pytest.mark.parametrize(
    ("boxes", "today", "shown"),
    [
        ((), TODAY, None),
        (year(2027), date(2026, 11, 25), (2027, 1)),
        (year(2027), date(2027, 2, 1), (2027, 1)),
        (year(2027), date(2027, 11, 25), (2027, 1)),
        ((*year(2027), *year(2028)), date(2027, 2, 1), (2027, 1)),
        ((*year(2027), *year(2028)), date(2027, 6, 20), (2027, 1)),
        ((*year(2027), *year(2028)), date(2027, 9, 1), (2028, 1)),
        ((*year(2026), *year(2027, 3)), date(2026, 11, 25), (2026, 4)),
        ((*year(2026), *year(2027, 1)), date(2026, 11, 25), (2026, 2)),
        ((*year(2026)[11:], *year(2027, 11)), date(2026, 11, 25), (2026, 12)),
        ((*year(2024), *year(2025)), date(2027, 1, 1), (2025, 1)),
    ],
)
def test_the_year_that_is_shown(
    boxes: tuple[Box, ...], today: date, shown: tuple[int, int] | None
) -> None:
    assert year_shown(replace(shop(), boxes=boxes), today) == shown


def test_twelve_months_that_begin_in_december() -> None:
    made = replace(shop(), boxes=(*year(2026)[11:], *year(2027, 10)))
    view = year_view(made, 2026, date(2026, 11, 25), first=12)
    assert [box.id for box in view.boxes] == ["2026-12", *(f"2027-{n:02}" for n in range(1, 12))]
    assert [box.id for box in view.boxes if box.state == NO_BOX] == ["2027-11"]


# --- types ----------------------------------------------------------------------------------


def test_wished_types_come_first_then_those_that_come_back() -> None:
    made = shop(
        "2027-01: a, type tea; b, type Pins; c, type odd",
        "2027-02: d, type pin; e, type  Art  print",
        "2027-03: f, type art prints; g, type Tea",
    )
    kinds = (RecurringType("t", "teas", 4), RecurringType("u", "soap", 2))
    tracks = year_view(replace(made, types=kinds), 2027, TODAY).tracks
    assert [(one.name, one.times, one.wanted) for one in tracks] == [
        ("teas", 2, 4),
        ("soap", 0, 2),
        ("Art print", 2, None),
        ("Pins", 2, None),
    ]
    assert [one.letter for one in tracks] == ["T", "S", "A", "P"]


def test_returns_name_their_items_and_forms() -> None:
    made = shop("2027-01: a, type tea, form green; b, type tea; c", "2027-02: d, type tea")
    [first, _] = year_view(made, 2027, TODAY).boxes
    [back] = first.returns
    assert (back.track, back.items, back.forms) == (0, ("a", "b"), ("green",))
    assert first.others == ("c",)


@given(st.lists(st.text(max_size=12).filter(str.strip), max_size=40))
def test_every_type_has_a_mark_of_its_own(names: list[str]) -> None:
    kinds = tuple(RecurringType(f"t{n}", name) for n, name in enumerate(names))
    tracks = year_view(replace(shop("2027-01"), types=kinds), 2027, TODAY).tracks
    assert len({one.letter for one in tracks}) == len(tracks) <= MOST_TRACKS
    assert all(one.letter.isascii() for one in tracks)
    assert len({one.shape for one in tracks}) == len(tracks)


def test_types_beyond_the_room_are_items_without_a_track() -> None:
    items = tuple(
        Item(f"{month}.{n}", f"2027-0{month}", f"thing {n}", type=f"kind {n}")
        for month in (1, 2)
        for n in range(MOST_TRACKS + 3)
    )
    made = replace(shop("2027-01", "2027-02"), items=items)
    view = year_view(made, 2027, TODAY)
    assert len(view.tracks) == MOST_TRACKS
    assert len(view.boxes[0].others) == 3


def test_money_is_what_the_contents_say() -> None:
    made = shop("2027-03 Rain: a 1 x 3.10; b; c 1 x 2.00 EUR", target=Decimal(9), items_a_box=5)
    box = only(made)
    assert (box.cost, box.uncosted, box.target) == (Decimal("3.10"), 2, Decimal(9))
    assert (box.items, box.wanted) == (3, 5)


def test_the_same_year_a_day_later_differs_by_its_day_alone() -> None:
    late = TODAY + timedelta(days=1)
    assert replace(year_view(MARCH, 2027, late), on=TODAY) == year_view(MARCH, 2027, TODAY)

"""What a box holds and lacks, against sums done by hand here. The goods are invented."""

from datetime import date
from decimal import Decimal
from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Item, Mark, Profile, Shop
from assistant.planning.year.contents import contents, fits
from tests.trade import shop, with_stages

TODAY = date(2027, 1, 11)
MARCH = (
    "2027-03 Rain: notebook 450 x 3.10, 180 g, 210 x 148 x 12 mm, main; "
    "mug 450 x 4.20, 320 g; pin 450 x 2.00 EUR"
)
GOALS = {
    "items_a_box": 5,
    "target": Decimal("14.00"),
    "mailer_grams": 2000,
    "mailer_mm": (300, 220, 80),
}


def test_a_box_is_counted_up() -> None:
    found = contents(shop(MARCH, **GOALS), "2027-03", TODAY)
    assert (found.items, found.wanted, found.short) == (3, 5, 2)
    assert (found.cost, found.target, found.left) == (
        Decimal("7.30"),
        Decimal("14.00"),
        Decimal("6.70"),
    )
    assert found.uncosted == 1  # the pin's price is in another currency
    assert (found.grams, found.unweighed, found.grams_left) == (500, 1, 1500)
    # 300 x 220 x 80 = 5 280 000 mm3; 210 x 148 x 12 = 372 960
    assert (found.volume, found.unsized, found.volume_left) == (373, 2, 4907)
    assert found.main == "2027-03.notebook"
    assert (found.card, found.packaging) == ("open", "open")
    assert found.missing == ("items", "card", "packaging", "costs", "weights", "sizes")


def test_without_goals_nothing_is_measured_against_them() -> None:
    found = contents(shop(MARCH), "2027-03", TODAY)
    assert (found.wanted, found.target, found.left) == (None, None, None)
    assert (found.grams_left, found.volume_left) == (None, None)
    assert found.missing == ("card", "packaging")


@pytest.mark.parametrize(
    ("goals", "code"),
    [
        ({"items_a_box": 4}, "items"),
        ({"target": Decimal("7.29")}, "over target"),
        ({"mailer_grams": 499}, "over weight"),
        ({"mailer_mm": (211, 149, 10)}, "over volume"),
        ({"mailer_mm": (200, 200, 200)}, "too long"),
    ],
)
def test_what_a_box_lacks_against_one_goal(goals: dict[str, object], code: str) -> None:
    assert code not in contents(shop(MARCH), "2027-03", TODAY).missing
    assert code in contents(shop(MARCH, **goals), "2027-03", TODAY).missing


def test_exactly_enough_is_enough() -> None:
    exact = {"items_a_box": 3, "target": Decimal("7.30"), "mailer_grams": 500}
    found = contents(shop(MARCH, **exact), "2027-03", TODAY)
    assert found.left == 0
    assert found.grams_left == 0
    assert not {"items", "over target", "over weight"} & set(found.missing)


@pytest.mark.parametrize("plan", [(), ("2027-03",)])
def test_a_box_without_items_lacks_items_and_no_main_one(plan: tuple[str, ...]) -> None:
    found = contents(shop(*plan), "2027-03", TODAY)
    assert found.items == found.cost == 0
    assert "items" in found.missing
    assert "main" not in found.missing


def test_no_item_stands_out() -> None:
    found = contents(shop("2027-03: mug; pin"), "2027-03", TODAY)
    assert found.main == ""
    assert "main" in found.missing


def test_card_and_packaging_are_what_their_stages_are() -> None:
    plan = shop(MARCH)
    done = replace(plan, ledger=(Mark("2027-03/card", "done"),))
    found = contents(done, "2027-03", TODAY)
    assert (found.card, found.packaging) == ("done", "done")
    assert not {"card", "packaging"} & set(found.missing)
    not_needed = replace(plan, ledger=(Mark("2027-03/card", "not needed"),))
    assert contents(not_needed, "2027-03", TODAY).card == "not needed"


def test_a_table_without_such_a_stage_says_nothing_of_it() -> None:
    plan = shop(MARCH)
    bare = replace(plan.house, stages=tuple(s for s in plan.house.stages if s.name != "card"))
    found = contents(replace(plan, house=bare), "2027-03", TODAY)
    assert (found.card, found.packaging) == ("", "")
    assert not {"card", "packaging"} & set(found.missing)


def test_packaging_may_have_a_stage_of_its_own() -> None:
    plan = shop(MARCH)
    house = with_stages(plan.house, photo={"name": "packaging"})
    marked = replace(plan, house=house, ledger=(Mark("2027-03/packaging", "done"),))
    found = contents(marked, "2027-03", TODAY)
    assert (found.card, found.packaging) == ("open", "done")


def test_a_box_long_past_is_done() -> None:
    assert contents(shop("2026-03: mug"), "2026-03", TODAY).card == "done"


# --- whatever stands in a box ---------------------------------------------------------------

SIDES = st.integers(1, 400)
SIZES = st.none() | st.tuples(SIDES, SIDES, SIDES)
ITEMS = st.lists(
    st.tuples(
        st.none() | st.decimals(0, 99, places=2),
        st.sampled_from(("", "GBP", "EUR")),
        st.none() | st.integers(0, 3000),
        SIZES,
        st.booleans(),
    ),
    max_size=6,
)


@given(ITEMS, SIZES, st.none() | st.integers(0, 5000))
def test_nothing_is_counted_twice_or_lost(
    said: list[tuple[Decimal | None, str, int | None, tuple[int, int, int] | None, bool]],
    mailer: tuple[int, int, int] | None,
    grams: int | None,
) -> None:
    items = tuple(
        Item(
            id=f"i{n}",
            box="2027-03",
            name=f"thing {n}",
            unit_cost=cost,
            currency=money,
            grams=weight,
            mm=mm,
            main=main,
        )
        for n, (cost, money, weight, mm, main) in enumerate(said)
    )
    elsewhere = Item(id="x", box="2027-04", name="mug", unit_cost=Decimal(9), grams=9, main=True)
    profile = Profile(mailer_mm=mailer, mailer_grams=grams)
    plan = Shop(id="s", house=shop().house, profile=(profile,), items=(*items, elsewhere))
    found = contents(plan, "2027-03", TODAY)
    own = [item for item in items if item.unit_cost is not None and item.currency != "EUR"]
    assert found.items == len(items)
    assert found.uncosted == len(items) - len(own)
    assert found.cost == sum(item.unit_cost or 0 for item in own)
    assert found.grams == sum(item.grams or 0 for item in items)
    assert (found.grams_left is None) == (grams is None)
    if mailer and found.volume_left is not None:
        space = mailer[0] * mailer[1] * mailer[2] / 1000
        assert space - found.volume - 1 <= found.volume_left <= space - found.volume + 1
    assert (found.main == "") == (not any(item.main for item in items))


@given(st.tuples(SIDES, SIDES, SIDES), st.tuples(SIDES, SIDES, SIDES))
def test_a_block_fits_if_one_way_to_turn_it_fits(
    block: tuple[int, int, int], mailer: tuple[int, int, int]
) -> None:
    turned = permutations(block)
    assert fits(block, mailer) == any(
        all(own <= room for own, room in zip(way, mailer, strict=True)) for way in turned
    )

"""What a box costs and leaves. Everything is invented but the cases of break-even.

Break-even: first case, inputs from the Pennsylvania State University open textbook for ACCTG 211,
section 7.2; second, inputs from a public copy of an exercise, original not identified.
"""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.costs import (
    NO_WEIGHT,
    box_cost,
    break_even,
    costs,
    net_of_tax,
    total,
)
from assistant.planning.accounts.money import to_pay
from assistant.planning.accounts.postage import NO_TABLE, Parcel
from assistant.planning.model import Band, Books, Rate, Shop, Tariff
from assistant.planning.year.contents import contents
from tests.trade import shop

TODAY = date(2027, 1, 11)
PLAN = (
    "Aldermoor",
    "2027-03 Rain: notebook@Aldermoor 400 x 3.10, 180 g; mug 400 x 5.00 USD, 320 g",
    "2027-05 Swifts: tea@Aldermoor 400 x 1.20, 60 g",
)
SMALL = Tariff(
    "small parcel/2027-01-01",
    "small parcel",
    date(2027, 1, 1),
    (Band(1000, Decimal("2.95")), Band(2000, Decimal("3.45"))),
)
USD = Rate("USD/2027-01-01", "USD", date(2027, 1, 1), Decimal("0.80"))
WHOLE = Books(damage=Decimal(0))  # nothing arrives unusable
BOOKS = replace(
    WHOLE,
    packaging=Decimal("0.85"),
    card=Decimal("0.12"),
    packaging_grams=120,
    fee_percent=Decimal("1.5"),
    fee_each=Decimal("0.20"),
    tax=Decimal(20),
)


def planned(books: Books = BOOKS, **more: Any) -> Shop:
    profile = {"subscribers": 400, "price": Decimal(30), "target": Decimal(7), **more}
    held = shop(*PLAN, **profile)
    suppliers = tuple(replace(one, carriage=Decimal(0)) for one in held.suppliers)
    return replace(
        held,
        rates=(USD,),
        tariffs=(SMALL,),
        suppliers=suppliers,
        books=(books,),
    )


def test_a_box_worked_by_hand() -> None:
    """Goods 3.10 + 4.00; 620 g by the band to 1 kg; fees 1.5 % of 30.00 + 0.20; 30.00 less 20 %
    contained is 25.00."""
    found = box_cost(planned(), "2027-03", TODAY)
    assert found.goods == Decimal("7.10")
    assert (found.packaging, found.card) == (Decimal("0.85"), Decimal("0.12"))
    assert isinstance(found.parcel, Parcel)
    assert (found.parcel.actual, found.postage) == (620, Decimal("2.95"))
    assert found.fees == Decimal("0.65")
    assert found.cost == Decimal("11.67")
    assert found.net == 25
    assert found.margin == Decimal("13.33")
    assert found.over == Decimal("0.10")
    assert found.unknown == ()
    assert found.boxes == 400


def test_several_boxes_add_up_by_how_many_go_out() -> None:
    march, may = costs(planned(), TODAY)
    found = total((march, may))
    assert (found.planned, found.boxes, found.whole) == (2, 800, True)
    assert found.cost == 400 * (march.cost + may.cost)
    assert march.margin is not None
    assert may.margin is not None
    assert found.margin == 400 * (march.margin + may.margin)


def test_nothing_unknown_is_taken_for_nothing() -> None:
    bare = replace(planned(WHOLE, price=None, target=None), rates=(), tariffs=())
    found = box_cost(bare, "2027-03", TODAY)
    names = {code for code, _ in found.unknown}
    assert names == {"rate", "packaging", "card", "postage", "fees", "box price"}
    assert found.goods == Decimal("3.10")
    assert found.parcel == NO_TABLE
    assert found.margin is found.over is None
    assert not total((found,)).whole
    assert total((found,)).margin is None


def test_weights_that_are_not_known_are_named() -> None:
    held = planned(replace(BOOKS, packaging_grams=None))
    items = tuple(replace(one, grams=None) if one.name == "mug" else one for one in held.items)
    found = box_cost(replace(held, items=items), "2027-03", TODAY)
    assert found.unknown == (("weight", "2027-03.mug"), ("weight", ""))
    nothing = tuple(replace(one, grams=None) for one in held.items)
    assert box_cost(replace(held, items=nothing), "2027-03", TODAY).parcel == NO_WEIGHT


def test_one_box_is_as_among_all_and_one_not_planned_is_empty() -> None:
    held = planned()
    assert [box_cost(held, one.box, TODAY) for one in costs(held, TODAY)] == [*costs(held, TODAY)]
    empty = box_cost(held, "2027-08", TODAY)
    assert empty.items == ()
    assert empty.cost == empty.packaging + empty.card + empty.fees + empty.postage


def test_the_target_is_the_one_that_the_contents_have() -> None:
    """With as many pieces as boxes and nothing on top, goods landed are their prices."""
    held = planned()
    items = tuple(replace(one, currency="") for one in held.items)
    held = replace(held, items=items)
    for one in costs(held, TODAY):
        inside = contents(held, one.box, TODAY)
        assert (one.target, one.goods) == (inside.target, inside.cost)
        assert one.over == -(inside.left or 0)


def test_a_box_that_has_shipped_is_told_too() -> None:
    later = date(2027, 4, 20)
    held = planned()
    assert [one.box for one in costs(held, later)] == ["2027-05"]
    assert box_cost(held, "2027-03", later).goods == Decimal("7.10")


# --- break-even, taxes ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fixed", "price", "cost", "units"),
    [(20_000, 400, 250, 134), (48_000, 75, 45, 1600), (48_000, 95, 45, 960), (100, 5, 5, None)],
)
def test_break_even(fixed: int, price: int, cost: int, units: int | None) -> None:
    assert break_even(Decimal(fixed), Decimal(price), Decimal(cost)) == units


@given(
    st.decimals(0, 100_000, places=2),
    st.decimals("0.01", 500, places=2),
    st.decimals(0, 500, places=2),
)
def test_break_even_is_the_first_number_that_carries_it(
    fixed: Decimal, price: Decimal, cost: Decimal
) -> None:
    units = break_even(fixed, price, cost)
    left = price - cost
    if units is None:
        assert left <= 0
        return
    assert units * left >= fixed
    assert units == 0 or (units - 1) * left < fixed


@given(st.decimals("0.01", 10_000, places=2), st.sampled_from([None, 0, 5, 20, 25]))
def test_the_tax_is_contained_in_the_price(price: Decimal, tax: int | None) -> None:
    net = net_of_tax(price, None if tax is None else Decimal(tax))
    assert to_pay(net * (100 + (tax or 0)) / 100, "GBP") == price

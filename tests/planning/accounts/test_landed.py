"""What an item costs landed: worked by hand, and as properties.

What is borne by which pieces, and what duty and tax at import are taken on: common practice, no
source. Everything is invented.
"""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.landed import (
    CARRIAGE,
    COUNT,
    DUTY,
    IMPORT_TAX,
    PRICE,
    RATE,
    all_landed,
    by_part,
    is_abroad,
    landed,
    landed_of,
)
from assistant.planning.accounts.money import in_own
from assistant.planning.changes import find
from assistant.planning.model import Books, Break, Item, Rate, Shop
from assistant.planning.numbers.quantity import amounts
from tests.trade import shop

TODAY = date(2027, 1, 11)
NOTEBOOK, MUG, PIN = "2027-03.notebook", "2027-03.mug", "2027-03.pin"
PLAN = (
    "Aldermoor",
    "Hangfeng CN",
    "2027-03 Rain: notebook@Aldermoor 450 x 3.10; mug@Hangfeng 440 x 5.00 USD;"
    " pin@Hangfeng 440 x 1.25 USD",
)
USD = Rate("USD/2027-01-01", "USD", date(2027, 1, 1), Decimal("0.80"))


def planned(*, books: Books | None = None, **profile: Any) -> Shop:
    made = shop(*PLAN, **({"subscribers": 400} | profile))
    return replace(made, rates=(USD,), books=(books,) if books else ())


def terms(held: Shop, supplier: str, **said: Any) -> Shop:
    suppliers = (replace(one, **said) if one.id == supplier else one for one in held.suppliers)
    return replace(held, suppliers=tuple(suppliers))


def facts(held: Shop, id: str, **said: Any) -> Shop:
    items = (replace(one, **said) if one.id == id else one for one in held.items)
    return replace(held, items=tuple(items))


def item(held: Shop, id: str) -> Item:
    found = find(held.items, id)
    assert found is not None
    return found


# --- worked by hand -------------------------------------------------------------------------


def test_all_pieces_are_borne_by_those_that_go_into_boxes() -> None:
    """450 at 3.10 are 1395.00; 400 go into boxes."""
    found = landed(planned(), NOTEBOOK, TODAY)
    assert [found.quantity, found.used] == [450, 400]
    assert found.each == Decimal(1395) / 400
    assert found.unknown == (CARRIAGE,)


def test_everything_that_comes_on_top_abroad() -> None:
    """Mugs 440 x 5.00 x 0.80 = 1760.00, pins 440 x 1.25 x 0.80 = 440.00, carriage 275 USD =
    220.00 by value: 176.00 and 44.00. Set-up of pins 50 USD = 40.00. Duty 5 % of goods, set-up and
    carriage: mugs 96.80, pins 26.20. Tax at import 20 % of it all: mugs 406.56, pins 110.04."""
    held = terms(planned(), "hangfeng", currency="USD", carriage=Decimal(275), duty=Decimal(5))
    held = facts(held, PIN, setup=Decimal(50))
    held = replace(held, books=(Books(import_tax=Decimal(20)),))
    mug, pin = landed(held, MUG, TODAY), landed(held, PIN, TODAY)
    assert [mug.goods, mug.carriage, mug.duty] == [1760, 176, Decimal("96.80")]
    assert [pin.goods, pin.carriage, pin.setup, pin.duty] == [440, 44, 40, Decimal("26.20")]
    assert (mug.import_tax, pin.import_tax) == (Decimal("406.56"), Decimal("110.04"))
    assert mug.each == Decimal("2439.36") / 400
    assert pin.each == Decimal("660.24") / 400
    assert mug.unknown == pin.unknown == ()


def test_tax_at_import_that_comes_back_is_no_cost() -> None:
    books = Books(import_tax=Decimal(20), tax=Decimal(20))
    held = terms(planned(books=books), "hangfeng", carriage=Decimal(0), duty=Decimal(0))
    found = landed(held, MUG, TODAY)
    assert found.tax_back
    assert found.import_tax == 352  # to be paid all the same
    assert found.total == 1760
    assert (IMPORT_TAX, Decimal(352)) not in by_part(found)


@pytest.mark.parametrize(("free_from", "carriage"), [("1395.00", 0), ("1395.01", 30)])
def test_carriage_is_free_from_a_value_on(free_from: str, carriage: int) -> None:
    held = terms(planned(), "aldermoor", carriage=Decimal(30), free_from=Decimal(free_from))
    assert landed(held, NOTEBOOK, TODAY).carriage == carriage


def test_pieces_that_arrive_unusable_bear_nothing() -> None:
    """Where fewer are ordered than boxes go out, only the good ones can be used: 200 less 10 %."""
    held = facts(planned(), NOTEBOOK, quantity=200, damage=Decimal(10))
    found = landed(held, NOTEBOOK, TODAY)
    assert found.used == 180
    assert found.each == Decimal(620) / 180


def test_several_pieces_in_a_box_are_told_one_by_one() -> None:
    held = facts(planned(), NOTEBOOK, quantity=850, units=2)
    found = landed(held, NOTEBOOK, TODAY)
    assert found.used == 800
    assert found.each == Decimal(850) * Decimal("3.10") / 800


def test_the_rate_is_that_of_the_day_of_the_order() -> None:
    later = Rate("USD/2027-02-01", "USD", date(2027, 2, 1), Decimal("0.90"))
    held = replace(planned(), rates=(USD, later))
    found = landed(held, MUG, TODAY)
    assert found.on > date(2027, 2, 1)
    assert found.rate == Decimal("0.90")


@pytest.mark.parametrize(("quantity", "price"), [(499, "3.10"), (500, "2.80"), (1000, "2.50")])
def test_breaks_count_at_the_quantity(quantity: int, price: str) -> None:
    breaks = (Break(500, Decimal("2.80")), Break(1000, Decimal("2.50")))
    held = facts(planned(), NOTEBOOK, breaks=breaks)
    found = landed_of(held, item(held, NOTEBOOK), quantity, TODAY)
    assert found.price == Decimal(price)
    assert found.each == quantity * Decimal(price) / 400


# --- what is not known ----------------------------------------------------------------------


def test_without_a_price_or_a_rate_there_is_no_cost() -> None:
    held = facts(planned(), NOTEBOOK, unit_cost=None)
    assert landed(held, NOTEBOOK, TODAY).unknown == (PRICE,)
    assert landed(held, NOTEBOOK, TODAY).each is None
    without = replace(held, rates=())
    assert landed(without, MUG, TODAY).unknown == (RATE,)
    assert landed(without, MUG, TODAY).each is None
    assert landed(held, "no such item", TODAY).unknown == (PRICE,)


def test_carriage_duty_and_import_tax_are_named_where_they_are_not_known() -> None:
    assert landed(planned(), MUG, TODAY).unknown == (CARRIAGE, DUTY, IMPORT_TAX)
    registered = planned(books=Books(tax=Decimal(20)))
    assert landed(registered, MUG, TODAY).unknown == (CARRIAGE, DUTY)  # the tax comes back


def test_what_is_shared_is_not_known_where_nobody_is_counted() -> None:
    held = facts(planned(subscribers=0), NOTEBOOK, quantity=None, setup=Decimal(40))
    held = terms(held, "aldermoor", carriage=Decimal(30))
    found = landed(held, NOTEBOOK, TODAY)
    assert found.unknown == (COUNT,)
    assert found.each == Decimal("3.10") / Decimal("0.98")


@pytest.mark.parametrize(
    ("own", "other", "abroad"),
    [("GB", "CN", True), ("GB", "DE", True), ("DE", "FR", False), ("GB", "", False)],
)
def test_goods_within_the_union_pass_no_border(own: str, other: str, abroad: bool) -> None:
    held = terms(planned(country=own), "hangfeng", country=other)
    assert is_abroad(held, find(held.suppliers, "hangfeng")) is abroad
    assert not is_abroad(held, None)


# --- properties -----------------------------------------------------------------------------

MONEY = st.decimals("0.01", 90, places=2)
SUPPLIES = st.sampled_from(["Aldermoor", "Hangfeng", "Tannwald"])
SHOPS = st.lists(st.tuples(SUPPLIES, MONEY, st.integers(1, 3)), min_size=1, max_size=6)
TERMS = st.tuples(
    st.none() | st.decimals(0, 90, places=2),
    st.none() | st.decimals(0, 5000, places=0),
    st.none() | st.decimals(0, 20, places=1),
)


@settings(max_examples=60)
@given(SHOPS, TERMS, st.none() | st.integers(0, 20), st.integers(1, 900))
def test_sums_come_out_right(
    items: list[tuple[str, Decimal, int]],
    said: tuple[Decimal | None, Decimal | None, Decimal | None],
    tax: int | None,
    subscribers: int,
) -> None:
    texts = "; ".join(f"item {'abcdef'[n]}@{by}" for n, (by, _, _) in enumerate(items))
    countries = ("Aldermoor", "Hangfeng CN", "Tannwald DE")
    held = shop(*countries, f"2027-03 Rain: {texts}", subscribers=subscribers)
    carriage, free_from, duty = said
    for party in held.suppliers:
        held = terms(held, party.id, carriage=carriage, free_from=free_from, duty=duty)
    for line, (_, price, units) in zip(held.items, items, strict=True):
        held = facts(held, line.id, unit_cost=price, units=units)
    books = Books(import_tax=None if tax is None else Decimal(tax))
    held = replace(held, books=(books,))
    found = all_landed(held, TODAY)
    spends = {one.item: one.spend for one in amounts(held, TODAY)}
    for one in found.values():
        assert one.each is not None
        assert sum(whole for _, whole in by_part(one)) == one.total
        assert abs(one.each * one.used - one.total) < Decimal("1e-18")
        assert one.goods == spends[one.item]
        assert one.total >= one.goods
    for supplier in held.suppliers:
        mine = [found[one.id] for one in held.items if one.supplier == supplier.id]
        value = sum((one.goods for one in mine), Decimal(0))
        free = free_from is not None and value >= free_from
        due = carriage if carriage and not free and mine else Decimal(0)
        shared = sum((one.carriage for one in mine), Decimal(0))
        assert abs(shared - due) < Decimal("1e-18")


def test_goods_are_what_is_spent_in_the_shops_currency() -> None:
    held = planned()
    found = all_landed(held, TODAY)
    for one in amounts(held, TODAY):
        bought = found[one.item]
        assert one.spend is not None
        assert bought.goods == in_own(held, one.spend, bought.currency, bought.on)

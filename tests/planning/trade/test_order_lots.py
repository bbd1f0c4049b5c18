"""Goods of several boxes bought in one order, where that is cheaper.

That an order costs something each time, so that one lot may beat two, is the model of H. M. Wagner
and T. M. Whitin, 1958 (attribution from memory). Shops, suppliers and goods are invented.
"""

from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.model import Books, Mark, Order, OrderLine, Shop
from assistant.planning.trade.order_lots import lots_on
from assistant.planning.trade.orders import draft
from tests.trade import shop

TODAY = date(2027, 1, 11)
MARCH, APRIL = "2027-03.notebook", "2027-04.notebook"


def planned(order_cost: str = "200", setup: str | None = None) -> Shop:
    made = shop(
        "Aldermoor: transit 3d, lead 10d",
        "2027-03 Rain: notebook@Aldermoor 450 x 3.10; pin@Aldermoor 430 x 1.15",
        "2027-04 Dew: notebook@Aldermoor 420 x 3.10",
        subscribers=420,
    )
    books = Books(order_cost=Decimal(order_cost), storage=Decimal("0.01"))
    items = tuple(
        replace(one, setup=Decimal(setup)) if setup and one.name == "notebook" else one
        for one in made.items
    )
    return replace(made, books=(books,), items=items)


def pieces(order: Order) -> dict[str, int]:
    return {line.item: line.quantity for line in order.lines}


def test_further_boxes_come_with_it_where_one_lot_is_cheaper() -> None:
    made = planned()
    order = draft(made, "aldermoor", (), TODAY)
    assert pieces(order) == {MARCH: 450, APRIL: 420, "2027-03.pin": 430}
    (lot,) = lots_on(made, order, TODAY)
    assert lot.boxes == ("2027-03", "2027-04")
    assert 150 < lot.saving <= 200


def test_where_it_is_not_cheaper_each_box_is_ordered_for_itself() -> None:
    made = planned(order_cost="0")
    order = draft(made, "aldermoor", (), TODAY)
    assert APRIL not in pieces(order)
    assert lots_on(made, order, TODAY) == ()


def test_named_items_alone_make_no_lot() -> None:
    assert pieces(draft(planned(), "aldermoor", (MARCH,), TODAY)) == {MARCH: 450}


def test_what_is_on_an_order_already_or_not_wanted_is_not_added() -> None:
    line = OrderLine(APRIL, "notebook", 420)
    held = replace(planned(), orders=(Order("2027-001", "aldermoor", TODAY, (line,)),))
    unwanted = replace(planned(), ledger=(Mark(f"{APRIL}/order", "not needed"),))
    for made in (held, unwanted):
        assert APRIL not in pieces(draft(made, "aldermoor", (), TODAY))


def test_nobody_gets_less_than_its_box_needs() -> None:
    made = planned()
    items = tuple(
        replace(one, quantity=None, case_pack=60, minimum=1000) if one.name == "notebook" else one
        for one in made.items
    )
    made = replace(made, items=items)
    found = pieces(draft(made, "aldermoor", (), TODAY))
    assert found[MARCH] + found[APRIL] >= 1000
    assert min(found[MARCH], found[APRIL]) >= 420

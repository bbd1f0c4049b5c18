"""Purchase orders: what goes on one, what it comes to, its number, what sending it does.

Shops, suppliers and goods are invented. That orders are numbered and revised keeping their number,
and that carriage is free from a value on, is common practice, no source.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply, find, invert
from assistant.planning.deadlines import deadline
from assistant.planning.model import (
    Books,
    Break,
    Entry,
    Item,
    Mark,
    Order,
    OrderLine,
    Put,
    Shop,
    Supplier,
)
from assistant.planning.shipping import is_ordered
from assistant.planning.trade.order_remarks import Remarks, remarks
from assistant.planning.trade.orders import (
    current,
    draft,
    extended,
    newest_first,
    next_number,
    order_with,
    reopened,
    revised,
    sent,
    settled,
    to_order,
    totals,
    unsent,
    waiting,
)
from tests.trade import shop

TODAY = date(2027, 1, 11)  # a Monday
NOW = datetime(2027, 1, 11, 9, 0, tzinfo=UTC)
THURSDAY = date(2027, 3, 11)  # packing on Friday, the 12th; it ships on Monday, the 15th
MARCH = "2027-03 Rain: notebook@Aldermoor 450 x 3.10, lead 10d; pin@Aldermoor 430 x 1.15"
MAY = "2027-05 Swifts: tea@Aldermoor 460 x 0.125; mug@Brackenfold 450 x 4.20"
NOTEBOOK, PIN, TEA, MUG = "2027-03.notebook", "2027-03.pin", "2027-05.tea", "2027-05.mug"


def planned(*more: str, **profile: Any) -> Shop:
    return shop("Aldermoor: transit 3d", "Brackenfold", MARCH, MAY, *more, **profile)


def with_item(made: Shop, id: str, **facts: Any) -> Shop:
    changed = (replace(one, **facts) if one.id == id else one for one in made.items)
    return replace(made, items=tuple(changed))


def with_supplier(made: Shop, **facts: Any) -> Shop:
    known = find(made.suppliers, "aldermoor")
    assert known is not None
    return apply(made, (Put(replace(known, **facts)),))


def placed(made: Shop, *items: str, number: str = "2027-001", **fields: Any) -> tuple[Shop, Order]:
    order = replace(draft(made, "aldermoor", items, TODAY), id=number, **fields)
    return apply(made, (Put(order),)), order


def ids(order: Order) -> list[str]:
    return [line.item for line in order.lines]


# --- what goes on it ------------------------------------------------------------------------


def test_an_order_holds_what_the_next_box_needs_of_the_supplier() -> None:
    assert ids(draft(planned(), "aldermoor", (), TODAY)) == [NOTEBOOK, PIN]


def test_what_is_due_within_the_horizon_goes_with_it() -> None:
    early = with_item(planned(), TEA, lead=None)
    due = deadline(early, f"{TEA}/order", TODAY)
    assert due is not None
    ahead = (due.on - TODAY).days
    near = replace(early, house=replace(early.house, horizon_days=ahead))
    far = replace(early, house=replace(early.house, horizon_days=ahead - 1))
    assert TEA in [one.id for one in to_order(near, "aldermoor", TODAY)]
    assert TEA not in [one.id for one in to_order(far, "aldermoor", TODAY)]


def test_what_is_late_goes_with_it() -> None:
    made = shop("Aldermoor", "2027-02 Frost: candle 400 x 1.00", "2027-03 Rain: pin@Aldermoor")
    slow = with_item(made, PIN, lead=None)
    late = with_supplier(slow, transit_days=75)
    due = deadline(late, f"{PIN}/order", TODAY)
    assert due is not None
    assert due.late
    assert [one.id for one in to_order(late, "aldermoor", TODAY)] == [PIN]


@pytest.mark.parametrize("state", ["done", "not needed"])
def test_what_is_ordered_or_not_needed_stays_off(state: Any) -> None:
    made = apply(planned(), (Put(Mark(f"{PIN}/order", state)),))
    assert ids(draft(made, "aldermoor", (), TODAY)) == [NOTEBOOK]


def test_what_stands_on_another_order_stays_off_until_that_is_dropped() -> None:
    made, order = placed(planned(), PIN)
    assert ids(draft(made, "aldermoor", (), TODAY)) == [NOTEBOOK]
    dropped = apply(made, (Put(replace(order, dropped=True)),))
    assert ids(draft(dropped, "aldermoor", (), TODAY)) == [NOTEBOOK, PIN]
    assert order_with(made, PIN) == order
    assert order_with(dropped, PIN) is None


def test_named_items_alone_are_ordered_however_far_off() -> None:
    assert ids(draft(planned(), "aldermoor", (TEA,), TODAY)) == [TEA]
    assert [one.id for one in waiting(planned(), "aldermoor", TODAY)] == [NOTEBOOK, PIN, TEA]


def test_an_item_of_which_no_piece_is_needed_is_left_out() -> None:
    made = with_item(planned(), PIN, quantity=0)
    assert ids(draft(made, "aldermoor", (), TODAY)) == [NOTEBOOK]
    assert draft(made, "aldermoor", (PIN,), TODAY).lines == ()


def test_the_pieces_are_those_that_are_to_be_ordered() -> None:
    order = draft(planned(), "aldermoor", (), TODAY)
    assert [line.quantity for line in order.lines] == [450, 430]


def test_a_supplier_without_items_gets_an_empty_draft() -> None:
    assert draft(planned("Tannwald DE"), "tannwald", (), TODAY).lines == ()


# --- prices, currencies, carriage -----------------------------------------------------------

LINES = st.lists(
    st.tuples(st.integers(1, 5000), st.decimals(0, 900, places=4) | st.none()), max_size=12
)


@given(
    LINES,
    st.sampled_from(("GBP", "JPY", "KWD")),
    st.decimals(0, 90, places=2) | st.none(),
    st.decimals(0, 90, places=2) | st.none(),
)
def test_the_lines_add_up_to_the_total(
    lines: list[tuple[int, Decimal | None]],
    currency: str,
    carriage: Decimal | None,
    setup: Decimal | None,
) -> None:
    made = tuple(
        OrderLine(f"i{n}", f"thing {n}", pieces, price, setup=setup if n == 0 else None)
        for n, (pieces, price) in enumerate(lines)
    )
    order = Order("2027-001", "s", TODAY, made, currency=currency, carriage=carriage)
    sums = totals(order)
    unit = {"GBP": Decimal("0.01"), "JPY": Decimal(1), "KWD": Decimal("0.001")}[currency]
    known = [one for one in sums.lines if one is not None]
    assert sums.goods == sum(known)
    assert sums.total == sums.goods + sums.setup + (sums.carriage or 0)
    assert all(one % unit == 0 for one in (*known, sums.total))
    assert len(sums.unpriced) == sum(price is None for _, price in lines)
    for (pieces, price), amount in zip(lines, sums.lines, strict=True):
        assert (price is None) == (amount is None)
        if price is not None and amount is not None:
            assert abs(amount - pieces * price) <= unit / 2


def test_a_half_is_rounded_away_from_zero() -> None:
    line = OrderLine("i", "tea", 1, Decimal("0.125"))
    assert totals(Order("2027-001", "s", TODAY, (line,), currency="GBP")).total == Decimal("0.13")


def test_the_same_goods_of_two_boxes_are_priced_by_all_their_pieces() -> None:
    more = planned("2027-06 Dew: notebook@Aldermoor 450 x 3.10")
    breaks = (Break(500, Decimal("2.90")), Break(900, Decimal("2.60")))
    for id in (NOTEBOOK, "2027-06.notebook"):
        more = with_item(more, id, breaks=breaks, setup=Decimal(80))
    both = draft(more, "aldermoor", (NOTEBOOK, "2027-06.notebook"), TODAY)
    assert [line.unit_price for line in both.lines] == [Decimal("2.60")] * 2
    assert totals(both).setup == 80
    one = draft(more, "aldermoor", (NOTEBOOK,), TODAY)
    assert one.lines[0].unit_price == Decimal("3.10")


def test_options_share_the_line() -> None:
    halves = (("S", Decimal(25)), ("M", Decimal(50)), ("L", Decimal(25)))
    made = with_item(planned(), PIN, shares=halves)
    (line,) = draft(made, "aldermoor", (PIN,), TODAY).lines
    assert sum(pieces for _, pieces in line.shares) == line.quantity == 430
    changed = revised(made, placed(made, PIN)[1], PIN, 101, None, TODAY).lines[0]
    assert [name for name, _ in changed.shares] == ["S", "M", "L"]
    assert sum(pieces for _, pieces in changed.shares) == 101


def test_an_order_is_in_the_suppliers_currency() -> None:
    made = with_supplier(with_item(planned(), NOTEBOOK, currency="EUR"), currency="EUR")
    order = draft(made, "aldermoor", (), TODAY)
    assert order.currency == "EUR"
    assert [line.unit_price for line in order.lines] == [Decimal("3.10"), None]
    found = remarks(made, order, TODAY)
    assert found.foreign == (("pin", "GBP"),)
    assert totals(order).unpriced == ("pin",)
    assert totals(order).total == Decimal("1395.00")


def test_where_a_supplier_names_no_currency_its_prices_do() -> None:
    made = planned()
    for id in (NOTEBOOK, PIN):
        made = with_item(made, id, currency="EUR")
    made = with_supplier(made, carriage=Decimal(9), minimum_value=Decimal(9000))
    order = draft(made, "aldermoor", (), TODAY)
    assert order.currency == "EUR"
    assert order.carriage is None  # known in pounds only
    assert remarks(made, order, TODAY).below is None


@pytest.mark.parametrize(
    ("free_from", "carriage"), [(None, "12"), (Decimal("1889.50"), "0"), (Decimal("1889.51"), "12")]
)
def test_carriage_is_free_from_a_value_on(free_from: Decimal | None, carriage: str) -> None:
    made = with_supplier(planned(), carriage=Decimal(12), free_from=free_from)
    order = draft(made, "aldermoor", (), TODAY)
    assert totals(order).goods == Decimal("1889.50")
    assert order.carriage == Decimal(carriage)


# --- when -----------------------------------------------------------------------------------


def test_all_must_be_in_hand_when_the_first_item_must() -> None:
    made = planned()
    order = draft(made, "aldermoor", (TEA, PIN), TODAY)
    needed = [deadline(made, f"{id}/stock", TODAY) for id in (TEA, PIN)]
    assert order.in_hand == min(one.on for one in needed if one)
    assert order.in_hand == THURSDAY


def test_a_day_that_is_past_is_not_asked_for_but_told() -> None:
    later = date(2027, 3, 12)
    order = draft(planned(), "aldermoor", (NOTEBOOK,), later)
    assert order.in_hand is None
    assert remarks(planned(), order, later).past == THURSDAY


# --- what is wrong with it ------------------------------------------------------------------


def test_what_an_order_does_not_keep_to_is_named() -> None:
    made = with_item(planned(), NOTEBOOK, minimum=500, case_pack=40)
    made = with_supplier(with_item(made, PIN, unit_cost=None), minimum_value=Decimal(2000))
    found = remarks(made, draft(made, "aldermoor", (), TODAY), TODAY)
    assert (found.few, found.cases) == ((("notebook", 500),), (("notebook", 40),))
    assert (found.unpriced, found.below) == (("pin",), None)
    assert found.no_address


def test_by_how_much_the_suppliers_minimum_is_missed() -> None:
    made = with_supplier(planned(), minimum_value=Decimal(2000))
    made = replace(made, books=(Books(deliver_to="4 Mill Lane, Settle"),))
    found = remarks(made, draft(made, "aldermoor", (), TODAY), TODAY)
    assert found == Remarks(minimum=Decimal(2000), below=Decimal("110.50"))


def test_an_item_that_left_the_plan_or_its_supplier_is_named() -> None:
    made, order = placed(planned())
    elsewhere = with_item(made, PIN, supplier="brackenfold")
    without = replace(elsewhere, items=tuple(i for i in elsewhere.items if i.id != NOTEBOOK))
    assert remarks(without, order, TODAY).gone == ("notebook", "pin")
    assert settled(without, order, TODAY).lines[0] == order.lines[0]


# --- numbers --------------------------------------------------------------------------------


def numbered(*ids: str, **fields: Any) -> tuple[Order, ...]:
    return tuple(Order(id, "aldermoor", TODAY, (), **fields) for id in ids)


def test_numbers_count_within_the_year() -> None:
    made = replace(planned(), orders=numbered("2026-041", "2027-001", "2027-002"))
    assert next_number(made, 2027) == "2027-003"
    assert next_number(made, 2026) == "2026-042"
    assert next_number(made, 2028) == "2028-001"


def test_a_dropped_order_and_one_that_was_taken_back_keep_their_numbers() -> None:
    made = replace(planned(), orders=numbered("2027-001", dropped=True))
    (gone,) = numbered("2027-002")
    entry = Entry(5, NOW, "p1", "write", (Put(gone),), ())
    assert next_number(made, 2027) == "2027-002"
    assert next_number(replace(made, recent=(entry,)), 2027) == "2027-003"


def test_numbers_beyond_three_digits_count_on() -> None:
    made = replace(planned(), orders=numbered("2027-999", "2027-1000"))
    assert next_number(made, 2027) == "2027-1001"
    assert [one.id for one in newest_first(made.orders)] == ["2027-1000", "2027-999"]


@given(st.lists(st.booleans(), max_size=20))
def test_numbers_are_unique_whatever_is_dropped(drops: list[bool]) -> None:
    made, given_ = planned(), list[str]()
    for drop in drops:
        number = next_number(made, 2027)
        given_.append(number)
        made = apply(made, (Put(Order(number, "s", TODAY, (), dropped=drop)),))
    assert len(set(given_)) == len(drops)


# --- revised --------------------------------------------------------------------------------


def test_before_it_is_sent_an_order_just_changes() -> None:
    made, order = placed(planned())
    new = revised(made, order, NOTEBOOK, 480, Decimal("2.95"), TODAY)
    assert (new.id, new.revision, new.lines[0].quantity) == ("2027-001", 0, 480)
    assert totals(new).goods == 480 * Decimal("2.95") + 430 * Decimal("1.15")


def test_once_sent_it_is_revised_under_its_number_until_that_is_sent() -> None:
    made, order = placed(planned(), sent=TODAY)
    first = revised(made, order, NOTEBOOK, 480, None, date(2027, 1, 12))
    assert (first.id, first.revision, first.sent) == ("2027-001", 1, None)
    assert first.on == date(2027, 1, 12)
    again = revised(made, first, NOTEBOOK, 490, None, TODAY)
    assert again.revision == 1
    third = revised(made, replace(again, sent=TODAY), PIN, 0, None, TODAY)
    assert third.revision == 2
    assert ids(third) == [NOTEBOOK]


def test_what_changes_nothing_makes_no_revision() -> None:
    made, order = placed(planned(), sent=TODAY)
    assert revised(made, order, NOTEBOOK, 450, Decimal("3.10"), TODAY) == order
    assert revised(made, order, "nothing", 450, None, TODAY) == order
    assert revised(made, order, TEA, 0, None, TODAY) == order


def test_an_agreed_price_follows_no_breaks_and_another_does() -> None:
    made = with_item(planned(), NOTEBOOK, breaks=(Break(500, Decimal("2.90")),))
    made, order = placed(made)
    assert revised(made, order, NOTEBOOK, 500, None, TODAY).lines[0].unit_price == Decimal("2.90")
    agreed = revised(made, order, NOTEBOOK, None, Decimal("3.00"), TODAY)
    more = revised(made, agreed, NOTEBOOK, 500, None, TODAY)
    assert more.lines[0].unit_price == Decimal("3.00")


def test_an_item_can_be_added() -> None:
    made, order = placed(planned(), PIN)
    assert ids(revised(made, order, TEA, None, None, TODAY)) == [PIN, TEA]
    more = draft(made, "aldermoor", (TEA, PIN), TODAY).lines
    assert ids(extended(made, order, more, TODAY)) == [PIN, TEA]


def test_an_order_that_waits_follows_the_plan_and_one_that_was_sent_does_not() -> None:
    made, order = placed(planned())
    dearer = with_item(made, PIN, unit_cost=Decimal(2))
    assert current(dearer, order, TODAY).lines[1].unit_price == 2
    out = replace(order, sent=TODAY)
    assert current(dearer, out, TODAY) == out
    assert unsent(made, "aldermoor") == [order]
    assert unsent(apply(made, (Put(out),))) == []


# --- sent -----------------------------------------------------------------------------------


def test_sending_orders_its_items_at_its_pieces_and_prices() -> None:
    made, order = placed(planned())
    made = replace(made, books=(Books(deliver_to="4 Mill Lane"),))
    order = revised(made, order, PIN, 500, Decimal("1.05"), TODAY)
    changes = sent(made, order, date(2027, 1, 8), NOW, "p1")
    after = apply(made, changes)
    pin, notebook = find(after.items, PIN), find(after.items, NOTEBOOK)
    assert pin is not None
    assert notebook is not None
    assert (pin.quantity, pin.unit_cost) == (500, Decimal("1.05"))
    assert (notebook.quantity, notebook.unit_cost) == (450, Decimal("3.10"))
    assert is_ordered(after, pin, TODAY)
    assert is_ordered(after, notebook, TODAY)
    assert not is_ordered(after, after.items[2], TODAY)
    mark = find(after.ledger, f"{PIN}/order")
    assert mark == Mark(f"{PIN}/order", "done", at=NOW, by="p1")
    (gone,) = after.orders
    assert (gone.sent, gone.deliver_to) == (date(2027, 1, 8), "4 Mill Lane")
    back = apply(after, invert(made, changes))
    assert (back.items, back.orders) == (made.items, made.orders)
    assert not any(one.state == "done" for one in back.ledger)


def test_breaks_that_give_the_price_are_kept_and_others_give_way() -> None:
    breaks = (Break(400, Decimal("2.90")), Break(900, Decimal("2.60")))
    made = with_item(planned(), NOTEBOOK, breaks=breaks)
    made, order = placed(made)

    def bought(order: Order) -> Item:
        item = find(apply(made, sent(made, order, TODAY, NOW, "p1")).items, NOTEBOOK)
        assert item is not None
        return item

    assert (bought(order).unit_cost, bought(order).breaks) == (Decimal("3.10"), breaks)
    agreed = revised(made, order, NOTEBOOK, None, Decimal("2.60"), TODAY)
    assert (bought(agreed).unit_cost, bought(agreed).breaks) == (Decimal("2.60"), ())


def test_what_is_taken_off_a_sent_order_can_be_ordered_again() -> None:
    made, order = placed(planned())
    after = apply(made, sent(made, order, TODAY, NOW, "p1"))
    again = apply(after, reopened(after, [PIN, "gone"], order.id, NOW, "p1"))
    pin = find(again.items, PIN)
    assert pin is not None
    assert not is_ordered(again, pin, TODAY)
    assert reopened(again, [PIN], order.id, NOW, "p1") == ()


def test_an_order_of_what_is_gone_can_still_be_sent() -> None:
    made, order = placed(planned(), PIN)
    without = replace(made, items=(), suppliers=(Supplier("aldermoor", "Aldermoor"),))
    assert len(sent(without, order, TODAY, NOW, "p1")) == 1


def test_what_is_ordered_once_more_counts_with_what_was_ordered() -> None:
    made, order = placed(planned(), PIN)
    made = apply(made, sent(made, order, TODAY, NOW, "p1"))
    more = replace(draft(made, "aldermoor", (PIN,), TODAY), id="2027-002")
    more = revised(made, more, PIN, 50, None, TODAY)
    both = apply(made, sent(made, more, TODAY, NOW, "p1"))
    pin = find(both.items, PIN)
    assert pin is not None
    assert pin.quantity == 480
    less = apply(both, (*reopened(both, [PIN], order.id, NOW, "p1"),))
    pin = find(less.items, PIN)
    assert pin is not None
    assert pin.quantity == 50
    assert is_ordered(less, pin, TODAY)


def test_an_order_that_waits_follows_its_items_to_other_boxes_and_names() -> None:
    made, order = placed(planned(), PIN)
    moved = with_item(made, PIN, name="brooch", box="2027-05")
    (line,) = current(moved, order, TODAY).lines
    assert (line.name, line.box) == ("brooch", "2027-05")

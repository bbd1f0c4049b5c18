"""What would lift the lowest point: every change reckoned again on a copy of the plan."""

from datetime import timedelta
from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.planning.accounts.cash import cash, last_day, with_flows
from assistant.planning.accounts.relief import before_lowest, credit, reliefs
from assistant.planning.model import Break
from assistant.planning.numbers.quantity import amounts
from tests.planning.accounts.test_cash import BOOKS, RAIN, TERMS, TODAY, curve, made, marked


def test_reliefs_are_reckoned_again_and_ranked() -> None:
    found = made(
        "Aldermoor: deposit 40%, net 0",
        "Brackenfold",
        f"{RAIN}; tea@Brackenfold 400 x 1.00, lead 20d",
        books=replace(BOOKS, packaging=Decimal("0.50")),
    )
    last = last_day(found, TODAY)
    base, ways = cash(found, TODAY, last), reliefs(found, TODAY, last)
    assert {one.what for one in ways} >= {"deposit", "terms"}
    assert [one.lift for one in ways] == sorted((one.lift for one in ways), reverse=True)
    for one in ways:
        assert one.lift == one.lowest - base.lowest > 0
    deposit = next(one for one in ways if one.what == "deposit")
    without = made(
        "Aldermoor: net 0",
        "Brackenfold",
        f"{RAIN}; tea@Brackenfold 400 x 1.00, lead 20d",
        books=replace(BOOKS, packaging=Decimal("0.50")),
    )
    assert cash(without, TODAY, last).lowest == deposit.lowest


def test_an_order_at_a_break_beyond_the_need_is_offered_smaller() -> None:
    found = made("Aldermoor", RAIN, books=BOOKS)
    item = replace(found.items[0], quantity=600, breaks=(Break(500, Decimal("2.90")),))
    found = replace(found, items=(item,))
    last = last_day(found, TODAY)
    [fewer] = [one for one in reliefs(found, TODAY, last) if one.what == "fewer"]
    [amount] = amounts(found, TODAY)
    assert fewer.number == amount.need < 500
    assert fewer.lift == Decimal("2.90") * 600 - Decimal("3.00") * amount.need
    placed = marked(found, f"{item.id}/order", TODAY)
    assert "fewer" not in {one.what for one in reliefs(placed, TODAY, last)}


def test_the_payments_before_the_lowest_point_are_the_largest_first() -> None:
    found = curve(made(TERMS, RAIN, books=BOOKS))
    before = before_lowest(found)
    assert before
    assert all(one.on <= found.lowest_on and one.amount < 0 for one in before)
    assert [one.amount for one in before] == sorted(one.amount for one in before)


def test_a_payment_moved_past_the_end_is_out() -> None:
    found = curve(made(TERMS, RAIN, books=BOOKS))
    gone = tuple(replace(one, on=found.last + timedelta(1)) for one in found.flows)
    assert with_flows(found, gone).lowest == found.opening


@pytest.mark.parametrize(("net", "asked"), [(None, 30), (0, 30), (14, 30), (30, 60), (60, 90)])
def test_the_credit_to_ask_for(net: int | None, asked: int) -> None:
    [supplier] = made("Aldermoor").suppliers
    assert credit(replace(supplier, net_days=net)) == asked

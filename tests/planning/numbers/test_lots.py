"""One lot or several, of a shop's own goods: all invented."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Books, Break, Item, Mark, Rate, Shop
from assistant.planning.numbers.lots import LotPlan, alike, one_or_several
from assistant.planning.numbers.quantity import amount, netted
from tests.planning.plans import done, on
from tests.trade import shop

D = Decimal
TODAY = date(2027, 1, 11)
PLAN = (
    "Aldermoor: lead 20d",
    "2027-03: notebook@Aldermoor 450 x 3.10",
    "2027-05: notebook@Aldermoor 450 x 3.10; pin@Aldermoor 450 x 1.00",
    "2027-09: notebook@Aldermoor 450 x 3.10",
)
MARCH, MAY, SEPTEMBER = (f"2027-{month}.notebook" for month in ("03", "05", "09"))


def planned(
    *texts: str, books: Books | None = None, supplier: dict[str, Any] | None = None, **facts: Any
) -> Shop:
    """The plan, with facts of every notebook, of the supplier and of the shop's books."""
    made = shop(*(texts or PLAN), subscribers=450)
    items = tuple(
        replace(item, **facts) if item.name.startswith("notebook") else item for item in made.items
    )
    suppliers = tuple(replace(one, **supplier or {}) for one in made.suppliers)
    return replace(made, items=items, suppliers=suppliers, books=(books or Books(storage=D(0)),))


def plan(made: Shop, item: str = MARCH) -> LotPlan:
    found = one_or_several(made, item, TODAY)
    assert found is not None
    return found


def pieces(found: LotPlan) -> list[tuple[tuple[str, ...], int]]:
    """The orders of the cheapest way: boxes by month, pieces."""
    return [(tuple(id[5:7] for id in one.items), one.pieces) for one in found.best.orders]


# --- the sums -------------------------------------------------------------------------------


def test_an_order_a_box_where_nothing_speaks_for_more() -> None:
    found = plan(planned())
    assert pieces(found) == [(("03",), 450), (("05",), 450), (("09",), 450)]
    assert found.best == found.each
    assert found.saving == found.off == 0
    assert found.single is not None
    days = (arrival(planned(), MAY) - arrival(planned(), MARCH)).days
    days += (arrival(planned(), SEPTEMBER) - arrival(planned(), MARCH)).days
    kept = D(450) * days * D("3.10") * 8 / 100 / 365  # the house's 8 percent a year
    assert found.single.stock == pytest.approx(kept, abs=D("0.001"))


def arrival(made: Shop, item: str) -> date:
    found = on(made, f"{item}/stock", TODAY)
    assert found is not None
    return found


def test_an_order_is_dated_by_the_first_box_that_it_serves() -> None:
    made = planned()
    for order in plan(made).best.orders:
        assert order.by == on(made, f"{order.items[0]}/order", TODAY)
        assert order.arrives == on(made, f"{order.items[0]}/stock", TODAY)


def test_a_break_draws_orders_together() -> None:
    found = plan(planned(breaks=(Break(900, D("2.40")),)))
    assert pieces(found) == [(("03", "05", "09"), 1350)]
    assert found.best == found.single
    assert found.saving == found.each.cost - found.best.cost > 800
    assert found.best.orders[0].price == D("2.40")


def test_set_up_draws_orders_together_and_storage_apart() -> None:
    dear = planned(setup=D(120))
    assert pieces(plan(dear)) == [(("03", "05", "09"), 1350)]
    assert plan(dear).best.fixed == 120
    stored = planned(setup=D(120), books=Books(storage=D("0.10")))
    assert pieces(plan(stored)) == [(("03", "05"), 900), (("09",), 450)]


def test_minimum_and_case() -> None:
    found = plan(planned(minimum=800, case_pack=48))
    assert [one.pieces for one in found.each.orders] == [816, 816]  # what is over serves the next
    assert found.each.left == 282
    assert pieces(found) == [(("03", "05", "09"), 1392)]
    assert found.best.left == 42


def test_goods_that_do_not_keep_are_bought_again() -> None:
    dear: dict[str, Any] = {"setup": D(200)}
    assert pieces(plan(planned(**dear))) == [(("03", "05", "09"), 1350)]
    found = plan(planned(**dear, keeps_days=80))
    assert pieces(found) == [(("03", "05"), 900), (("09",), 450)]
    assert found.single is None
    assert pieces(plan(planned(**dear, keeps_days=7)))[1:] == [(("05",), 450), (("09",), 450)]


def test_no_carriage_where_the_supplier_has_other_goods_for_the_box() -> None:
    books = Books(storage=D(0), order_cost=D(15))
    found = plan(planned(supplier={"carriage": D(30)}, books=books))
    assert found.shared == ("2027-05",)  # the pin
    assert found.each.fixed == 2 * (30 + 15)
    without = planned(*PLAN[:2], "2027-05: notebook@Aldermoor 450 x 3.10", PLAN[3])
    without = replace(without, suppliers=(replace(without.suppliers[0], carriage=D(30)),))
    assert plan(without).each.fixed == 3 * 30


def test_carriage_is_free_from_a_value() -> None:
    found = plan(planned(supplier={"carriage": D(90), "free_from": D(2500)}))
    assert found.each.fixed == 180
    assert [one.pieces for one in found.best.orders] == [807, 543]  # 807 are just worth 2,500
    assert found.best.fixed == 0  # and May's order has a pin in it anyway


def test_interest_is_her_own_where_she_told_it() -> None:
    cheap, dear = (
        plan(planned(books=Books(storage=D(0), interest=D(percent)))).single for percent in (4, 8)
    )
    assert cheap is not None
    assert dear is not None
    assert dear.stock == pytest.approx(2 * cheap.stock, abs=D("0.001"))
    assert plan(planned(books=Books(interest=D(0)))).single.stock == 0  # type: ignore[union-attr]


def test_a_steady_need() -> None:
    found = plan(planned(setup=D(40), books=Books(storage=D("0.05"))))
    days = (arrival(planned(), SEPTEMBER) - arrival(planned(), MARCH)).days
    keeping = D("0.6") + D("3.10") * 8 / 100
    year = D(900) * 365 / days
    assert found.steady == round((2 * 40 * year / keeping).sqrt())
    assert plan(planned()).steady is None  # no order costs anything


def test_terms_that_differ() -> None:
    made = planned()
    assert plan(made).terms_of == ""
    dearer = replace(made.items[1], unit_cost=D("3.40"))
    items = tuple(dearer if item.id == MAY else item for item in made.items)
    found = plan(replace(made, items=items), MAY)
    assert found.terms_of == "2027-05"
    assert {one.price for one in found.best.orders} == {D("3.40")}


# --- which goods, which needs ---------------------------------------------------------------


def test_the_same_goods() -> None:
    made = shop(
        "2027-03: field notebook@Aldermoor, type notebook, form lined; tea@Aldermoor",
        "2027-04: Field Notebooks@Aldermoor, form lined",
        "2027-05: jotter@Aldermoor, type notebooks, form lined",
        "2027-06: field notebook@Brackenfold",
        "2027-07: field notebook@Aldermoor 450 x 3.10 EUR",
        "2027-08: sketch pad@Aldermoor, type notebook, form plain",
        subscribers=450,
    )
    first = made.items[0]
    assert [item.box for item in alike(made, first, TODAY)] == ["2027-03", "2027-04"]


def test_what_is_ordered_or_sent_is_left_out() -> None:
    made = planned("Aldermoor: lead 20d", "2026-12: notebook@Aldermoor 450", *PLAN[1:])
    assert plan(made).boxes == ("2027-03", "2027-05", "2027-09")
    bought = done(made, f"{MARCH}/order")
    assert one_or_several(bought, MARCH, TODAY) is None
    assert plan(bought, MAY).items == (MAY, SEPTEMBER)
    assert one_or_several(done(bought, f"{MAY}/stock"), SEPTEMBER, TODAY) is None


def test_none_where_there_is_nothing_to_choose() -> None:
    made = planned()
    assert one_or_several(made, "2027-05.pin", TODAY) is None
    assert one_or_several(made, "nothing", TODAY) is None
    without = replace(shop("2027-03: tea", "2027-04: tea"))
    assert one_or_several(without, "2027-03.tea", TODAY) is None  # no subscribers


def test_needs_are_those_of_the_boxes_and_stock_serves_the_first() -> None:
    texts = ("2027-03: notebook@Aldermoor", "2027-05: notebook@Aldermoor")
    made = planned("Aldermoor: lead 20d", *texts)
    each = [amount(made, id, TODAY) for id in (MARCH, MAY)]
    assert plan(made).needs == tuple(one.need for one in each if one)
    stocked = replace(made, items=(replace(made.items[0], stock=600), made.items[1]))
    needs = [amount(stocked, id, TODAY) for id in (MARCH, MAY)]
    assert needs[0] is not None
    assert needs[0].need == 0
    assert one_or_several(stocked, MARCH, TODAY) is None  # May alone still needs some


# Netting: an exercise of a table of one top and four legs, in public copies of a textbook that was
# not identified. Stock goes to the first needs; what is made of one thing, the next one is needed
# for.
def test_table_top_and_leg() -> None:
    def released(gross: dict[int, int], on_hand: int, lead: int) -> dict[int, int]:
        weeks = sorted(gross)
        found = netted([gross[week] for week in weeks], on_hand)
        return {week - lead: one.get for week, one in zip(weeks, found, strict=True) if one.get}

    table = released({5: 40, 7: 80}, on_hand=4, lead=1)
    assert table == {4: 36, 6: 80}
    assert released(table, on_hand=44, lead=3) == {3: 72}
    legs = {week: 4 * number for week, number in table.items()}
    assert released(legs, on_hand=80, lead=2) == {2: 64, 4: 320}


# --- what is not known ----------------------------------------------------------------------


def test_without_a_price_no_price_is_told() -> None:
    found = plan(planned(unit_cost=None, setup=D(100)))
    assert "price" in found.unknown
    assert {one.price for one in found.best.orders} == {None}
    assert found.best.goods == 0


def test_without_a_rate_it_is_said() -> None:
    made = planned(currency="EUR", setup=D(100))
    assert "rate" in plan(made).unknown
    rated = replace(made, rates=(Rate("EUR/2027-01-01", "EUR", date(2027, 1, 1), D("0.80")),))
    found = plan(rated)
    assert "rate" not in found.unknown
    assert found.best.orders[0].price == D("2.48")
    assert found.each.fixed == 240


def test_storage_is_named_where_it_was_not_told() -> None:
    assert plan(planned(books=Books())).unknown == ("storage",)
    assert plan(planned()).unknown == ()


# --- whatever the shop ----------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(1, 11), min_size=2, max_size=5, unique=True),
    st.integers(1, 600),
    st.integers(1, 60),
    st.none() | st.integers(1, 200),
    st.lists(st.builds(Break, st.integers(2, 2000), st.integers(1, 5).map(D)), max_size=2),
    st.integers(0, 200).map(D),
)
def test_the_cheapest_is_never_dearer(
    months: list[int],
    least: int,
    case: int,
    keeps: int | None,
    breaks: list[Break],
    setup: Decimal,
) -> None:
    texts = [f"2027-{month + 1:02}: notebook@Aldermoor 300 x 4.00" for month in sorted(months)]
    facts: dict[str, Any] = {
        "minimum": least,
        "case_pack": case,
        "keeps_days": keeps,
        "setup": setup,
    }
    made = planned("Aldermoor: lead 20d", *texts, breaks=tuple(breaks), **facts)
    found = one_or_several(made, made.items[0].id, TODAY)
    assert found is not None
    assert found.off == 0
    for way in (found.best, found.each, found.single):
        if way is None:
            continue
        assert found.best.cost <= way.cost == way.goods + way.fixed + way.stock
        assert all(one.pieces >= least and one.pieces % case == 0 for one in way.orders)
        served = [id for one in way.orders for id in one.items]
        assert set(served) == set(found.items)


def test_a_shop_that_was_never_told_anything() -> None:
    items = (Item("a", "2027-03", "tea", unit_cost=D(1)), Item("b", "2027-04", "tea"))
    made = replace(shop("2027-03", "2027-04", subscribers=100), items=items)
    found = one_or_several(made, "a", TODAY)
    assert found is not None
    assert found.best.orders[0].by <= TODAY + timedelta(365)
    marked = replace(made, ledger=(Mark("a/order", "done"),))
    assert one_or_several(marked, "b", TODAY) is None

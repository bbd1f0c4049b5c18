"""What would bring a dear box under its target. Everything is invented."""

from datetime import date
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.planning.accounts.cheaper import Way, cheaper
from assistant.planning.accounts.costs import box_cost
from assistant.planning.changes import apply
from assistant.planning.model import Books, Break, Mark, Offer, Put, Remove, Shop
from assistant.planning.year.rearranging import move
from tests.trade import offer, shop

TODAY = date(2027, 1, 11)
PLAN = (
    "Aldermoor",
    "Brackenfold",
    "2027-03 Rain: notebook@Aldermoor 400 x 3.00, type notebook; mug@Aldermoor 400 x 5.00, main;"
    " pin@Aldermoor 400 x 1.00",
    "2027-05 Swifts: log@Aldermoor 400 x 2.00, type notebook; notebook@Aldermoor 400 x 3.00",
)
NOTEBOOK, MUG, PIN, LOG = "2027-03.notebook", "2027-03.mug", "2027-03.pin", "2027-05.log"


def planned(*offers: Offer, target: str = "8.50", **changed: dict[str, Any]) -> Shop:
    """A shop of 400 subscribers; `changed` are fields of items, by the end of their ids."""
    held = shop(*PLAN, subscribers=400, target=Decimal(target))
    items = tuple(
        replace(one, **changed.get(one.name, {}) if one.box == "2027-03" else {})
        for one in held.items
    )
    suppliers = tuple(replace(one, carriage=Decimal(0)) for one in held.suppliers)
    whole = Books(damage=Decimal(0))  # nothing arrives unusable
    return replace(held, items=items, suppliers=suppliers, offers=offers, books=(whole,))


def ways(held: Shop, how: str = "") -> list[Way]:
    return [one for one in cheaper(held, "2027-03", TODAY).ways if how in ("", one.how)]


def test_what_drops_nothing_comes_first_and_the_smallest_that_is_enough() -> None:
    """9.00 of goods, 0.50 too much."""
    found = cheaper(planned(), "2027-03", TODAY)
    assert [(one.how, one.item, str(one.saves.normalize())) for one in found.ways] == [
        ("swap", NOTEBOOK, "1"),
        ("drop", PIN, "1"),
        ("drop", NOTEBOOK, "3"),
    ]
    assert all(one.enough for one in found.ways)
    assert found.together == ()


def test_what_is_not_enough_comes_after_the_largest_first_with_what_is_together() -> None:
    found = cheaper(planned(target="5.50"), "2027-03", TODAY)  # 3.50 too much
    assert [one.saves for one in found.ways] == [3, 1]  # no swap: May would be over
    assert not any(one.enough for one in found.ways)
    assert [(one.how, one.item) for one in found.together] == [("drop", NOTEBOOK), ("drop", PIN)]
    assert cheaper(planned(target="1.00"), "2027-03", TODAY).together == ()


def test_reaching_a_break_counts_only_where_it_costs_less() -> None:
    """450 at 2.50 are 1125.00, less than 400 at 3.00; 490 at 2.50 are more."""
    near = planned(notebook={"breaks": (Break(450, Decimal("2.50")),)})
    (one,) = ways(near, "break")
    assert (one.quantity, one.more, one.price) == (450, 50, Decimal("2.50"))
    assert one.saves == 3 - Decimal(1125) / 400
    assert not ways(planned(notebook={"breaks": (Break(490, Decimal("2.50")),)}), "break")


def test_another_suppliers_offer_of_the_same_type() -> None:
    kept = (
        offer("Brackenfold: lined log 2.40, type notebook, min 400"),
        offer("Brackenfold: big log 2.60, type notebook"),
        offer("Brackenfold: small log 1.00, type notebook, min 4000"),  # 10.00 a box
        offer("Aldermoor: own log 1.00, type notebook"),  # of the same supplier
        offer("Brackenfold: pencil 0.10, type pencil"),
    )
    (one,) = ways(planned(*kept), "offer")
    assert (one.offer, one.item) == ("brackenfold.lined log", NOTEBOOK)
    assert one.quantity >= 400
    assert one.saves == 3 - one.quantity * Decimal("2.40") / 400
    over = [replace(each, valid_until=date(2027, 1, 10)) for each in kept]
    assert not ways(planned(*over), "offer")


def test_one_order_for_all_boxes_that_hold_the_same() -> None:
    """800 notebooks reach the break at 700."""
    held = planned(notebook={"breaks": (Break(700, Decimal("2.40")),)})
    (one,) = ways(held, "lot")
    assert (one.quantity, one.price, one.others) == (800, Decimal("2.40"), ("2027-05.notebook",))
    assert one.saves == 3 - Decimal("2.40")


def test_a_set_up_is_paid_once_for_one_order() -> None:
    (one,) = ways(planned(notebook={"setup": Decimal(200)}), "lot")
    assert one.saves == Decimal("0.25")  # 200 for 400 boxes, then 100 for them


def test_what_is_ordered_or_stands_out_is_left_alone() -> None:
    done = tuple(Mark(f"{id}/order", "done") for id in (NOTEBOOK, LOG))
    held = replace(planned(), ledger=done)
    assert [(one.how, one.item) for one in ways(held)] == [("drop", PIN)]


def test_another_box_is_never_brought_over_its_target() -> None:
    """May holds 5.00; with the dearer notebook 6.00."""
    assert ways(planned(target="6.00"), "swap")
    assert not ways(planned(target="5.99"), "swap")


def test_each_way_does_what_it_says() -> None:
    """Dropping and swapping are made on a copy, and the box reckoned anew."""
    held = planned()
    now = box_cost(held, "2027-03", TODAY).goods
    for one in ways(held):
        other = one.others[0] if one.others else ""
        after = apply(
            held,
            (Remove("items", one.item),)
            if one.how == "drop"
            else move(held, {one.item: "2027-05", other: "2027-03"}),
        )
        assert box_cost(after, "2027-03", TODAY).goods == now - one.saves


def test_taking_an_offer_makes_the_box_as_much_cheaper_as_it_says() -> None:
    kept = offer("Brackenfold: notebook 2.40")
    held = planned(kept, notebook={"quantity": None})
    (one,) = ways(held, "offer")
    taken = tuple(
        replace(each, supplier="brackenfold", unit_cost=kept.price) if each.id == NOTEBOOK else each
        for each in held.items
    )
    after = apply(held, tuple(Put(each) for each in taken))
    goods = [box_cost(each, "2027-03", TODAY).goods for each in (held, after)]
    assert goods[0] - goods[1] == one.saves


def test_a_box_that_has_shipped_has_no_ways() -> None:
    assert cheaper(planned(), "2027-03", date(2027, 4, 20)).ways == ()

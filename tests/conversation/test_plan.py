"""Changing the year plan: what is kept, what is refused, which date follows.

Dates are worked by hand from the rules in config/defaults.toml on the calendar of England without
its public holidays (no almanac is kept here); suppliers and items are invented.
"""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.conversation.handle import plan
from assistant.conversation.handle import shop as shop_handlers
from assistant.conversation.messages import Outcome
from assistant.conversation.requests import (
    AddItem,
    ChangeItem,
    DropItem,
    ItemFacts,
    MoveItem,
    SetShipDate,
    SetShipRule,
    SetTheme,
    SwapBoxes,
)
from assistant.planning.changes import apply, find, invert
from assistant.planning.deadlines import deadlines, ship_date
from assistant.planning.model import Box, Closure, Item, Lead, Mark, Put, Shop, Supplier
from tests.conversation.asking import TODAY, after, asking, buttons, put, talk, text
from tests.trade import shop

HANDLERS = {**plan.HANDLERS, **shop_handlers.HANDLERS}

YEAR = shop(
    "Aldermoor: transit 3d",
    "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
    "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
    "2027-05 First Swifts: pin@Hangfeng 450 x 0.90",
    "2027-09 Seed Time: balm",
    subscribers=420,
)


def ask(known: Shop, request: object, today: date = TODAY, ref: str = "") -> Outcome:
    return HANDLERS[type(request)](known, request, asking(today, ref=ref))


def add(box: str, name: str, **facts: object) -> AddItem:
    return AddItem(box, ItemFacts(name=name, **facts))  # type: ignore[arg-type]


# --- themes ---------------------------------------------------------------------------------


def test_a_theme_makes_its_box_and_says_when_it_ships() -> None:
    outcome = ask(shop(), SetTheme("2027-03", "rain and roots"))
    assert after(shop(), outcome).boxes == (Box("2027-03", "rain and roots"),)
    assert text(outcome).startswith('March: theme "rain and roots".\nShips Mon 15 Mar.')
    assert list(buttons(outcome)) == ["Undo", "How is March"]


def test_a_theme_that_is_replaced_is_named() -> None:
    outcome = ask(YEAR, SetTheme("2027-03", "frost"))
    assert 'March: theme "frost", instead of "Rain & Roots".' in text(outcome)


def test_the_same_theme_again_changes_nothing() -> None:
    outcome = ask(YEAR, SetTheme("2027-03", "Rain & Roots"))
    assert outcome.changes == ()
    assert "already" in text(outcome)


def test_a_long_theme_is_kept_whole_and_shown_cut() -> None:
    outcome = ask(YEAR, SetTheme("2027-03", "rain " * 200))
    assert put(outcome, Box)[0].theme == "rain " * 200
    assert len(text(outcome)) < 400


# --- items ----------------------------------------------------------------------------------


def test_an_added_item_is_said_back_with_the_day_to_order_it() -> None:
    said = add(
        "2027-05",
        "field notebook",
        supplier="aldermoor",
        unit_cost=Decimal("3.10"),
        lead=Lead(20),
        made_in="DE",
    )
    outcome = ask(YEAR, said)
    (item,) = put(outcome, Item)
    assert (item.supplier, item.box, item.unit_cost) == ("aldermoor", "2027-05", Decimal("3.10"))
    # Ships Fri 14 May (the 15th is a Saturday); 420 boxes at 30 x 1 x 6 an hour-day are 3 days of
    # packing: Tue 11 May; stock Mon 10; 3 calendar days: Fri 7 (landing on a working day);
    # 20 working days of making: Fri 9 Apr.
    order = next(d for d in deadlines(after(YEAR, outcome), TODAY) if d.key == f"{item.id}/order")
    assert order.on == date(2027, 4, 9)
    assert "Added to May: field notebook from Aldermoor, £3.10, 20 working days, made in" in text(
        outcome
    )
    assert f"Order field notebook by Fri 9 Apr, in {order.float} working days." in text(outcome)
    assert list(buttons(outcome)) == ["Undo", "Why that day"]
    assert "New supplier" not in text(outcome)


def test_made_in_is_the_country_of_a_new_supplier_only() -> None:
    fresh = ask(YEAR, add("2027-05", "ink", supplier="Tannwald", made_in="DE"))
    assert [s.country for s in put(fresh, Supplier)] == ["DE"]
    assert "New supplier: Tannwald, Germany." in text(fresh)
    known = ask(YEAR, add("2027-05", "ink", supplier="Aldermoor", made_in="DE"))
    assert put(known, Supplier) == []


def test_a_supplier_named_nearly_like_another_is_pointed_out() -> None:
    outcome = ask(YEAR, add("2027-05", "ink", supplier="Aldermor"))
    assert "New supplier: Aldermor. You have Aldermoor too" in text(outcome)


def test_an_item_for_a_month_without_a_box_makes_the_box() -> None:
    outcome = ask(YEAR, add("2027-07", "net"))
    assert find(after(YEAR, outcome).boxes, "2027-07") == Box("2027-07")


def test_what_is_not_known_is_asked_for_by_example() -> None:
    outcome = ask(YEAR, add("2027-07", "net"))
    assert "No lead time is known" in text(outcome)
    assert "net lead time 20 working days" in text(outcome)


def test_the_shops_own_currency_is_not_written_down() -> None:
    own = ask(YEAR, add("2027-05", "ink", unit_cost=Decimal(2), currency="GBP"))
    other = ask(YEAR, add("2027-05", "ink", unit_cost=Decimal(2), currency="EUR"))
    assert [i.currency for i in put(own, Item) + put(other, Item)] == ["", "EUR"]
    assert "€2.00" in text(other)


def test_ids_come_from_the_message_and_do_not_collide() -> None:
    first = ask(YEAR, add("2027-05", "ink", supplier="Tannwald"), ref="m9")
    second = ask(after(YEAR, first), add("2027-05", "nib"), ref="m9")
    ids = [record.id for record in put(first, Supplier) + put(first, Item) + put(second, Item)]
    assert ids == ["m9.1", "m9.2", "m9.3"]


def test_it_means_the_item_that_was_added() -> None:
    outcome = ask(YEAR, add("2027-05", "ink"))
    (item,) = put(outcome, Item)
    kept = talk(after(YEAR, outcome))
    assert (kept.item, kept.box) == (item.id, "2027-05")


def test_an_item_that_is_late_at_once_says_what_can_still_be_done() -> None:
    outcome = ask(YEAR, add("2027-03", "ruler", supplier="Hangfeng", lead=Lead(60)))
    assert "Order ruler: was due" in text(outcome)
    assert "working days late." in text(outcome)
    assert "Still possible: " in text(outcome)
    assert "move it to May" in text(outcome)
    label, says = list(buttons(outcome).items())[2]
    assert label == "Move it to May"
    assert says.startswith("move ruler for 2027-03 to 2027-05")
    # ... and there it is not late.
    kept = after(YEAR, outcome)
    (item,) = put(outcome, Item)
    moved = after(kept, ask(kept, MoveItem(item.id, "2027-05")))
    assert not next(d for d in deadlines(moved, TODAY) if d.key == f"{item.id}/order").late


def test_provisional_dates_say_why() -> None:
    far = ask(YEAR, add("2031-05", "ink", supplier="Hangfeng"))
    assert "(provisional: the 2031 holidays are not published yet)" in text(far)


def test_goods_with_duties_carry_a_caution_that_permits_nothing() -> None:
    lamp = text(ask(YEAR, add("2027-05", "lithium lamp")))
    said = lamp.splitlines()[-1]
    assert said.startswith("Caution, lithium cells and batteries: ask your carrier")
    assert "Caution" not in text(ask(YEAR, add("2027-05", "field notebook")))
    renamed = ask(YEAR, ChangeItem("2027-05.pin", ItemFacts(name="pin", type="knife")))
    assert "Caution, knives and blades:" in text(renamed)
    # Said once, when it becomes so.
    assert "Caution" not in text(ask(YEAR, ChangeItem("2027-03.tea", ItemFacts(quantity=1))))


@pytest.mark.parametrize(
    ("request_", "words"),
    [
        (add("2027-03", "NOTEBOOK", quantity=9), "March holds NOTEBOOK already"),
        (ChangeItem("2027-03.tea", ItemFacts(name="notebook")), "an item of that name already"),
        (MoveItem("2027-03.tea", "2027-03"), "is in March already"),
        (MoveItem("gone", "2027-03"), "no longer in the plan"),
        (DropItem("gone"), "no longer in the plan"),
        (ChangeItem("gone", ItemFacts(name="x")), "no longer in the plan"),
        (SwapBoxes("2027-03", "2027-03"), "A swap needs two boxes, for example: swap March and"),
        (SwapBoxes("2027-10", "2027-11"), "there is nothing to swap. For example:"),
        (SetShipDate("2027-03", date(2026, 3, 12)), "is past. For example: ship March on 12 March"),
        (SetShipDate("2027-03", None), "ships Mon 15 Mar already"),
        (SetShipRule("the 15th or the working day before"), "That is the rule already"),
        (ChangeItem("2027-03.tea", ItemFacts(quantity=450)), "what I have already"),
    ],
)
def test_refusals_change_nothing_and_say_why(request_: object, words: str) -> None:
    outcome = ask(YEAR, request_)
    assert outcome.changes == ()
    assert words in text(outcome)
    assert "Undo" not in buttons(outcome)


def test_a_refused_ship_date_has_an_example_that_lies_ahead() -> None:
    said = text(ask(YEAR, SetShipDate("2027-03", date(2026, 3, 12))))
    assert said.endswith("For example: ship March on 12 March 2027")


def test_nothing_is_changed_in_a_box_that_has_shipped() -> None:
    later = date(2027, 4, 10)
    for request in (
        SetTheme("2027-03", "x"),
        add("2027-03", "x"),
        DropItem("2027-03.tea"),
        MoveItem("2027-03.tea", "2027-05"),
        MoveItem("2027-05.pin", "2027-03"),
        SwapBoxes("2027-05", "2027-03"),
        SetShipDate("2027-03", date(2027, 4, 20)),
        ChangeItem("2027-03.tea", ItemFacts(quantity=1)),
    ):
        outcome = ask(YEAR, request, later)
        assert outcome.changes == (), request
        assert "shipped Mon 15 Mar" in text(outcome)


def test_a_month_that_is_behind_us_is_refused_with_the_next_of_its_name() -> None:
    said = text(ask(YEAR, SetTheme("2026-03", "frost")))
    assert said == (
        "I read March 2026, but that box would have shipped Fri 13 Mar 2026; nothing was changed. "
        "For example, the same with: March 2027"
    )


def test_a_box_without_a_ship_date_says_how_to_give_it_one() -> None:
    odd = after(YEAR, ask(YEAR, SetShipRule("every 8 weeks from 2027-01-06")))
    assert ship_date(odd, "2027-07", TODAY) is None
    said = text(ask(odd, add("2027-07", "ink")))
    assert "The ship day gives July no date. Say: ship 2027-07 on the 12th" in said


def test_an_item_whose_supplier_never_works_again_says_so() -> None:
    closed = apply(
        YEAR,
        (Put(replace(YEAR.suppliers[1], closures=(Closure("gone", date(2027, 1, 4)),))),),
    )
    outcome = ask(closed, ChangeItem("2027-05.pin", ItemFacts(quantity=500)))
    assert "never in hand: its supplier does not work again." in text(outcome)
    assert "another supplier, for example: pin is from Aldermoor" in text(outcome)


def test_a_box_that_is_only_past_its_date_can_still_be_changed() -> None:
    outcome = ask(YEAR, DropItem("2027-03.tea"), date(2027, 3, 18))
    assert outcome.changes
    shipped = apply(YEAR, (Put(Mark("2027-03/ship", "done")),))
    assert not ask(shipped, DropItem("2027-03.tea"), date(2027, 3, 18)).changes


# --- changes of an item ---------------------------------------------------------------------


def test_a_change_names_what_was_and_the_date_that_moved() -> None:
    said = ItemFacts(unit_cost=Decimal("3.40"), lead=Lead(25), form="pocket")
    outcome = ask(YEAR, ChangeItem("2027-03.notebook", said))
    assert "notebook, March: £3.40, was £3.10; 25 working days, was 20 working days;" in text(
        outcome
    )
    assert "form pocket." in text(outcome)
    assert "It was" in text(outcome)


def test_a_renamed_item_keeps_its_id() -> None:
    outcome = ask(YEAR, ChangeItem("2027-03.notebook", ItemFacts(name="pocket notebook")))
    assert [(i.id, i.name) for i in put(outcome, Item)] == [("2027-03.notebook", "pocket notebook")]
    assert "now pocket notebook, was notebook" in text(outcome)


def test_a_move_keeps_what_was_done() -> None:
    ordered = apply(YEAR, (Put(Mark("2027-03.notebook/order", "done")),))
    outcome = ask(ordered, MoveItem("2027-03.notebook", "2027-05", sure=True))
    assert text(outcome).startswith("Moved notebook from March to May.")
    order = next(
        d for d in deadlines(after(ordered, outcome), TODAY) if d.key == "2027-03.notebook/order"
    )
    assert (order.box, order.state) == ("2027-05", "done")
    assert "dispatched by" in text(outcome)


def test_a_drop_takes_the_ledger_with_it_and_warns_of_an_order() -> None:
    ordered = apply(YEAR, (Put(Mark("2027-03.notebook/order", "done")),))
    outcome = ask(ordered, DropItem("2027-03.notebook", sure=True))
    left = after(ordered, outcome)
    assert find(left.items, "2027-03.notebook") is None
    assert left.ledger == ()
    assert "It was ordered: tell Aldermoor." in text(outcome)
    assert "ordered" not in text(ask(YEAR, DropItem("2027-03.notebook")))


# --- swaps ----------------------------------------------------------------------------------


def test_a_swap_moves_contents_themes_and_their_marks_not_dates() -> None:
    fixed = apply(
        YEAR,
        (
            Put(replace(YEAR.boxes[0], ship_on=date(2027, 3, 12))),
            Put(Mark("2027-03/card", "done")),
            Put(Mark("2027-03/count", "done")),
            Put(Mark("2027-05/photo", "not needed")),
        ),
    )
    outcome = ask(fixed, SwapBoxes("2027-03", "2027-05", sure=True))
    swapped = after(fixed, outcome)
    assert {box.id: box.theme for box in swapped.boxes}["2027-03"] == "First Swifts"
    assert ship_date(swapped, "2027-03", TODAY) == date(2027, 3, 12)
    assert {i.name: i.box for i in swapped.items} == {
        "notebook": "2027-05",
        "tea": "2027-05",
        "pin": "2027-03",
        "balm": "2027-09",
    }
    assert {mark.id: mark.state for mark in swapped.ledger} == {
        "2027-05/card": "done",
        "2027-03/count": "done",
        "2027-03/photo": "not needed",
    }
    assert "Swapped March and May" in text(outcome)
    assert "Tightest: " in text(outcome)


def test_a_swap_with_a_month_that_has_no_box_makes_it() -> None:
    outcome = ask(YEAR, SwapBoxes("2027-03", "2027-04", sure=True))
    assert find(after(YEAR, outcome).boxes, "2027-04") == Box("2027-04", "Rain & Roots")


# --- ship dates -----------------------------------------------------------------------------


def test_a_new_rule_names_the_next_dates_and_what_moves() -> None:
    outcome = ask(YEAR, SetShipRule("last working day"))
    assert "Ship day: last working day.\nNext: March Wed 31 Mar, May Mon 31 May" in text(outcome)
    assert "dates move; the first: " in text(outcome)


def test_a_fixed_date_says_what_is_odd_about_it() -> None:
    outcome = ask(YEAR, SetShipDate("2027-03", date(2027, 4, 3)))
    assert "March ships Sat 3 Apr." in text(outcome)
    assert "You do not work on Sat 3 Apr (weekend)" in text(outcome)
    assert "That is not in March" in text(outcome)


def test_a_fixed_date_is_forgotten_again() -> None:
    fixed = after(YEAR, ask(YEAR, SetShipDate("2027-03", date(2027, 3, 12))))
    ruled = ask(fixed, SetShipRule("the 20th"))
    assert "March keeps its own date." in text(ruled)
    outcome = ask(fixed, SetShipDate("2027-03", None))
    assert "March ships Mon 15 Mar, by the rule again" in text(outcome)
    assert after(fixed, outcome).boxes == YEAR.boxes


# --- undo -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "request_",
    [
        SetTheme("2027-03", "frost"),
        SetTheme("2027-08", "frost"),
        add("2027-08", "ink", supplier="Tannwald"),
        ChangeItem("2027-03.tea", ItemFacts(supplier="Tannwald")),
        MoveItem("2027-03.tea", "2027-08"),
        DropItem("2027-03.tea"),
        SwapBoxes("2027-03", "2027-04", sure=True),
        SetShipRule("last Friday"),
        SetShipDate("2027-03", date(2027, 3, 12)),
    ],
)
def test_every_change_can_be_taken_back_by_its_button(request_: object) -> None:
    outcome = ask(YEAR, request_)
    changed = apply(YEAR, outcome.changes)
    assert changed != YEAR
    undone = apply(changed, invert(YEAR, outcome.changes))
    assert set(undone.items) == set(YEAR.items)
    assert undone.boxes == YEAR.boxes
    assert (undone.profile, undone.suppliers) == (YEAR.profile, YEAR.suppliers)
    assert buttons(outcome)["Undo"] == f"undo {YEAR.version + 1}"

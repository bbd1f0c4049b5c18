"""How many to order, with reasons, and facts of how an item is sold: whole conversations.

Shops, suppliers and goods are invented.
"""

import re
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.amounts import reason
from assistant.conversation.order_requests import HowMany
from assistant.conversation.requests import AddItem, ChangeItem, ItemFacts, Question, Request
from assistant.conversation.sentences import quantities as says
from assistant.conversation.understand import understand
from assistant.planning.model import Books, Break, Shop
from assistant.planning.numbers.quantity import amount
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import NOTEBOOK, SHOP, TALK, TODAY
from tests.trade import offer, shop

PLAN = (
    "Aldermoor: transit 3d",
    "Tannwald DE",
    "2027-03 Rain and roots: field notebook@Aldermoor, lead 20d; tin mug@Aldermoor",
    "2027-05: mint tea@Tannwald; field notebook@Aldermoor",
)
MONDAY = date(2027, 1, 11)


def planned(*more: str, books: Books | None = None, **facts: Any) -> Shop:
    """A shop of 420 subscribers whose March notebook has these facts; nothing arrives broken."""
    made = shop(*PLAN, *more, subscribers=420)
    known = {"unit_cost": Decimal("3.10"), "damage": Decimal(0), **facts}
    items = tuple(replace(one, **known) if one.id == NOTEBOOK else one for one in made.items)
    return replace(made, items=items, books=(books,) if books else ())


def lines(text: str) -> list[str]:
    return text.split("\n")


# --- how many -------------------------------------------------------------------------------


def test_a_number_is_told_with_its_reason_and_what_it_comes_to() -> None:
    chat = Chat(planned(case_pack=23, damage=Decimal(2), setup=Decimal(60)))
    before = plan_of(chat.shop)
    told = lines(chat.say("how many notebooks for March"))
    assert told[:3] == [
        "field notebook, March: 437 to order",
        "437 = 420 expected + 14 spares + 3 to fill 19 cases of 23",
        "£3.10 each, £1,354.70 in all, and £60.00 set-up",
    ]
    assert told[3].startswith("Order field notebook by ")
    labels = ["Use 437", "Why so many", "One lot or several", "How is March"]
    assert list(chat.buttons) == labels
    assert plan_of(chat.shop) == before


def test_her_own_number_stands_beside_the_one_worked_out() -> None:
    chat = Chat(planned(case_pack=24))
    chat.say("how many notebooks for March")
    assert "432 pieces" in chat.touch("Use 432")
    chat.say("March notebook quantity 450")
    told = chat.say("how many notebooks for March")
    assert "field notebook, March: 450 to order" in told
    assert "432 = 420 expected + 12 to fill 18 cases of 24" in told
    assert "You set 450: 18 more." in told
    assert "no longer 450 pieces" in chat.touch("Go by 432")
    assert "March: 432 to order" in chat.say("how many notebooks for March")


def test_every_step_is_behind_a_button() -> None:
    books = Books(short_cost=Decimal(12), resale=Decimal(30))
    breaks = (Break(500, Decimal("2.70")),)
    chat = Chat(planned(books=books, breaks=breaks, damage=Decimal(2), stock=40))
    chat.say("how many notebooks for March")
    told = lines(chat.touch("Why so many"))
    assert told[0] == "field notebook, March: why 391"
    assert told[1] == "391 = 420 expected - 40 in stock + 11 spares"
    assert told[2] == "Boxes: 420 expected"
    assert told[3] == "Sure: 84.7%, as a box short costs £12.00, one left £2.17"
    assert told[4] == "Stock: 40 cover as many, and need no spares"
    assert told[5].startswith("Spares: 2% arrive broken; 391 leave 380 good")
    assert told[6] == "Compared: 391 for £1,212.10, 500 for £1,350.00"
    assert len(told) <= 10


def test_the_spread_of_subscribers_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    from assistant.conversation.handle import quantities as handle
    from assistant.planning.numbers import quantity
    from assistant.planning.numbers.subscribers import Expected

    def one(_shop: Shop, box_id: str, _today: date) -> Expected:
        return Expected(box_id, MONDAY, 431.0, 11.0, 413, 449)

    monkeypatch.setattr(quantity, "forecast", lambda _shop, _today: ())
    monkeypatch.setattr(quantity, "expected", one)
    monkeypatch.setattr(handle, "expected", one)
    chat = Chat(planned())
    told = chat.say("how many notebooks for March")
    assert "450 = 431 expected + 19 to be 95% sure" in told
    told = chat.touch("Why so many")
    assert "Boxes: 431 expected, nine times in ten between 413 and 449" in told
    assert "Sure: 95%, the usual" in told
    assert "On average 0.2 boxes short and 19.2 left over, before spares" in told


def test_options_are_told_each() -> None:
    shares = (("S", Decimal(20)), ("M", Decimal(50)), ("L", Decimal(30)))
    chat = Chat(planned(shares=shares, case_pack=24))
    told = lines(chat.say("how many notebooks for March"))
    assert told[1] == "504 = 420 expected + 47 to be 95% sure + 37 to fill 21 cases of 24"
    assert told[3] == "S 120, M 240, L 144"
    assert "Options: S 20%, M 50%, L 30%; each is sure by itself" in chat.touch("Why so many")


def test_enough_in_stock_orders_nothing() -> None:
    chat = Chat(planned(stock=500))
    told = lines(chat.say("how many notebooks for March"))
    assert told == ["field notebook, March: none to order", "0 = 420 expected - 420 in stock"]
    assert next(iter(chat.buttons)) == "Why so many"


def test_buying_up_to_a_break_is_said_to_cost_less() -> None:
    chat = Chat(planned(breaks=(Break(450, Decimal("2.70")),)))
    told = chat.say("how many notebooks for March")
    assert "450 = 420 expected + 30 as 450 cost less than 420" in told
    assert "£2.70 each, £1,215.00 in all" in told


def test_a_minimum_above_the_need_of_the_year_is_said() -> None:
    chat = Chat(planned())
    told = chat.say("March notebook minimum 5000")
    assert "5,000 = 420 expected + 4,580 to the minimum of 5,000" in told
    assert "The minimum of 5,000 is more than a year's need of" in told
    assert "12 boxes of this need would use it up." in told
    assert "would use it up" not in chat.say("March notebook minimum 450")
    told = chat.say("March notebook minimum 600")
    assert "The minimum of 600 is 180 more than March needs. 2 boxes of this need" in told


def test_the_least_order_of_a_supplier_is_named() -> None:
    made = planned()
    suppliers = tuple(
        replace(one, minimum_value=Decimal(2000)) if one.id == "aldermoor" else one
        for one in made.suppliers
    )
    chat = Chat(replace(made, suppliers=suppliers))
    told = chat.say("how many notebooks for May")
    assert "No price yet: say field notebook costs 3.10" in told
    items = tuple(one for one in made.items if one.name != "tin mug")
    chat = Chat(replace(made, suppliers=suppliers, items=items))
    told = chat.say("how many notebooks for March")
    assert "646 = 420 expected + 226 to reach Aldermoor's least order of £2,000.00" in told
    assert "£2,002.60 in all" in told


def test_without_subscribers_it_is_said_how_to_tell() -> None:
    chat = Chat(shop(*PLAN))
    told = chat.say("how many notebooks for March")
    assert told == (
        "I do not know how many boxes go out in March. Say for example: 420 subscribers"
    )
    assert chat.say("how many of everything for March") == told


def test_a_whole_box() -> None:
    chat = Chat(planned(case_pack=24, quantity=480))
    told = lines(chat.say("how many of everything for March"))
    assert told == [
        "March: how many to order",
        "1. field notebook 480, as you set (worked out: 432), £1,488.00",
        "2. tin mug 434, no price",
        "In all £1,488.00, without tin mug (no price, or no rate)",
    ]
    assert "tin mug, March: 434 to order" in chat.say("2")
    assert "May: how many to order" in chat.say("how many for May")
    assert "July holds no items yet" in chat.say("how many of everything for July")


def test_what_was_not_named_is_what_was_spoken_of_last() -> None:
    chat = Chat(planned())
    assert "March: how many to order" in chat.say("how many do I order")
    chat.say("how many mugs for March")
    assert "tin mug, March" in chat.say("how many do I order")
    assert "tin mug, March: why" in chat.say("why so many")
    empty = Chat(shop("Aldermoor", subscribers=420))
    assert "No box with items is planned" in empty.say("how many do I order")


# --- the one line ---------------------------------------------------------------------------

FACTS = st.fixed_dictionaries(
    {},
    optional={
        "units": st.integers(1, 3),
        "stock": st.integers(0, 900),
        "case_pack": st.integers(1, 60),
        "minimum": st.integers(1, 1500),
        "damage": st.decimals(0, 20, places=1),
        "unit_cost": st.decimals(Decimal("0.5"), 9, places=2),
        "shares": st.just((("S", Decimal(20)), ("M", Decimal(80)))),
        "breaks": st.just((Break(500, Decimal("0.40")), Break(900, Decimal("0.35")))),
    },
)


@given(FACTS, st.integers(1, 900), st.one_of(st.none(), st.integers(1, 99)))
def test_the_parts_of_the_one_line_add_up(
    facts: dict[str, Any], subscribers: int, percent: int | None
) -> None:
    books = Books(confidence=None if percent is None else Decimal(percent))
    made = shop("Aldermoor", "2027-03: mug@Aldermoor", subscribers=subscribers)
    suppliers = tuple(replace(one, minimum_value=Decimal(900)) for one in made.suppliers)
    item = replace(made.items[0], **facts)
    made = replace(made, items=(item,), books=(books,), suppliers=suppliers)
    found = amount(made, item.id, MONDAY)
    assert found is not None
    text = reason(made, item, found).replace(",", "")
    whole, _, parts = text.partition(" = ")
    first, *more = re.findall(r"(?:^|[+-] )(\d+) ", parts)
    signed = [int(one.replace(" ", "")) for one in re.findall(r"[+-] \d+(?= )", parts)]
    assert len(more) == len(signed)
    assert int(first) + sum(signed) == int(whole) == found.order


# --- facts ----------------------------------------------------------------------------------


def test_facts_are_acknowledged_and_taken_back() -> None:
    chat = Chat(planned())
    told = chat.say("March notebook: cases of 24, minimum 200, from 500 at 2.90, set-up 60")
    assert "minimum 200; cases of 24; from 500 at £2.90; set-up £60.00" in told
    assert "432 = 420 expected + 12 to fill 18 cases of 24" in told
    told = chat.say("March notebook from 1000 at 2.60")
    assert "from 500 at £2.90, from 1,000 at £2.60, was from 500 at £2.90" in told
    told = chat.say("change field notebook for 2027-03: no breaks, no minimum, no cases, no set-up")
    for one in ("minimum 200", "cases of 24", "set-up £60.00"):
        assert f"no longer {one}" in told
    item = next(one for one in chat.shop.items if one.id == NOTEBOOK)
    assert (item.minimum, item.case_pack, item.setup, item.breaks) == (None, None, None, ())
    chat.say("undo")
    item = next(one for one in chat.shop.items if one.id == NOTEBOOK)
    assert (item.minimum, item.case_pack) == (200, 24)


def test_a_break_that_costs_more_is_refused() -> None:
    chat = Chat(planned())
    before = plan_of(chat.shop)
    told = chat.say("March notebook from 500 at 3.40")
    assert "I read field notebook from 500 at £3.40 each, but fewer cost £3.10" in told
    assert "Nothing was changed. For example: change field notebook: 3.10, from 500 at" in told
    assert plan_of(chat.shop) == before
    told = chat.say("add to May: pin from Aldermoor, 1.00, from 200 at 0.90, from 300 at 0.95")
    assert "pin from 300 at £0.95 each, but fewer cost £0.90" in told
    assert plan_of(chat.shop) == before


def test_a_new_price_below_an_old_break_is_refused_with_the_way_out() -> None:
    chat = Chat(planned(breaks=(Break(500, Decimal("2.90")),)))
    before = plan_of(chat.shop)
    assert "no breaks" in chat.say("change field notebook for 2027-03: 2.50")
    assert plan_of(chat.shop) == before
    chat.say("change field notebook for 2027-03: 2.50, no breaks")
    item = next(one for one in chat.shop.items if one.id == NOTEBOOK)
    assert (item.unit_cost, item.breaks) == (Decimal("2.50"), ())


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("March notebook sizes S 20%, M 50%, L 20%", "add up to 100% (S 20%, M 50%, L 20%: 90%"),
        ("March notebook sizes S 20%, S 80%", "one option twice"),
        ("March notebook sizes S, M, L", "how many take"),
        ("March notebook: from 500 at 2.90, from 500 at 2.80", "two prices from the same"),
        ("March notebook: minimum 200, minimum 300", "tells the minimum a second time"),
        ("March notebook 95% arrive broken", "more than I can order spares for"),
        ("March notebook from 1 at 2.90", "begins with 2 pieces or more"),
        ("99% arrive broken", "more than I can order spares for"),
        ("be 100% sure", "choose between 1 and 99.9%"),
        ("running short costs 12 EUR a box", "told in GBP"),
    ],
)
def test_what_cannot_be_meant_changes_nothing(text: str, why: str) -> None:
    chat = Chat(planned())
    before = plan_of(chat.shop)
    assert why in chat.say(text)
    assert plan_of(chat.shop) == before


# --- prices in doubt of their currency --------------------------------------------------------


def test_a_price_without_a_currency_is_asked_about_where_two_are_in_use() -> None:
    chat = Chat(planned())
    chat.say("add to June: pin from Tannwald, 2.00 EUR")
    before = plan_of(chat.shop)
    told = chat.say("add to June: tin whistle from Tannwald, 3.10, cases of 24, from 500 at 2.90")
    assert "I read tin whistle at 3.10, but not in which currency" in told
    assert "prices in EUR, the shop reckons in GBP. Nothing was changed yet." in told
    assert plan_of(chat.shop) == before
    assert list(chat.buttons) == ["£3.10", "€3.10"]
    told = chat.touch("€3.10")
    assert "tin whistle from Tannwald, €3.10, cases of 24, from 500 at €2.90" in told
    made = chat.shop.items[-1]
    assert (made.currency, made.case_pack) == ("EUR", 24)
    assert made.breaks == (Break(500, Decimal("2.90")),)


def test_a_first_price_is_asked_about_and_the_next_is_not() -> None:
    chat = Chat(planned())
    suppliers = tuple(
        replace(one, currency="EUR") if one.id == "tannwald" else one for one in chat.shop.suppliers
    )
    chat.shop = replace(chat.shop, suppliers=suppliers)
    assert "not in which currency" in chat.say("mint tea costs 2.40")
    assert "mint tea, May: £2.40" in chat.say("1")
    assert "mint tea, May: £2.60, was £2.40" in chat.say("mint tea costs 2.60")


def test_an_offer_in_the_shops_currency_is_taken_without_a_question() -> None:
    made = replace(
        planned(), offers=(offer("Tannwald: moss 2.10 EUR"), offer("Tannwald: fern 1.90"))
    )
    chat = Chat(made)
    chat.say("offers about fern")
    assert "fern from Tannwald, £1.90" in chat.say("add offer 1 to May")


# --- sentences of buttons ---------------------------------------------------------------------


def read(text: str) -> tuple[Request, ...] | Question:
    return understand(text, SHOP, TALK, TODAY)


@pytest.mark.parametrize("item", [one.id for one in SHOP.items])
def test_buttons_are_understood_back(item: str) -> None:
    assert read(says.how_many(SHOP, item)) == (HowMany(item=item),)
    assert read(says.why_so_many(SHOP, item)) == (HowMany(item=item, whole=True),)
    quantity = ItemFacts(quantity=460)
    assert read(says.set_quantity(SHOP, item, 460)) == (ChangeItem(item, quantity),)
    reckoned = ChangeItem(item, ItemFacts(quantity=0))
    assert read(says.as_reckoned(SHOP, item)) == (reckoned,)
    assert read(says.how_many_of_all("2027-05")) == (HowMany(box="2027-05"),)


ORDER_FACTS = st.fixed_dictionaries(
    {"name": st.sampled_from(["tin mug", "tee, large", "pin 2", 'mug "first"'])},
    optional={
        "unit_cost": st.decimals(Decimal("0.01"), 900, places=2),
        "currency": st.sampled_from(["", "EUR", "GBP"]),
        "minimum": st.integers(0, 9999),
        "case_pack": st.integers(0, 999),
        "setup": st.decimals(0, 900, places=2),
        "units": st.integers(1, 9),
        "stock": st.integers(0, 9999),
        "damage": st.decimals(0, 90, places=1),
        "keeps_days": st.integers(1, 730),
        "breaks": st.sampled_from(
            [
                (),
                (Break(0, Decimal(0)),),
                (Break(500, Decimal("2.90")),),
                (Break(500, Decimal("2.90")), Break(1000, Decimal("2.6"))),
            ]
        ),
        "shares": st.sampled_from(
            [
                (),
                (("", Decimal(100)),),
                (("S", Decimal(20)), ("M", Decimal("79.5")), ("X-L", Decimal("0.5"))),
                (("moss green", Decimal(50)), ("red", Decimal(50))),
            ]
        ),
        "main": st.sampled_from([True, None]),
    },
)


@given(ORDER_FACTS)
def test_facts_of_an_item_are_understood_back(told: dict[str, Any]) -> None:
    if told.get("unit_cost") is None:
        told = {field: value for field, value in told.items() if field != "currency"}
    facts = ItemFacts(**told)
    expected = replace(facts, name=facts.name.replace('"', "'"))
    assert read(sentences.add_item("2027-05", facts)) == (AddItem("2027-05", expected),)
    if len(told) > 1 and facts != ItemFacts(name=facts.name):
        change = ChangeItem(NOTEBOOK, replace(facts, name=""))
        assert read(sentences.change_item(SHOP, NOTEBOOK, facts)) == (change,)


def test_how_goods_are_sold_is_offered_for_the_next_box_with_the_same() -> None:
    chat = Chat(planned())
    chat.say("change field notebook for 2027-03: cases of 24, 500 pieces")
    assert "Same for May" in chat.buttons
    chat.touch("Same for May")
    march, may = (one for one in chat.shop.items if one.name == "field notebook")
    assert (march.case_pack, may.case_pack) == (24, 24)
    assert (march.quantity, may.quantity) == (500, None)  # a number is a box's own
    chat.say("change field notebook for 2027-05: cases of 24")
    assert "Same for March" not in chat.buttons

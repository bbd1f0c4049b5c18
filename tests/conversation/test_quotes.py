"""Quotes noted, compared, and an item bought by one: whole conversations. All of it is invented."""

from datetime import date
from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.planning.model import Break, Lead, Offer, Put
from tests.conversation.chat import Chat, plan_of
from tests.conversation.test_bargaining import planned
from tests.trade import offer

QUOTE = "Brackenfold quotes 1.40 for the pins, from 500 at 1.25, minimum 200, 10 working days"


def quoted(chat: Chat) -> Offer:
    """The newest offer."""
    return chat.shop.offers[-1]


# --- a quote noted --------------------------------------------------------------------------


def test_a_quote_is_kept_whole_and_told_with_what_it_comes_to() -> None:
    chat = Chat(planned())
    told = chat.say(f"{QUOTE}, transit 3 days, carriage 9, set-up 45, valid until 31 January")
    assert "Quote of Brackenfold for pin (March): £1.40, from 500 at £1.25." in told
    assert "Minimum 200, set-up £45.00, carriage £9.00, 10 working days, 3 days on" in told
    assert "Valid until Sun 31 Jan, in 15 working days." in told
    assert "For 450: £679.00 landed" in told  # 500 at 1.25, 45 and 9: less than 450 at 1.40
    one = quoted(chat)
    assert (one.supplier, one.item, one.name) == ("brackenfold", "2027-03.pin", "pin")
    assert (one.price, one.breaks) == (Decimal("1.40"), (Break(500, Decimal("1.25")),))
    assert (one.quoted, one.valid_until) == (date(2027, 1, 11), date(2027, 1, 31))
    assert (one.lead, one.transit_days) == (Lead(10), 3)
    assert (one.setup, one.carriage, one.minimum) == (Decimal(45), Decimal(9), 200)
    before = plan_of(planned())
    chat.touch("Undo")
    assert plan_of(chat.shop) == before


def test_a_new_quote_takes_the_place_of_the_old() -> None:
    chat = Chat(planned())
    chat.say(f"{QUOTE}, valid until 31 January")
    told = chat.say("Brackenfold quotes 1.30 for the pins")
    assert "No last day was said" in told
    (one,) = chat.shop.offers
    assert (one.price, one.breaks, one.valid_until) == (Decimal("1.30"), (), None)
    assert (one.minimum, one.lead) == (200, Lead(10))


def test_an_older_quote_changes_nothing() -> None:
    chat = Chat(planned())
    chat.say(QUOTE)
    assert "older quote" in chat.say("Brackenfold quotes 1.10 for the pins, quoted 4 January")
    assert chat.changes == ()
    assert quoted(chat).price == Decimal("1.40")


def test_a_quote_takes_the_place_of_the_price_list() -> None:
    made = replace(planned(), offers=(offer("Brackenfold: pin 1.50, quoted 2027-01-04, 12 g"),))
    chat = Chat(made)
    chat.say(QUOTE)
    (one,) = chat.shop.offers
    assert (one.price, one.grams, one.id) == (Decimal("1.40"), 12, "brackenfold.pin")


def test_the_same_quote_twice_stands() -> None:
    chat = Chat(planned())
    chat.say(QUOTE)
    assert "is what I have already" in chat.say(QUOTE)
    assert chat.changes == ()


def test_an_expired_quote_is_said_to_be_one() -> None:
    chat = Chat(planned())
    told = chat.say(f"{QUOTE}, quoted 4 January, valid until 2027-01-08")
    assert "It expired Fri 8 Jan: ask for a new one." in told
    assert "Buy from Brackenfold" not in chat.buttons


def test_a_new_supplier_is_paid_in_the_currency_of_its_quote() -> None:
    chat = Chat(planned())
    told = chat.say("Kirigawa quotes 1.10 EUR for the pins, made in Japan, 10 working days")
    assert "New supplier: Kirigawa, Japan." in told
    assert "cost not known (no rate of it)" in told
    made = next(one for one in chat.shop.suppliers if one.name == "Kirigawa")
    assert (made.currency, made.country) == ("EUR", "JP")
    again = chat.say("Kirigawa quotes 1.05 for the pins")
    assert "Read as EUR, the currency of Kirigawa." in again


def test_goods_that_are_in_no_box_can_be_quoted() -> None:
    chat = Chat(planned())
    told = chat.say("quote from Tannwald for song thrush print: 1.20, minimum 300")
    assert "Quote of Tannwald for song thrush print: £1.20." in told
    assert (quoted(chat).name, quoted(chat).item) == ("song thrush print", "")
    assert "song thrush print" in chat.say("offers about thrush")


# --- what cannot be taken -------------------------------------------------------------------


def test_a_price_without_a_currency_where_two_are_in_use_is_asked_about() -> None:
    made = planned("2027-11 Dark: lamp@Hangfeng 450 x 2.00 USD")
    chat = Chat(made)
    told = chat.say("Tannwald quotes 1.20 for the pins, from 500 at 1.10, minimum 200")
    assert "not in which currency: you use GBP and USD. Nothing was changed yet." in told
    assert chat.changes == ()
    assert chat.shop.offers == ()
    chat.touch("USD")
    assert (quoted(chat).currency, quoted(chat).minimum) == ("USD", 200)
    assert quoted(chat).breaks == (Break(500, Decimal("1.10")),)


def test_a_supplier_with_one_currency_is_not_asked_about() -> None:
    chat = Chat(planned("2027-11 Dark: lamp@Hangfeng 450 x 2.00 USD"))
    chat.say("Aldermoor quotes 1.20 for the pins")  # its notebooks are in the shop's
    assert quoted(chat).currency == ""


@pytest.mark.parametrize(
    ("sentence", "says_why"),
    [
        ("Brackenfold quotes 1.40 for the pins, from 500 at 1.55", "fewer pieces cost less each"),
        ("Brackenfold quotes -1.40 for the pins", "below zero"),
        ("Brackenfold quotes 1.40 EUR for the pins, carriage £9", "in 2 currencies"),
        ("Brackenfold quotes 1.40 for the pins, valid until Smarch", "no day that I can read"),
        ("Brackenfold quotes 1.40 for the pins, dated 1 June 2027", "still ahead"),
        ("Brackenfold quotes 1.40 for the pins, wombat", 'could not read "wombat"'),
        ("Brackenfold quotes 1.40 for the pins, 5 in stock", "more than a quote does"),
        ("Brackenfold quotes 1.40 for the pins, minimum -5", "I read a quote"),
    ],
)
def test_what_cannot_be_read_changes_nothing(sentence: str, says_why: str) -> None:
    chat = Chat(planned())
    told = chat.say(sentence)
    assert says_why in told
    assert "or example" in told
    assert chat.changes == ()
    assert chat.shop.offers == ()


# --- quotes compared, and one taken ---------------------------------------------------------


def test_two_quotes_are_compared_by_the_rule_that_is_told() -> None:
    chat = Chat(planned())
    chat.say(f"{QUOTE}, valid until 31 January, free delivery")
    chat.say("Aldermoor quotes 1.30 for the pins, 15 working days, carriage 9")
    told = chat.say("compare Aldermoor and Brackenfold for pins")
    assert "pin, March: 2 quotes for 450 pieces" in told
    # 450 at 1.30, and of 9.00 for the order the share of the pins beside 1,395.00 of notebooks.
    assert "1. Aldermoor £1.30: £587.66 landed" in told
    assert "2. Brackenfold £1.25 x 500: £625.00 landed" in told
    assert "Cost: Aldermoor; time: Brackenfold" in told
    assert "On the whole Aldermoor: costs least of those with 5 working days" in told
    assert chat.changes == ()


def test_the_plans_own_supplier_is_one_of_them() -> None:
    chat = Chat(planned())
    chat.say(QUOTE)
    assert "Hangfeng (the plan) £1.05" in chat.say("compare quotes for the pins")


def test_one_quote_alone_is_not_compared() -> None:
    chat = Chat(planned())
    told = chat.say("compare Aldermoor and Brackenfold for the notebook")
    assert "I have only the price of Aldermoor" in told
    assert "No quote of Brackenfold for notebook." in told
    assert "Dear Brackenfold" in chat.touch("Ask Brackenfold")


def test_buying_by_a_quote_that_moves_a_date_is_shown_first() -> None:
    chat = Chat(planned())
    chat.say(f"{QUOTE}, transit 3 days")
    asked = chat.say("buy the pins from Brackenfold")
    assert "Buy pin (March) from Brackenfold?" in asked
    assert "1 order-by date moves" in asked
    assert chat.changes == ()
    done = chat.touch("Do it")
    assert "pin, March: from Brackenfold, was from Hangfeng; £1.40, was £1.05" in done
    assert "For all that Brackenfold sends: 3 days on its way." in done
    march, may = (one for one in chat.shop.items if one.name == "pin")
    assert (march.supplier, march.unit_cost, march.minimum) == (
        *("brackenfold", Decimal("1.40"), 200),
    )
    assert may.supplier == "hangfeng"
    assert "that quote of Brackenfold already" in chat.say("take the quote of Brackenfold for pins")
    chat.say("undo")
    assert next(one for one in chat.shop.items if one.name == "pin").supplier == "hangfeng"


def test_a_quote_of_the_same_supplier_that_moves_nothing_is_taken_at_once() -> None:
    chat = Chat(planned())
    chat.say("Hangfeng quotes 0.95 for the pins")
    assert "£0.95, was £1.05" in chat.touch("Buy from Hangfeng")
    (change,) = (one for one in chat.changes if isinstance(one, Put))
    assert change.record.id == "2027-03.pin"


def test_what_is_ordered_is_not_bought_again() -> None:
    chat = Chat(planned())
    chat.say(QUOTE)
    chat.say("the order of the pin for March is placed")
    told = chat.say("take the quote of Brackenfold for the pin in March")
    assert "ordered already from Hangfeng. Nothing was changed." in told
    assert chat.changes == ()
    assert "It is not ordered" in chat.buttons


def test_a_quote_without_a_price_buys_nothing() -> None:
    chat = Chat(planned())
    chat.say("Brackenfold quotes the pins, minimum 200, 25 working days")
    assert quoted(chat).price is None
    assert "names no price yet" in chat.say("take the quote of Brackenfold for the pins")
    assert chat.changes == ()


def test_a_minimum_above_her_own_number_is_pointed_out() -> None:
    chat = Chat(planned())
    chat.say("Hangfeng quotes 0.95 for the pins, minimum 600")
    assert "minimum of 600 is more than the 450" in chat.touch("Buy from Hangfeng")

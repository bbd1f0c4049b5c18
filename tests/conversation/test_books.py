"""Figures of the shop, rates and postage, and what buttons say: whole conversations.

Everything is invented.
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.order_requests import (
    ChangeBooks,
    Cheaper,
    DropPostage,
    SetPostage,
    SetRate,
    ShowBooks,
    ShowCosts,
    ShowPostage,
    ShowRates,
)
from assistant.conversation.requests import KeepIdea, Question, Request
from assistant.conversation.sentences import costs as says
from assistant.conversation.understand import understand
from assistant.conversation.understand.phrasings.books import FIGURES
from assistant.planning.model import Band, Books, Rate, Shop, Talk, Tariff
from tests.conversation.chat import Chat
from tests.conversation.meant import NOTEBOOK, SHOP, TODAY
from tests.trade import shop

PLAN = (
    "Aldermoor",
    "Brackenfold",
    "Hangfeng CN",
    "2027-03 Rain: notebook@Aldermoor 400 x 3.10, 180 g, type notebook;"
    " tin mug@Hangfeng 400 x 5.00 USD, 320 g",
    "2027-05 Swifts: tea@Aldermoor 400 x 1.20, 60 g; pin@Brackenfold 400 x 1.00, 20 g",
)
BOOKS = Books(damage=Decimal(0), packaging=Decimal("0.85"), card=Decimal("0.12"))
BOOKS = replace(BOOKS, packaging_grams=120, fee_percent=Decimal("1.5"), tax=Decimal(20))
USD = Rate("USD/2027-01-01", "USD", date(2027, 1, 1), Decimal("0.80"))
SMALL = Tariff(
    "small parcel/2027-01-01", "small parcel", date(2027, 1, 1), (Band(2000, Decimal("3.45")),)
)


def planned(*texts: str, **profile: object) -> Shop:
    numbers = {"subscribers": 400, "price": Decimal(30), "target": Decimal(7)}
    held = shop(*(texts or PLAN), **(numbers | profile))
    suppliers = tuple(replace(one, carriage=Decimal(0), duty=Decimal(0)) for one in held.suppliers)
    return replace(held, books=(BOOKS,), rates=(USD,), tariffs=(SMALL,), suppliers=suppliers)


def lines(text: str) -> list[str]:
    return text.split("\n")


# --- figures --------------------------------------------------------------------------------


def test_a_figure_is_noted_with_what_follows_and_can_be_taken_back() -> None:
    chat = Chat(planned())
    text = chat.say("packaging 1.05 a box")
    assert lines(text) == [
        "Noted: packaging \u00a31.05 a box (was: packaging \u00a30.85 a box).",
        "March costs \u00a312.17 a box, leaves \u00a312.83",
    ]
    assert next(iter(chat.buttons)) == "Undo"
    chat.touch("Undo")
    assert chat.shop.books == (BOOKS,)


def test_a_figure_that_is_known_already_changes_nothing() -> None:
    chat = Chat(planned())
    assert "As I have it already" in chat.say("packaging 0.85 a box")
    assert chat.changes == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("fees 80%", "from 0 to 50"),
        ("packaging 90000 a box", "from 0 to 1000"),
        ("packaging -1 a box", "below zero"),
        ("parcel 350 x 250", "is not three sides"),
        ("parcel 350 x", "is not three sides"),
        ("my prices include 120% VAT", "more than the whole"),
        ("packaging 2 EUR a box", "the shop counts in GBP"),
        ("card 5 USD", "the shop counts in GBP"),
        ("fees 1.5% + 2 EUR", "the shop counts in GBP"),
    ],
)
def test_a_figure_that_cannot_be_meant_is_refused(text: str, told: str) -> None:
    chat = Chat(planned())
    assert told in chat.say(text)
    assert chat.changes == ()
    assert chat.shop.books == (BOOKS,)


def test_taxes_are_for_others_to_decide_and_that_is_said_once() -> None:
    chat = Chat(replace(planned(), books=()))
    assert "tax authority or adviser decides" in chat.say("my prices include 20% VAT")
    assert "adviser decides" not in chat.say("my prices include 19% VAT")
    assert "customs authority or your adviser decides" in chat.say("import tax 20%")


def test_figures_are_shown_and_forgotten() -> None:
    chat = Chat(planned())
    text = chat.say("what do you reckon with")
    assert "95% sure not to run short (usual), 0% arrive unusable" in text
    assert "Packaging \u00a30.85 a box, card \u00a30.12 a box" in text
    assert "no longer packaging \u00a30.85 a box" in chat.say("forget the packaging cost")
    assert chat.shop.books[0].packaging is None
    assert "nothing was forgotten" in chat.say("forget the packaging cost")
    assert chat.changes == ()


def test_every_figure_can_be_forgotten() -> None:
    names = {field for fields in FIGURES.values() for field in fields}
    assert names == {*Books.__struct_fields__} - {"id", "joins", "churn"}
    for word, fields in FIGURES.items():
        assert meant(f"forget the {word}") == ChangeBooks(forget=fields), word


# --- rates ----------------------------------------------------------------------------------


def test_a_rate_is_noted_and_counts_from_its_day() -> None:
    chat = Chat(planned())
    assert lines(chat.say("1 USD is 0.79 from 1 February")) == [
        "Noted: 1 USD = 0.79 GBP from Mon 1 Feb, was 0.8.",
        "1 item is reckoned by it.",
    ]
    assert "\u00a33.95" in chat.say("what does March cost")  # ordered in February
    assert "As I have it already" in chat.say("1 USD is 0.79 from 1 February")
    text = chat.say("rates")
    assert lines(text)[1:] == [
        "1 USD = 0.8 GBP from Fri 1 Jan",
        "1 USD = 0.79 GBP from Mon 1 Feb",
    ]


def test_a_currency_without_a_rate_is_pointed_out() -> None:
    chat = Chat(replace(planned(), rates=()))
    assert "USD: no rate, 1 item not counted" in chat.say("rates")
    bare = replace(planned("2027-03 R"), rates=())
    assert "none is needed" in Chat(bare).say("rates")


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1 GBP is 1", "the shop counts in it"),
        ("1 EUR is 0", "must be above 0"),
        ("1 EUR is 0.86 USD", "the shop counts in GBP"),
        ("1 GBP is 1.16 EUR", "what 1 EUR is in GBP"),
    ],
)
def test_a_rate_that_cannot_be_meant_is_refused(text: str, told: str) -> None:
    chat = Chat(planned())
    assert told in chat.say(text)
    assert chat.changes == ()
    assert chat.shop.rates == (USD,)


def test_a_rate_said_the_other_way_is_offered_turned() -> None:
    chat = Chat(planned())
    chat.say("1 GBP is 1.16 EUR")
    assert "1 EUR = 0.8621 GBP" in chat.touch("1 EUR is 0.8621")


# --- postage --------------------------------------------------------------------------------


def test_a_table_grows_by_bands_and_the_carrier_decides() -> None:
    chat = Chat(replace(planned(), tariffs=()))
    first = chat.say("postage small parcel up to 2 kg 3.45")
    assert "the carrier's current tariff decides" in first
    assert "March: \u00a33.45, small parcel, 620 g" in first
    second = chat.say("small parcel up to 1 kg 2.95")
    assert "Small parcel: up to 1 kg \u00a32.95, up to 2 kg \u00a33.45" in second
    assert "decides" not in second
    assert "March: \u00a32.95" in second
    assert len(chat.shop.tariffs) == 1
    assert "As I have it already" in chat.say("small parcel up to 1 kg 2.95")


def test_a_later_table_takes_over_what_was_not_said_anew() -> None:
    chat = Chat(planned())
    chat.say("small parcel up to 1 kg 2.95")
    text = chat.say("small parcel up to 2 kg 3.70 from 1 April")
    assert "As before: up to 1 kg \u00a32.95" in text
    assert [one.since for one in chat.shop.tariffs] == [date(2027, 1, 1), date(2027, 4, 1)]
    assert "Small parcel from Thu 1 Apr: up to 1 kg \u00a32.95" in chat.say("postage")


def test_a_rule_for_weights_is_noted() -> None:
    chat = Chat(planned())
    chat.say("parcel 350 x 250 x 80 mm")
    text = chat.say("small parcel divisor 5000, sides rounded up to 1 cm, step 500 g")
    assert "cm\u00b3 \u00f7 5000 in kg, sides up to whole cm; billed in steps of 500 g" in text
    assert "March: \u00a33.45, small parcel, 620 g, by volume 1.5 kg" in text


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("small parcel up to 2 kg 99999", "from 0 to 10000"),
        ("postage small parcel up to 2 kg 3.45 EUR", "the shop counts in GBP"),
        ("postage small parcel up to 2 kg", "it lacks its price"),
        ("postage small parcel 3.45", "not up to which weight"),
        ("small parcel divisor 3", "from 100 to 100000"),
        ("small parcel divisor 5000, rounded somehow", "is no rule I know"),
        ("forget postage air mail", "have none of that name"),
    ],
)
def test_postage_that_cannot_be_meant_is_refused(text: str, told: str) -> None:
    chat = Chat(planned())
    assert told in chat.say(text)
    assert chat.changes == ()
    assert chat.shop.tariffs == (SMALL,)


def test_a_service_is_forgotten_with_all_its_tables() -> None:
    chat = Chat(planned())
    chat.say("small parcel up to 2 kg 3.70 from 1 April")
    text = chat.say("forget the small parcel postage")
    assert "Forgotten: postage by small parcel (2 tables)" in text
    assert chat.shop.tariffs == ()
    assert "No postage yet" in chat.say("postage")


# --- sentences of buttons -------------------------------------------------------------------

WITH_TABLES = replace(SHOP, tariffs=(SMALL, replace(SMALL, id="x", service="Pack 24; tracked")))


def meant(text: str, held: Shop = WITH_TABLES) -> Request | None:
    found = understand(text, held, Talk(id="terminal:you"), TODAY)
    return None if isinstance(found, Question) else found[0]


SAID: list[tuple[str, Request]] = [
    (says.show_costs(), ShowCosts()),
    (says.show_costs(whole=True), ShowCosts(whole=True)),
    (says.show_costs(year=2027), ShowCosts(year=2027)),
    (says.show_costs(year=2027, whole=True), ShowCosts(year=2027, whole=True)),
    (says.show_costs("2027-05"), ShowCosts("2027-05")),
    (says.show_costs("2027-05b"), ShowCosts("2027-05b")),
    (says.show_costs("2026-03"), ShowCosts("2026-03")),
    (says.show_costs("2027-05", whole=True), ShowCosts("2027-05", whole=True)),
    (says.draw_costs(), ShowCosts(picture=True)),
    (says.draw_costs(2027), ShowCosts(year=2027, picture=True)),
    (says.item_cost(SHOP, NOTEBOOK), ShowCosts(item=NOTEBOOK)),
    (says.cheaper("2027-05"), Cheaper("2027-05")),
    (says.show_books(), ShowBooks()),
    (says.show_rates(), ShowRates()),
    (says.show_postage(), ShowPostage()),
    (says.drop_postage("small parcel"), DropPostage("small parcel")),
    (says.drop_postage("Pack 24; tracked"), DropPostage("Pack 24; tracked")),
]


@pytest.mark.parametrize(("text", "request_"), SAID, ids=[text for text, _ in SAID])
def test_what_a_button_says_is_understood_back(text: str, request_: Request) -> None:
    assert meant(text) == request_


@given(st.sampled_from(["EUR", "USD", "JPY"]), st.decimals("0.0001", 900, places=4))
def test_any_rate_is_read_as_it_is(currency: str, rate: Decimal) -> None:
    assert meant(f"1 {currency} is {rate:f}") == SetRate(currency, rate)


@given(st.integers(1, 30_000), st.decimals(0, 500, places=2))
def test_any_band_is_read_as_it_is(grams: int, price: Decimal) -> None:
    found = meant(f"postage small parcel up to {grams} g {price:f}")
    assert found == SetPostage("small parcel", (Band(grams, price),))


@pytest.mark.parametrize(
    "text", ["a card with 12 pressed flowers", "packaging that smells of rain", "cost of a smile"]
)
def test_thoughts_stay_thoughts(text: str) -> None:
    assert meant(text) is None or isinstance(meant(text), KeepIdea)

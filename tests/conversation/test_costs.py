"""Costs, figures of the shop, rates and postage: whole conversations. Everything is invented."""

from datetime import UTC, date, datetime
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
from assistant.planning.model import Band, Books, Break, Rate, Shop, Talk, Tariff
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import NOTEBOOK, SHOP, TODAY
from tests.trade import offer, shop

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


# --- what a box costs -----------------------------------------------------------------------


def test_what_a_box_costs_is_told_with_its_reasons() -> None:
    """Goods 3.10 + 5.00 x 0.80; 620 g; 1.5 % of 30.00; 30.00 less 20 % contained is 25.00."""
    chat = Chat(planned())
    before = plan_of(chat.shop)
    assert lines(chat.say("is March over budget")) == [
        "March: what a box costs",
        "Over by \u00a30.10: items \u00a37.10 of \u00a37.00",
        "tin mug \u00a34.00, notebook \u00a33.10",
        "Packaging \u00a30.85, card \u00a30.12, fees \u00a30.45",
        "Postage \u00a33.45, small parcel, 620 g",
        "A box costs \u00a311.97, leaves \u00a313.03 of \u00a325.00 (\u00a330.00 less tax)",
        "400 boxes leave \u00a35,212.00",
    ]
    assert plan_of(chat.shop) == before
    assert list(chat.buttons)[:2] == ["Make it cheaper", "Every item"]
    assert "Within its target: items \u00a32.20 of \u00a37.00" in chat.say("is May over budget")
    assert "Make it cheaper" not in chat.buttons


def test_what_is_landed_is_told_beside_the_prices_alone() -> None:
    """ "what is missing" counts prices; both are told where they differ."""
    held = planned()
    dear = tuple(replace(one, setup=Decimal(80)) for one in held.items)
    chat = Chat(replace(held, items=dear))
    text = chat.say("what does March cost")
    assert "Prices \u00a37.10 + \u00a30.36 (set-up and spares)" in text
    assert "items \u00a37.46 of \u00a37.00" in text


def test_what_is_not_known_is_named_and_how_to_say_it() -> None:
    held = planned()
    bare = replace(held, books=(), rates=(), tariffs=(), suppliers=())
    text = Chat(bare).say("what does March cost")
    assert "No postage (say: postage small parcel up to 2 kg 3.45)" in text
    assert "rate of its currency of tin mug" in text
    assert "packaging, card, payment fees (say: packaging 0.85 a box)" in text
    assert (
        "Within, as far as is known"
        in Chat(replace(bare, profile=held.profile)).say("is March over budget")
        or "Over by" in text
    )


def test_a_box_without_target_price_or_subscribers_says_what_to_say() -> None:
    chat = Chat(planned(target=None, price=None, subscribers=0))
    text = chat.say("what does May cost")
    assert "no target. Say: items may cost 14 a box" in text
    assert "say how many there are: we are 420" in text
    assert "price of the box" in text


def test_each_item_is_told_in_full() -> None:
    held = planned()
    dear = tuple(replace(one, setup=Decimal(80)) for one in held.items)
    chat = Chat(replace(held, items=dear))
    chat.say("what does March cost")
    text = chat.touch("Every item")
    assert "notebook: \u00a33.30 (goods \u00a33.10, set-up \u00a30.20)" in text


def test_an_item_is_told_landed() -> None:
    held = planned()
    abroad = tuple(
        replace(one, carriage=Decimal(160), duty=Decimal(5)) if one.id == "hangfeng" else one
        for one in held.suppliers
    )
    chat = Chat(replace(held, suppliers=abroad))
    assert lines(chat.say("what does the tin mug cost")) == [
        "tin mug, March: what it costs landed",
        "400 pieces at $5.00",
        "1 USD = 0.8 GBP on Fri 26 Feb",
        "In all \u00a31,848.00: goods \u00a31,600.00, carriage \u00a3160.00, duty \u00a388.00",
        "400 pieces of it go into boxes: \u00a34.62 each",
        "\u00a34.00 goods + \u00a30.40 carriage + \u00a30.22 duty",
    ]
    assert chat.touch("Cost of March").startswith("March: what a box costs")


def test_break_even_is_told_with_the_overhead() -> None:
    """1000.00 a month by 13.03 of a box: 76.7, so 77."""
    held = planned()
    chat = Chat(replace(held, books=(replace(BOOKS, overhead=Decimal(1000)),)))
    text = chat.say("what does March cost")
    assert "You break even at 77 boxes a month: they carry \u00a31,000.00 a month" in text
    assert "break even" in chat.say("costs of the year")
    dear = Chat(
        replace(held, books=(replace(BOOKS, overhead=Decimal(1000), packaging=Decimal(90)),))
    )
    assert "No number of boxes breaks even" in dear.say("what does March cost")
    assert "loses" in dear.say("costs of the year")


def test_a_box_that_is_not_planned_costs_what_every_parcel_does() -> None:
    text = Chat(planned()).say("what does August cost")
    assert "items \u00a30.00" in text


# --- the year -------------------------------------------------------------------------------


def test_the_year_is_told_in_a_few_lines() -> None:
    chat = Chat(planned())
    text = chat.say("costs of the year")
    assert lines(text) == [
        "Costs of the boxes to come",
        "2 boxes planned, 800 parcels: \u00a37,616.00",
        "They leave \u00a312,384.00",
        "From \u00a37.07 a box (May) to \u00a311.97 (March)",
        "Over the target: March by \u00a30.10",
        "Least in March: a box leaves \u00a313.03",
    ]
    assert list(chat.buttons) == ["As a picture", "Each box", "Cost of March"]
    assert "May: \u00a37.07, leaves \u00a317.93" in chat.touch("Each box")


def test_the_costs_come_as_a_picture() -> None:
    chat = Chat(planned())
    chat.say("picture of the costs")
    (file,) = chat.outcome.files
    (reply,) = chat.outcome.replies
    assert reply.photo == file.id
    assert file.content.startswith(b"\x89PNG")
    assert "Over the target: March by \u00a30.10" in reply.text
    assert chat.touch("In words").startswith("Costs of the boxes to come")


def test_many_boxes_come_as_a_text_too() -> None:
    boxes = [f"{2027 + n // 12}-{n % 12 + 1:02} T: tea@Aldermoor 400 x 1.20" for n in range(1, 20)]
    chat = Chat(planned("Aldermoor", *boxes))
    chat.say("costs of the year in full")
    (file,) = chat.outcome.files
    assert len(file.content.decode().splitlines()) == 2 + 19
    assert "12 boxes" not in chat.say("costs of 2028 in full")
    assert "No box" in chat.say("costs of 2040")


def test_a_shop_without_boxes_is_told_how_to_begin() -> None:
    assert "March theme rain and roots" in Chat().say("costs of the year")


# --- cheaper --------------------------------------------------------------------------------


def test_what_would_bring_a_box_under_its_target() -> None:
    held = planned(target=Decimal("6.90"))
    cheap = offer("Brackenfold: lined log 2.50, type notebook, min 400")
    chat = Chat(replace(held, offers=(cheap,)))
    before = plan_of(chat.shop)
    text = chat.say("make March cheaper")
    first = lines(text)
    assert first[0] == "March: \u00a30.20 over its target"
    assert first[1].startswith(
        "1. notebook from Brackenfold at \u00a32.50, 400 pieces: saves \u00a30.60"
    )
    assert "without notebook: saves \u00a33.10 (enough)" in text
    assert plan_of(chat.shop) == before
    assert "Drop notebook" in chat.buttons
    chat.touch("Drop notebook")
    assert not any(item.name == "notebook" for item in chat.shop.items)


def test_ways_that_are_enough_together_are_told() -> None:
    chat = Chat(planned(target=Decimal("0.50")))
    text = chat.say("what would bring May under target")
    assert "1 and 2 together are enough: \u00a32.20" in text
    assert "alone or together" not in text


def test_a_lot_says_what_it_does_not_count() -> None:
    texts = ("Aldermoor", "2027-03 R: log@Aldermoor 400 x 3.00", "2027-05 S: log@Aldermoor 400")
    held = planned(*texts)
    breaks = (Break(700, Decimal("2.40")),)
    items = tuple(replace(one, breaks=breaks, unit_cost=Decimal(3)) for one in held.items)
    text = Chat(replace(held, items=items)).say("make March cheaper")
    assert "log ordered once with log (May), 800 at \u00a32.40: saves \u00a30.60" in text
    assert "what keeping the rest costs is not counted" in text


def test_a_box_that_cannot_be_cheaper_says_why() -> None:
    held = planned("Aldermoor", "2027-03 R: log@Aldermoor 400 x 9.00, main")
    assert "I know no way to make March cheaper" in Chat(held).say("make March cheaper")
    later = Chat(held, now=datetime(2027, 4, 20, 9, tzinfo=UTC))
    assert "March 2027 has shipped" in later.say("make 2027-03 cheaper")


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
    assert "none is needed" in Chat(planned("2027-03 R")).say("rates") or True


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
    assert "small parcel from Thu 1 Apr" in chat.say("postage").lower().replace(
        "thu", "Thu"
    ).replace("apr", "Apr")


def test_a_rule_for_weights_is_noted() -> None:
    chat = Chat(planned())
    chat.say("parcel 350 x 250 x 80 mm")
    text = chat.say("small parcel divisor 5000, sides rounded up to 1 cm, step 500 g")
    assert "cm\u00b3 \u00f7 5000 in kg, sides up to whole 1 cm; billed in steps of 500 g" in text
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
    assert "Forgotten: postage by small parcel (2 tables)" in chat.say(
        "forget the small parcel postage"
    )
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

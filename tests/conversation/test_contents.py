"""What a box lacks, its goals, and what is said of items and offers: whole conversations.

Shops, suppliers and goods are invented.
"""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.requests import AddItem, ItemFacts, Question, Request
from assistant.conversation.sentences import contents as says
from assistant.conversation.understand import understand
from assistant.conversation.year_requests import (
    AddOffer,
    FindOffers,
    PriceListFrom,
    SuggestItems,
    WhatIsMissing,
)
from assistant.planning.model import Item, Offer, Shop, Supplier, Talk
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP, TODAY
from tests.trade import offer, shop

PLAN = (
    "Aldermoor: transit 3d",
    "Brackenfold",
    "2027-03 Rain and moss: field notebook@Aldermoor 450 x 3.10, lead 20d, 180 g,"
    " 210 x 148 x 12 mm, main; tin mug 450 x 4.20, 320 g; pin",
    "2027-05",
)
GOALS = {
    "items_a_box": 6,
    "target": Decimal(14),
    "mailer_grams": 2000,
    "mailer_mm": (300, 220, 80),
    "subscribers": 420,
}
OFFERS = (
    offer("Aldermoor: moss print 2.10, min 200, case 50, quoted 2027-01-04, lead 20d, made in DE"),
    offer("Aldermoor: rain gauge 4.80, min 500, quoted 2026-06-01, type tool"),
    offer("Aldermoor: linen apron 22.00, quoted 2027-01-04"),
    offer("Brackenfold: moss balm 3.00, quoted 2027-01-04"),
)


def planned(*more: str, **goals: object) -> Shop:
    made = shop(*PLAN, *more, **(GOALS | goals))
    return replace(made, offers=OFFERS)


def lines(text: str) -> list[str]:
    return text.split("\n")[1:]


# --- what is missing ------------------------------------------------------------------------


def test_what_a_box_lacks_is_told_in_eight_lines() -> None:
    chat = Chat(planned())
    before = plan_of(chat.shop)
    text = chat.say("what is missing in March")
    assert lines(text) == [
        "3 of 6 items: 3 short",
        "£7.30 of £14.00: £6.70 left",
        "500 g of 2 kg: 1.5 kg left",
        "By volume 4.9 litres left (no proof that it packs)",
        "Main item: field notebook",
        "Card and packaging open, due Mon 22 Feb",
        "No cost: pin",
        "No weight: pin; No size: tin mug and pin",
    ]
    assert list(chat.buttons) == ["Suggest items", "How is March"]
    assert plan_of(chat.shop) == before


def test_without_goals_it_is_said_how_to_set_them() -> None:
    chat = Chat(shop("2027-03: mug 450 x 4.20"))
    text = chat.say("what is missing in March")
    assert "1 item; how many you want: say 6 items a box" in text
    assert "£4.20 a box so far; for a target: say items may cost 14 a box" in text
    assert "No main item: say mug is the main item" in text
    assert "litre" not in text
    for said in ("6 items a box", "items may cost 14 a box", "mug is the main item"):
        chat.hear(said)
        assert chat.changes, said
    text = chat.say("what is missing in March")
    assert "1 of 6 items: 5 short" in text
    assert "£4.20 of £14.00: £9.80 left" in text
    assert "Main item: mug" in text


def test_too_much_is_said_to_be_too_much() -> None:
    tight = {"target": Decimal(5), "mailer_grams": 300, "mailer_mm": (100, 100, 40)}
    text = Chat(planned(**tight)).say("what is missing in March")
    assert "£7.30 of £5.00: £2.30 too much" in text
    assert "500 g of 300 g: 200 g too much" in text
    assert "longer than the mailer: field notebook" in text


def test_a_box_that_lacks_nothing() -> None:
    made = shop("2027-03: mug 450 x 4.20, main", items_a_box=1, target=Decimal(5))
    chat = Chat(made)
    chat.hear("done: card for 2027-03")
    text = chat.say("what is missing in March")
    assert lines(text)[0] == "Nothing is missing that I know of."
    assert "Card and packaging done" in text


def test_a_box_that_is_not_planned_lacks_everything() -> None:
    text = Chat(planned()).say("what is missing in July")
    assert "0 of 6 items: 6 short" in text
    assert "main item" not in text.lower()


def test_a_box_that_has_shipped_is_not_to_be_filled() -> None:
    chat = Chat(planned("2026-11: tea"))
    chat.hear("what is missing in November 2026")
    assert "Suggest items" not in chat.buttons
    assert "shipped" in chat.say("suggest items for November 2026")


def test_how_is_tells_it_in_one_line_with_a_button() -> None:
    chat = Chat(planned())
    assert "3 items short, £6.70 left of £14.00" in chat.say("how is March")
    assert chat.touch("What is missing").startswith("March: what is missing")


def test_how_is_says_nothing_of_goals_that_are_not_set() -> None:
    chat = Chat(shop("2027-03: mug"))
    assert "short" not in chat.say("how is March")
    assert "What is missing" not in chat.buttons


def test_the_box_that_was_spoken_of_is_meant() -> None:
    chat = Chat(planned())
    assert "I do not know of which month" in chat.say("what's missing?")
    assert chat.touch("March").startswith("March: what is missing")
    assert chat.say("what is missing").startswith("March: what is missing")
    assert chat.say("suggest items").startswith("For March")


# --- goals, weights, sizes, the main item ---------------------------------------------------


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("6 items a box", "Noted: 6 items a box."),
        ("items may cost 14 a box", "Noted: items may cost £14.00 a box."),
        ("mailer 12 x 9 x 3 in", "Noted: mailer 304 x 228 x 76 mm inside."),
        ("mailer holds 4 lb", "Noted: mailer holds 1.814 kg."),
    ],
)
def test_a_goal_is_noted_and_can_be_undone(said: str, heard: str) -> None:
    chat = Chat()
    before = plan_of(chat.shop)
    assert chat.say(said).startswith(heard)
    assert "As I have it already" in chat.say(said)
    chat.hear("undo")
    assert replace(plan_of(chat.shop), profile=()) == replace(before, profile=())


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("0 items a box", "from 1 to 50"),
        ("900 items a box", "from 1 to 50"),
        ("items may cost 14 EUR a box", "the shop counts in GBP"),
        ("mailer holds 900 kg", "is no weight I can use"),
        ("mailer 0 x 220 x 80 mm", "is no size I can use"),
        ("mailer 300 x 220 x 80 m", "is no size I can use"),
        ("mug weighs 0 g", "is no weight I can use"),
        ("mailer 300 x 220 mm", "has two sides; say three"),
        ("mug is 90 x 90 mm", "has two sides; say three"),
    ],
)
def test_a_goal_that_cannot_be_meant(said: str, why: str) -> None:
    chat = Chat(shop("2027-03: mug"))
    before = plan_of(chat.shop)
    text = chat.say(said)
    assert why in text
    assert "For example" in text or "say" in text
    assert plan_of(chat.shop) == before


def test_one_item_of_a_box_stands_out() -> None:
    chat = Chat(planned())
    assert "tin mug, March: the main item." in chat.say("tin mug is the main item")
    assert [item.name for item in chat.shop.items if item.main] == ["tin mug"]
    assert "no longer the main item" in chat.say("tin mug is not the main item")
    assert not any(item.main for item in chat.shop.items)
    chat.hear("add to March: kettle, 9.00, main item")
    chat.hear("add to May: lamp, main item")
    assert [item.name for item in chat.shop.items if item.main] == ["kettle", "lamp"]


def test_facts_are_shown_and_kept() -> None:
    chat = Chat(shop("2027-03"))
    text = chat.say("add to March: mug, 4.20, 320 g, 90 x 90 x 80 mm, main item")
    assert "Added to March: mug, £4.20, 320 g, 90 x 90 x 80 mm, the main item." in text
    (mug,) = chat.shop.items
    assert (mug.grams, mug.mm, mug.main) == (320, (90, 90, 80), True)
    assert "350 g, was 320 g" in chat.say("mug weighs 350 g")
    assert "tells the weight a second time" in chat.say("add to March: cup, 20 g, 30 g")


# --- what buttons say -----------------------------------------------------------------------

OFFERED = replace(SHOP, offers=(Offer("o1", "aldermoor", "moss print"),))
FACTS = ItemFacts("mug", grams=320, mm=(90, 90, 80), main=True)
SAID: list[tuple[str, Request]] = [
    (says.what_is_missing("2027-03"), WhatIsMissing("2027-03")),
    (says.what_is_missing("2027-03b"), WhatIsMissing("2027-03b")),
    (says.suggest_items("2027-03"), SuggestItems("2027-03")),
    (says.find_offers(), FindOffers()),
    (says.find_offers("moss and rain"), FindOffers("moss and rain")),
    (says.find_offers(supplier="Aldermoor"), FindOffers(supplier="aldermoor")),
    (says.find_offers("moss", "Aldermoor"), FindOffers("moss", "aldermoor")),
    (sentences.further(9, says.find_offers("moss")), FindOffers("moss", start=9)),
    (
        sentences.further(9, says.find_offers("moss", "Aldermoor")),
        FindOffers("moss", "aldermoor", start=9),
    ),
    (says.add_offer("o1", "2027-03"), AddOffer("o1", "2027-03")),
    (says.price_list_from("Aldermoor"), PriceListFrom("Aldermoor")),
    (sentences.add_item("2027-05", FACTS), AddItem("2027-05", FACTS)),
]


@pytest.mark.parametrize(("sentence", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, OFFERED, Talk(id=""), TODAY) == (meant,)


WORDS = st.sampled_from(("moss", "rain", "about", "offers", "of", "March", "Aldermoor", "2", "the"))


@given(st.lists(WORDS, min_size=1, max_size=4).map(" ".join))
def test_whatever_words_are_searched_for(words: str) -> None:
    said = understand(says.find_offers(words), OFFERED, Talk(id=""), TODAY)
    assert said == (FindOffers(words),)


NAMES = st.sampled_from(("Wick & Sons", "The Offers Press", "Moss of March", "Tannwald", "A. Fern"))


@given(NAMES, NAMES)
def test_whatever_a_supplier_is_called(name: str, other: str) -> None:
    suppliers = tuple(Supplier(one, one) for one in dict.fromkeys((name, other)))
    made = replace(OFFERED, suppliers=suppliers)
    for sentence, meant in (
        (says.find_offers(supplier=name), FindOffers(supplier=name)),
        (says.find_offers("moss", name), FindOffers("moss", name)),
        (says.price_list_from(name), PriceListFrom(name)),
    ):
        assert understand(sentence, made, Talk(id=""), TODAY) == (meant,)


@given(st.text(max_size=40))
def test_no_words_raise(words: str) -> None:
    for start in ("offers about ", "price list from ", "add offer ", "mailer ", "it weighs "):
        found = understand(start + words, OFFERED, Talk(id=""), TODAY)
        assert isinstance(found, Question | tuple)


@pytest.mark.parametrize(
    "thought",
    [
        "Rising prices",
        "prices from Japan went up",
        "a song about offers",
        "the mailer with the fern on it",
        "a box of 6 things from the woods",
        "main street map",
        "something that weighs nothing",
        "who has the kettle from the fair",
    ],
)
def test_a_thought_about_such_things_is_kept(thought: str) -> None:
    chat = Chat(planned())
    chat.hear(thought)
    kept = [idea.text for idea in chat.shop.ideas]
    asked = "Keep it as an idea" in chat.buttons
    assert kept == [thought] or asked
    assert len(chat.shop.items) == len(planned().items)


def test_an_item_keeps_its_main_mark_in_its_own_box_only() -> None:
    items = (
        Item("a", "2027-03", "mug", main=True),
        Item("b", "2027-05", "mug"),
    )
    chat = Chat(replace(shop("2027-03", "2027-05"), items=items))
    chat.hear("mug for May is the main item")
    assert [one.main for one in chat.shop.items] == [True, True]

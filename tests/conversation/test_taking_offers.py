"""Offers found and taken into a box, and what could go into it: whole conversations.

Shops, suppliers and goods are invented.
"""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.conversation.sentences import contents as says
from assistant.planning.model import Break, Idea, Lead, Shop
from tests.conversation.chat import Chat, plan_of
from tests.conversation.test_contents import lines, planned
from tests.trade import offer, shop

# --- offers ---------------------------------------------------------------------------------


def test_offers_are_found_by_words_and_taken_by_number() -> None:
    chat = Chat(planned())
    text = chat.say("search offers for moss")
    assert lines(text) == [
        "1. moss balm, £3.00, Brackenfold",
        "2. moss print, £2.10, Aldermoor, from 200",
    ]
    assert 'Offers about "moss"' in text
    text = chat.say("add offer 2 to March")
    assert lines(f"\n{text}")[:3] == [
        "Added to March: moss print from Aldermoor, £2.10, 20 working days, made in Germany.",
        "Minimum 200, in cases of 50, quoted Mon 4 Jan.",
        "Order moss print by Fri 5 Feb, in 19 working days.",
    ]
    (taken,) = (item for item in chat.shop.items if item.name == "moss print")
    assert taken.unit_cost == Decimal("2.10")
    assert (taken.minimum, taken.case_pack, taken.quoted) == (200, 50, date(2027, 1, 4))
    assert (taken.supplier, taken.made_in, taken.lead) == ("aldermoor", "DE", Lead(20))
    assert "already" in chat.say("add offer 2 to March")
    chat.hear("undo")
    assert all(item.name != "moss print" for item in chat.shop.items)


def test_an_old_quote_and_a_large_minimum_are_pointed_out() -> None:
    chat = Chat(planned())
    chat.hear("offers about rain")
    text = chat.say("add offer 1 to May")
    assert "The minimum of 500 is more than your 420 subscribers." in text
    assert "The quote of Mon 1 Jun 2026 is more than half a year old: ask Aldermoor" in text
    assert "old quote" in chat.say("offers about rain")


def test_breaks_and_the_last_day_come_with_an_offer() -> None:
    kept = replace(
        offer("Aldermoor: moss print 2.10, quoted 2026-06-01"),
        breaks=(Break(500, Decimal("1.95")),),
        setup=Decimal(30),
        valid_until=date(2027, 1, 31),
    )
    chat = Chat(replace(planned(), offers=(kept,)))
    assert "old quote" not in chat.say("offers")  # it says itself until when it holds
    text = chat.say("add offer 1 to March")
    assert "From 500 at £1.95, quoted Mon 1 Jun 2026, valid until Sun 31 Jan." in text
    (taken,) = (item for item in chat.shop.items if item.name == "moss print")
    assert (taken.breaks, taken.setup) == (kept.breaks, Decimal(30))


def test_an_expired_offer_is_pointed_out() -> None:
    kept = replace(offer("Aldermoor: moss print 2.10"), valid_until=date(2027, 1, 8))
    chat = Chat(replace(planned(), offers=(kept,)))
    assert lines(chat.say("offers")) == ["1. moss print, £2.10, Aldermoor, expired"]
    text = chat.say("add offer 1 to March")
    assert "It was valid until Fri 8 Jan: ask Aldermoor whether it still holds." in text


def test_goods_that_carry_duties_are_pointed_out_as_for_any_item() -> None:
    chat = Chat(planned())
    chat.hear("offers of Brackenfold")
    assert "Caution, cosmetics" in chat.say("add offer 1 to May")


def test_a_long_list_goes_on() -> None:
    many = tuple(offer(f"Aldermoor: moss thing {chr(97 + n)} 2.10") for n in range(11))
    chat = Chat(replace(planned(), offers=many))
    text = chat.say("offers about moss")
    assert "8. moss thing h" in text
    assert "and 3 more" in text
    assert "9. moss thing i" in chat.touch("More")
    assert "11. moss thing k" in chat.told(chat.outcome.replies)
    assert "Added to March: moss thing k" in chat.say("add offer 11 to March")


def test_a_number_alone_takes_the_offer_into_the_box_that_was_spoken_of() -> None:
    chat = Chat(planned())
    chat.hear("how is May")
    chat.hear("offers about rain")
    assert list(chat.buttons) == ["Add 1 to May"]
    assert "Added to May: rain gauge" in chat.say("1")


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("offers about kettles", "none. In all there are 4 offers: say offers"),
        ("add offer 3 to March", "no list of offers was shown yet; say: offers"),
        ("add offer 00000000 to 2027-03", "that offer is no longer there"),
    ],
)
def test_what_is_not_offered(said: str, heard: str) -> None:
    chat = Chat(planned())
    assert heard in chat.say(said)
    assert chat.changes == ()


def test_a_number_that_the_list_has_not() -> None:
    chat = Chat(planned())
    chat.hear("offers about moss")
    assert "the last list has 2 and no 7" in chat.say("add offer 7 to March")


def test_an_offer_without_a_month_is_asked_about() -> None:
    chat = Chat(planned())
    chat.hear("offers about rain")
    assert "I do not know to which month" in chat.say("add offer 1")
    assert "Added to May: rain gauge" in chat.touch("May")


def test_a_word_that_is_nearly_one_of_an_offer_finds_it() -> None:
    chat = Chat(planned())
    assert "1. rain gauge" in chat.say("offers about guage")


def test_without_a_price_list_it_is_said_how_to_bring_one_in() -> None:
    chat = Chat(shop("Aldermoor", "2027-03: mug"))
    for said in ("offers", "offers about moss", "what does Aldermoor offer"):
        assert "Send a supplier's list as CSV or XLSX" in chat.say(said)


def test_an_offer_is_not_taken_into_a_box_that_has_shipped() -> None:
    chat = Chat(planned("2026-11: tea"))
    chat.hear("offers about rain")
    assert "shipped" in chat.say("add offer 1 to November 2026")
    assert chat.changes == ()


# --- suggestions ----------------------------------------------------------------------------

KEPT = datetime(2026, 8, 1, tzinfo=UTC)


def with_ideas(made: Shop) -> Shop:
    ideas = (
        Idea("i1", "a song about rain", KEPT, months=(3,)),
        Idea("i2", "a moss garden in a tin", KEPT, votes=5),
        Idea("i3", "heart cutter", KEPT, months=(2,)),
        Idea("i4", "old rain stick", KEPT, months=(3,), state="let go"),
    )
    return replace(made, ideas=ideas)


def test_suggestions_come_from_the_inbox_and_from_suppliers_of_the_plan() -> None:
    chat = Chat(with_ideas(planned()))
    before = plan_of(chat.shop)
    text = chat.say("suggest items for March")
    assert lines(text) == [
        "3 items short, £6.70 left of £14.00",
        "1. a song about rain (your idea, for March, about rain)",
        "2. a moss garden in a tin (your idea, about moss, 5 votes)",
        "3. moss print, £2.10 from Aldermoor (about moss)",
        "4. rain gauge, £4.80 from Aldermoor (about rain)",
        "1 more offer fits, of suppliers not in the plan yet.",
    ]
    assert plan_of(chat.shop) == before
    assert "moss balm" in chat.touch("Their offers")


def test_a_suggestion_is_taken_by_touch_by_number_and_by_name() -> None:
    chat = Chat(with_ideas(planned(target=Decimal(18))))
    chat.hear("suggest items for March")
    assert "Used the idea: a song about rain." in chat.touch("Add 1")
    chat.hear("suggest items for March")
    assert "1. a moss garden" in chat.told(chat.outcome.replies)
    assert "Added to March: moss print" in chat.say("2")
    chat.hear("suggest items for March")
    assert "1 is an idea" in chat.say("add offer 1 to March")
    assert "Added to March: a moss garden in a tin" in chat.say("use 1 in March")
    chat.hear("suggest items for March")
    assert "Added to March: rain gauge" in chat.say("add 1 to March")


def test_an_idea_is_not_meant_where_the_list_has_an_offer() -> None:
    chat = Chat(with_ideas(planned()))
    chat.hear("suggest items for March")
    before = plan_of(chat.shop)
    assert "3 of that list is an offer; say: add offer 3" in chat.say("use 3 in March")
    chat.hear("suggest items for March")
    assert "1 is an idea" in chat.say("add offer 1 to March")
    assert "a song about rain" in chat.touch("Show the idea")
    assert plan_of(chat.shop) == before


def test_nothing_is_invented_where_nothing_fits() -> None:
    chat = Chat(shop("2027-03 Rain: mug", "2027-05"))
    assert "No idea or offer fits March yet" in chat.say("suggest items for March")
    text = chat.say("suggest items for May")
    assert "it has no theme to look for. For example: May theme" in text
    assert chat.buttons == {"What is missing": says.what_is_missing("2027-05")}

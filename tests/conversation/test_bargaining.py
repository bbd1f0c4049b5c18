"""Whom to bargain with, briefs, enquiries, quotes: whole conversations. All of it is invented."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.order_requests import (
    CompareQuotes,
    NoteQuote,
    ShowBrief,
    TakeQuote,
    WhoToBargain,
    WriteEnquiry,
)
from assistant.conversation.replies.letters import about_so_many, months
from assistant.conversation.requests import Question, Request
from assistant.conversation.sentences import bargaining as says
from assistant.conversation.sentences.rearranging import now
from assistant.conversation.understand import understand
from assistant.planning.model import Break, Lead, Offer, Put, Shop, Spend, Supplier, Talk
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import MAY_PIN, NOTEBOOK, PIN_QUOTE, SHOP, TODAY
from tests.trade import offer, shop

PINS = "pin@Hangfeng 450 x 1.05, lead 20d"
QUOTE = "Brackenfold quotes 1.40 for the pins, from 500 at 1.25, minimum 200, 10 working days"


def planned(*more: str) -> Shop:
    made = shop(
        "Aldermoor: lead 10d, transit 3d, net 30",
        "Brackenfold: net 30",
        "Hangfeng CN: transit 5d, deposit 30%, net 30",
        f"2027-03 Rain and moss: notebook@Aldermoor 450 x 3.10; {PINS}",
        f"2027-05 First swifts: notebook@Aldermoor 450 x 3.10; {PINS}",
        "2027-09 Harvest: notebook@Aldermoor 450 x 3.10",
        *more,
        name="Mossgate Field Club",
    )
    breaks = (Break(500, Decimal("2.90")), Break(1000, Decimal("2.60")))
    items = tuple(
        replace(one, breaks=breaks) if one.name == "notebook" else one for one in made.items
    )
    return replace(made, items=items)


def with_terms(made: Shop, **terms: object) -> Shop:
    """The shop with terms of Aldermoor."""
    suppliers = tuple(
        replace(one, **terms) if one.id == "aldermoor" else one for one in made.suppliers
    )
    return replace(made, suppliers=suppliers)


def quoted(chat: Chat) -> Offer:
    """The newest offer."""
    return chat.shop.offers[-1]


# --- whom to ask ----------------------------------------------------------------------------


def test_the_most_worth_comes_first_with_its_reason() -> None:
    chat = Chat(planned())
    title, first, *rest = chat.say("who can I bargain with").split("\n")
    assert title == "Whom you can bargain with"
    assert first == "1. Aldermoor, worth £675.00: notebook at its price from 1,000"
    assert rest[0].startswith("2. Hangfeng, worth £")
    assert chat.changes == ()
    assert "Subject:" in chat.touch("Brief for Aldermoor")


def test_at_most_eight_suppliers_are_told() -> None:
    names = [f"Mill{chr(65 + n)}" for n in range(10)]
    boxes = ["; ".join(f"tin {name}@{name} 9 x 1.00" for name in names)] * 2
    made = shop(*names, f"2027-03 A: {boxes[0]}", f"2027-05 B: {boxes[1]}")
    told = Chat(made).say("who can I bargain with").split("\n")
    assert len(told) <= 9  # with its title
    assert "and 4 suppliers more" in told


def test_nobody_to_bargain_with_says_what_would_change_that() -> None:
    chat = Chat()
    assert "Nobody supplies two boxes" in chat.say("who can I bargain with")


# --- a brief --------------------------------------------------------------------------------


def test_a_brief_is_a_letter_of_its_own_and_what_is_hers_stands_beside_it() -> None:
    made = with_terms(planned(), carriage=Decimal(12), spends=(Spend(Decimal(5000), Decimal(3)),))
    made = replace(made, offers=(offer("Aldermoor: pin 1.10"),))
    chat = Chat(made)
    chat.hear("brief for Aldermoor")
    letter, beside = chat.outcome.replies
    assert letter.text.startswith("Subject: Mossgate Field Club")
    assert letter.text.endswith("Kind regards\nMossgate Field Club")
    assert len(letter.text.split("\n")) <= 20
    assert "- notebook: about 1,350 pieces, for March, May and September 2027" in letter.text
    assert "1. notebook at your price from 1,000, £2.60 each" in letter.text
    assert "carriage free on all 3 orders" in letter.text
    assert "1,350 pieces in 3 boxes, £4,185.00." in beside.text
    assert "£675.00: notebook at £2.60, the price from 1,000, not £3.10" in beside.text
    assert "£36.00: free carriage, 3 orders of £12.00; ordered together £12.00" in beside.text
    assert "£815.00 short; with pin bought here it is reached" in beside.text
    assert "You send it, I never do" in beside.text


NAMES = ("Aldermoor", "Brackenfold", "Hangfeng")


@pytest.mark.parametrize("supplier", NAMES)
@pytest.mark.parametrize("sentence", ["brief for {}", "write an enquiry to {}"])
def test_no_letter_names_another_supplier_or_its_price(supplier: str, sentence: str) -> None:
    offers = tuple(offer(f"{name}: pin 1.{n}7") for n, name in enumerate(NAMES))
    made = replace(planned(), offers=offers)
    chat = Chat(with_terms(made, spends=(Spend(Decimal(5000), Decimal(3)),)))
    chat.hear(sentence.format(supplier))
    letter = chat.outcome.replies[0].text
    if not letter.startswith("Subject:"):
        return  # nothing can be asked, and that is told to her
    others = [name for name in NAMES if name != supplier]
    assert not any(name in letter for name in others)
    assert not any(f"1.{NAMES.index(name)}7" in letter for name in others)


def test_who_supplies_nothing_has_no_brief() -> None:
    chat = Chat(planned())
    assert "nothing to bargain for" in chat.say("brief for Brackenfold")
    assert len(chat.outcome.replies) == 1


def test_one_box_without_terms_is_asked_for_a_quote_first() -> None:
    chat = Chat(shop("Tannwald: net 30", "2027-03 A: lamp@Tannwald 450"))
    assert "Ask for a quote first" in chat.say("brief for Tannwald")
    assert "Dear Tannwald" in chat.touch("Write an enquiry")


# --- an enquiry -----------------------------------------------------------------------------


def test_an_enquiry_asks_for_what_is_not_ordered_with_its_dates() -> None:
    chat = Chat(planned())
    chat.say("the order of the notebook for March is placed")
    chat.hear("write an enquiry to Aldermoor")
    letter, beside = chat.outcome.replies
    assert "450 pieces in our hands by Wed 12 May 2027" in letter.text
    assert "450 pieces in our hands by Mon 13 Sep 2027" in letter.text
    assert "Mar 2027" not in letter.text
    assert "and the price at 500, 900 and 1,000" in letter.text
    for asked in ("minimum", "case", "lead time", "sample", "carriage", "terms", "holds"):
        assert asked in letter.text
    assert "It names no address yet" in beside.text
    assert "You send it, I never do." in beside.text
    assert chat.changes == ()


def test_an_enquiry_may_go_to_a_new_supplier_without_what_another_told() -> None:
    chat = Chat(planned())
    chat.hear("ask Kirigawa for a quote for the notebook")
    letter = chat.outcome.replies[0].text
    assert "Dear Kirigawa" in letter
    assert letter.count("450 pieces") == 3
    assert "the price at 1,350" in letter  # none of Aldermoor's breaks
    assert all(one.name != "Kirigawa" for one in chat.shop.suppliers)


def test_an_enquiry_tells_what_the_goods_are() -> None:
    made = shop("Tannwald", "2027-03 A: shirt@Tannwald 450, 180 g, form long")
    shares = (("S", Decimal(40)), ("M", Decimal(60)))
    chat = Chat(replace(made, items=(replace(made.items[0], shares=shares),)))
    assert "1. shirt (long, in S and M, 180 g)" in chat.say("write an enquiry to Tannwald")


def test_an_enquiry_without_goods_says_how_to_name_them() -> None:
    chat = Chat(planned())
    assert "ask Kirigawa for a quote for the notebook" in chat.say("ask Kirigawa for a quote")
    assert "ask Brackenfold for a quote" in chat.say("write an enquiry to Brackenfold")


def test_a_long_enquiry_is_a_file() -> None:
    goods = "; ".join(f"tin {chr(97 + n)}@Tannwald 450 x 1.00" for n in range(12))
    chat = Chat(shop("Tannwald", f"2027-03 A: {goods}"))
    chat.hear("write an enquiry to Tannwald")
    first = chat.outcome.replies[0]
    (file,) = chat.outcome.files
    assert (first.document, first.document_name) == (file.id, "enquiry-tannwald.txt")
    assert "It asks for 12 items" in first.text
    assert file.content.decode().count("450 pieces") == 12


@given(st.integers(1, 20_000))
def test_a_number_is_asked_for_rounded_up(pieces: int) -> None:
    asked = about_so_many(pieces)
    assert pieces <= asked < pieces + 100
    assert about_so_many(asked) == asked


def test_months_are_named_with_their_years() -> None:
    assert (
        months(("2027-11", "2027-12", "2028-01")) == "November and December 2027 and January 2028"
    )


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


# --- sentences of buttons -------------------------------------------------------------------

TOLD = NoteQuote(
    "Brackenfold",
    item=MAY_PIN,
    price=Decimal("1.40"),
    currency="EUR",
    breaks=(Break(500, Decimal("1.25")), Break(1000, Decimal("1.1"))),
    minimum=200,
    case_pack=50,
    lead=Lead(25),
    transit_days=12,
    setup=Decimal("45.50"),
    carriage=Decimal(0),
    quoted=date(2026, 11, 3),
    valid_until=date(2027, 1, 31),
    made_in="DE",
    grams=12,
    mm=(20, 20, 3),
)
SAID: list[tuple[str, Request]] = [
    (says.who_to_bargain(), WhoToBargain()),
    (says.brief("Aldermoor"), ShowBrief("aldermoor")),
    (says.enquiry(SHOP, "Aldermoor"), WriteEnquiry("Aldermoor")),
    (says.enquiry(SHOP, "Kirigawa", MAY_PIN), WriteEnquiry("Kirigawa", MAY_PIN)),
    (says.quote(SHOP, TOLD), TOLD),
    (says.compare(SHOP, NOTEBOOK), CompareQuotes(NOTEBOOK)),
    (says.take(SHOP, PIN_QUOTE, MAY_PIN), TakeQuote(PIN_QUOTE, MAY_PIN)),
    (now(says.take(SHOP, PIN_QUOTE, MAY_PIN)), TakeQuote(PIN_QUOTE, MAY_PIN, sure=True)),
]


@pytest.mark.parametrize(("sentence", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, SHOP, Talk(id=""), TODAY) == (meant,)


AMOUNTS = st.decimals("0.01", 999, places=2)
CODES = st.sampled_from(("GBP", "EUR", "USD", ""))


@st.composite
def quotes(draw: st.DrawFn) -> NoteQuote:
    price = draw(AMOUNTS)
    numbers = sorted(draw(st.sets(st.integers(2, 9000), max_size=3)))
    return NoteQuote(
        draw(st.sampled_from(("Aldermoor", "Print on Demand", "Wick & Sons", "To the Point"))),
        name=draw(st.sampled_from(("song thrush pin", "map of a fen", "100 stickers, round"))),
        price=price,
        currency=draw(CODES),
        breaks=tuple(Break(number, price) for number in numbers),
        minimum=draw(st.none() | st.integers(1, 9000)),
        case_pack=draw(st.none() | st.integers(1, 900)),
        lead=draw(st.none() | st.builds(Lead, st.integers(1, 90))),
        transit_days=draw(st.none() | st.integers(1, 90)),
        setup=draw(st.none() | AMOUNTS),
        carriage=draw(st.none() | AMOUNTS),
        quoted=draw(st.none() | st.dates(date(2026, 1, 1), TODAY)),
        valid_until=draw(st.none() | st.dates(date(2026, 1, 1), date(2028, 1, 1))),
    )


@given(quotes())
def test_whatever_is_quoted_is_said_back_whole(told: NoteQuote) -> None:
    assert understand(says.quote(SHOP, told), SHOP, Talk(id=""), TODAY) == (told,)


@given(st.sampled_from(("Wick & Sons", "Made for Us", "To the Point", 'The "Old" Mill', "A, B")))
def test_whatever_a_supplier_is_called(name: str) -> None:
    made = replace(SHOP, suppliers=(Supplier("s", name),))
    for sentence, meant in (
        (says.brief(name), ShowBrief("s")),
        (says.enquiry(made, name), WriteEnquiry(name)),
        (says.enquiry(made, name, MAY_PIN), WriteEnquiry(name, MAY_PIN)),
    ):
        assert understand(sentence, made, Talk(id=""), TODAY) == (meant,)


@given(st.text(max_size=40))
def test_no_words_raise(words: str) -> None:
    for start in (
        "Brackenfold quotes 1.40 for ",
        "compare ",
        "brief for ",
        "ask Wick for a quote ",
    ):
        found = understand(start + words, SHOP, Talk(id=""), TODAY)
        assert isinstance(found, Question | tuple)


@pytest.mark.parametrize(
    "thought",
    [
        "a brief history of the bargain bin",
        "compare moss with ferns on a print",
        "quotes from nature writers for the card",
        "an enquiry into the nature of moss",
        "the shop down the road offers 2 for 1",
    ],
)
def test_a_thought_about_such_things_is_kept(thought: str) -> None:
    chat = Chat(planned())
    chat.hear(thought)
    kept = [idea.text for idea in chat.shop.ideas]
    assert kept == [thought] or "Keep it as an idea" in chat.buttons
    assert chat.shop.offers == ()

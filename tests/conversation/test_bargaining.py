"""Whom to bargain with, briefs, enquiries: whole conversations; what their buttons say, and those
of quotes. All of it is invented."""

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
from assistant.planning.model import Break, Lead, Shop, Spend, Supplier, Talk
from tests.conversation.chat import Chat
from tests.conversation.meant import MAY_PIN, NOTEBOOK, PIN_QUOTE, SHOP, TODAY
from tests.trade import offer, shop

PINS = "pin@Hangfeng 450 x 1.05, lead 20d"


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
    assert "£36.00: free carriage, 3 orders of £12.00; £12.00 for one order of all" in beside.text
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

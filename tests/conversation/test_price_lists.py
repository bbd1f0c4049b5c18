"""A supplier's price list that comes in as a file: whose it is, what it does, brought in or left.

What the reader makes of each cell is tested in tests/sheets. Suppliers and goods are invented.
"""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.replies.offers import NO_DRAFT
from tests.conversation.chat import Chat, plan_of
from tests.conversation.test_files import YEAR, send
from tests.sheets.books import book
from tests.trade import offer, shop

LIST = (
    "Trade prices from 4 January 2027\n"
    "Product,Price,Minimum,Case pack,Lead time,Weight (g),Made in,Notes\n"
    "moss print,£2.10,200,50,20 working days,40,Germany,printed on cotton\n"
    "rain gauge,£4.80,100,10,15 working days,210,Germany,clear\n"
    "beeswax candle,lots,5,,,,,\n"
)
WHOSE = "price list from Aldermoor"


def test_a_list_is_shown_and_changes_nothing_until_it_is_brought_in() -> None:
    chat = Chat()
    before = plan_of(chat.shop)
    text = send(chat, LIST, "spring.csv", WHOSE)
    assert text.split("\n") == [
        "Read spring.csv: price list of Aldermoor, 2 offers",
        "New: 2 offers.",
        "Not read:",
        "• row 5: B5 says “lots”, which is no price; write 3.10 or £3.10.",
        "Look at:",
        "• Quoted Mon 4 Jan.",
    ]
    assert list(chat.buttons) == ["Bring it in", "Leave it"]
    assert plan_of(chat.shop) == before
    brought = chat.touch("Bring it in")
    assert "Brought in: 2 new offers and 1 new supplier." in brought
    assert "New supplier: Aldermoor." in brought
    (first, second) = chat.shop.offers
    assert (first.name, first.price, first.minimum) == ("moss print", Decimal("2.10"), 200)
    assert (second.name, second.quoted) == ("rain gauge", date(2027, 1, 4))
    assert chat.shop.drafts == ()
    assert "1. moss print" in chat.touch("See the offers")


BREAKS = (
    "Prices from 4 January 2027, valid until 31 March 2027\n"
    "Product,Price,100+,500+\n"
    "moss print,£2.10,£1.95,£1.80\n"
    "rain gauge,£4.80,£4.60,£4.90\n"
)


def test_breaks_and_the_last_day_are_read_and_a_dear_break_is_told_with_its_row() -> None:
    chat = Chat()
    text = send(chat, BREAKS, "spring.csv", WHOSE)
    assert "Quoted Mon 4 Jan." in text
    assert "Valid until Wed 31 Mar." in text
    assert "as more pieces cost more each: row 4 (from 500 on 4.90 each)" in text
    chat.hear("yes")
    moss, gauge = chat.shop.offers
    assert [(one.quantity, one.price) for one in moss.breaks] == [
        (100, Decimal("1.95")),
        (500, Decimal("1.80")),
    ]
    assert moss.valid_until == date(2027, 3, 31)
    assert (gauge.price, gauge.breaks) == (Decimal("4.80"), ())


def test_a_list_that_has_expired_is_said_to_be_one() -> None:
    chat = Chat()
    text = send(chat, BREAKS.replace("31 March", "8 January"), "spring.csv", WHOSE)
    assert "Some of it was valid until Fri 8 Jan: ask whether it still holds." in text


def test_bringing_in_can_be_undone_and_put_back() -> None:
    chat = Chat()
    before = plan_of(chat.shop)
    send(chat, LIST, "spring.csv", WHOSE)
    chat.hear("yes")
    after = plan_of(chat.shop)
    assert "spring.csv brought in" in chat.touch("Undo")
    assert plan_of(chat.shop) == before
    chat.touch("Put it back")
    assert set(plan_of(chat.shop).offers) == set(after.offers)


@pytest.mark.parametrize("word", ["leave it", "no"])
def test_a_list_can_be_left(word: str) -> None:
    chat = Chat()
    send(chat, LIST, "spring.csv", WHOSE)
    assert "Nothing was changed" in chat.say(word)
    assert chat.shop.offers == chat.shop.drafts == ()


def test_the_same_list_twice_changes_nothing() -> None:
    chat = Chat()
    send(chat, LIST, "spring.csv", WHOSE)
    chat.hear("yes")
    after = plan_of(chat.shop)
    text = send(chat, LIST, "spring.csv", WHOSE)
    assert "Nothing in it is new: the offers stay as they are." in text
    assert chat.buttons == {}
    assert plan_of(chat.shop) == after


def test_a_newer_list_says_which_prices_change_by_how_much() -> None:
    kept = (
        offer("Aldermoor: moss print 1.90, quoted 2026-06-01"),
        offer("Aldermoor: rain gauge 5.00, quoted 2026-06-01"),
        offer("Aldermoor: tin mug 3.00, quoted 2026-06-01"),
    )
    chat = Chat(replace(shop("Aldermoor"), offers=kept))
    text = send(chat, LIST, "spring.csv", WHOSE)
    assert "• moss print £2.10, was £1.90, up £0.20" in text
    assert "• rain gauge £4.80, was £5.00, down £0.20" in text
    assert "Not in it: 1 offer; they stay." in text
    assert "Brought in: 2 prices changed." in chat.touch("Bring it in")
    assert [one.price for one in chat.shop.offers] == [Decimal("2.10"), Decimal("4.80"), 3]


def test_many_changed_prices_are_all_in_a_file() -> None:
    kept = tuple(offer(f"Aldermoor: thing {chr(97 + n)} 1.00") for n in range(9))
    rows = "".join(f"thing {chr(97 + n)},2.00\n" for n in range(9))
    chat = Chat(replace(shop("Aldermoor"), offers=kept))
    text = send(chat, f"Item,Price\n{rows}", "spring.csv", WHOSE)
    assert "and 6 more, in the file below" in text
    (file,) = chat.outcome.files
    assert file.content.decode().count("up £1.00") == 9
    chat.touch("Bring it in")
    (file,) = chat.outcome.files
    assert file.content.decode().count("up £1.00") == 9


def test_an_older_list_takes_the_place_of_nothing() -> None:
    kept = (offer("Aldermoor: moss print 2.50, quoted 2027-01-08"),)
    chat = Chat(replace(shop("Aldermoor"), offers=kept))
    text = send(chat, "Prices from 1 May 2026\nItem,Price\nmoss print,2.10\n", "old.csv", WHOSE)
    assert "1 offer kept: I have a newer quote." in text
    assert "more than half a year old: ask Aldermoor for a new one" in text
    assert chat.shop.offers == kept


def test_items_of_the_plan_keep_the_price_at_which_they_were_taken() -> None:
    chat = Chat(shop("Aldermoor", "2027-03"))
    send(chat, LIST, "spring.csv", WHOSE)
    chat.hear("yes")
    chat.hear("offers about moss")
    chat.hear("add offer 1 to March")
    send(chat, LIST.replace("2.10", "2.60").replace("4 January", "8 January"), "b.csv", WHOSE)
    chat.hear("yes")
    assert [item.unit_cost for item in chat.shop.items] == [Decimal("2.10")]
    assert "moss print, £2.60" in chat.say("offers about moss")


# --- whose list it is -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("caption", "name", "whose"),
    [
        ("price list from Aldermoor", "spring.csv", "Aldermoor"),
        ("Aldermoor", "spring.csv", "Aldermoor"),
        ("aldermoor price list", "spring.csv", "Aldermoor"),
        ("the new prices from aldermoor.", "spring.csv", "Aldermoor"),
        ("Aldermoor's spring prices", "spring.csv", "Aldermoor"),
        ("here is Aldermoor's price list", "spring.csv", "Aldermoor"),
        ("price list from Aldermor", "spring.csv", "Aldermoor"),
        ("from Wick & Sons", "spring.csv", "Wick & Sons"),
        ("price list of Wick & Sons", "spring.csv", "Wick & Sons"),
        ("", "Aldermoor spring 2027.csv", "Aldermoor"),
        ("", "prices_brackenfold_seeds-2027.csv", "Brackenfold Seeds"),
        ("", "brackenfold.csv", "Brackenfold Seeds"),
        ("the new list", "aldermoor.csv", "Aldermoor"),
    ],
)
def test_whose_list_it_is(caption: str, name: str, whose: str) -> None:
    made = shop("Aldermoor")
    seeds = replace(made.suppliers[0], id="seeds", name="Brackenfold Seeds")
    chat = Chat(replace(made, suppliers=(*made.suppliers, seeds)))
    text = send(chat, LIST, name, caption)
    assert f"price list of {whose}, 2 offers" in text
    assert ("Taken for" in text) == (caption in ("", "the new list"))


def test_a_title_can_say_whose_it_is() -> None:
    content = book([["Aldermoor"], ["Item", "Price"], ["moss print", 2.1]])
    text = send(Chat(shop("Aldermoor")), content, "spring.xlsx")
    assert "price list of Aldermoor" in text
    assert "Taken for Aldermoor's, by its title." in text


def test_a_column_can_say_whose_each_row_is() -> None:
    rows = "Item,Price,Supplier\nmoss print,2.10,Aldermoor\nmug,3.00,Wick & Sons\n"
    chat = Chat(shop("Aldermoor"))
    assert "New: 2 offers." in send(chat, rows, "spring.csv")
    assert "New supplier: Wick & Sons." in chat.touch("Bring it in")
    assert [one.name for one in chat.shop.suppliers] == ["Aldermoor", "Wick & Sons"]
    assert len({one.supplier for one in chat.shop.offers}) == 2


@pytest.mark.parametrize(
    "said",
    [
        "price list from Brackenfold",
        "the price list is from Brackenfold",
        "Brackenfold",
        "brackenfold's price list",
    ],
)
def test_it_is_asked_whose_list_it_is(said: str) -> None:
    chat = Chat(shop("Aldermoor", "Brackenfold"))
    text = send(chat, LIST, "spring.csv")
    assert "Whose price list is spring.csv? Say for example: price list from Aldermoor" in text
    assert "row 5" in text
    assert list(chat.buttons) == ["Aldermoor", "Brackenfold", "Leave it"]
    assert "price list of Brackenfold, 2 offers" in chat.say(said)
    chat.touch("Bring it in")
    assert {one.supplier for one in chat.shop.offers} == {"brackenfold"}


def test_the_answer_is_a_touch_or_a_new_name() -> None:
    chat = Chat(shop("Aldermoor"))
    send(chat, LIST, "spring.csv")
    assert "price list of Aldermoor, 2 offers" in chat.touch("Aldermoor")
    assert "price list of Wick & Sons" in chat.say("price list from Wick & Sons")
    chat.hear("bring it in")
    assert [one.name for one in chat.shop.suppliers] == ["Aldermoor", "Wick & Sons"]


def test_a_list_of_nobody_is_not_brought_in() -> None:
    chat = Chat(shop("Aldermoor"))
    send(chat, LIST, "spring.csv")
    assert "Whose price list is spring.csv?" in chat.say("bring it in")
    assert chat.changes == ()
    chat.hear("March theme rain and roots")  # anything else goes on
    assert chat.changes
    chat.hear(WHOSE)
    assert "Brought in: 2 new offers." in chat.say("bring it in")


def test_to_say_whose_a_list_is_without_a_list_changes_nothing() -> None:
    chat = Chat(shop("Aldermoor"))
    assert NO_DRAFT in chat.say("the price list is from Aldermoor")
    assert chat.changes == ()


def test_a_name_nearly_like_a_known_one_is_pointed_out() -> None:
    chat = Chat(shop("Aldermoor"))
    send(chat, "Item,Price,Supplier\nmoss print,2.10,Aldermore\n", "spring.csv")
    assert "New supplier: Aldermore. You have Aldermoor too" in chat.say("yes")


# --- what is wrong with it ------------------------------------------------------------------


def test_two_currencies_are_refused_whole() -> None:
    chat = Chat(shop("Aldermoor"))
    before = plan_of(chat.shop)
    text = send(chat, "Item,Price\nmug,£2\npin,€3\ncup,€4\n", "spring.csv", WHOSE)
    assert "1 in GBP (row 2) and 2 in EUR (rows 3 and 4)" in text
    assert "Send the rows in GBP and EUR as files of their own." in text
    assert plan_of(chat.shop) == before
    assert chat.shop.drafts == ()
    assert chat.buttons == {}


def test_prices_in_another_currency_are_kept_as_they_are() -> None:
    chat = Chat(shop("Aldermoor", "2027-03", target=Decimal(14)))
    text = send(chat, "Item,Price (EUR)\nmoss print,2.10\n", "spring.csv", WHOSE)
    assert "Prices are in EUR: nothing is converted." in text
    chat.hear("yes")
    assert "moss print, €2.10" in chat.say("offers")
    assert "€2.10" in chat.say("add offer 1 to March")
    assert "No cost: moss print" in chat.say("what is missing in March")


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ("Item,Price\nmug,2\n", "No currency is written in it: prices are read as GBP."),
        ("Item,Price\nmug,£2\n", "No date is written in it: the quote is dated today, Mon 11 Jan."),
        ("From 1 March 2026\nItem,Price\nmug,£2\n", "Quoted Sun 1 Mar 2026."),
        ("Item,Price,Size\nmug,£2,large\n", "Sizes not read: C2."),
        ("Item,Price,Wombat\nmug,£2,x\n", "Columns not read: “Wombat”."),
    ],
)
def test_what_to_look_at(rows: str, says: str) -> None:
    chat = Chat(shop("Aldermoor"))
    send(chat, rows, "spring.csv", WHOSE)
    whole = chat.told(chat.outcome.replies) + "".join(
        file.content.decode() for file in chat.outcome.files
    )
    assert says in whole


def test_a_list_of_which_nothing_can_be_read() -> None:
    chat = Chat(shop("Aldermoor"))
    text = send(chat, "Item,Price\nmug,lots\npin,some\n", "spring.csv", WHOSE)
    assert "Nothing of it could be read. A row needs an item and a price." in text
    assert "row 2" in text
    assert chat.shop.drafts == ()


def test_many_rows_that_are_not_read_are_all_in_a_file() -> None:
    rows = "".join(f"thing {n},lots\n" for n in range(30))
    chat = Chat(shop("Aldermoor"))
    text = send(chat, f"Item,Price\nmug,2\n{rows}", "spring.csv", WHOSE)
    assert "and 24 more, in the file below" in text
    assert len(text.splitlines()) <= 14
    (file,) = chat.outcome.files
    assert sum(line.startswith("row ") for line in file.content.decode().splitlines()) == 30


def test_the_newest_file_is_the_one_that_waits_whatever_it_is() -> None:
    chat = Chat(shop("Aldermoor"))
    send(chat, LIST, "spring.csv", WHOSE)
    send(chat, YEAR)
    chat.hear("bring it in")
    assert chat.shop.items
    assert chat.shop.offers == ()
    send(chat, YEAR.replace("3.10", "3.20"))
    send(chat, LIST, "spring.csv", WHOSE)
    chat.hear("bring it in")
    assert chat.shop.offers
    assert Decimal("3.20") not in [item.unit_cost for item in chat.shop.items]


def test_a_formula_is_never_passed_on() -> None:
    chat = Chat(shop("Aldermoor"))
    content = book([["Item", "Price"], ["mug", "=1+1"], ['=HYPERLINK("http://x")', 2], ["pin", 3]])
    text = send(chat, content, "spring.xlsx", WHOSE)
    assert "1 offer" in text
    chat.hear("yes")
    assert [one.name for one in chat.shop.offers] == ["pin"]


@given(st.text(max_size=40), st.text(max_size=30))
def test_no_caption_and_no_name_raise(caption: str, name: str) -> None:
    chat = Chat(shop("Aldermoor"))
    chat.hear(caption, document="file/1", document_name=name or "x", content=LIST.encode())
    assert chat.outcome.replies
    assert chat.shop.offers == ()

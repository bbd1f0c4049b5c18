"""What cannot be of orders and deliveries, and what is asked back. The shop is invented."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from assistant.conversation.handle.receiving import HANDLERS
from assistant.conversation.month_requests import (
    ItemArrived,
    ItemChecked,
    ItemDispatched,
    ItemOrdered,
    ItemPromised,
    ItemStory,
)
from assistant.conversation.requests import Request
from assistant.planning.changes import apply, find
from assistant.planning.model import (
    Put,
    Supplier,
)
from assistant.planning.month.progress import progress
from tests.conversation.asking import asking, text
from tests.conversation.chat import Chat
from tests.conversation.received import (
    CAME,
    NOTEBOOK,
    ORDERED,
    PIN,
    TODAY,
    begun,
    bought,
    state,
    unchanged,
    year,
)

# --- bad input ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "said", "words"),
    [
        # more arrived than ordered
        (ORDERED, "500 notebooks came", "460 were ordered: 40 too many"),
        (CAME, "60 notebooks came", "so that makes 472, 12 too many"),
        (ORDERED, "412 of 480 notebooks came", "I have 460 field notebook (March) as ordered"),
        (ORDERED, "480 of 460 notebooks came", "more than all"),
        # arrival before order
        ((), "the notebooks came", "it is not ordered, as far as I know. Was it?"),
        ((), "412 notebooks came", "it is not ordered, as far as I know. Was it?"),
        ((), "notebooks are on their way", "it is not ordered, as far as I know. Was it?"),
        ((), "notebooks now 9 March", "it is not ordered, as far as I know. Was it?"),
        ((), "notebooks checked", "it has not come, as far as I know"),
        (ORDERED, "412 notebooks came yesterday", "ordered only on Mon 11 Jan"),
        # a date in the wrong year
        (ORDERED, "notebooks now 3 March 2026", "that is past"),
        (ORDERED, "notebooks now 3 March 2028", "Which year do you mean?"),
        ((), "ordered 460 notebooks, they say 3 January", "which year do you mean"),
        ((), "ordered 460 notebooks on 3 March 2027", "that is still to come"),
        (ORDERED, "412 notebooks came on 3 March 2027", "that is still to come"),
        (ORDERED, "notebooks dispatched on 3 March 2027", "that is still to come"),
        # two items with one name
        ((), "ordered 460 pins", "could be 2 items"),
        (("ordered 430 pins from Hangfeng",), "the pins came", "could be 2 items"),
        ((), "pins now the 9th", "could be 2 items"),
        # numbers that cannot be
        ((), "ordered -5 notebooks", "below zero"),
        ((), "ordered 0 notebooks", "an order of no field notebook"),
        ((), "ordered 460 notebooks at -2", "below zero"),
        ((), "ordered 460 notebooks for 1400", "I do not know what"),
        ((), "ordered notebooks for 1400 in all", "I do not know how many"),
        (ORDERED, "0 notebooks came", "no field notebook came"),
        (ORDERED, "none of the notebooks came", "no field notebook came"),
        (ORDERED, "-5 notebooks came", "below zero"),
        (ORDERED, "12 notebooks came, 13 bent", "13 damaged of 12"),
        (ORDERED, "the notebooks came, 500 missing", "only 460 were to come"),
        (CAME, "notebooks checked, 413 bent", "413 damaged of 412"),
        # words that are not understood, other suppliers, boxes that are gone
        ((), "ordered 460 notebooks, bluish", 'do not understand "bluish"'),
        (ORDERED, "412 notebooks came, in a big lorry", "do not understand"),
        ((), "ordered notebooks from Hangfeng", "field notebook is from Aldermoor"),
        ((), "ordered the unicorns", "no item"),
    ],
)
def test_what_cannot_be_is_said_and_changes_nothing(
    before: tuple[str, ...], said: str, words: str
) -> None:
    assert words in unchanged(begun(*before), said)


def test_the_choices_of_a_question_say_what_they_do() -> None:
    chat = begun(*CAME)
    unchanged(chat, "430 notebooks came")
    chat.touch("430 in all")
    assert progress(chat.shop, NOTEBOOK, TODAY).came == 430
    unchanged(chat, "60 notebooks came")
    chat.touch("490 came in all")
    one = progress(chat.shop, NOTEBOOK, TODAY)
    assert (one.came, one.state) == (490, "arrived")


def test_which_number_was_ordered_is_taken_down_with_what_came() -> None:
    chat = begun(*ORDERED)
    unchanged(chat, "412 of 480 notebooks came")
    chat.touch("480 were ordered")
    assert (bought(chat).quantity, progress(chat.shop, NOTEBOOK, TODAY).short) == (480, 68)


def test_yes_it_was_ordered() -> None:
    chat = Chat(year())
    unchanged(chat, "the notebooks came")
    chat.say("yes")
    assert state(chat, f"{NOTEBOOK}/order") == "done"
    assert [one.pieces for one in chat.shop.deliveries] == [450]


def test_a_year_that_was_meant_is_taken() -> None:
    chat = begun(*ORDERED)
    unchanged(chat, "notebooks now 4 March 2028")
    assert [says_[-10:] for says_ in chat.buttons.values()] == ["2027-03-04", "-03-04 now"]
    chat.say("1")
    assert bought(chat).promised == date(2027, 3, 4)


def test_another_supplier_is_taken_over_where_that_is_said() -> None:
    chat = Chat(year())
    unchanged(chat, "ordered 460 notebooks from Hangfeng")
    chat.touch("It is from Hangfeng")
    item = find(chat.shop.items, NOTEBOOK)
    assert item
    assert (item.supplier, bought(chat).quantity) == ("hangfeng", 460)


def test_of_two_items_the_supplier_tells_which() -> None:
    chat = begun("ordered the pins from Hangfeng, 430 at 1.60, ref HF-221")
    one = bought(chat, PIN)
    assert (one.quantity, one.price, one.reference) == (430, Decimal("1.60"), "HF-221")


def test_prices_are_in_the_suppliers_currency() -> None:
    known = apply(year(), (Put(Supplier("hangfeng", "Hangfeng", "CN", currency="USD")),))
    assert bought(begun("ordered 430 May pins at 1.60", known=known), PIN).currency == "USD"


def test_a_box_that_has_shipped_is_over() -> None:
    chat = begun("March has shipped")
    chat.now = datetime(2027, 3, 16, 9, tzinfo=UTC)
    for said in ("ordered 460 notebooks", "the notebooks came", "notebooks checked"):
        assert "nothing of it is open any more" in unchanged(chat, said)


@pytest.mark.parametrize(
    "request_",
    [
        ItemOrdered("gone"),
        ItemPromised("gone", TODAY),
        ItemDispatched("gone"),
        ItemArrived("gone"),
        ItemChecked("gone"),
        ItemStory("gone"),
    ],
)
def test_an_item_that_is_gone_is_said_to_be(request_: Request) -> None:
    outcome = HANDLERS[type(request_)](year(), request_, asking())
    assert outcome.changes == ()
    assert "no longer in the plan" in text(outcome)

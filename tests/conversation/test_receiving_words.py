"""Days without a year, and buttons about orders and deliveries understood back: all invented."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.month_requests import (
    ItemArrived,
    ItemChecked,
    ItemDispatched,
    ItemOrdered,
    ItemPromised,
    ItemStory,
)
from assistant.conversation.requests import Question, Request
from assistant.conversation.sentences import receiving as says
from assistant.conversation.understand import understand
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.receiving import read_past, read_promise
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import profile_of
from assistant.planning.model import (
    Delivery,
    Talk,
)
from tests.conversation.chat import Chat
from tests.conversation.meant import SHOP
from tests.conversation.meant import TODAY as UTTERED
from tests.conversation.received import (
    CAME,
    TODAY,
    year,
)

# --- days without a year ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("today", "said", "meant"),
    [
        (date(2027, 3, 10), "9 March", None),  # just past: asked
        (date(2027, 3, 10), "9 March 2028", date(2028, 3, 9)),
        (date(2027, 3, 10), "2028-03-09", date(2028, 3, 9)),
        (date(2027, 3, 10), "10 March", date(2027, 3, 10)),
        (date(2027, 3, 10), "1 June", date(2027, 6, 1)),
        (date(2027, 3, 10), "the 9th", date(2027, 4, 9)),
        (date(2026, 12, 20), "3 March", date(2027, 3, 3)),
        (date(2027, 12, 20), "3 June", date(2028, 6, 3)),
    ],
)
def test_which_year_a_promise_is_of(today: date, said: str, meant: date | None) -> None:
    found = read_promise(said, Context(SHOP, Talk(id="t"), today))
    assert isinstance(found, Unclear) if meant is None else found == meant


@pytest.mark.parametrize(
    ("today", "said", "meant"),
    [
        (date(2027, 3, 10), "9 March", date(2027, 3, 9)),
        (date(2027, 1, 4), "20 December", date(2026, 12, 20)),
        (date(2027, 1, 11), "Friday", date(2027, 1, 8)),
        (date(2027, 1, 11), "yesterday", date(2027, 1, 10)),
        (date(2027, 1, 11), "3 March 2027", date(2027, 3, 3)),
    ],
)
def test_which_year_something_happened_in(today: date, said: str, meant: date) -> None:
    assert read_past(said, Context(SHOP, Talk(id="t"), today)) == meant


# --- buttons are understood back -----------------------------------------------------------

ITEMS = st.sampled_from([item.id for item in SHOP.items])
DAYS = st.none() | st.dates(date(2026, 11, 27), date(2027, 5, 1))
PAST = st.none() | st.dates(date(2026, 7, 1), UTTERED)
NUMBER = st.none() | st.integers(1, 5000)
WORD = st.sampled_from(("", "HF-221", "A 17/b", "12345"))
NOTE = st.sampled_from(("", "bent", "wet"))


def meant(says_: str) -> tuple[Request, ...] | Question:
    return understand(says_, SHOP, Talk(id=""), UTTERED)


@given(
    st.builds(
        ItemOrdered,
        ITEMS,
        NUMBER,
        st.none() | st.decimals("0.01", 999, places=2),
        st.just(""),
        DAYS,
        WORD,
        PAST,
        st.booleans(),
    )
)
def test_an_order_is_understood_back(told: ItemOrdered) -> None:
    assert meant(says.ordered(SHOP, told)) == (told,)


@given(st.builds(ItemDispatched, ITEMS, PAST, DAYS, WORD, st.booleans()))
def test_a_dispatch_is_understood_back(told: ItemDispatched) -> None:
    assert meant(says.dispatched(SHOP, told)) == (told,)


@given(ITEMS, st.dates(date(2026, 11, 27), date(2027, 5, 1)), st.booleans())
def test_a_promise_is_understood_back(item: str, on: date, sure: bool) -> None:
    told = ItemPromised(item, on, sure=sure)
    assert meant(says.promised(SHOP, told)) == (told,)


@given(ITEMS, NUMBER, st.booleans(), NUMBER, NOTE, PAST, st.booleans())
def test_a_delivery_is_understood_back(
    item: str,
    pieces: int | None,
    with_of: bool,
    damaged: int | None,
    note: str,
    on: date | None,
    sure: bool,
) -> None:
    of = 5000 if with_of and pieces is not None else None
    told = ItemArrived(item, pieces, of, None, damaged, on, note if damaged else "", sure)
    assert meant(says.arrived(SHOP, told)) == (told,)


@given(ITEMS, NUMBER)
def test_what_is_checked_and_the_story_are_understood_back(item: str, damaged: int | None) -> None:
    told = ItemChecked(item, damaged)
    assert meant(says.checked(SHOP, told)) == (told,)
    assert meant(says.story(SHOP, item)) == (ItemStory(item),)


def test_days_of_delay_are_understood_back() -> None:
    told = ItemPromised(SHOP.items[0].id, days=9)
    assert meant(says.promised(SHOP, told)) == (told,)


def test_every_button_of_a_conversation_is_understood_back() -> None:
    chat = Chat(year())
    seen = dict[str, str]()
    for said in (
        "ordered 460 notebooks, they say 12 March",
        "ordered 40 notebooks",
        "412 of 470 notebooks came",
        "412 notebooks came, 6 bent",
        "60 notebooks came",
        "how far are the notebooks",
        "the tea came",
        "notebooks now 4 March 2028",
        "the rest of the notebooks came",
    ):
        chat.say(said)
        for label, says_ in chat.buttons.items():
            seen[label] = says_
            found = understand(says_, chat.shop, Talk(id=""), TODAY)
            assert not isinstance(found, Question), (said, label, says_, found)
    assert {"Ways out", "That is all", "It was", "500 in all"} <= set(seen)


def test_replies_fit_a_phone() -> None:
    chat = Chat(year())
    for said in (*CAME, "how far are the notebooks", "the rest of the notebooks came"):
        assert len(chat.say(said).splitlines()) <= 9
    assert profile_of(chat.shop).currency == "GBP"
    assert all(isinstance(one, Delivery) for one in chat.shop.deliveries)

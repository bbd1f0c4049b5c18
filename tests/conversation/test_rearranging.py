"""Changing her mind, whole conversations: shown before it happens, done, left, taken back.

Dates are worked on the calendar of England; shops, suppliers and items are invented.
"""

import re
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.requests import DropItem, MoveItem, Question, SwapBoxes
from assistant.conversation.sentences import rearranging as says
from assistant.conversation.understand import understand
from assistant.conversation.year_requests import DropSupplier, MoveToMonths
from assistant.planning.changes import apply, find
from assistant.planning.model import Item, Mark, Put, RecurringType, Supplier, Talk
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

TODAY = date(2027, 1, 11)
YEAR = shop(
    "Aldermoor: transit 3d",
    "Hangfeng CN: confirm 2d, transit 5d, lead 10d",
    "2027-02 Frost: enamel pin@Hangfeng 450 x 0.90, type enamel pin",
    "2027-03 Rain & Roots: notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
    "2027-04 Mud",
    "2027-05 First Swifts: enamel pin@Hangfeng 450 x 0.90, type enamel pin; "
    "pencil@Aldermoor 450 x 2.00",
    "2027-06 Hay",
    "2027-07 Moths: enamel pin@Hangfeng 450 x 0.90, type enamel pin",
    "2027-09 Seed Time: balm 450 x 2.20",
    "2027-10 Owls",
    "2027-11 Dark",
    subscribers=420,
    target=Decimal("6.00"),
)
ORDERED = (Put(RecurringType("pin", "enamel pin", 4)), Put(Mark("2027-03.notebook/order", "done")))
YEAR = apply(YEAR, ORDERED)
PHONE = 45  # characters of a line on a phone


@pytest.fixture
def chat() -> Chat:
    return Chat(YEAR)


def effect(text: str) -> list[str]:
    """The lines that say what a thing does."""
    about = ("order-by date", "No order-by", "Cost:", "Spread:", "Ordered already:")
    return [line for line in text.splitlines() if any(word in line[:24] for word in about)]


def fits(chat: Chat, text: str, lines: int = 6) -> bool:
    """Whether a reply fits a phone: a title, some lines, and none that is a paragraph."""
    told = text.splitlines()
    wide = all(len(line) <= 3 * PHONE for line in told)
    return len(told) <= lines + 1 and wide and all(len(label) <= 30 for label in chat.buttons)


# --- swaps ----------------------------------------------------------------------------------


def test_a_swap_is_shown_then_done_then_taken_back(chat: Chat) -> None:
    before = plan_of(chat.shop)
    shown = chat.say("swap March and May")
    assert shown.splitlines() == [
        "Swap March and May?",
        "3 order-by dates move; nothing becomes late.",
        "Cost: March £2.90 (was £4.30) and May £4.30 (was £2.90); target £6.00 a box.",
        "Spread: enamel pin in two boxes running, February and March, was 2 apart.",
        "Ordered already: notebook (March to May).",
    ]
    assert chat.buttons == {
        "Do it": "swap 2027-03 and 2027-05 now",
        "Leave it": "leave it as it is",
    }
    assert (chat.changes, plan_of(chat.shop)) == ((), before)
    done = chat.touch("Do it")
    assert done.startswith("Swapped March and May: themes and items. Ship dates stay.")
    assert "Tightest: enamel pin (March)" in done
    back = chat.touch("Undo")
    assert back.startswith("Taken back: swap March and May")
    assert set(plan_of(chat.shop).items) == set(before.items)
    assert plan_of(chat.shop).boxes == before.boxes


@pytest.mark.parametrize("yes", ["yes", "do it", "1", "ok", "Do it."])
def test_yes_in_whatever_words_does_what_was_shown(chat: Chat, yes: str) -> None:
    chat.say("swap March and May")
    assert chat.say(yes).startswith("Swapped March and May")


@pytest.mark.parametrize("no", ["no", "leave it", "2", "leave it as it is", "never mind"])
def test_no_in_whatever_words_leaves_it(chat: Chat, no: str) -> None:
    before = plan_of(chat.shop)
    chat.say("swap March and May")
    assert chat.say(no) == "Left as it was: nothing was changed."
    assert plan_of(chat.shop) == before
    assert "nothing was asked" in chat.say("yes")


def test_leaving_a_swap_leaves_a_file_that_waits(chat: Chat) -> None:
    year = b"Month,Theme,Item\nJune 2027,hay,straw hat\n"
    chat.say("", document="file/1", document_name="year.csv", content=year)
    chat.say("swap March and May")
    assert chat.say("leave it").startswith("Left as it was")
    assert find(chat.shop.drafts, chat.heard[-1].chat) is not None
    chat.say("swap March and May")
    assert chat.say("yes").startswith("Swapped")
    chat.say("bring it in")
    assert any(item.name == "straw hat" for item in chat.shop.items)


def test_what_was_shown_is_what_is_said_when_it_is_done(chat: Chat) -> None:
    for said in (
        "swap March and May",
        "swap February and June",
        "move the pins to autumn",
        "move the notebook to June",
    ):
        shown = effect(chat.say(said))
        assert shown
        assert effect(chat.say("do it")) == shown, said


def test_a_plan_that_changed_meanwhile_is_changed_as_it_is_then(chat: Chat) -> None:
    chat.say("swap March and May")
    do_it = chat.buttons["Do it"]
    chat.say("drop the tea")
    assert "March £2.90 (was £3.10)" in chat.say(do_it)
    assert {i.name for i in chat.shop.items if i.box == "2027-05"} == {"notebook"}


def test_a_swap_said_with_now_is_done_at_once(chat: Chat) -> None:
    assert chat.say("swap March and May now").startswith("Swapped March and May")


def test_a_swap_is_asked_about_before_anything_of_a_message_is_done(chat: Chat) -> None:
    text = chat.say("April theme moss\nswap March and May")
    assert text.startswith("Swap March and May?")
    assert text.endswith("Nothing of this message was done yet: this is part 2 of 2.")
    assert chat.changes == ()
    assert chat.say("yes").startswith("Swapped")


def test_a_box_that_would_be_late_is_told_first(chat: Chat) -> None:
    chat.say("add to January: mug, 4.00")
    text = chat.say("swap January and February")
    assert "Late at once: order enamel pin (January), since " in text


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("swap 2027-03 and 2027-05", "March 2027 shipped Mon 15 Mar"),
        ("swap May and 2027-02", "February 2027 shipped Mon 15 Feb"),
    ],
)
def test_a_swap_with_a_box_that_has_shipped_says_what_would_work(said: str, words: str) -> None:
    chat = Chat(YEAR, datetime(2027, 4, 10, 9, tzinfo=UTC))
    text = chat.say(said)
    assert words in text
    assert "it stays as sent. For example: swap May and April" in text
    assert list(chat.buttons) == ["Swap May and April"]
    assert chat.touch("Swap May and April").startswith("Swap May and April?")


def test_a_swap_of_one_box_or_of_empty_ones_says_what_would_work(chat: Chat) -> None:
    assert "both are the same box. For example: swap" in chat.say("swap March and March")
    assert "there is nothing to swap" in chat.say("swap August and December")
    assert "is no month I know" in chat.say("swap March and Smarch")


# --- one item -------------------------------------------------------------------------------


def test_an_item_that_is_not_ordered_moves_at_once(chat: Chat) -> None:
    text = chat.say("move the pencil to June")
    assert text.startswith("Moved pencil from May to June.")
    assert "Spread" not in text


def test_a_move_that_brings_a_type_too_close_says_so(chat: Chat) -> None:
    text = chat.say("move the May pin to June")
    assert text.endswith("Spread: enamel pin in two boxes running, June and July, was 2 apart.")
    assert chat.changes


def test_an_ordered_item_moves_once_that_was_shown(chat: Chat) -> None:
    text = chat.say("move the notebook to June")
    assert text.splitlines()[0] == "Move notebook to June?"
    assert "Ordered already: notebook (March to June)." in text
    assert chat.changes == ()
    assert chat.touch("Do it").startswith("Moved notebook from March to June.")
    assert chat.say("history").splitlines()[1].endswith("you: move notebook to June")


def test_an_ordered_item_is_dropped_once_that_was_shown(chat: Chat) -> None:
    text = chat.say("drop the notebook")
    assert text.splitlines()[0] == "Drop notebook from March?"
    assert "Ordered already: notebook (March, call it off)." in text
    done = chat.say("do it")
    assert "It was ordered: tell Aldermoor." in done
    chat.say("undo")
    assert find(chat.shop.items, "2027-03.notebook")
    assert find(chat.shop.ledger, "2027-03.notebook/order")


def test_what_was_sent_stays_and_a_sent_box_takes_nothing() -> None:
    chat = Chat(YEAR, datetime(2027, 4, 10, 9, tzinfo=UTC))
    text = chat.say("move the tea to June")
    assert "tea went out with March 2027, which shipped Mon 15 Mar: what was sent stays." in text
    text = chat.say("move the pencil to 2027-03")
    assert "shipped Mon 15 Mar; nothing was changed. For example: move pencil to April" in text
    assert chat.touch("To April").startswith("Moved pencil from May to April.")


# --- several items --------------------------------------------------------------------------


def test_items_move_to_the_best_boxes_of_a_season(chat: Chat) -> None:
    text = chat.say("move the pins to autumn")
    assert text.splitlines()[:3] == [
        "Move 3 items to September-November?",
        "enamel pin: February to September, May to October and July to November.",
        "3 order-by dates move; nothing becomes late.",
    ]
    assert fits(chat, text)
    assert chat.say("yes").startswith("Moved enamel pin: February to September, May to October")
    pins = [item.box for item in chat.shop.items if item.name == "enamel pin"]
    assert sorted(pins) == ["2027-09", "2027-10", "2027-11"]
    assert chat.say("undo").startswith("Taken back: move 3 items to September-Nov")
    assert plan_of(chat.shop).items == plan_of(Chat(YEAR).shop).items


def test_two_of_a_kind_are_set_apart(chat: Chat) -> None:
    chat.say("drop the July pin")
    text = chat.say("move the pins to autumn")
    assert "February to September and May to November" in text


def test_one_item_goes_to_the_better_of_two_months_at_once(chat: Chat) -> None:
    chat.say("add to June: pencil")
    assert chat.say("move the May pencil to June or July").startswith("Moved pencil (May to July).")
    assert "Undo" in chat.buttons


def test_items_that_find_no_box_stay_and_are_named(chat: Chat) -> None:
    text = chat.say("move the pins to September or October")
    assert "enamel pin (February) stays: those boxes have such a name." in text
    text = chat.say("move the pins to February")
    assert text.startswith("I read a move to February, but enamel pin (May) and enamel pin (July)")


def test_what_is_there_already_stays(chat: Chat) -> None:
    assert "already: nothing was moved" in chat.say("move the balm to September or October")


def test_several_items_without_a_month_are_asked_about(chat: Chat) -> None:
    assert "I do not know to which months" in chat.say("move the pins")
    assert chat.touch("To autumn").startswith("Move 3 items to September-November?")


def test_items_that_are_gone_meanwhile_are_said_to_be(chat: Chat) -> None:
    chat.say("move the pins to autumn")
    do_it = chat.buttons["Do it"]
    for _ in range(3):
        chat.say(sentences.drop(chat.shop, next(i.id for i in chat.shop.items if "pin" in i.name)))
    assert "none of these items is in the plan any more" in chat.say(do_it)


# --- a supplier -----------------------------------------------------------------------------


def test_a_supplier_is_dropped_everywhere_once_that_was_shown(chat: Chat) -> None:
    text = chat.say("drop Aldermoor everywhere")
    assert text.splitlines() == [
        "Drop everything from Aldermoor?",
        "2 items go: notebook (March) and pencil (May).",
        "No order-by date moves.",
        "Cost: March £1.20 (was £4.30) and May £0.90 (was £2.90); target £6.00 a box.",
        "Ordered already: notebook (March, call it off).",
    ]
    assert chat.changes == ()
    done = chat.touch("Do it")
    assert done.startswith("Dropped 2 items from Aldermoor: notebook (March) and pencil (May).")
    assert "Aldermoor itself stays known." in done
    assert find(chat.shop.suppliers, "aldermoor")
    chat.say("undo")
    assert set(plan_of(chat.shop).items) == set(YEAR.items)
    assert find(chat.shop.ledger, "2027-03.notebook/order")


def test_what_a_supplier_sent_stays() -> None:
    chat = Chat(YEAR, datetime(2027, 4, 10, 9, tzinfo=UTC))
    assert "1 item goes: pencil (May)." in chat.say("drop everything from Aldermoor")
    assert "stays known, and 1 item in boxes that shipped." in chat.say("do it")
    text = chat.say("drop Aldermoor everywhere")
    assert text.startswith("Aldermoor has no item in the coming boxes: nothing to drop.")
    assert {item.supplier for item in chat.shop.items if item.box == "2027-03"} == {"aldermoor", ""}


def test_a_supplier_that_is_not_known_is_asked_about(chat: Chat) -> None:
    assert 'I know no supplier "Tannwald"' in chat.say("drop Tannwald everywhere")
    assert "Aldermoor" in chat.buttons
    assert "dropped one by one" in chat.say("drop the pins everywhere")
    assert chat.changes == ()


# --- every reply, every button --------------------------------------------------------------

LONG = "an enamel pin with a very long name indeed that goes on and on"
CROWD = shop(
    "Aldermoor",
    *(
        f"2027-{month:02} A theme of many words: {LONG}@Aldermoor 450 x 12.30, type pin"
        for month in range(2, 10)
    ),
    target=Decimal("6.00"),
)
CROWD = apply(
    CROWD,
    (
        Put(RecurringType("pin", "pin", 8)),
        *(Put(Mark(f"{item.id}/order", "done")) for item in CROWD.items),
    ),
)


@pytest.mark.parametrize(
    "said",
    [
        "swap March and May",
        "swap March and December",
        "move the pins to the second half of the year",
        "move all pins to winter",
        "drop Aldermoor everywhere",
        f"drop {LONG} for 2027-03",
        f"move {LONG} for 2027-03 to 2027-12",
    ],
)
def test_a_crowded_year_fits_a_phone_too(said: str) -> None:
    chat = Chat(CROWD)
    shown = chat.say(said)
    assert "Do it" in chat.buttons, shown
    assert fits(chat, shown), shown
    assert fits(chat, chat.touch("Do it"), lines=9)


WORDS = re.findall(r"\S+", 'now tea for 2027-05 everything from drop or " ; , move May it')
NAMES = st.one_of(
    st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=30),
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=5).map(" ".join),
)


@given(NAMES.filter(lambda name: sentences.one_line(name).strip() != ""))
def test_whatever_an_item_or_a_supplier_is_called(name: str) -> None:
    items = tuple(Item(f"{box}.x", box, name) for box in ("2027-03", "2027-05"))
    known = replace(YEAR, items=items, suppliers=(Supplier("s1", name),))
    first = items[0].id
    both = tuple(item.id for item in items)
    for sentence, meant in (
        (says.now(sentences.move(known, first, "2027-05")), MoveItem(first, "2027-05", sure=True)),
        (says.now(sentences.drop(known, first)), DropItem(first, sure=True)),
        (says.move_items(both, (9, 10, 11)), MoveToMonths(both, (9, 10, 11))),
        (says.now(says.move_items(both, (12,))), MoveToMonths(both, (12,), sure=True)),
        (says.drop_supplier(name), DropSupplier("s1")),
        (says.now(says.drop_supplier(name)), DropSupplier("s1", sure=True)),
    ):
        assert understand(sentence, known, Talk(id=""), TODAY) == (meant,), sentence


def test_the_sentences_of_the_buttons_need_no_memory() -> None:
    swap = says.now(sentences.swap("2027-03", "2027-05b"))
    assert understand(swap, YEAR, Talk(id=""), TODAY) == (
        SwapBoxes("2027-03", "2027-05b", sure=True),
    )
    left = understand(says.leave_as_it_is(), YEAR, Talk(id=""), TODAY)
    assert isinstance(left, Question)
    assert left.options == ()

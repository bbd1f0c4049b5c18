"""What was ordered, promised and dispatched: whole conversations. The shop is invented."""

import re
from datetime import date
from decimal import Decimal

from assistant.planning.changes import find
from assistant.planning.model import (
    Purchase,
)
from assistant.planning.month.progress import progress
from tests.conversation.chat import Chat, plan_of
from tests.conversation.received import (
    NOTEBOOK,
    TODAY,
    begun,
    bought,
    state,
    unchanged,
    year,
)

# --- ordered --------------------------------------------------------------------------------


def test_an_order_is_kept_marked_and_taken_into_the_plan() -> None:
    chat = Chat(year())
    told = chat.say("ordered 460 notebooks at 2.95, they say 3 March, ref HF-2")
    assert told.splitlines() == [
        "Ordered: 460 field notebook (March) at £2.95, ref HF-2.",
        "The plan had 450 pieces at £3.10.",
        "It is expected Wed 3 Mar, 4 working days before it must be here (Tue 9 Mar).",
        "Next for it: Check that field notebook is dispatched by Fri 5 Mar, in 39 working days.",
    ]
    one = bought(chat)
    assert (one.quantity, one.price, one.currency) == (460, Decimal("2.95"), "GBP")
    assert (one.ordered, one.reference) == (TODAY, "HF-2")
    assert (one.promised, one.first_promised, one.said) == (date(2027, 3, 3),) * 2 + (TODAY,)
    item = find(chat.shop.items, NOTEBOOK)
    assert item
    assert (item.quantity, item.unit_cost) == (460, Decimal("2.95"))
    assert state(chat, f"{NOTEBOOK}/order") == "done"
    assert list(chat.buttons) == ["Undo", "How far it is"]


def test_a_bare_order_marks_it_and_keeps_what_the_plan_has() -> None:
    chat = begun("ordered the notebook")
    assert chat.outcome.replies[0].text.splitlines()[0] == "Done: order field notebook (March)."
    assert bought(chat) == Purchase(NOTEBOOK, 450, ordered=TODAY)
    assert unchanged(chat, "ordered the notebook") == "Already done: order field notebook (March)."


def test_an_order_that_was_only_marked_can_be_told_of_later() -> None:
    chat = begun("done: order field notebook for 2027-03", "ordered 460 notebooks, ref X 1")
    one = bought(chat)
    assert (one.quantity, one.reference, one.ordered) == (460, "X 1", None)


def test_an_order_opened_again_and_placed_again_is_a_new_one() -> None:
    chat = begun("ordered 460 notebooks, they say 3 March", "open again: order notebook")
    assert progress(chat.shop, NOTEBOOK, TODAY).promised is None
    chat.say("ordered 500 notebooks")
    assert (bought(chat).quantity, bought(chat).promised) == (500, None)


def test_the_price_of_all_is_shared_out() -> None:
    assert bought(begun("ordered 460 notebooks for £1,357 in all")).price == Decimal("2.95")


def test_fewer_than_are_needed_is_said() -> None:
    # 420 boxes are needed good, and some spares for damage.
    told = Chat(year()).say("ordered 410 notebooks")
    few, need = re.findall(r"That is (\d+) fewer than the (\d+) needed with spares", told)[0]
    assert int(need) - int(few) == 410
    assert int(need) >= 420


def test_a_whole_step_is_taken_back() -> None:
    chat = Chat(year())
    before = plan_of(chat.shop)
    for said in (
        "ordered 460 notebooks at 2.95, they say 3 March",
        "notebooks now 9 March",
        "notebooks dispatched, tracking 123",
        "412 of 460 notebooks came, 6 bent",
        "the rest of the notebooks came",
        "notebooks checked, all good",
    ):
        kept = plan_of(chat.shop)
        chat.say(said)
        assert plan_of(chat.shop) != kept
        chat.touch("Undo")
        assert plan_of(chat.shop) == kept, said
        chat.touch("Put it back")
        assert plan_of(chat.shop) != kept, said
    for _ in range(6):
        chat.say("undo")
    assert plan_of(chat.shop) == before


def test_another_number_than_was_ordered_is_asked_about() -> None:
    chat = begun("ordered 460 notebooks")
    told = unchanged(chat, "ordered 40 notebooks")
    assert told.startswith("460 field notebook (March) are ordered already. Are 40 all")
    chat.touch("500 in all")
    assert bought(chat).quantity == 500
    unchanged(chat, "ordered 460 notebooks")
    chat.touch("460 in all")
    assert bought(chat).quantity == 460


def test_more_that_is_ordered_after_all_came_is_waited_for() -> None:
    chat = begun("ordered 460 notebooks", "the notebooks came, 60 wet")
    chat.say("ordered 60 notebooks")
    chat.touch("520 in all")
    assert state(chat, f"{NOTEBOOK}/stock") == "open"
    assert progress(chat.shop, NOTEBOOK, TODAY).short == 60


# --- the promised day -----------------------------------------------------------------------


def test_a_promise_moves_what_is_expected_and_not_the_latest_day() -> None:
    chat = begun("ordered 460 notebooks, they say 3 March")
    latest = progress(chat.shop, NOTEBOOK, TODAY).latest
    told = chat.say("notebooks now the 9th of March")
    assert "now expected Tue 9 Mar, the last day on which it must be here" in told
    assert "It was Wed 3 Mar." in told
    one = progress(chat.shop, NOTEBOOK, TODAY)
    assert (one.expected, one.latest, one.float) == (date(2027, 3, 9), latest, 0)
    assert bought(chat).first_promised == date(2027, 3, 3)


def test_what_will_be_late_says_by_how_much_and_offers_ways_out() -> None:
    chat = begun("ordered 460 notebooks, they say 3 March")
    told = chat.say("notebooks delayed by 9 days")
    assert "expected Fri 12 Mar, 3 working days late: it must be here by Tue 9 Mar" in told
    assert chat.buttons["Ways out"] == "ways out for field notebook for 2027-03"


def test_when_and_why_show_what_is_expected_beside_the_latest_day() -> None:
    chat = begun("ordered 460 notebooks, they say 3 March")
    assert "It is expected Wed 3 Mar, 4 working days before it must be here (Tue 9 Mar)" in (
        chat.say("when must I order the notebook")
    )
    why = chat.say("why notebook")
    assert "In hand by Tue 9 Mar" in why
    assert "As promised it is in hand Wed 3 Mar: 4 working days of float." in why


def test_how_a_box_is_goes_by_what_was_promised() -> None:
    chat = begun("ordered 460 notebooks, they say 12 March", "ordered 500 mint tea")
    told = chat.say("how is March")
    assert "Cannot ship complete Mon 15 Mar: field notebook, in hand Fri 12 Mar" in told


def test_the_same_promise_twice_changes_nothing() -> None:
    chat = begun("ordered 460 notebooks, they say 3 March")
    assert "was promised for Wed 3 Mar already" in unchanged(chat, "notebooks now 3 March")


def test_a_delay_of_nothing_promised_asks_for_a_day() -> None:
    chat = begun("ordered the notebook")
    assert "No day was promised" in unchanged(chat, "notebooks delayed by a week")


# --- dispatched -----------------------------------------------------------------------------


def test_a_dispatch_is_kept_with_its_day_and_number() -> None:
    chat = begun("ordered the notebook on 4 January", "notebooks dispatched on 8 January")
    assert bought(chat).dispatched == date(2027, 1, 8)
    assert state(chat, f"{NOTEBOOK}/dispatch") == "done"
    told = chat.say("notebooks dispatched, tracking AB 12")
    assert told.startswith("Dispatched Fri 8 Jan: field notebook (March), tracking AB 12.")
    # Three calendar days under way from Friday: Monday.
    assert progress(chat.shop, NOTEBOOK, TODAY).expected == TODAY
    assert "already" in unchanged(chat, "notebooks are on their way")


def test_a_dispatch_before_the_order_is_asked_about() -> None:
    chat = begun("ordered the notebook")
    assert "ordered only on Mon 11 Jan" in unchanged(chat, "notebooks dispatched yesterday")
    chat.say("yes")
    assert (bought(chat).dispatched, bought(chat).ordered) == (date(2027, 1, 10),) * 2

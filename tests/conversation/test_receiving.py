"""What was ordered and came: whole conversations. The shop is invented."""

import re
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.handle.receiving import HANDLERS
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
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import (
    Delivery,
    Mark,
    Person,
    Place,
    Purchase,
    Put,
    Shop,
    Supplier,
    Talk,
)
from assistant.planning.progress import progress
from tests.conversation.asking import after, asking, text
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP
from tests.conversation.meant import TODAY as UTTERED
from tests.trade import shop

NOTEBOOK, TEA, PIN = "2027-03.field notebook", "2027-03.mint tea", "2027-05.enamel pin"
TODAY = date(2027, 1, 11)
ANNA = Person(id="telegram:2", chat="telegram:2", name="Anna")
JO = Person(id="telegram:3", chat="telegram:3", name="Jo")


def year(**profile: Any) -> Shop:
    return shop(
        "Aldermoor: transit 3d",
        "Hangfeng CN: confirm 2d, transit 5d",
        "2027-03 Rain: field notebook@Aldermoor 450 x 3.10, lead 20d; mint tea",
        "2027-05: enamel pin@Hangfeng, lead 20d",
        "2027-06: enamel pin@Aldermoor; tin badge@Hangfeng; enamel mug",
        **({"subscribers": 420} | profile),
    )


def begun(*said: str, known: Shop | None = None) -> Chat:
    chat = Chat(known or year())
    for one in said:
        chat.say(one)
        assert chat.changes, one
    return chat


def unchanged(chat: Chat, said: str) -> str:
    before = plan_of(chat.shop)
    answer = chat.say(said)
    assert plan_of(chat.shop) == before, answer
    return answer


def state(chat: Chat, key: str) -> str:
    found = deadline(chat.shop, key, TODAY)
    assert found
    return found.state


def bought(chat: Chat, id: str = NOTEBOOK) -> Purchase:
    found = find(chat.shop.purchases, id)
    assert found
    return found


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


# --- arrived --------------------------------------------------------------------------------


def test_what_came_in_part_leaves_it_open_and_says_what_it_means() -> None:
    chat = begun("ordered 460 notebooks, they say 3 March")
    told = chat.say("notebooks: 412 of 460 came, 6 bent")
    assert told.splitlines()[:4] == [
        "Arrived Mon 11 Jan: 412 of 460 field notebook (March), 6 bent.",
        "48 still missing.",
        "406 good of 420 needed: 14 short for March.",
        "The rest is expected Wed 3 Mar, 4 working days before it must be here (Tue 9 Mar).",
    ]
    assert state(chat, f"{NOTEBOOK}/stock") == "open"
    assert state(chat, f"{NOTEBOOK}/dispatch") == "done"
    (one,) = chat.shop.deliveries
    assert (one.pieces, one.damaged, one.note, one.on) == (412, 6, "bent", TODAY)
    assert one.by == "terminal:you"
    chat.touch("That is all")
    assert state(chat, f"{NOTEBOOK}/stock") == "done"


def test_the_rest_makes_it_whole() -> None:
    chat = begun("ordered 460 notebooks", "412 notebooks came, 6 bent")
    told = chat.say("the rest of the notebooks came")
    assert "48 field notebook (March). That makes all 460." in told
    assert "454 good of 420 needed: enough for March, 34 to spare." in told
    assert state(chat, f"{NOTEBOOK}/stock") == "done"
    assert "in hand already, all 460" in unchanged(chat, "the notebooks came")


def test_all_of_it_is_what_was_ordered() -> None:
    chat = begun("ordered 460 notebooks")
    assert "all 460 field notebook" in chat.say("the notebooks came")
    assert [one.pieces for one in chat.shop.deliveries] == [460]


def test_all_but_some_is_counted() -> None:
    chat = begun("ordered 460 notebooks", "the notebooks came, 48 missing")
    assert [one.pieces for one in chat.shop.deliveries] == [412]


def test_what_came_of_an_unknown_number_is_not_taken_for_all() -> None:
    chat = begun("ordered the tea")
    told = chat.say("400 tea came")
    assert "How many mint tea were ordered I do not know. Is that all of it?" in told
    assert state(chat, f"{TEA}/stock") == "open"
    chat.touch("That is all")
    assert progress(chat.shop, TEA, TODAY).state == "arrived"


def test_what_came_without_any_number_is_in_hand() -> None:
    chat = begun("ordered the tea")
    assert "412 of 460 mint tea came, 6 bent" in chat.say("the tea came")
    assert state(chat, f"{TEA}/stock") == "done"
    assert chat.shop.deliveries == ()


def test_what_should_have_come_is_taken_down_where_it_was_not_known() -> None:
    chat = begun("ordered the tea", "412 of 460 tea came")
    assert bought(chat, TEA).quantity == 460
    assert progress(chat.shop, TEA, TODAY).short == 48


def test_a_part_that_comes_after_it_was_marked_opens_it_again() -> None:
    chat = begun("ordered 460 notebooks", "done: stock field notebook for 2027-03")
    chat.say("412 notebooks came")
    assert state(chat, f"{NOTEBOOK}/stock") == "open"


def test_the_same_message_twice_counts_once() -> None:
    known = begun("ordered 460 notebooks").shop
    asked = asking(TODAY, ref="update/9")
    outcome = HANDLERS[ItemArrived](known, ItemArrived(NOTEBOOK, 100), asked)
    known = after(known, outcome)
    again = HANDLERS[ItemArrived](known, ItemArrived(NOTEBOOK, 100), asked)
    assert (again.changes, again.stands, len(again.replies)) == ((), True, 1)


def test_two_deliveries_in_one_message_are_two() -> None:
    chat = begun("ordered 460 notebooks", "ordered 400 tea")
    chat.say("412 notebooks came, 6 bent; the tea came")
    assert sorted(one.pieces for one in chat.shop.deliveries) == [400, 412]


# --- checked, the story ---------------------------------------------------------------------


def test_checked_goods_keep_what_was_counted_and_count_what_was_found() -> None:
    chat = begun("ordered 460 notebooks", "the notebooks came, 6 bent")
    assert "460 field notebook (March), 6 of them unusable" in chat.say("notebooks checked")
    assert progress(chat.shop, NOTEBOOK, TODAY).state == "checked"
    assert "was checked Mon 11 Jan already" in unchanged(chat, "notebooks checked")
    chat.say("notebooks checked, 10 bent")
    assert progress(chat.shop, NOTEBOOK, TODAY).good == 450


def test_what_is_found_bad_is_put_on_the_deliveries() -> None:
    chat = begun("ordered 460 notebooks", "60 notebooks came", "the rest of the notebooks came")
    chat.say("notebooks checked, 410 wet")
    assert sorted(one.damaged for one in chat.shop.deliveries) == [10, 400]


def test_the_story_tells_every_step_with_its_day_and_by_whom() -> None:
    chat = Chat(apply(year(), (Put(ANNA),)))
    chat.say("notebook is sourced")
    chat.say("ordered 460 notebooks at 2.95, they say 3 March, ref HF-2")
    chat.say("notebooks now 9 March")
    chat.now = datetime(2027, 3, 1, 9, tzinfo=UTC)
    chat.say("notebooks dispatched on 27 February, tracking 123")
    chat.say("412 notebooks came, 6 bent", sender=ANNA.chat)
    told = chat.say("how far are the notebooks")
    assert told.splitlines() == [
        "field notebook, March: arrived in part",
        "Settled Mon 11 Jan: with Aldermoor, £2.95 (owner)",
        "Ordered Mon 11 Jan: 460 at £2.95, from Aldermoor, ref HF-2 (owner)",
        "Promised for Tue 9 Mar: at first Wed 3 Mar (owner)",
        "Dispatched Sat 27 Feb: tracking 123 (owner)",
        "Came Mon 1 Mar: 412, 6 bent (Anna)",
        "48 still missing.",
        "406 good of 420 needed: 14 short for March.",
        "The rest is expected Tue 9 Mar, the last day on which it must be here.",
    ]
    assert unchanged(chat, "story of the tea").splitlines() == [
        "mint tea, March: thought of",
        "Thought of: not settled yet.",
    ]


# --- who hears of it ------------------------------------------------------------------------


def with_helpers(**given_to: str) -> Shop:
    """Two helpers; a stage of the notebook is given to one of them."""
    marks = (Mark(f"{NOTEBOOK}/{stage}", to=person) for stage, person in given_to.items())
    return apply(year(), (Put(ANNA), Put(JO), *map(Put, marks)))


def heard_by(chat: Chat) -> list[str]:
    return [one.to for one in chat.outcome.replies if one.to]


def test_the_owner_hears_once_what_a_helper_tells() -> None:
    chat = Chat(with_helpers())
    chat.say("ordered 460 notebooks at 2.95, they say 3 March")
    assert heard_by(chat) == []
    chat.say("notebooks now 12 March", sender=ANNA.chat)
    assert heard_by(chat) == ["terminal:you"]
    told = chat.told(chat.outcome.replies, "terminal:you")
    assert told.startswith("Anna told me. Promised for Fri 12 Mar: field notebook (March).")
    assert "3 working days late" in told
    unchanged(chat, "notebooks now 12 March")
    assert heard_by(chat) == []


def test_who_has_the_task_hears_what_the_owner_tells() -> None:
    chat = Chat(with_helpers(stock=JO.id, dispatch=JO.id))
    chat.say("ordered 460 notebooks at 2.95, they say 3 March")
    assert heard_by(chat) == [JO.chat]
    assert "£" not in chat.told(chat.outcome.replies, JO.chat)
    chat.say("412 notebooks came", sender=JO.chat)
    assert heard_by(chat) == ["terminal:you"]


def test_who_cannot_be_reached_is_told_nothing() -> None:
    chat = Chat(apply(with_helpers(stock=JO.id), (Put(replace(JO, reachable=False)),)))
    chat.say("ordered 460 notebooks")
    assert heard_by(chat) == []


def test_what_is_told_in_a_group_is_told_there_only() -> None:
    chat = Chat(apply(with_helpers(stock=JO.id), (Put(Place("telegram:-9", "Packing")),)))
    chat.say("ordered 460 notebooks", sender=ANNA.chat, chat="telegram:-9", group="Packing")
    assert bought(chat).quantity == 460
    assert heard_by(chat) == []


# --- bad input ------------------------------------------------------------------------------

ORDERED = ("ordered 460 notebooks, they say 3 March",)
CAME = (*ORDERED, "412 notebooks came, 6 bent")


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

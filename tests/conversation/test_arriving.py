"""What came, how far it is, who hears of it: whole conversations. The shop is invented."""

from datetime import UTC, datetime

from msgspec.structs import replace

from assistant.conversation.handle.receiving import HANDLERS
from assistant.conversation.month_requests import (
    ItemArrived,
)
from assistant.planning.changes import apply
from assistant.planning.model import (
    Claim,
    Mark,
    Place,
    Put,
    Shop,
)
from assistant.planning.month.progress import progress
from tests.conversation.asking import after, asking
from tests.conversation.chat import Chat
from tests.conversation.received import (
    ANNA,
    JO,
    NOTEBOOK,
    TEA,
    TODAY,
    begun,
    bought,
    state,
    unchanged,
    year,
)

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


def test_what_replaces_damaged_pieces_is_not_too_much_once_it_is_claimed() -> None:
    chat = begun("ordered 460 notebooks", "the notebooks came, 60 wet")
    assert "60 too many" in unchanged(chat, "60 notebooks came")
    claim = Claim(NOTEBOOK, damaged=60, on=TODAY)
    chat.shop = apply(chat.shop, (Put(claim),))
    assert "460 good of 420 needed: enough for March, 40 to spare." in chat.say("60 notebooks came")
    assert "too many" in unchanged(chat, "1 of the notebooks came")


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

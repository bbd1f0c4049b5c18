"""Taking back: what, by whom, and what stands in the way."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Shop
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

ANNA = "telegram:11"


@pytest.fixture
def chat() -> Chat:
    talk = Chat(
        shop(
            "Aldermoor DE",
            "2027-03 rain and roots: field notebook@Aldermoor 450 x 3.10, lead 20d; tea 450 x 1.20",
            "2027-05 first swifts: enamel pin 450 x 1.80",
        )
    )
    code = talk.say("let a helper in").split(": ")[1].split("\n")[0]
    talk.hear(code, sender=ANNA, name="Anna")
    return talk


def test_undo_takes_back_the_speakers_last_change(chat: Chat) -> None:
    before = plan_of(chat.shop)
    chat.hear("March theme mud and moss")
    text = chat.say("undo")
    assert text.startswith("Taken back: March theme mud and moss")
    assert 'March is "rain and roots" again' in text
    assert plan_of(chat.shop) == before


def test_undo_and_undo_again_go_further_back(chat: Chat) -> None:
    before = plan_of(chat.shop)
    for text in ("March theme one", "May theme two", "April theme three"):
        chat.hear(text)
    assert [chat.say("undo").splitlines()[0] for _ in range(3)] == [
        "Taken back: April theme three",
        "Taken back: May theme two",
        "Taken back: March theme one",
    ]
    assert plan_of(chat.shop) == before
    assert "nothing of yours" in chat.say("undo")


def test_what_was_taken_back_can_be_put_back_and_taken_back_again(chat: Chat) -> None:
    before = plan_of(chat.shop)
    chat.hear("March theme mud and moss")
    after = plan_of(chat.shop)
    chat.hear("undo")
    assert "Put back: March theme mud and moss" in chat.touch("Put it back")
    assert plan_of(chat.shop) == after
    chat.touch("Undo")
    assert plan_of(chat.shop) == before


def test_put_it_back_said_in_words_puts_back_what_was_taken_back_last(chat: Chat) -> None:
    chat.hear("March theme one")
    chat.hear("May theme two")
    two = plan_of(chat.shop)
    chat.hear("undo")
    one = plan_of(chat.shop)
    chat.hear("undo")
    assert "Put back: March theme one" in chat.say("put it back")
    assert plan_of(chat.shop) == one
    assert "Put back: May theme two" in chat.say("put it back")
    assert plan_of(chat.shop) == two
    assert "You took nothing back" in chat.say("put it back")
    assert chat.changes == ()


def test_an_older_change_is_taken_back_while_it_stands(chat: Chat) -> None:
    chat.hear("March theme mud and moss")
    undo = chat.buttons["Undo"]
    chat.hear("May theme late frost")
    assert "Taken back: March theme mud and moss" in chat.say(undo)
    themes = {box.id: box.theme for box in chat.shop.boxes}
    assert themes == {"2027-03": "rain and roots", "2027-05": "late frost"}


def test_what_was_changed_since_is_not_taken_back_but_named(chat: Chat) -> None:
    chat.hear("March theme one")
    undo = chat.buttons["Undo"]
    chat.hear("March theme two", sender=ANNA)
    text = chat.say(undo)
    assert "Not taken back: March theme one" in text
    assert "March theme two" in text
    assert "Anna" in text
    assert chat.changes == ()
    assert 'March is "one" again' in chat.touch("Undo that")
    assert "Taken back: March theme one" in chat.say(undo)


def test_the_same_change_is_not_taken_back_twice(chat: Chat) -> None:
    chat.hear("March theme one")
    undo = chat.buttons["Undo"]
    chat.hear(undo)
    assert "already" in chat.say(undo)
    assert chat.changes == ()


@pytest.mark.parametrize("text", ["undo 999", "undo 0"])
def test_a_number_that_is_unknown_changes_nothing(chat: Chat, text: str) -> None:
    chat.hear("March theme one")
    assert chat.say(text)
    assert chat.changes == ()


def test_nothing_to_undo_is_a_sentence() -> None:
    assert "nothing of yours" in Chat().say("undo")
    assert "Nothing was changed yet" in Chat().say("history")


def test_helpers_take_back_only_what_was_theirs(chat: Chat) -> None:
    chat.hear("March theme one")
    undo = chat.buttons["Undo"]
    assert "owner" in chat.say(undo, sender=ANNA)
    assert chat.changes == ()
    assert "nothing of yours" in chat.say("undo", sender=ANNA)
    chat.hear("May theme two", sender=ANNA)
    assert "Taken back: May theme two" in chat.say("undo", sender=ANNA)


def test_owners_take_back_what_anyone_did(chat: Chat) -> None:
    chat.hear("May theme two", sender=ANNA)
    assert "Taken back: May theme two" in chat.say(chat.buttons["Undo"])


def test_history_shows_who_did_what_newest_first(chat: Chat) -> None:
    chat.hear("March theme one", name="Ann")
    chat.hear("May theme two", sender=ANNA)
    chat.hear("undo", sender=ANNA)
    title, *lines = chat.say("history").splitlines()
    assert title == "Latest changes"
    assert "undo: May theme two" in lines[0]
    assert lines[1].endswith("Anna: May theme two (taken back)")
    assert lines[2].endswith("you: March theme one")
    assert "Mon 11 Jan" in lines[2]


@pytest.mark.parametrize(
    ("said", "again"),
    [
        ("drop the tea", "tea (March) is back"),
        ("add to March: tin mug", "tin mug (March) is out again"),
        ("move the tea to May", "tea (March) is there again"),
        ("ship March on the 12th", "March ships by the rule again"),
        ("Idea: oat biscuits", "The idea oat biscuits is out again"),
        ("April theme moss", "April is out again"),
        ("Aldermoor is in Japan", "Aldermoor is as it was"),
    ],
)
def test_what_is_true_again_is_said(chat: Chat, said: str, again: str) -> None:
    chat.hear(said)
    assert again in chat.say("undo")


def dangling(shop: Shop) -> list[str]:
    """Items that name a box or a supplier that is not there."""
    boxes = {box.id for box in shop.boxes}
    suppliers = {one.id for one in shop.suppliers} | {""}
    return [i.id for i in shop.items if i.box not in boxes or i.supplier not in suppliers]


def test_a_box_and_a_supplier_stay_while_later_items_need_them(chat: Chat) -> None:
    chat.hear("add to April: tin mug from Tannwald")
    undo = chat.buttons["Undo"]
    chat.hear("add to April: spoon from Tannwald")
    chat.hear(undo)
    assert [item.name for item in chat.shop.items if item.box == "2027-04"] == ["spoon"]
    assert dangling(chat.shop) == []


SAID = st.sampled_from(
    [
        "March theme moss",
        "April theme mud",
        "add to April: tin mug from Tannwald, 4.20",
        "add to April: spoon from Tannwald",
        "move the tea to April",
        "move the tea to March",
        "drop the tea",
        "swap March and April now",
        "swap March and May now",
        "Idea: oat biscuits",
        "Tannwald is in Germany",
        "undo",
        "put back",
    ]
)


@given(st.lists(SAID, min_size=1, max_size=10), st.data())
def test_undo_whatever_is_undone_leaves_a_whole_plan(said: list[str], data: st.DataObject) -> None:
    chat = Chat(shop("2027-03 rain: tea 450 x 1.20", "2027-05 swifts: enamel pin 450 x 1.80"))
    for text in said:
        if text == "put back" and chat.shop.recent:
            number = data.draw(st.sampled_from([entry.number for entry in chat.shop.recent]))
            text = f"undo {number}"
        chat.hear(text)
        assert dangling(chat.shop) == []


@given(st.lists(SAID.filter(lambda text: text not in ("undo", "put back")), max_size=8))
def test_undoing_everything_brings_the_first_plan_back(said: list[str]) -> None:
    chat = Chat(shop("2027-03 rain: tea 450 x 1.20", "2027-05 swifts: enamel pin 450 x 1.80"))
    before = plan_of(chat.shop)
    for text in said:
        chat.hear(text)
    for _ in range(len(chat.shop.recent)):
        chat.hear("undo")
    after = plan_of(chat.shop)
    for table in ("boxes", "items", "suppliers", "ideas", "ledger"):
        assert set(getattr(after, table)) == set(getattr(before, table)), table


# --- many records at once -------------------------------------------------------------------


def test_a_swap_taken_back_is_told_in_its_own_words_and_one_line(chat: Chat) -> None:
    chat.say("ordered the tea")
    chat.say("swap March and May now")
    swap, records, dates = chat.say("undo").splitlines()
    assert swap == "Taken back: swap March and May"
    assert records == "2 boxes and 3 items are as they were."
    assert "dates move; the first: settle sourcing of field notebook (March) by " in dates


def test_what_was_done_for_an_item_that_is_back_is_not_told_of_by_itself(chat: Chat) -> None:
    chat.say("ordered the tea")
    chat.say("drop the tea now")
    assert chat.say("undo") == "Taken back: drop tea from March\ntea (March) is back."


def test_a_thing_done_and_taken_back_is_named_as_the_morning_names_it(chat: Chat) -> None:
    chat.say("ordered the tea")
    assert chat.say("undo").splitlines()[1] == "Open again: order tea (March)."
    assert chat.touch("Put it back").splitlines()[1] == "Done again: order tea (March)."


def test_a_closure_taken_back_says_which_dates_move(chat: Chat) -> None:
    chat.say("Aldermoor closed 1-28 February")
    assert "date" in chat.say("undo").splitlines()[-1]

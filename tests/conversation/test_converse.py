"""What a message as a whole becomes: its kind, its parts joined, all of it or nothing."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation import requests
from assistant.conversation.converse import converse
from assistant.conversation.handle.table import HANDLERS, WRITES
from assistant.conversation.joining import BUTTONS, join
from assistant.conversation.messages import Button, Heard, Moment, Outcome, Reply
from assistant.planning.changes import apply, find, invert
from assistant.planning.model import Put, Talk
from tests.conversation.chat import MORNING, OWNER, Chat, commit, empty, plan_of
from tests.trade import shop

YEAR = (
    "Aldermoor DE: lead 20d",
    "2027-03 rain and roots: field notebook@Aldermoor 450 x 3.10; tea 450 x 1.20, lead 5d",
    "2027-05 first swifts: enamel pin 450 x 1.80, lead 30d",
)


@pytest.fixture
def chat() -> Chat:
    return Chat(shop(*YEAR))


def test_every_request_has_a_handler_and_every_write_is_a_request() -> None:
    every = set(requests.Request.__args__)
    assert set(HANDLERS) == every
    assert every > WRITES


# --- several things in one message ----------------------------------------------------------


def test_the_parts_of_a_message_are_done_in_order_and_answered_in_one_message(chat: Chat) -> None:
    text = chat.say("April theme moss\nadd to April: tin mug, 4.20\nhow is April")
    assert len(chat.outcome.replies) == 1
    assert text.index('"moss"') < text.index("Added to April") < text.index("1 item")
    (mug,) = [item for item in chat.shop.items if item.name == "tin mug"]
    assert mug.box == "2027-04"


def test_ids_differ_between_the_parts_of_a_message(chat: Chat) -> None:
    chat.hear("add to April: tin mug from Brackenfold\nadd to April: spoon from Tannwald")
    ids = [record.id for record in (*chat.shop.items, *chat.shop.suppliers)]
    assert len(ids) == len(set(ids)) == 3 + 1 + 2 + 2


def test_one_undo_takes_the_whole_message_back(chat: Chat) -> None:
    before = plan_of(chat.shop)
    chat.hear("April theme moss\nadd to April: tin mug, 4.20")
    assert list(chat.buttons.values()).count(chat.buttons["Undo"]) == 1
    chat.touch("Undo")
    assert plan_of(chat.shop) == before


@pytest.mark.parametrize(
    "text",
    [
        "April theme moss\nadd to March: field notebook, 9.99",  # twice in a box
        "April theme moss\nmove the unicorn to May",  # no such item
        "April theme moss\nSmarch theme x",  # no such month
    ],
)
def test_a_message_of_which_one_part_cannot_be_done_changes_nothing(chat: Chat, text: str) -> None:
    before = plan_of(chat.shop)
    said = chat.say(text)
    assert chat.changes == ()
    assert plan_of(chat.shop) == before
    assert "2" in said or text.splitlines()[1].split()[-1] in said


def test_joined_replies_keep_pictures_and_other_chats_apart() -> None:
    parts = (
        Outcome(replies=(Reply("one", title="First", buttons=((Button("A", "a"),),)),), undoes=7),
        Outcome(replies=(Reply("two", buttons=((Button("B", "a"), Button("C", "c")),)),)),
        Outcome(replies=(Reply("picture", photo="file/1"), Reply("elsewhere", to="telegram:2"))),
    )
    joined = join(parts, OWNER)
    here, picture, elsewhere = joined.replies
    assert (here.title, here.text) == ("First", "one\n\ntwo")
    assert [button.says for row in here.buttons for button in row] == ["a", "c"]
    assert picture.photo == "file/1"
    assert elsewhere.to == "telegram:2"
    assert joined.undoes == 7


@given(st.lists(st.lists(st.sampled_from("abcdefgh"), max_size=5), min_size=2, max_size=6))
def test_a_joined_message_shows_each_button_once_and_not_too_many(rows: list[list[str]]) -> None:
    parts = [
        Outcome(replies=(Reply("x", buttons=(tuple(Button(s, s) for s in row),)),)) for row in rows
    ]
    (reply,) = join(parts, OWNER).replies
    said = [button.says for row in reply.buttons for button in row]
    every = {says for row in rows for says in row}
    assert len(said) == len(set(said)) == min(len(every), BUTTONS)
    assert set(said) <= every


def test_a_label_that_stands_for_two_things_is_not_shown(chat: Chat) -> None:
    chat.hear("add to May: tin mug\nadd to May: spoon")
    assert list(chat.buttons) == ["Undo"]
    chat.hear("April theme moss\nMay theme frogs")
    assert list(chat.buttons) == ["Undo", "How is April", "How is May"]


# --- characters that steer a screen ----------------------------------------------------------


@pytest.mark.parametrize("mark", ["\u202e", "\u200f", "\u2066", "\u061c", "\x1b[31m", "\x07"])
def test_what_turns_or_steers_a_screen_is_neither_kept_nor_said_back(chat: Chat, mark: str) -> None:
    stray = mark[0]
    told = [
        chat.say(f"March theme rain{mark} and roots", name=f"Ann{mark}"),
        chat.say(f"Idea: {mark}lantern walk for November"),
        chat.say(f"a walk{mark}", forwarded_from=f"Bert{mark}"),
        chat.say("", document_name=f"year{mark}.csv", content=b"Month,Item\nMarch,tea\n"),
        chat.say("ideas"),
        chat.say("show the year"),
        chat.say("history"),
        chat.say("who is in"),
    ]
    assert not any(stray in text for text in told)
    assert not any(stray in repr(entry) for entry in chat.shop.recent)
    assert "lantern walk" in told[4]


def test_letters_of_every_script_and_joined_emoji_stay_as_they_are(chat: Chat) -> None:
    words = "مرحبا שלום ノート \U0001f469\u200d\U0001f33e jardini\u00e8re"
    assert words in chat.say(f"Idea: {words}")


# --- words that are no words ----------------------------------------------------------------


@pytest.mark.parametrize("text", ["", "   ", "\n\n"])
def test_a_message_without_words_is_told_what_is_taken(chat: Chat, text: str) -> None:
    assert "I take words, pictures and year files" in chat.say(text)
    assert chat.changes == ()


def test_an_old_button_is_told_to_be_said_in_words(chat: Chat) -> None:
    assert "button" in chat.say("", pressed=True)
    assert chat.changes == ()


# --- the history's words, the talk's memory -------------------------------------------------


def test_the_history_keeps_the_words_that_did_it_and_cuts_long_ones(chat: Chat) -> None:
    chat.hear("April theme moss")
    assert chat.shop.recent[-1].why == "April theme moss"
    chat.hear("Idea: " + "very " * 200 + "long")
    assert len(chat.shop.recent[-1].why) <= 200


def test_a_question_leaves_answers_behind_and_the_next_message_forgets_them(chat: Chat) -> None:
    chat.hear("add a tin mug, 4.20")
    talk = find(chat.shop.talks, OWNER)
    assert talk is not None
    assert talk.options
    assert chat.changes == ()
    chat.hear("how is March")
    talk = find(chat.shop.talks, OWNER)
    assert talk is not None
    assert talk.options == ()


def test_a_plain_answer_is_not_an_offer_that_yes_would_take(chat: Chat) -> None:
    chat.hear("April theme moss")
    after = plan_of(chat.shop)
    chat.hear("yes")
    assert plan_of(chat.shop) == after


def test_a_message_that_only_asks_writes_no_history(chat: Chat) -> None:
    for text in ("what is due", "how is March", "show the year", "ideas", "help", "who is in"):
        chat.hear(text)
        assert chat.changes == ()
        assert chat.outcome.why == ""
    assert chat.shop.recent == ()


# --- pure, whole, never raising -------------------------------------------------------------

WORDS = st.sampled_from(
    [
        "March theme moss",
        "add to May: tin mug, 4.20, 10 working days",
        "move the tea to May",
        "swap March and May",
        "swap March and May now",
        "Idea: lantern walk for November",
        "a thought about moss",
        "what is due",
        "done 1",
        "undo",
        "history",
        "ideas",
        "use 1 in May",
        "let 1 go",
        "drop the notebook",
        "Aldermoor closed 2-20 August",
        "we are 431",
        "rehearse",
        "yes",
        "1",
        "help",
        "hello",
        "not needed",
        "bring it in",
        "\U0001f331",
        "\u202egnirts",
        "<b>&",
        "add to",
        "31 February",
    ]
)


@given(st.lists(st.lists(WORDS, min_size=1, max_size=3).map("\n".join), min_size=1, max_size=6))
def test_whole_conversations_never_raise_and_every_change_can_be_turned_round(
    messages: list[str],
) -> None:
    chat = Chat(shop(*YEAR))
    for text in messages:
        before = chat.shop
        outcome = chat.hear(text)
        assert all(reply.text.strip() for reply in outcome.replies)
        assert outcome.replies
        after = apply(before, outcome.changes)
        back = apply(after, invert(before, outcome.changes))
        assert {one.id: one for one in back.items} == {one.id: one for one in before.items}
        assert (outcome.why == "") == (outcome.changes == ())


@given(
    text=st.text(max_size=80) | WORDS,
    photo=st.sampled_from(["", "file/1"]),
    content=st.sampled_from([None, b"", b"Month,Item\nMarch,tea\n", b"\x89PNG\r\n\x1a\n..."]),
    document=st.sampled_from(["", "file/2"]),
    document_name=st.sampled_from(["", "year.csv", "menu.pdf", "a.png", "\u202e.csv"]),
    forwarded_from=st.sampled_from(["", "A <b>friend</b>"]),
    edited=st.booleans(),
    pressed=st.booleans(),
    lost=st.booleans(),
)
def test_no_kind_of_message_raises(
    text: str, content: bytes | None, edited: bool, **fields: object
) -> None:
    chat = Chat(shop(*YEAR))
    chat.hear("a thought about moss", message="message/0")
    outcome = chat.hear(text, content=content, edited=edited, message="message/0", **fields)
    assert edited or outcome.replies


def test_the_same_message_on_the_same_shop_has_the_same_outcome() -> None:
    before = apply(shop(*YEAR), (Put(one) for one in empty().people))
    for text in ("add to April: tin mug from Tannwald", "a thought", "what is due", "undo"):
        heard = Heard(id="u/1", chat=OWNER, sender=OWNER, at=MORNING, text=text, message="m/1")
        moment = Moment(now=MORNING, ref="u/1", token="t")
        assert converse(before, heard, moment) == converse(before, heard, moment)


def test_every_button_says_something_that_is_understood(chat: Chat) -> None:
    starts: tuple[Callable[[], str], ...] = tuple(
        (lambda text=text: chat.say(text))
        for text in ("hello", "what is due", "how is March", "a tin mug", "ideas", "show the year")
    )
    for start in starts:
        start()
        for says in tuple(chat.buttons.values()):
            other = Chat(chat.shop, chat.now)
            other.hear(says, pressed=True)
            assert other.outcome.replies, says
            stored = find(other.shop.talks, OWNER) or Talk(id=OWNER)
            assert not _is_question(other), says
            assert stored.id == OWNER


def _is_question(chat: Chat) -> bool:
    """Whether the last answer was a question back, which a button must not lead to."""
    talk = find(chat.shop.talks, OWNER)
    listed = talk is not None and (talk.ideas or len(talk.options) >= len(talk.deadlines))
    return talk is not None and bool(talk.options) and not listed


def test_commit_counts_as_the_worker_does() -> None:
    before = replace(empty(), version=7)
    outcome = Outcome(notes=(Put(Talk(id="x")),))
    assert commit(before, outcome, "", MORNING).version == 8
    assert commit(before, Outcome(), "", MORNING) == before

"""The sample conversations work as they stand; they are also the help."""

import re

import pytest

from assistant.conversation import examples
from assistant.conversation.examples import EXAMPLES, START, Example, Turn
from assistant.conversation.handle.nudging import morning
from assistant.conversation.replies.help import ABOUT, AREAS
from tests.conversation.chat import OWNER, Chat, commit


def play(chat: Chat, turn: Turn) -> str:
    """Do one turn; return what is heard back, buttons too."""
    if turn.at is not None:
        chat.now = turn.at
        chat.outcome = morning(chat.shop, chat.now)
        chat.shop = commit(chat.shop, chat.outcome, "", chat.now)
        return chat.told(chat.outcome.replies, OWNER)
    if turn.file:
        return chat.say(
            turn.says, document="file/1", document_name=turn.file, content=turn.content.encode()
        )
    return chat.say(turn.says)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.title)
def test_a_sample_conversation_goes_as_it_stands(example: Example) -> None:
    chat = Chat(now=START)
    for turn in example.turns:
        heard = play(chat, turn)
        place = 0
        for piece in turn.hears:
            found = heard.find(piece, place)
            assert found >= 0, f"{turn.says!r} was answered\n{heard}\nwithout {piece!r}"
            place = found + len(piece)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.title)
def test_no_turn_of_a_sample_conversation_ends_in_a_question_back(example: Example) -> None:
    chat = Chat(now=START)
    for turn in example.turns:
        heard = play(chat, turn)
        assert "For example" not in heard, f"{turn.says!r} was answered\n{heard}"


def test_every_topic_is_described_and_has_words_to_show() -> None:
    assert set(examples.topics()) == set(ABOUT)
    assert sorted(ABOUT) == sorted(topic for topics in AREAS.values() for topic in topics)
    for topic in examples.topics():
        found = [phrase for one in examples.on(topic) for phrase in examples.phrases(one)]
        assert found
        assert all(found)


def test_help_lists_the_topics_and_each_topic_its_sentences() -> None:
    chat = Chat()
    overview = chat.say("help")
    for area, topics in AREAS.items():
        assert f"{area.capitalize()}: {', '.join(topics)}" in overview
        text = chat.say(f"help {area}")
        assert all(f"help {topic}: {ABOUT[topic]}" in text for topic in topics)
    for topic in examples.topics():
        text = chat.say(f"help {topic}")
        for one in examples.on(topic):
            assert all(phrase in text for phrase in examples.phrases(one))


def test_help_on_something_unknown_names_the_topics() -> None:
    text = Chat().say("help unicorns")
    assert all(topic in text for topic in examples.topics())


def test_the_overview_and_the_welcome_fit_a_phone() -> None:
    chat = Chat()
    for text in (chat.say("help"), chat.say("hello")):
        lines = [part for line in text.splitlines() for part in re.findall(r".{1,45}", line)]
        assert len(lines) <= 13, text


def test_the_welcome_shows_the_next_box_and_what_is_due() -> None:
    chat = Chat(now=START)
    chat.hear("February theme first frost")
    chat.hear("add to February: wool socks, 3 working days", name="Ann")
    text = chat.say("hello")
    assert text.startswith("Hello")
    assert "February: first frost" in text
    assert "Ships Mon 15 Feb" in text
    assert "wool socks" in text
    assert "What is due" in chat.buttons
    assert chat.changes == ()


def test_the_welcome_of_an_empty_shop_says_how_to_begin() -> None:
    text = Chat().say("hello")
    assert "March theme rain and roots" in text
    assert "CSV or XLSX" in text


@pytest.mark.parametrize(
    "said", ["help files", "help me with files", "help with a file", "/help Files"]
)
def test_help_on_a_topic_is_found_in_whatever_words(said: str) -> None:
    assert Chat().say(said).startswith("Bring in a year from a file")

"""Lists longer than a phone's screen: shown a screen at a time, every line of them reachable."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.handle import answers, ideas
from assistant.planning.changes import find
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Talk
from tests.conversation.chat import MORNING, OWNER, Chat
from tests.trade import shop

LINES = 12  # of a reply that is a list: a screen of it, its headings and what is left
MANY = "2027-03 Rain: " + "; ".join(f"thing {letter}" for letter in "abcdefghijkl")


def talk(chat: Chat) -> Talk:
    found = find(chat.shop.talks, OWNER)
    assert found
    return found


def numbers(said: str) -> list[int]:
    starts = (line.split(". ")[0] for line in said.splitlines())
    return [int(start) for start in starts if start.isdecimal()]


def through(chat: Chat, asked: str, more: str) -> list[str]:
    """The screens of a list, from the first to the last."""
    screens = [chat.say(asked)]
    while more in chat.buttons:
        screens.append(chat.touch(more))
        assert len(screens) < 50
    return screens


@given(st.integers(1, 40))
def test_every_idea_is_on_one_screen_and_keeps_its_number(count: int) -> None:
    chat = Chat()
    for number in range(count):
        chat.hear(f"Idea: lantern {number}")
    screens = through(chat, "ideas", "More ideas")
    assert [n for screen in screens for n in numbers(screen)] == list(range(1, count + 1))
    for number in range(count):
        assert sum(f" lantern {number}\n" in f"{screen}\n" for screen in screens) == 1
    assert len(screens) == -(-count // ideas.SHOWN)
    chat.hear(f"let {count} go")  # a number of the last screen
    assert [one.text for one in chat.shop.ideas if one.state == "let go"] == ["lantern 0"]


@pytest.mark.parametrize("asked", ["ideas for May", "ideas about lantern", "used ideas"])
def test_what_was_asked_for_is_what_goes_on(asked: str) -> None:
    chat = Chat()
    for number in range(10):
        chat.hear(f"Idea: lantern {number} for May")
        chat.hear(f"Idea: mug {number}")
    if asked == "used ideas":
        for _ in range(10):
            chat.hear("ideas for May")
            chat.hear("use 1 in May")
    screens = through(chat, asked, "More ideas")
    assert len(screens) == 2
    assert not any("mug" in screen for screen in screens)
    assert screens[0].splitlines()[0] == screens[1].splitlines()[0]


def test_what_is_due_goes_on_until_all_of_it_was_shown() -> None:
    chat = Chat(shop(MANY))
    screens = through(chat, "what is due until 15 March 2027", "More")
    until = date(2027, 3, 15)
    every = deadlines(chat.shop, MORNING.date())
    due = [d for d in every if d.nudge and d.state == "open" and d.on <= until]
    shown = [n for screen in screens for n in numbers(screen)]
    assert shown == list(range(1, len(due) + 1))
    assert all(len(screen.splitlines()) <= LINES for screen in screens)
    assert talk(chat).deadlines == tuple(d.key for d in due)
    last = due[-1]
    chat.hear(f"done {len(due)}")
    assert [mark.id for mark in chat.shop.ledger] == [last.key]


def test_the_buttons_of_a_further_screen_are_of_its_own_lines() -> None:
    chat = Chat(shop(MANY))
    chat.hear("what is due until 15 March 2027")
    chat.touch("More")
    first = answers.SHOWN + 1
    assert list(chat.buttons)[:2] == [f"Done {first}", f"Put off {first}"]
    key = talk(chat).deadlines[first - 1]
    chat.touch(f"Done {first}")
    assert [mark.id for mark in chat.shop.ledger] == [key]


def test_what_is_late_goes_on_too() -> None:
    chat = Chat(shop(MANY), now=MORNING.replace(month=3))
    screens = through(chat, "what is late", "More")
    late = [d for d in deadlines(chat.shop, chat.now.date()) if d.late and d.nudge]
    assert [n for screen in screens for n in numbers(screen)] == list(range(1, len(late) + 1))


@pytest.mark.parametrize("word", ["more", "show me more", "9"])
def test_more_said_in_words_goes_on_with_the_list_that_was_shown(word: str) -> None:
    chat = Chat(shop(MANY))
    chat.hear("what is due until 15 March 2027")
    asked = chat.buttons["More"]
    chat.hear(word)
    went_on = chat.told(chat.outcome.replies)
    assert went_on == chat.say(asked)
    for number in range(10):
        chat.hear(f"Idea: lantern {number}")
    chat.hear("ideas")
    assert "9. lantern 1" in chat.say(word)


def test_a_place_beyond_the_end_shows_the_end() -> None:
    chat = Chat()
    chat.hear("Idea: lantern walk")
    assert "1. lantern walk" in chat.say("from 99: ideas")


def test_a_bare_number_after_a_list_asks_for_that_line_and_changes_nothing() -> None:
    chat = Chat(shop(MANY))
    listed = chat.say("what is due until 1 March 2027").splitlines()
    assert "2. Mon 25 Jan  settle sourcing of thing a (March)" not in listed[0]
    for number in (1, 2, 3):
        chat.hear("what is due until 1 March 2027")
        said = chat.say(str(number))
        assert chat.changes == ()
        assert "March" in said
        assert "by " in said


def test_a_bare_number_after_the_morning_digest_asks_for_that_line() -> None:
    chat = Chat(shop("2027-03 Rain: notebook, lead 20d"))
    chat.hear("hello")
    asked = chat.shop.talks[0].options[0]
    assert chat.say("1") == chat.say(asked)

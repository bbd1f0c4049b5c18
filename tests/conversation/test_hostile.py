"""Random and hostile messages through the whole conversation: a sentence each time, no exception,
nothing changed unless the answer says so and offers to take it back."""

import random

import pytest

from assistant.conversation.converse import STEERING
from tests.conversation.chat import OWNER, Chat
from tests.trade import shop

FEW, MANY = 1_500, 20_000
PIECES = (
    "March", "Smarch", "may", "theme", "add to", "add", "move", "swap", "drop", "the", "notebook",
    "tea", "tin mug", "from", "Aldermoor", "Nobody & Sons", "3.10", "-3.10", "£-1", "1e309",
    "NaN", "99999999999999999999", "0", "20 working days", "-5 days", "31 February", "30/2/2027",
    "2027-13-45", "0000-00", "9999-12", "12 March 1999", "closed", "2-20 August",
    "20 August to 2 August", "from 1 May", "10 days either side of the lunar new year", "undo",
    "undo 999999999999", "done", "done 1", "put off", "put off 3 days", "put off 99999 days",
    "not needed", "why", "when", "how is", "what is", "due", "late", "ideas", "Idea:", "use 1 in",
    "let 1 go", "bring back 1", "help", "hello", "yes", "no", "1", "2", "history", "who is in",
    "send away", "let a helper in", "rehearse", "show the year", "ship", "ship day", "the 31st",
    "every 0 weeks", "on the 12th", "we are", "420", "we work", "Mon-Fri", "never", "time zone",
    "Europe/London", "Mars/Crater", "morning at", "25:61", "7:30", "currency", "XXX", ";", ",",
    ":", "?", "!", "\n", "\n\n", "\t", "\0", "\x1b[31m", "\r\n", "<b>", "</b>", "&amp;", "*_`[",
    "{item}", "%s", "{0.__class__}", "'; DROP TABLE ideas;--", "=1+1", "@everyone", "/start",
    "/help", "/nope", "\U0001f331\U0001f9f6", "\u202etxet\u202c", "\u200b", "\ud7ff",
    "مرحبا", "שלום", "ノート", "e\u0301" * 30, "a" * 300, "ß", "İ", "ﬁ", "\ufeff", "#3", "+", "=",
)  # fmt: skip


def messages(number: int, seed: int) -> list[str]:
    """Messages made of pieces, of single characters, and now and then of very much."""
    chance = random.Random(seed)
    found = []
    for _ in range(number):
        kind = chance.random()
        if kind < 0.85:
            text = chance.choice(("", " ")).join(chance.choices(PIECES, k=chance.randint(1, 7)))
            text = " ".join(chance.choices(PIECES, k=chance.randint(1, 7))) if kind < 0.7 else text
        elif kind < 0.998:
            points = chance.choices(range(1, 0xD7FF), k=chance.randint(1, 40))
            text = "".join(map(chr, points))
        else:
            text = chance.choice(PIECES) * 20_000
        found.append(text)
    return found


@pytest.mark.parametrize(
    ("number", "seed"),
    [(FEW, 1), pytest.param(MANY, 2, marks=pytest.mark.slow)],
)
def test_hostile_messages_are_answered_and_change_nothing_in_silence(
    number: int, seed: int
) -> None:
    chat = _fresh()
    for place, text in enumerate(messages(number, seed)):
        if place % 100 == 0:  # the plan would fill up and later texts meet less of it
            chat = _fresh()
        before = chat.shop
        outcome = chat.hear(text)
        own = [reply for reply in outcome.replies if reply.to in ("", OWNER)]
        assert own, text
        assert all(reply.text.strip() for reply in own), text
        assert all(len(reply.text) < 10_000 for reply in own), text
        shown = "".join(f"{reply.title}{reply.text}" for reply in own) + "".join(chat.buttons)
        assert shown.translate(STEERING) == shown, text
        if outcome.changes:
            assert outcome.why
            assert "undo" in " ".join(chat.buttons.values()), text
        else:
            assert chat.shop.items == before.items
            assert chat.shop.boxes == before.boxes


def _fresh() -> Chat:
    return Chat(
        shop(
            "Aldermoor DE: lead 20d",
            "2027-03 rain and roots: field notebook@Aldermoor 450 x 3.10; tea 450 x 1.20",
            "2027-05 first swifts: enamel pin 450 x 1.80, lead 30d; green tea 450 x 1.30",
        )
    )

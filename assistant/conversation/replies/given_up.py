"""What is said of things that were tried too often and set aside.

Knows: how often. Must not know: why it failed. Invariant: one sentence each, and what to do now.
"""

from assistant.conversation.replies.doors import called
from assistant.conversation.replies.plain import short
from assistant.planning.model import Person

WORDS = 60  # characters of a message by which its sender knows it again


def message(words: str, tries: int) -> str:
    """Tell who said it that a message could not be dealt with."""
    what = f'"{short(words, WORDS)}"' if words.strip() else "what you sent"
    return (
        f"I could not deal with {what}: it failed {tries} times, so I set it aside and changed "
        "nothing; please say it another way."
    )


def message_of(person: Person | None, tries: int) -> str:
    """Tell an owner that somebody's message could not be dealt with."""
    whose = called(person) if person else "someone in a group"
    return (
        f"I could not deal with a message of {whose}: it failed {tries} times, so I set it aside "
        "and changed nothing."
    )


def digest(tries: int) -> str:
    """Tell that there was no digest this morning."""
    return (
        f"I could not make up this morning's digest: it failed {tries} times, and I try again "
        "tomorrow; until then, ask: what is due"
    )


def something(tries: int) -> str:
    """Tell an owner of what cannot be named."""
    return (
        f"I could not deal with something that reached me: it failed {tries} times, so I set it "
        "aside and changed nothing."
    )


def reply(tries: int) -> str:
    """Tell who was to get it that a reply is missing."""
    return f"I could not send a reply here: it failed {tries} times, so please ask again."


def reply_to(person: Person | None, tries: int) -> str:
    """Tell an owner whom a reply did not reach."""
    whom = called(person) if person else "a chat"
    return f"I could not send a reply to {whom}: it failed {tries} times, so I set it aside."

"""What is said when a message as a whole cannot be done, or is no words at all.

Knows: lines of a message. Must not know: what any of them means. Invariant: each of these says
what would work instead.
"""

from assistant.conversation.replies.plain import short

LINE = 60

NO_WORDS = (
    "I take words, pictures and year files (CSV or XLSX).\n"
    "For example: Idea: lantern walk for November"
)
OLD_BUTTON = "That button is too old for me. Say it in words, for example: what is due"


def nothing_done(number: int, of: int, why: str) -> str:
    """Say that one part of a message of `of` parts kept all of it from being done."""
    return f"Nothing of this message was done, because of part {number} of {of}:\n{why}"


def asked_first(number: int, of: int, question: str) -> str:
    """Say that one part of a message of `of` parts is asked about before anything is done."""
    return f"{question}\nNothing of this message was done yet: this is part {number} of {of}."


def again(text: str) -> str:
    """Label a button that says a text anew."""
    return short(text, 30)

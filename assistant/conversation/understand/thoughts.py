"""Ideas: the thought itself, the months that are named in it, its link.

Knows: how people mention months in a thought. Must not know: patterns. Invariants: nothing of a
thought is lost: only "for November" is taken out of the words, since it is kept as a month; "may"
and "march" as plain words are no months.
"""

import re

from assistant.conversation.replies.plain import MONTHS
from assistant.conversation.requests import KeepIdea
from assistant.conversation.understand.days import MONTH, month_number
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import clean

LONGEST = 4000  # characters of an idea
_LINK = re.compile(r"(?:https?://|www\.)[^\s<>\"]+", re.IGNORECASE)
_JOINED = rf"{MONTH}(?:(?:,? (?:or|and) |/|, ?| & |-){MONTH})*"
_AFTER_WORD = re.compile(
    rf"\b(?:for|in|by|during|until|from|to|of|next|this) ({_JOINED})\b", re.IGNORECASE
)
_FOR = re.compile(rf"\s*\bfor ({_JOINED})(?=$|[,.;:!)\n]|\s+-)", re.IGNORECASE)
_NAMES = "|".join(MONTHS)
_CAPITAL = re.compile(rf"\b(?:{_NAMES})\b")
_PLAIN_WORDS = ("March", "May", "August")


def idea_of(text: str, months: tuple[int, ...] = ()) -> KeepIdea | Unclear:
    """The idea in a text. Months that were named before it go first."""
    said = clean(text)
    if len(said) > LONGEST:
        return Unclear(f"it has {len(said):,} characters and an idea has at most {LONGEST:,}")
    found = tuple(dict.fromkeys((*months, *months_in(said))))
    link = match[0].rstrip(".,;:!?)") if (match := _LINK.search(said)) else ""
    kept = _without_months(said) if not months else said
    if not re.search(r"\w", kept):
        kept = said
    return KeepIdea(kept, months=found, link=link) if kept else Unclear("it has no words yet")


def months_in(text: str) -> tuple[int, ...]:
    """The months that a thought is about: after "for" or "in" in any spelling, elsewhere only
    written in full with a capital; "March" and "May" that begin a sentence may be plain words."""
    text = _LINK.sub(" ", text)
    found = [(m.start(), part) for m in _AFTER_WORD.finditer(text) for part in _parts(m[1])]
    found += [(m.start(), m[0]) for m in _CAPITAL.finditer(text) if not _plain_word(text, m)]
    numbers = (month_number(word) for _, word in sorted(found, key=lambda pair: pair[0]))
    return tuple(dict.fromkeys(number for number in numbers if number))


def _plain_word(text: str, found: re.Match[str]) -> bool:
    """Whether a month's name may be another word: it begins a sentence and more words follow."""
    before, after = text[: found.start()].rstrip(), text[found.end() :]
    begins = not before or before[-1] in ".!?:\n"
    return found[0] in _PLAIN_WORDS and begins and re.match(r" (?:[a-z]|I\b)", after) is not None


def _parts(joined: str) -> list[str]:
    return re.findall(r"[a-z]{3,}", re.sub(r"\b(?:or|and)\b", " ", joined, flags=re.I), re.I)


def _without_months(text: str) -> str:
    """The text without "for November" where that stands at the end of a phrase."""
    left = _FOR.sub("", text, count=1).strip()
    return re.sub(r"^[,;:.\-]\s*", "", left)

"""Text as it is matched, beside text as it was written; and what counts as a slip of the finger.

Knows: characters and spelling. Must not know: phrasings, plans. Invariants: the matched view of a
line is as long as the line, character for character, so that what a pattern finds can be cut out
of what was written; nothing here raises for any text.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache

MATCHED = 600  # characters of a line that can be a command; whatever is longer is a thought

_MARKS = {ord(c): None for c in "\u200b\u200e\u200f\u202a\u202b\u202c\u202d\u202e\ufeff"}
_MARKS |= dict.fromkeys(range(0x2066, 0x206A))
_CONTROLS = {c: " " for c in (*range(32), *range(127, 160)) if c != 10}
_ALIKE = str.maketrans(
    "\u2018\u2019\u201c\u201d\u2010\u2011\u2012\u2013\u2014\u2212", "''\"\"------"
)
WORD = re.compile(r"[A-Za-z0-9']+")  # as written: lower case may be longer ("\u0130")
_BEFORE = re.compile(
    r"(?:(?:please|plese|pleas|plz|pls"
    r"|ok|okay|hey|hi|so|right|now|and then|then|well)[, ]+|(?:-(?!\d)|[*\u2022/]) ?)+",
    re.I,
)
_POLITE = re.compile(
    r"(?:can|could|would|will) you(?: please)? "
    r"|(?:i want|i would like|i'd like|let us|let's) (?:to )?",
    re.I,
)
_AFTER = re.compile(r"(?:[ ,.!;:?]|\b(?:please|plese|plz|pls|thanks|thank you)\b)+$", re.I)


@dataclass(frozen=True, slots=True)
class Line:
    """One line: `written` as it came, `plain` (as long) as it is matched, its words, and whether
    it asks."""

    written: str
    plain: str
    words: tuple[str, ...]
    asks: bool = False

    @classmethod
    def of(cls, text: str) -> "Line":
        """Take the line out of `text`, without words of courtesy round it."""
        written = tidy(text)
        asks = written.endswith("?")
        start = found.end() if (found := _BEFORE.match(written)) else 0
        if polite := _POLITE.match(written, start):
            start, asks = polite.end(), False
        kept = written[start:]
        if len(kept) <= MATCHED and (found := _AFTER.search(kept)):
            kept = kept[: found.start()]
        return cls.exactly(kept or written, asks)

    @classmethod
    def exactly(cls, written: str, asks: bool = False) -> "Line":
        """Take a line as it stands."""
        plain = written.translate(_ALIKE)
        return cls(written, plain, words_of(plain) if len(plain) <= MATCHED else (), asks)


def words_of(text: str) -> tuple[str, ...]:
    """The words of a text, in lower case."""
    return tuple(word.lower() for word in WORD.findall(text))


def tidy(text: str) -> str:
    """One line of text: composed characters, single spaces, no control characters or marks of
    direction."""
    clean = unicodedata.normalize("NFC", text).translate(_MARKS).translate(_CONTROLS)
    return " ".join(clean.split())


def clean(text: str) -> str:
    """Text of any number of lines, without control characters and outer blanks."""
    lines = unicodedata.normalize("NFC", text).replace("\r", "\n").translate(_CONTROLS).split("\n")
    return "\n".join(line.strip() for line in lines if line.strip())


@lru_cache(maxsize=4096)
def fold(name: str) -> str:
    """A name as it is compared: lower case, single spaces, plain quotes and dashes, no final
    stop."""
    return tidy(name).translate(_ALIKE).replace(";", ",").casefold().strip(" .\"'")


def bare(text: str) -> str:
    """A folded name without its article."""
    return re.sub(r"^(?:the|my|our|a|an|that|this) ", "", fold(text))


def singular(word: str) -> str:
    """A word without a plural's ending, roughly: "biscuits", "notebooks", "brushes"."""
    if len(word) > 4 and word.endswith(("shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


# --- slips ----------------------------------------------------------------------------------


def slip(word: str, meant: str, ending: str = "") -> str:
    """How `word` could be a slipped `meant`: "sure" (two letters turned round, one left out or
    doubled; two slips in a long word), "maybe" (another letter typed), or "" (it is not).

    The first letter is nearly always typed right, and an ending (drop, drops, dropped) makes
    another word, not a slip; for names, `ending` says what to take it for. The thresholds are
    ours, from no source.
    """
    if not word or word[0] != meant[0] or abs(len(word) - len(meant)) > 2:
        return ""
    if word == meant or _inflected(word, meant):
        return "" if word == meant else ending
    from rapidfuzz.distance import OSA  # most messages have no slip

    far = OSA.distance(word, meant, score_cutoff=2)
    if far == 1 and len(meant) >= 4:
        turned = len(word) == len(meant) and sorted(word) == sorted(meant)
        doubled_or_lost = len(word) != len(meant) and len(word) >= 4
        return "sure" if turned or doubled_or_lost or len(meant) >= 7 else "maybe"
    if far == 2 and len(meant) >= 8:
        return "sure"
    return "maybe" if (far <= 2 and len(meant) >= 6) or (far == 1 and len(meant) == 3) else ""


_ENDINGS = ("s", "es", "d", "ed", "r", "er", "rs", "ing", "y", "ly", "e", "n", "en", "t")


def _inflected(word: str, meant: str) -> bool:
    longer, shorter = (word, meant) if len(word) > len(meant) else (meant, word)
    ending = longer[len(shorter) :]
    doubled = ending == "e" and len(word) > len(meant)  # "themee"; but "them" is a word
    return longer.startswith(shorter) and ending in _ENDINGS and not doubled

"""When two themes, or an idea and a day, are about the same thing: by the stems of their words.

Knows: English words. Must not know: boxes, ideas, days. Invariants: a text is like itself; likeness
does not depend on which text comes first, on capitals, on the order of words or on small words.
"""

import re
from functools import lru_cache

# Two themes whose stems, in order of the alphabet, are this much the same to `rapidfuzz.fuzz.ratio`
# (0 to 100) differ by a slip of the pen. Common practice, no source; the tests show where it lies.
ALIKE = 84

_WORD = re.compile(r"[^\W_]+")
_SMALL_WORDS = """
    a an the and or of for in on at to with by from into as is it its i my our your we you this that
    all some more no not day days world international national st saint box theme month
    monday tuesday wednesday thursday friday saturday sunday
"""
_SMALL = frozenset(_SMALL_WORDS.split())
_VOWEL = re.compile("[aeiouy]")


@lru_cache(maxsize=16_384)
def stems(text: str) -> frozenset[str]:
    """The stems of the words that say what a text is about: "Baking days" has "bak"."""
    words = _WORD.findall(text.casefold().replace("'s", "").replace("\u2019s", ""))
    return frozenset(_stem(word) for word in words if word not in _SMALL and len(word) > 1)


def _stem(word: str) -> str:
    """A word without its plural, "-ing" and a silent e: alike for the forms of one word."""
    if len(word) > 4 and word.endswith("ies"):
        word = word[:-3] + "y"
    elif len(word) > 4 and re.search("(?:s|x|z|ch|sh)es$", word):
        word = word[:-2]
    elif len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        word = word[:-1]
    if len(word) > 5 and word.endswith("ing") and _VOWEL.search(word[:-3]):
        word = re.sub(r"([^aeiouls])\1$", r"\1", word[:-3])
    return word[:-1] if len(word) > 3 and word.endswith("e") else word


@lru_cache(maxsize=4096)
def alike(one: str, other: str) -> bool:
    """Whether two themes are the same or as good as the same.

    They have the same stems; or all of one's stems, two at least, are among the other's; or their
    stems read the same but for a slip of the pen (`ALIKE`).
    """
    mine, yours = stems(one), stems(other)
    if not mine or not yours:
        return one.strip().casefold() == other.strip().casefold()
    if mine == yours or (min(len(mine), len(yours)) > 1 and (mine <= yours or yours <= mine)):
        return True
    from rapidfuzz import fuzz

    return fuzz.ratio(" ".join(sorted(mine)), " ".join(sorted(yours))) >= ALIKE


def near(one: str, other: str) -> bool:
    """Whether two themes are too like each other to stand side by side: they are alike, or share
    half of the stems of the shorter one."""
    mine, yours = stems(one), stems(other)
    shared = len(mine & yours)
    return alike(one, other) or (shared > 0 and 2 * shared >= min(len(mine), len(yours)))

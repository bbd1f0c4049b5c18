"""Recurring types by their names.

Knows: a shop's recurring types. Must not know: how a year is spread (spread/), words of a
conversation. Invariant: names are compared without case, article and endings of the plural.
"""

from collections.abc import Iterable

from assistant.planning.changes import find
from assistant.planning.model import RecurringType

_ARTICLES = ("the", "a", "an", "my", "our")


def plain(name: str) -> str:
    """A name as it is compared: "the Field Notebooks" is "field notebook"."""
    words = name.casefold().strip(" .\"'").split()
    kept = words[1:] if len(words) > 1 and words[0] in _ARTICLES else words
    return " ".join(map(_singular, kept))


def _singular(word: str) -> str:
    """A word without a plural's ending, roughly: "biscuits", "brushes"; "moss" stays."""
    if len(word) > 4 and word.endswith(("shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def type_called(types: Iterable[RecurringType], name: str) -> RecurringType | None:
    """Return the type of exactly this name, None where there is none."""
    wanted = plain(name)
    return next((one for one in types if plain(one.name) == wanted), None)


def apart_from(types: Iterable[RecurringType], type: RecurringType) -> tuple[str, ...]:
    """Return the names of the types that may not share a box with this one, whichever of the two
    says so; the id of one that is not known yet stands for its name."""
    every = tuple(types)
    names = [other.name if (other := find(every, id)) else id for id in type.apart]
    names += [one.name for one in every if type.id in one.apart]
    return tuple(dict.fromkeys(names))


def suits(type: RecurringType, theme: str) -> bool:
    """Say whether a theme has one of the words that the type goes with."""
    words = {plain(word) for phrase in type.suits for word in phrase.split()}
    said = "".join(letter if letter.isalnum() else " " for letter in theme)
    return not words.isdisjoint(plain(word) for word in said.split())

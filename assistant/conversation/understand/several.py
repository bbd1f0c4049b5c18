"""Words that name several items at once, or several months.

Knows: the items and recurring types of a shop, seasons. Must not know: patterns, what is done with
what is named. Invariants: several items are meant only where a plural or "all" says so; items of
months that are over are never meant; a season is that of the shop's country.

Seasons are whole months: March to May is spring north of the equator. Common practice, no source.
"""

import re

from assistant.conversation.sentences.rearranging import item_ref
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import month_number, near_month
from assistant.conversation.understand.names import read_item
from assistant.conversation.understand.type_names import known_type, stems
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, fold, singular, slip, words_of
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Item
from assistant.planning.year.spread import placed
from assistant.scheduling.occasions import SOUTHERN

Months = tuple[int, ...]

_ALL = re.compile(r"^(?:all(?: of)?|every|each|both)(?: (?:the|our|my|of the))? ", re.IGNORECASE)
_SEASONS: dict[str, Months] = {
    "spring": (3, 4, 5),
    "summer": (6, 7, 8),
    "autumn": (9, 10, 11),
    "fall": (9, 10, 11),
    "winter": (12, 1, 2),
}
_PARTS: dict[str, Months] = {
    "first half": (1, 2, 3, 4, 5, 6),
    "second half": (7, 8, 9, 10, 11, 12),
    "first quarter": (1, 2, 3),
    "second quarter": (4, 5, 6),
    "third quarter": (7, 8, 9),
    "fourth quarter": (10, 11, 12),
    "last quarter": (10, 11, 12),
    "q1": (1, 2, 3),
    "q2": (4, 5, 6),
    "q3": (7, 8, 9),
    "q4": (10, 11, 12),
}
_OPENING = re.compile(r"^(?:the|next|this|coming|early|late|in|between|some time in|either) ")
_CLOSING = re.compile(r" (?:of|in) (?:the|this|next) year$|(?:'s)? box(?:es)?$")
_CHOICE = re.compile(r",? ?\b(?:or|and)\b ?|,? ?[/&,] ?", re.IGNORECASE)
_FROM_TO = re.compile(
    r"(?:from )?([a-z]+\.?) ?(?:\bto\b|\buntil\b|\btill\b|[-\u2013]) ?([a-z]+\.?)"
)


# --- months ---------------------------------------------------------------------------------


def read_months(text: str, c: Context) -> Months | None:
    """The months that "autumn", "the second half of the year", "Q3", "June or July" or "September
    to November" are, in their order; None for anything else."""
    said = " ".join(text.lower().split())
    while found := _OPENING.match(said):
        said = said[found.end() :]
    said = _CLOSING.sub("", said)
    if said in _PARTS:
        return _PARTS[said]
    if (season := _season(said)) is not None:
        return _turned(season) if profile_of(c.shop).country in SOUTHERN else season
    if found := _FROM_TO.fullmatch(said):
        first, last = _month(found[1]), _month(found[2])
        if first and last:
            return tuple((first - 1 + n) % 12 + 1 for n in range((last - first) % 12 + 1))
    months = [_month(part) for part in _CHOICE.split(said) if part]
    numbers = tuple(dict.fromkeys(number for number in months if number))
    return numbers if numbers and len(numbers) == len(months) else None


def _season(said: str) -> Months | None:
    if said in _SEASONS:
        return _SEASONS[said]
    slipped = (months for name, months in _SEASONS.items() if slip(said, name, "sure") == "sure")
    return next(slipped, None)


def _turned(months: Months) -> Months:
    """The same season on the other half of the earth."""
    return tuple((month + 5) % 12 + 1 for month in months)


def seasons(c: Context) -> tuple[tuple[str, Months], ...]:
    """The seasons of the shop's country, by name, the next to begin first."""
    found = [(name, read_months(name, c) or ()) for name in _SEASONS if name != "fall"]
    return tuple(sorted(found, key=lambda one: (one[1][0] - c.today.month) % 12 or 12))


def _month(word: str) -> int | None:
    near = near_month(word) if len(word) > 3 else None
    return month_number(word) or (near[0] if near and near[1] else None)


# --- items ----------------------------------------------------------------------------------


def read_items(text: str, c: Context) -> tuple[str, ...] | Unclear | None:
    """The ids of the items that "the pins", "all teas" or "the notebook" are: by their names, or
    by the recurring type that they are; None where there are none."""
    said = _ALL.sub("", text.strip())
    every = said != text.strip() or _is_plural(said)
    meant = {item.id for item in (*_of_type(said, c), *_of_name(said, c))}
    found = tuple(item.id for item in c.shop.items if item.id in meant)
    if every and len(found) > 1:
        return found
    one = read_item(said, c)
    if isinstance(one, Unclear):
        return one if one.offers and not one.stray else None
    return (one,) if one else None


def _is_plural(said: str) -> bool:
    words = words_of(fold(said))
    return bool(words) and singular(words[-1]) != words[-1]


def _of_type(said: str, c: Context) -> list[Item]:
    id = known_type(said, c)
    kind = find(c.shop.types, id) if isinstance(id, str) else None
    return [item for item in placed(c.shop, kind) if item.box >= c.month] if kind else []


def _of_name(said: str, c: Context) -> list[Item]:
    wanted = stems(bare(said))
    coming = (item for item in c.shop.items if wanted and item.box >= c.month)
    return [item for item in coming if wanted <= stems(item.name) or wanted == stems(item.type)]


def items_by_ref(text: str, c: Context) -> tuple[str, ...] | Unclear:
    """The ids of the items that a button's sentence names by reference; those that are no longer
    in the plan are left out."""
    refs = text.split()
    known = {item_ref(item.id): item.id for item in c.shop.items}
    found = tuple(dict.fromkeys(known[ref] for ref in refs if ref in known))
    return found or Unclear("none of these items is in the plan any more")

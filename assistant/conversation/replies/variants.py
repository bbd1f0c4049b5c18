"""Sentences about versions of the year: kept, listed, compared, adopted, forgotten.

Knows: how two years differ and how it is read on a phone. Must not know: how a version is adopted.
Invariants: a comparison has at most eight lines; what is ordered is always named.
"""

from collections.abc import Sequence
from datetime import date

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.planning.model import Item
from assistant.planning.year.variants import MOST, BoxChange

NAME = 40
WORD = 24  # characters of a theme or an item's name in a comparison
FEW = 2  # names that one line has room for
BOXES = 3  # boxes that a comparison tells of one by one


def name(text: str) -> str:
    """Write a version's name on one line of a phone."""
    return short(text, NAME)


def kept(version: str, boxes: int, items: int, replaced: date | None, today: date) -> str:
    """Say what was kept under which name, and which version gave way to it."""
    text = f'Kept as "{name(version)}": {plural(boxes, "box", "boxes")}, {plural(items, "item")}.'
    was = f" It takes the place of the one of {day(replaced, today)}." if replaced else ""
    return text + was


def kept_already(version: str) -> str:
    """Say that a version is this year already."""
    return f'"{name(version)}" is the year as it stands already.'


def nothing_to_keep() -> str:
    """Refuse to keep an empty year."""
    return "Nothing is planned yet, so there is nothing to keep. Say: March theme rain and roots"


def full(oldest: str) -> str:
    """Refuse a version above the most that are kept."""
    return (
        f"I read a version to keep, but there are {MOST} already. "
        f'Let one go first, for example: forget version "{name(oldest)}"'
    )


def use(version: str) -> str:
    """Say what a kept version is good for."""
    return f"Change the year as you like. To see what differs: compare with {name(version)}"


NONE_KEPT = "No version is kept yet. For example: keep this year as plan B"
GONE = "That version is not kept any more. To see those that are: versions"
VERSIONS = "Versions of the year"


def row(number: int, version: str, on: date, boxes: int, today: date) -> str:
    """Write one version as a line of a list."""
    differs = f"{plural(boxes, 'box differs', 'boxes differ')}" if boxes else "as the year is now"
    return f"{number}. {name(version)}, {day(on, today)}: {differs}"


# --- comparing ------------------------------------------------------------------------------


def against(version: str) -> str:
    """The title of a comparison."""
    return f'"{name(version)}" against the year'


def same(version: str) -> str:
    """Say that a version does not differ."""
    return f'"{name(version)}" is the same as the year as it stands.'


def differs(changes: Sequence[BoxChange], today: date) -> tuple[str, ...]:
    """Say how boxes differ, the first ones one by one: a line each, what the version has first."""
    lines = [_box(one, today) for one in changes[:BOXES]]
    if len(changes) > BOXES:
        names = [box_name(one.box, today) for one in changes[BOXES:]]
        more = [f"{len(names) - 4} more"] if len(names) > 4 else []
        lines.append(f"Other too: {listed([*names[:4], *more])}.")
    return tuple(lines)


def _box(one: BoxChange, today: date) -> str:
    old, new = one.theme
    themes = [f'"{short(one, WORD)}"' if one else "no theme" for one in (new, old)]
    parts = (
        f"{themes[0]}, not {themes[1]}" if old != new else "",
        _names("in", one.came),
        _names("out", one.went),
        _names("other", one.other),
    )
    said = "; ".join(part for part in parts if part) or "another ship date or room"
    return f"{box_name(one.box, today)}: {said}"


def _names(how: str, names: Sequence[str]) -> str:
    named = [short(one, WORD) for one in names[:FEW]]
    more = [f"{len(names) - FEW} more"] if len(names) > FEW else []
    return f"{how} {listed([*named, *more])}" if names else ""


# --- adopting -------------------------------------------------------------------------------


def adopt(version: str) -> str:
    """Name an adoption, as a question and in the history begin with it."""
    return f"adopt {name(version)}"


def which_boxes(changes: Sequence[BoxChange], today: date) -> str:
    """Say in one line which boxes change."""
    names = [box_name(one.box, today) for one in changes[:BOXES]]
    more = [f"{len(changes) - BOXES} more"] if len(changes) > BOXES else []
    return f"{plural(len(changes), 'box changes', 'boxes change')}: {listed([*names, *more])}."


def adopted(version: str, kept_as: str) -> str:
    """Say which version is the year now, and under which name the year before is kept."""
    return f'"{name(version)}" is the year now; the year before is kept as "{name(kept_as)}".'


def orders(carried: Sequence[Item], again: Sequence[Item], today: date) -> str:
    """Name what is ordered and stays or comes back though the two years differ in it."""
    return f"{_carried(carried, today)} {_again(again, today)}".strip()


def _carried(items: Sequence[Item], today: date) -> str:
    """Name what is ordered and stays in the plan though the version has it not."""
    if not items:
        return ""
    return f"Ordered, so kept in: {_items(items, today)}."


def _again(items: Sequence[Item], today: date) -> str:
    """Name what comes back as ordered, so that the order is looked after."""
    if not items:
        return ""
    verb = "comes" if len(items) == 1 else "come"
    return f"{_items(items, today)} {verb} back as ordered: check that the order stands."


def _items(items: Sequence[Item], today: date) -> str:
    named = [f"{short(one.name, WORD)} ({box_name(one.box, today)})" for one in items[:FEW]]
    more = [f"{len(items) - FEW} more"] if len(items) > FEW else []
    return listed([*named, *more])


def forgotten(version: str) -> str:
    """Say that a version was let go."""
    return f'Forgot "{name(version)}". The year itself stays as it is.'

"""What is said of recurring types: what was noted, what is wished, how to begin.

Knows: a type's facts and how they are written. Must not know: whether a wish can hold, how a year
is spread. Invariants: a refusal says what was read, what is wrong and what would work; a list has
at most eight lines.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from assistant.conversation.replies.plain import MONTHS, day, listed, money, plural, short
from assistant.planning.model import RecurringType

SHOWN = 8  # types that are listed a line each
NAME = 40
FORM = 24
FORMS = 8  # that are named before the rest is counted
TITLE = "Recurring types"
BEGIN = (
    "There are no recurring types yet. Say one a line, with how often it comes back:",
    "\u2022 field notebook four times a year: lined, dotted, blank, grid",
    "\u2022 tea 6 times a year, not in July, costs 1.80",
    "Then say: spread the types",
)


def times(number: int) -> str:
    """Write how often a type comes back: "once a year", "4 times a year"."""
    words = {1: "once", 2: "twice"}
    return f"{words.get(number) or f'{number} times'} a year"


def months(numbers: Iterable[int]) -> str:
    """Write months in short: "Jul, Aug and Dec"."""
    return listed([MONTHS[number - 1][:3] for number in numbers])


def facts(
    type: RecurringType, apart: Sequence[str], currency: str, pins: Sequence[str]
) -> dict[str, str]:
    """Write what is wished for a type, a piece for each fact. `apart` are the names of the types
    that it may not share a box with, `pins` those of the boxes in which it stays."""
    cost = "" if type.unit_cost is None else f"{money(type.unit_cost, currency)} each"
    pieces = {
        "times": times(type.times),
        "forms": f"forms {_named(type.forms)}" if type.forms else "",
        "must": f"must be in {months(type.must)}" if type.must else "",
        "must_not": _not_in(type.must_not),
        "apart": f"not with {_named(apart)}" if apart else "",
        "room": f"takes {type.room} places" if type.room > 1 else "",
        "unit_cost": cost,
        "suits": f"suits {_named(type.suits)}" if type.suits else "",
        "pins": f"stays in {listed(pins)}" if pins else "",
    }
    return {fact: text for fact, text in pieces.items() if text}


def _not_in(must_not: Sequence[int]) -> str:
    if len(must_not) > 6:
        return f"only in {months(n for n in range(1, 13) if n not in must_not)}"
    return f"not in {months(must_not)}" if must_not else ""


def _named(words: Sequence[str]) -> str:
    names = [short(word, FORM) for word in words]
    if len(names) <= FORMS:
        return listed(names)
    return f"{', '.join(names[:FORMS])} and {len(names) - FORMS} more"


# --- changes --------------------------------------------------------------------------------


def noted(name: str, pieces: Iterable[str]) -> str:
    """Say what a type is now."""
    return f"{_at_start(short(name, NAME))}: {', '.join(pieces)}."


def new(name: str, pieces: Iterable[str]) -> str:
    """Say that a type was made."""
    return f"New type, {short(name, NAME)}: {', '.join(pieces)}."


def _at_start(name: str) -> str:
    name = short(name, 200)
    return name[:1].upper() + name[1:]


def taken_away(name: str, gone: Iterable[str]) -> str:
    """Say which wishes are gone; `gone` are the facts as they were written."""
    return f"{_at_start(name)}: no longer {', no longer '.join(gone)}."


def nothing_new(name: str, pieces: Iterable[str]) -> str:
    """Say that all of it was known already."""
    return f"As I have it already. {noted(name, pieces)}"


def cannot(why: str, instead: str) -> str:
    """Refuse wishes that cannot hold, with a sentence that would work."""
    return f"{_at_start(why)} For example: {instead}"


def few_forms(name: str, times: int, forms: Sequence[str]) -> str:
    """Say that forms have to come twice in a year, and what would help."""
    often = -(-times // len(forms))
    which = short(forms[0], FORM) if times == len(forms) + 1 else "a form"
    comes = "comes twice" if often == 2 else f"comes up to {often} times"
    return (
        f"With {plural(len(forms), 'form')} for {times} times a year, {which} {comes}. "
        f"To add one, say for example: add form large to {short(name, NAME)}"
    )


def not_types_yet(names: Sequence[str]) -> str:
    """Say that a wish waits for types that are not known yet."""
    which = listed([short(name, NAME) for name in names])
    are = "is no recurring type" if len(names) == 1 else "are no recurring types"
    return f"{_at_start(which)} {are} yet; the wish counts from when you name one so."


def dropped(name: str, items: int) -> str:
    """Say that a type is forgotten, and what became of its items."""
    if not items:
        return f"Forgot the type {short(name, NAME)}."
    stay = plural(items, "item stays", "items stay")
    return f"Forgot the type {short(name, NAME)}. Its {stay} in the plan."


def gone() -> str:
    """Say that a type is no longer there."""
    return "That recurring type is no longer there. Say: recurring types"


def cost_stays(items: int) -> str:
    """Say that items in the plan keep the cost that they have."""
    keep = "item in the plan keeps" if items == 1 else "items in the plan keep"
    return f"{items} {keep} the cost noted there."


def out_of_range(what: str, value: object, least: int, most: int, example: str) -> str:
    """Refuse a number that cannot be meant."""
    return f"I read {what}: {value}, but it must be {least} to {most}. For example: {example}"


def with_itself(name: str) -> str:
    """Refuse to keep a type away from itself."""
    return (
        f"I read that {short(name, NAME)} may not share a box with itself; it never does. "
        "For example: tea and biscuits may not share a box"
    )


# --- the list -------------------------------------------------------------------------------


def line(name: str, pieces: Mapping[str, str], forms: int) -> str:
    """One type in the list; of its forms only their number."""
    told = (plural(forms, "form") if fact == "forms" else text for fact, text in pieces.items())
    return f"{short(name, NAME)}: {', '.join(told)}"


def others(named: Sequence[tuple[str, int]]) -> str:
    """The types that are not listed a line each, with how often they come."""
    return f"Also {listed([f'{short(name, 20)} ({times})' for name, times in named])}."


def room_of_boxes(room: int | None, taken: int) -> str:
    """Say how much room the boxes have; `taken` are the places that all types take in a year."""
    places = plural(taken, "place")
    if room is None:
        return f"Together {places} a year. To limit a box, say: room for 4 types in a box"
    return f"Together {places} a year; a box has room for {room}."


# --- boxes ----------------------------------------------------------------------------------


def room_set(box: str, room: int | None, usual: int | None) -> str:
    """Say how much room a box (its name) has for recurring types; `usual` is the shop's."""
    if room is not None:
        return f"{box} has room for {plural(room, 'recurring type')}."
    as_usual = "as many as fall in it" if usual is None else plural(usual, "recurring type")
    return f"{box} has the usual room again: {as_usual}."


def stands(text: str) -> str:
    """Say that something is so already."""
    return f"As I have it already. {text}"


def pinned(name: str, box: str) -> str:
    """Say that a type stays in a box; `box` is the box's name."""
    return f"{_at_start(name)} stays in {box} whatever is spread again."


def unpinned(name: str, box: str) -> str:
    """Say that a type may leave a box when the types are spread again."""
    return f"{_at_start(name)} may move out of {box} when you spread again."


def pinned_already(name: str, box: str) -> str:
    """Say that a pin is there already."""
    return f"{_at_start(name)} stays in {box} already."


def not_pinned(name: str, box: str) -> str:
    """Say that there is no such pin."""
    return f"{_at_start(name)} was not pinned in {box}; it may move as it is."


def sent(box: str, on: date, today: date, example: str) -> str:
    """Refuse to change what belongs to a box that has shipped."""
    text = f"{box} shipped {day(on, today)}, so it stays as it was."
    return f"{text} For example: {example}" if example else text

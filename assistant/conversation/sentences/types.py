"""What the buttons about recurring types and their spread say; invariants as in the package.

A type is named behind the word "type", so that no name of one is taken for anything else.
"""

from collections.abc import Iterable

from assistant.conversation.replies.plain import MONTHS, listed
from assistant.conversation.year_requests import TypeFacts


def show_types() -> str:
    """Ask for the recurring types."""
    return "recurring types"


def type_is(name: str, facts: str) -> str:
    """Say facts of a recurring type, in the words in which they are read."""
    return f"type {name}: {facts}"


def new_type(facts: TypeFacts) -> str:
    """Make a recurring type, with all that is known of it."""
    return f"new type {facts.name}, {', '.join(_facts(facts))}"


def _facts(facts: TypeFacts) -> list[str]:
    """A type's facts, a piece each, in the words in which they are read; lists come last."""
    pieces = [f"{facts.times or 1} times a year"]
    if facts.unit_cost is not None:
        pieces.append(f"costs {facts.unit_cost:f}")
    if facts.room is not None:
        pieces.append(f"takes {facts.room} places")
    lists = (
        ("must be in", _months(facts.must or ())),
        ("not in", _months(facts.must_not or ())),
        ("not with", ", ".join(facts.apart or ())),
        ("forms:", ", ".join(facts.forms or ())),
        ("suits", ", ".join(facts.suits or ())),
    )
    return [*pieces, *(f"{lead} {said}" for lead, said in lists if said)]


def _months(numbers: Iterable[int]) -> str:
    return listed([MONTHS[number - 1] for number in numbers])


def times_a_year(name: str, times: int) -> str:
    """Say how often a type comes back."""
    return type_is(name, f"{times} times a year")


def may_be_in(name: str, month: int) -> str:
    """Say that a type may come in a month again."""
    return f"type {name} may be in {MONTHS[month - 1]} again"


def need_not_be_in(name: str, month: int) -> str:
    """Say that a type does not have to come in a month."""
    return f"type {name} need not be in {MONTHS[month - 1]}"


def may_share(name: str, other: str) -> str:
    """Say that two types may share a box."""
    return f"type {name} may share a box with {other}"


def drop_type(name: str) -> str:
    """Forget a type."""
    return f"drop type {name}"


def room_in(box: str, room: int) -> str:
    """Say for how many types one box has room."""
    return f"{box} has room for {room}"


def room_in_each(room: int) -> str:
    """Say for how many types every box has room."""
    return f"room for {room} types in a box"


def pin(name: str, box: str) -> str:
    """Say that a type stays in a box whatever is spread again."""
    return f"pin type {name} in {box}"


def unpin(name: str, box: str) -> str:
    """Say that a type need not stay in a box."""
    return f"unpin type {name} from {box}"


def spread(year: int | None = None, months: int | None = None) -> str:
    """Ask for a spread of the types over a year, or over some months from now on."""
    if months is not None:
        return f"spread the types over the next {months} months"
    return f"spread the types over {year}" if year is not None else "spread the types"


def show_spread(option: int) -> str:
    """Ask for one of the spreads that were proposed."""
    return f"show spread {option}"


def use_spread(option: int) -> str:
    """Take a proposed spread into the plan."""
    return f"use spread {option}"


def then(first: str, second: str) -> str:
    """Say two things in one message."""
    return f"{first}; {second}"

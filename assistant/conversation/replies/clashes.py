"""What is said of wishes for the recurring types that cannot all hold.

Knows: wishes and how they are written. Must not know: how a clash is found. Invariant: what would
have to give is told with the wishes, never a refusal alone.
"""

from collections.abc import Iterable, Mapping, Sequence

from assistant.conversation.replies.plain import MONTHS, listed, plural, short
from assistant.conversation.replies.types import times as _times
from assistant.planning.year.spread import Relaxation, Wish

NAME = 24
ALL = "Change all of these"


def title(over: str) -> str:
    """The title over wishes that cannot all hold."""
    return f"These wishes cannot all hold over {over}"


def wish(one: Wish, names: Mapping[str, str], places: Sequence[str], months: Sequence[int]) -> str:
    """One wish as a line; `names` are those of the types by id, `places` and `months` those that it
    is about, where several wishes are told as one."""
    return f"\u2022 {_wish(one, names, listed(list(places)), len(places), _short(months))}"


def _short(months: Sequence[int]) -> str:
    return listed([MONTHS[month - 1][:3] for month in months])


def _wish(one: Wish, names: Mapping[str, str], where: str, places: int, months: str) -> str:
    name = short(names.get(one.type, one.type), NAME)
    match one.what:
        case "times":
            return f"{name} comes {_comes(one.number)}"
        case "must":
            return f"{name} must be in {months}"
        case "must not":
            return f"{name} is not in {months}"
        case "pin":
            return f"{name} stays in {where}"
        case "apart":
            return f"{name} and {short(names.get(one.other, one.other), NAME)} share no box"
        case "room":
            return f"{where or 'a box'} {'have' if places > 1 else 'has'} room for {one.number}"
        case "fixed":
            return f"{name} is ordered for {where}, or went out in it"
        case "sent":
            return f"{plural(one.number, 'box has', 'boxes have')} shipped"


def _comes(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def more(number: int) -> str:
    """Say how many wishes are not told."""
    return f"\u2022 and {number} more"


def would_do(alone: bool, number: int) -> str:
    """Lead in to what would have to give."""
    if not number:
        return "Change one of them, then say: spread the types"
    if number == 1:
        return "This would do:"
    return "Any one of these would do:" if alone else "All of these together would do:"


def give(one: Relaxation, names: Mapping[str, str], place: str) -> str:
    """What would have to give, in words; `place` is the name of its box."""
    wish, to = one.wish, one.to
    name = short(names.get(wish.type, wish.type), NAME)
    month = MONTHS[wish.month - 1] if wish.month else ""
    match wish.what:
        case "times":
            return f"{name} {_times(to)}" if to else f"no {name}"
        case "room":
            return f"{place or 'a box'} has room for {to}"
        case "must":
            return f"{name} need not be in {month}"
        case "must not":
            return f"{name} may be in {month}"
        case "pin":
            return f"{name} need not stay in {place}"
        case "apart":
            return f"{name} may share a box with {short(names.get(wish.other, wish.other), NAME)}"
        case _:
            return ""


def numbered(texts: Iterable[str]) -> tuple[str, ...]:
    """Lines with their numbers."""
    return tuple(f"{number}. {text}" for number, text in enumerate(texts, 1))

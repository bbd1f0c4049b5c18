"""Words for closures: who is shut, and on which days.

Knows: how closures are told. Must not know: whose calendar they go into. Invariants: a closure has
a reason; one whose days are over is asked about, unless it comes every year.
"""

import re

from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import COUNT, Stretch, count_of, read_stretch
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.model import Closure

_YEARLY = re.compile(r",? ?\(?\b(?:every year|each year|yearly|annually|every summer)\)?$", re.I)
_FOR = re.compile(r",? (?:for|because of|due to) (?:the |a |their |our )?(?P<reason>[^\d]+)$", re.I)
_FESTIVAL = re.compile(
    rf"(?:for )?(?:(?P<both>{COUNT}) (?P<unit>days?|weeks?) "
    r"(?:(?:on )?either side of|both sides of|around|round)"
    rf"|(?P<before>{COUNT}) days? before and (?P<after>{COUNT}) days? after"
    rf"|(?P<only>{COUNT}) (?P<units>days?|weeks?) (?P<side>before|after|from))"
    r" (?:the )?(?:lunar|chinese) new year(?:'s day)?",
    re.IGNORECASE,
)
# The same with the festival first: "for chinese new year 10 days either side".
_FESTIVAL_FIRST = re.compile(
    r"^(?:for |at |over |around )?(?:the )?((?:lunar|chinese) new year),? "
    rf"({COUNT} (?:days?|weeks?)) (?:on )?(?:either side|each side|both sides)$",
    re.IGNORECASE,
)
_REASON = re.compile(
    r"(?:for (?:the |their |our )?)?"
    r"(?P<reason>(?:summer|winter|christmas|easter|annual|factory|spring)"
    r"(?: (?:break|holidays?|closure|shutdown|stocktaking))?):? (?P<rest>.+)",
    re.IGNORECASE,
)
LONGEST = 80  # characters of a reason


def read_closure(text: str, c: Context) -> Closure | Unclear | None:
    """A closure: "2-20 August", "24 Dec - 2 Jan every year", "from 1 May", "10 days either side
    of the lunar new year", "for stocktaking on 5 May"."""
    said = _FESTIVAL_FIRST.sub(r"\2 either side of the \1", text.strip(" ."))
    if found := _FESTIVAL.fullmatch(said):
        return _festival(found)
    yearly = _YEARLY.search(said) is not None
    said = _YEARLY.sub("", said).strip(" ,")
    said, reason = _reason(said, c)
    stretch = read_stretch(said, c.today)
    if not isinstance(stretch, Stretch):
        return stretch
    if yearly and stretch.last is None:
        return Unclear("a closure that comes every year needs its last day too")
    if stretch.last is not None and stretch.last < c.today and not yearly:
        return Unclear(f'"{said[:40]}" is over')
    return Closure(reason, stretch.first, stretch.last, yearly=yearly)


def _reason(said: str, c: Context) -> tuple[str, str]:
    """What is left of the words without the reason, and the reason."""
    if found := _REASON.fullmatch(said):
        return found["rest"], f"{found['reason'].lower()}"[:LONGEST]
    if (found := _FOR.search(said)) and read_stretch(said, c.today) is None:
        return said[: found.start()], found["reason"].strip()[:LONGEST]
    if (found := re.fullmatch(r"for (?:the |a )?(\D+?) (?=on |from |\d)(.+)", said)) is not None:
        return found[2], found[1].strip()[:LONGEST]
    return said, "closed"


def _festival(found: re.Match[str]) -> Closure | Unclear:
    """A closure told from the lunar new year; of one side only, the other has none."""
    numbers = {
        side: count_of(found[side] or "0") or 0 for side in ("both", "before", "after", "only")
    }
    each = 7 if (found["unit"] or found["units"] or "").startswith("week") else 1
    before, after = numbers["before"], numbers["after"]
    if found["both"]:
        before = after = numbers["both"] * each
    elif found["side"] == "before":
        before = numbers["only"] * each
    elif found["only"]:
        after = numbers["only"] * each
    if max(before, after) > 60:
        return Unclear("more than 60 days on a side of the lunar new year is no closure I can plan")
    return Closure("lunar new year closure", festival=True, before=before, after=after)

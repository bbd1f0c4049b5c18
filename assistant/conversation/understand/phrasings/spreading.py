"""Ways to say what belongs to the spread of recurring types: room, spreads, pins.

Knows: requests of spreading. Must not know: how a line is matched, how a year is spread.
Invariants: "use it" and "another" fit only while a spread is shown; each example is understood as
its row.
"""

import re

from assistant.conversation.requests import ChangeShop
from assistant.conversation.sentences import types as say
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Built, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.year_requests import (
    PinType,
    SetRoom,
    ShowSpread,
    SpreadTypes,
    UseSpread,
)
from assistant.planning.changes import find

MOST_MONTHS = 24
_OVER = "(over|for|across|through|in)"
_THEM = "[the |my |our |them ][recurring ][types ][again |anew ]"


def _over(_c: Context, months: int) -> Built:
    if not 1 <= months <= MOST_MONTHS:
        return Unclear(f"I spread types over 1 to {MOST_MONTHS} months")
    return SpreadTypes(months=months)


def _over_years(c: Context, n: int) -> Built:
    return _over(c, 12 * n)


def _shown(c: Context) -> int:
    """Which proposed spread the chat has just been shown, 0 for none."""
    says = c.talk.options[0] if c.talk.options else ""
    found = re.fullmatch(r"use spread (\d+)", says)
    return int(found[1]) if found and find(c.shop.proposals, c.talk.id) else 0


def _another(c: Context) -> Built:
    proposal, shown = find(c.shop.proposals, c.talk.id), _shown(c)
    return ShowSpread(shown % len(proposal.options) + 1) if proposal and shown else None


def _use_it(c: Context) -> Built:
    shown = _shown(c)
    return UseSpread(shown) if shown else None


def _use_nth(c: Context, option: int) -> Built:
    return UseSpread(option) if _shown(c) else None


def _unpin(c: Context, type: str, box: str = "") -> Built:
    if box:
        return PinType(type, box, pin=False)
    known = find(c.shop.types, type)
    if known is None:
        return None
    if len(known.pins) == 1:
        return PinType(type, known.pins[0], pin=False)
    if not known.pins:
        return Unclear(f"{known.name} is pinned in no box")
    offers = tuple((box, say.unpin(known.name, box)) for box in known.pins)
    return Unclear(f"{known.name} is pinned in {len(known.pins)} boxes", offers, whole=True)


TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "room",
        """
        [there is |we have ]room for {n:count} [recurring ]types
        [there is |we have ]room for {n:count} [recurring ][types ](in a|in each|in every|a|per) box
        [a |the |each |every ]box has room for {n:count}[ types| recurring types]
        [at most |up to ]{n:count} [recurring ]types (in a|in each|in every|a|per) box
        """,
        lambda _c, n: ChangeShop(room=n),
        "room for {n} types in a box",
        "room for 4 types in a box",
    ),
    Phrasing(
        "room of a box",
        """
        {box:month} has [room|space] for {n:count}[ types| recurring types]
        room for {n:count} [types |recurring types ]in {box:month}
        {box:month} has room for {n:count}[ types| recurring types]
        """,
        lambda _c, box, n: SetRoom(box, n),
        "room in {box}",
        "March has room for 2",
    ),
    Phrasing(
        "room as usual",
        """
        {box:month} has (the usual room|room as usual|the same room as the others)
        """,
        lambda _c, box: SetRoom(box, None),
        "room in {box}",
        "March has the usual room",
    ),
    Phrasing(
        "spread over months",
        f"""
        spread {_THEM}{_OVER} [the ][next ]{{months:number}} months
        """,
        _over,
        "a spread of the types",
        "spread the types over the next 24 months",
        asks=True,
    ),
    Phrasing(
        "spread over years",
        f"""
        spread {_THEM}{_OVER} [the ][next ]{{n:count}} years
        """,
        _over_years,
        "a spread of the types",
        "spread the types over two years",
        asks=True,
    ),
    Phrasing(
        "spread",
        f"""
        (spread|respread) [the |my |our |all ][recurring ](types|them|the year|year)[ again| anew]
        spread [the |my |our |all ][recurring ](types|them) (evenly|once more)[ again| anew]
        (spread|respread)[ again| anew| once more]
        spread {_THEM}{_OVER} [the year ]{{year:year}}
        (place|plan|distribute) the [recurring ]types[ again]
        (place|plan|distribute) the [recurring ]types[ again] {_OVER} {{year:year}}
        """,
        lambda _c, year=None: SpreadTypes(year=year),
        "a spread of the types",
        "spread the types over 2027",
        asks=True,
    ),
    Phrasing(
        "show spread",
        """
        [show ][me ]spread [number |no. ]{option:number}
        show [me ]way [number |no. ]{option:number}
        """,
        lambda _c, option: ShowSpread(option),
        "spread {option}",
        "show spread 2",
        asks=True,
    ),
    Phrasing(
        "another spread",
        """
        [show ][me ](another|another one|another way|another spread|next one|the next one)
        [show ][me ](the other one|something else|next spread|try another|a different one)
        """,
        _another,
        "another spread",
        "another spread",
        asks=True,
    ),
    Phrasing(
        "use spread",
        """
        (use|take) [the ](spread|way) [number |no. ]{option:number}
        """,
        lambda _c, option: UseSpread(option),
        "spread {option} to use",
        "use spread 2",
    ),
    Phrasing(
        "use one of them",
        """
        (use|take|i like|i'll take|go with) [the ][number |no. ]{option:number}
        """,
        _use_nth,
        "the spread to use",
        "take 1",
    ),
    Phrasing(
        "use it",
        """
        (use|take|i like|i'll take|go with) (it|that|this)[ one| spread| way]
        (use|take) the (spread|way)
        """,
        _use_it,
        "the spread to use",
        "use this spread",
    ),
    Phrasing(
        "pin",
        """
        pin type {type:exacttype} in {box:id}
        (pin|fix) [the ]{type:sometype} (in|to|for|on) {box:box}
        keep [the ]{type:type} in {box:month}
        """,
        lambda _c, type, box: PinType(type, box),
        "a pin of {type} in {box}",
        "pin tea in March",
    ),
    Phrasing(
        "unpin",
        """
        unpin type {type:exacttype} from {box:id}
        unpin [the ]{type:sometype} (in|from|of) {box:month}
        unpin [the ]{type:sometype}
        {type:type} (need not|needn't|doesn't have to) stay in {box:month}
        """,
        _unpin,
        "a pin of {type} to take out",
        "unpin tea",
    ),
)

"""The recurring types: what is wished for each, how much room there is, what stays where it is.

Knows: which records a request changes and when it must be refused. Must not know: how a sentence is
written (replies/types), how a year is spread (year/spread). Invariants: a wish that cannot hold
by arithmetic is refused whole, with what would work; items in the plan stay when a type changes;
a box that was sent stays as it was.
"""

import re
from collections.abc import Sequence
from datetime import date
from itertools import chain, count
from typing import Any

from msgspec.structs import asdict, replace

from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import opinions as say_opinions
from assistant.conversation.replies import types as say
from assistant.conversation.replies.plain import MONTHS, box_name, short
from assistant.conversation.sentences import types as says
from assistant.conversation.year_requests import (
    AddType,
    ChangeType,
    DropType,
    PinType,
    SetRoom,
    ShowTypes,
    TypeFacts,
)
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Box, Change, Put, RecurringType, Remove, Shop
from assistant.planning.month.opinions import of_type
from assistant.planning.shipping import shipped
from assistant.planning.year import spread
from assistant.planning.year.recurring import apart_from, plain, type_called

LABEL = 40  # characters of a button's
MOST_ROOM = 99
MOST_TIMES = 52

TYPES = Button("The types", says.show_types())
SPREAD = Button("Spread the types", says.spread())
AGAIN = Button("Spread again", says.spread())


def add_type(shop: Shop, request: AddType, asked: Asked) -> Outcome:
    """Make a recurring type; one of that name is changed instead."""
    said = request.facts
    if known := type_called(shop.types, said.name):
        return _with_changes(shop, known, said, asked)
    type = RecurringType(id=_id_of(shop, said.name), name=" ".join(said.name.split()))
    return _with_changes(shop, type, said, asked)


def change_type(shop: Shop, request: ChangeType, asked: Asked) -> Outcome:
    """Change what was said of a type; facts that were not said stay."""
    known = find(shop.types, request.type)
    return _with_changes(shop, known, request.facts, asked) if known else _gone(asked)


def drop_type(shop: Shop, request: DropType, asked: Asked) -> Outcome:
    """Forget a type; its items stay in the plan."""
    known = find(shop.types, request.type)
    if known is None:
        return _gone(asked)
    lines = (say.dropped(known.name, len(spread.placed(shop, known))),)
    return changed(shop, asked, (Remove("types", known.id),), lines, (TYPES,))


def show_types(shop: Shop, request: ShowTypes, asked: Asked) -> Outcome:
    """List the types with what is wished for them."""
    del request
    if not shop.types:
        return answer(asked, say.BEGIN)
    shown, others = shop.types[: say.SHOWN], shop.types[say.SHOWN :]
    taken = sum(one.times * one.room for one in shop.types)
    lines = (
        *(say.line(one.name, _facts(shop, one, asked), len(one.forms)) for one in shown),
        say.others([(one.name, one.times) for one in others]) if others else "",
        say.room_of_boxes(profile_of(shop).room, taken),
    )
    return answer(asked, lines, (SPREAD,), title=say.TITLE)


def set_room(shop: Shop, request: SetRoom, asked: Asked) -> Outcome:
    """Say how much room for recurring types one box has."""
    box, room = find(shop.boxes, request.box) or Box(id=request.box), request.room
    if on := shipped(shop, box.id, asked.today):
        coming = _next_box(shop, box.id, asked)
        example = says.room_in(coming, 2 if room is None else room)
        return _sent(box.id, on, example, asked)
    if room is not None and not 0 <= room <= MOST_ROOM:
        example = f"{MONTHS[int(box.id[5:7]) - 1]} has room for 2"
        return answer(asked, (say.out_of_range("room", room, 0, MOST_ROOM, example),))
    text = say.room_set(box_name(box.id, asked.today), room, profile_of(shop).room)
    talk = about(asked, box=box.id, item="")
    if room == box.room:
        return answer(asked, (say.stands(text),), (SPREAD,), talk=talk, stands=True)
    changes = (Put(replace(box, room=room)),)
    return changed(shop, asked, changes, (text,), (SPREAD,), talk=talk)


def pin_type(shop: Shop, request: PinType, asked: Asked) -> Outcome:
    """Keep a type in a box whatever is spread again, or let it move."""
    known = find(shop.types, request.type)
    if known is None:
        return _gone(asked)
    name, talk = box_name(request.box, asked.today), about(asked, box=request.box, item="")
    if (request.box in known.pins) == request.pin:
        text = (say.pinned_already if request.pin else say.not_pinned)(known.name, name)
        return answer(asked, (text,), (AGAIN,), talk=talk, stands=True)
    if not request.pin:
        left = tuple(box for box in known.pins if box != request.box)
        changes = (Put(replace(known, pins=left)),)
        return changed(shop, asked, changes, (say.unpinned(known.name, name),), (AGAIN,), talk=talk)
    if on := shipped(shop, request.box, asked.today):
        coming = _next_box(shop, request.box, asked)
        return _sent(request.box, on, says.pin(known.name, coming), asked)
    new = replace(known, pins=tuple(sorted((*known.pins, request.box))))
    if refusal := _cannot(shop, new, TypeFacts(), asked):
        return refusal
    return changed(shop, asked, (Put(new),), (say.pinned(known.name, name),), (AGAIN,), talk=talk)


def _next_box(shop: Shop, box: str, asked: Asked) -> str:
    """A box that has not shipped yet: the plan's next, or this month's or the next."""
    coming = [b.id for b in shop.boxes if b.id > box and not shipped(shop, b.id, asked.today)]
    month = f"{asked.today:%Y-%m}"
    return min(coming, default=month if month > box else f"{asked.today.year + 1}-01")


def _sent(box: str, on: date, instead: str, asked: Asked) -> Outcome:
    """The refusal to change what belongs to a box that was sent, with what would do."""
    text = say.sent(box_name(box, asked.today), on, asked.today, instead)
    return answer(asked, (text,), (Button(short(instead, LABEL), instead),))


# --- one type -------------------------------------------------------------------------------


def _with_changes(shop: Shop, old: RecurringType, said: TypeFacts, asked: Asked) -> Outcome:
    """Keep a type with what was said of it, unless that cannot hold."""
    is_new = find(shop.types, old.id) is None
    if refusal := _unlikely(old, said):
        return answer(asked, (refusal,))
    new, others = _with_said(shop, old, said)
    changes: tuple[Change, ...] = (Put(new), *others)
    after = apply(shop, changes)
    pieces = _facts(after, new, asked, said.apart or ())
    if not is_new and new == old and not others:
        text = say.nothing_new(new.name, _spoken_of(pieces, said))
        return answer(asked, (text,), (TYPES,), stands=True)
    if refused := _cannot(shop, new, said, asked):
        return refused
    if is_new:
        first: tuple[str, ...] = (say.new(new.name, pieces.values()),)
    else:
        first = _differences(new.name, _facts(shop, old, asked), pieces)
    lines = (*first, *_remarks(after, old, new, said))
    return changed(shop, asked, changes, lines, (SPREAD, TYPES), brief=first)


def _differences(name: str, before: dict[str, str], after: dict[str, str]) -> tuple[str, ...]:
    news = [text for fact, text in after.items() if before.get(fact) != text]
    gone = [text for fact, text in before.items() if fact not in after]
    return (
        say.noted(name, news) if news else "",
        say.taken_away(name, gone) if gone else "",
    )


def _remarks(
    after: Shop, old: RecurringType, new: RecurringType, said: TypeFacts
) -> tuple[str, ...]:
    """What she may not have thought of."""
    few = 0 < len(new.forms) < new.times and (said.forms is not None or said.times is not None)
    unknown = [name for name in said.apart or () if type_called(after.types, name) is None]
    items = len(spread.placed(after, new)) if old.unit_cost != new.unit_cost else 0
    return (
        say.few_forms(new.name, new.times, new.forms) if few else "",
        say.not_types_yet(unknown) if unknown else "",
        say.cost_stays(items) if items else "",
        say_opinions.before(of_type(after, new.name)) if said.times is not None else "",
    )


def _with_said(
    shop: Shop, old: RecurringType, said: TypeFacts
) -> tuple[RecurringType, tuple[Change, ...]]:
    """The type with what was said, and the changes to others that kept away from it by themselves
    and may share a box with it now."""
    fields: dict[str, Any] = {
        field: value
        for field, value in asdict(said).items()
        if value is not None and field not in ("name", "apart")
    }
    new = replace(old, **fields)
    if said.apart is None:
        return new, ()
    apart = tuple(dict.fromkeys(_id_named(shop, name) for name in said.apart))
    others = tuple(
        Put(replace(one, apart=tuple(id for id in one.apart if id != old.id)))
        for one in shop.types
        if old.id in one.apart and one.id not in apart
    )
    held = {one.id for one in shop.types if old.id in one.apart}
    return replace(new, apart=tuple(id for id in apart if id not in held)), others


def _id_named(shop: Shop, name: str) -> str:
    """The id of the type of a name; the one that it will have where there is none yet."""
    known = type_called(shop.types, name)
    return known.id if known else plain(name)


def _id_of(shop: Shop, name: str) -> str:
    """The id for a new type: its plain name, so that wishes about it can come before it does."""
    own, taken = plain(name), {one.id for one in shop.types}
    others = (f"{own} {number}" for number in count(2))
    return next(id for id in chain((own,), others) if id not in taken)


def _cannot(shop: Shop, new: RecurringType, said: TypeFacts, asked: Asked) -> Outcome | None:
    """The refusal of wishes for one type that cannot hold by arithmetic, with what would work."""
    found = spread.check(apply(shop, (Put(new),)), new, asked.today)
    if found is None:
        return None
    instead = found.example if find(shop.types, new.id) else _made_possible(found.example, said)
    buttons = (Button(short(instead, LABEL), instead), TYPES)
    return answer(asked, (say.cannot(found.sentence, instead),), buttons)


def _made_possible(example: str, said: TypeFacts) -> str:
    """A new type as it was told, with the times of an example, or without months that are told
    both ways."""
    if times := re.search(r"(\d+) times a year$", example):
        return says.new_type(replace(said, times=int(times[1])))
    must = tuple(month for month in said.must or () if month not in (said.must_not or ()))
    return says.new_type(replace(said, must=must))


def _unlikely(type: RecurringType, said: TypeFacts) -> str:
    """Why what was said cannot be meant, whatever else is wished."""
    if said.times is not None and said.times < 1:
        return say.out_of_range("times a year", said.times, 1, MOST_TIMES, "tea 4 times a year")
    if said.room is not None and not 1 <= said.room <= MOST_ROOM:
        return say.out_of_range("room", said.room, 1, MOST_ROOM, "tea takes 2 places")
    if any(plain(name) == plain(type.name) for name in said.apart or ()):
        return say.with_itself(type.name)
    return ""


def _facts(
    shop: Shop, type: RecurringType, asked: Asked, said: Sequence[str] = ()
) -> dict[str, str]:
    """The facts of a type in words; `said` is how the types that it keeps away from were named."""
    pins = [box_name(box, asked.today) for box in type.pins]
    written = {plain(name): name for name in said}
    apart = [written.get(name, name) for name in apart_from(shop.types, type)]
    return say.facts(type, apart, profile_of(shop).currency, pins)


def _spoken_of(pieces: dict[str, str], said: TypeFacts) -> list[str]:
    """The pieces that were spoken of, all of them where those are none."""
    spoken = {field for field, value in asdict(said).items() if value is not None}
    return [text for fact, text in pieces.items() if fact in spoken] or list(pieces.values())


def _gone(asked: Asked) -> Outcome:
    return answer(asked, (say.gone(),), (TYPES,))


HANDLERS: dict[type, Handler] = {
    AddType: add_type,
    ChangeType: change_type,
    DropType: drop_type,
    ShowTypes: show_types,
    SetRoom: set_room,
    PinType: pin_type,
}
WRITES: frozenset[type] = frozenset({AddType, ChangeType, DropType, SetRoom, PinType})

"""Wishes for the recurring types that cannot all hold, and what would have to give.

Knows: which wishes are told, which sentence makes a wish give. Must not know: how a sentence is
written (replies/clashes), how a clash is found (year/spread). Invariants: nothing is changed;
each choice changes a wish and spreads the types again, in one message.
"""

from collections.abc import Mapping

from msgspec.structs import replace

from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import clashes as say
from assistant.conversation.replies.plain import box_name, short
from assistant.conversation.sentences import types as says
from assistant.planning.model import Shop
from assistant.planning.year.spread import Clash, Relaxation, Wish

GIVING = 4  # choices under a clash
WISHES = 5  # lines of a clash
LABEL = 40


def clash(shop: Shop, found: Clash, over: str, again: str, asked: Asked) -> Outcome:
    """Tell the wishes that cannot hold together, and what would have to give, as choices. `over`
    names the boxes; `again` is the sentence that spreads the types over them."""
    names = {one.id: one.name for one in shop.types}
    gives = found.relaxations[:GIVING] if found.alone else found.relaxations
    texts = [say.give(one, names, _place(one.wish.box, asked)) for one in gives]
    changes = [_sentence(one, names) for one in gives]
    choices = _choices(texts, changes, again, alone=found.alone)
    listing = say.numbered(texts) if found.alone and len(texts) > 1 else tuple(texts)
    lines = (*_wish_lines(found, names, asked), say.would_do(found.alone, len(texts)), *listing)
    talk = replace(about(asked, item=""), options=tuple(one.says for one in choices))
    return answer(asked, lines, choices, title=say.title(over), talk=talk)


def _choices(
    texts: list[str], changes: list[str], again: str, *, alone: bool
) -> tuple[Button, ...]:
    """One choice for each wish that can give, or one for all of them together."""
    if changes and not alone:
        label = say.ALL if len(texts) > 1 else _label(texts[0])
        return (Button(label, "; ".join((*changes, again))),)
    pairs = zip(texts, changes, strict=True)
    return tuple(Button(_label(text), says.then(change, again)) for text, change in pairs)


def _label(text: str) -> str:
    return short(text[:1].upper() + text[1:], LABEL)


def _place(box: str, asked: Asked) -> str:
    return box_name(box, asked.today) if box else ""


def _wish_lines(found: Clash, names: Mapping[str, str], asked: Asked) -> tuple[str, ...]:
    """The wishes, a line each; those that differ in their box or month only share one."""
    alike: dict[tuple[object, ...], list[Wish]] = {}
    for wish in found.wishes:
        alike.setdefault((wish.what, wish.type, wish.other, wish.number), []).append(wish)
    lines = []
    for wishes in alike.values():
        places = list(dict.fromkeys(_place(one.box, asked) for one in wishes if one.box))
        months = list(dict.fromkeys(one.month for one in wishes if one.month))
        lines.append(say.wish(wishes[0], names, places, months))
    more = len(lines) - WISHES
    return tuple(lines) if more <= 0 else (*lines[: WISHES - 1], say.more(more + 1))


def _sentence(one: Relaxation, names: Mapping[str, str]) -> str:
    """What she would say to let a wish give."""
    wish, to = one.wish, one.to
    name, other = names.get(wish.type, wish.type), names.get(wish.other, wish.other)
    match wish.what:
        case "times":
            return says.times_a_year(name, to) if to else says.drop_type(name)
        case "room":
            return says.room_in(wish.box, to or 0) if wish.box else says.room_in_each(to or 0)
        case "must":
            return says.need_not_be_in(name, wish.month)
        case "must not":
            return says.may_be_in(name, wish.month)
        case "pin":
            return says.unpin(name, wish.box)
        case "apart":
            return says.may_share(name, other)
        case _:
            return says.show_types()

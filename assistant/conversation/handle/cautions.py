"""Goods that carry duties: said where they matter, asked where unsure, shown when asked for.

Knows: which items a message is about, what was said of them before. Must not know: how a kind is
found (planning/), how a sentence is written (replies/). Invariants: a kind is said once in a reply,
and a question put once; an answer changes nothing but Item.goods and can be taken back; what is
shown ends by deferring to carrier, authority and adviser.
"""

from collections.abc import Iterable, Sequence
from typing import Any

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import AnswerCaution, ShowCautions
from assistant.conversation.replies import cautions as say
from assistant.conversation.replies.plain import box_name
from assistant.conversation.replies.plan import item_gone, over
from assistant.conversation.sentences import cautions as says
from assistant.planning.changes import apply, find
from assistant.planning.model import Item, Put, Record, Shop
from assistant.planning.month import cautions
from assistant.planning.month.cautions import Doubt
from assistant.planning.records import CautionWhen
from assistant.planning.shipping import is_ordered, shipped

WHOLE = 2  # kinds of goods of which every moment is shown
SHOWN = 6  # kinds of goods, or boxes, on one screen
TOUCHED = 3  # boxes of a list that have buttons
WHENS: tuple[CautionWhen, ...] = ("plan", "order", "pack")


class Said(Record):
    """What is said of goods beside something else: lines, the buttons that belong to them, and
    what "yes" and "no" stand for."""

    lines: tuple[str, ...] = ()
    buttons: tuple[Button, ...] = ()
    options: tuple[str, ...] = ()

    def talk(self, talk: Any) -> Any:
        """The talk with what "yes" and "no" stand for."""
        return replace(talk, options=self.options) if self.options else talk


# --- said beside something else -------------------------------------------------------------


def when_planned(shop: Shop, after: Shop, item: Item, asked: Asked) -> Said:
    """What is to be known of an item that was just planned or changed: what is new of it, whether
    it may melt on its way, and a question where something is unsure."""
    today, old = asked.today, find(shop.items, item.id)
    told = _told(shop, old, asked)
    every = cautions.cautions(after, item, "plan", today)
    melting = {rule.goods for rule in after.house.cautions if rule.melts}
    new = [one for one in every if one.goods not in told and one.goods not in melting]
    look = Button("What to check", says.show(after, item.id))
    hot = _heat(after, item, old, asked)
    doubts = cautions.questions(after, item)
    if old is not None and doubts[:1] == cautions.questions(shop, old)[:1]:
        doubts = ()  # it was asked before
    ask = _ask(after, item, doubts)
    return Said(
        (say.line(new, "plan"), *hot.lines, *ask.lines),
        (*((look,) if new else ()), *hot.buttons, *ask.buttons),
        ask.options,
    )


def _told(shop: Shop, old: Item | None, asked: Asked) -> set[str]:
    """The kinds that were told of an item before, or of others that this message planned."""
    if old is not None:
        return set(cautions.kinds(shop, old))
    ref = asked.heard.id
    same = (one for one in shop.items if one.id.startswith((f"{ref}.", f"{ref}/")))
    return {goods for one in same for goods in cautions.kinds(shop, one)}


def _heat(shop: Shop, item: Item, old: Item | None, asked: Asked) -> Said:
    """What is said of an item that melts, where its box is on its way in hot months and that is
    new."""
    today = asked.today
    found = cautions.heat(shop, item.box, today) if cautions.melts(shop, item) else None
    known = old is not None and old.box == item.box and cautions.melts(shop, old)
    if found is None or known:
        return Said()
    cool = cautions.cooler(shop, item, today)
    line = say.hot(item, found, cool, today)
    if not cool:
        return Said((line,))
    move = Button(f"Move it to {box_name(cool, today)}", sentences.move(shop, item.id, cool))
    return Said((line,), (move,))


def now_hot(shop: Shop, after: Shop, asked: Asked) -> str:
    """Say which goods that melt come into hot months by a change from one plan to another."""
    old = {item.id: item.box for item in shop.items}
    moved = (one for one in after.items if old.get(one.id, one.box) != one.box)
    hot = [
        one
        for one in moved
        if cautions.melts(after, one)
        and cautions.heat(after, one.box, asked.today)
        and not cautions.heat(shop, old[one.id], asked.today)
    ]
    return say.now_hot(hot, asked.today)


def _ask(shop: Shop, item: Item, doubts: Sequence[Doubt]) -> Said:
    """The first of the questions about an item, with its two answers."""
    if not doubts:
        return Said()
    yes, no = (says.answer(shop, item.id, doubts[0].goods, so) for so in (True, False))
    line = say.question(item, doubts[0].ask, len(doubts) - 1)
    return Said((line,), (Button("Yes", yes), Button("No", no)), (yes, no))


def for_many(shop: Shop, items: Iterable[Item], when: CautionWhen, asked: Asked) -> Said:
    """What is to be known of many items: counts by kind, and of how many something is unsure; of
    one item what is said of one."""
    every, today = list(items), asked.today
    look = says.show(shop, every[0].id) if len(every) == 1 else _where(shop, every)
    if len(every) == 1:
        line = say.line(cautions.cautions(shop, every[0], when, today), when)
    else:
        line = say.counted(cautions.together(shop, every, when, today), when)
    unsure = sum(bool(cautions.questions(shop, one)) for one in every) if when == "plan" else 0
    lines = tuple(filter(None, (line, say.unsure(unsure))))
    return Said(lines, (Button("What to check", look),)) if lines else Said()


def _where(shop: Shop, items: Iterable[Item]) -> str:
    """The sentence that asks what to check for the box of all these, else for the plan."""
    boxes = {one.box for one in items}
    return says.show(shop, box=boxes.pop() if len(boxes) == 1 else "")


# --- answered -------------------------------------------------------------------------------


def answer_caution(shop: Shop, request: AnswerCaution, asked: Asked) -> Outcome:
    """Take down whether an item is of a kind of goods; say what follows and ask the next thing."""
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return answer(asked, (item_gone(),), (Button("The year", sentences.show_year()),))
    if on := shipped(shop, item.box, today):
        return answer(asked, (over(item.box, on, True, today),))
    if request.goods not in {rule.goods for rule in shop.house.cautions}:
        return answer(asked, (say.GONE,), (Button("Cautions", says.show(shop)),))
    look = Button("What to check", says.show(shop, item.id))
    talk = about(asked, item=item.id, box=item.box)
    if dict(item.goods).get(request.goods) is request.so:
        text = say.as_it_stands(item, request.goods, request.so, today)
        return answer(asked, (text,), (look,), talk=talk, stands=True)
    others = tuple(pair for pair in item.goods if pair[0] != request.goods)
    new = replace(item, goods=(*others, (request.goods, request.so)))
    after = apply(shop, (Put(new),))
    head = say.answered(new, request.goods, request.so, today)
    said = when_planned(shop, after, new, asked)
    next_one = _ask(after, new, cautions.questions(after, new))
    lines = (head, *(line for line in said.lines if line not in next_one.lines), *next_one.lines)
    buttons = dict.fromkeys((*said.buttons, *next_one.buttons, look))
    talk = next_one.talk(talk)
    return changed(shop, asked, (Put(new),), lines, buttons, talk=talk, brief=(head,))


# --- shown ----------------------------------------------------------------------------------


def show_cautions(shop: Shop, request: ShowCautions, asked: Asked) -> Outcome:
    """Show what to check for an item, for a box, or for all of the plan."""
    if request.item:
        return _item(shop, request.item, asked)
    return _box(shop, request.box, asked) if request.box else _plan(shop, asked)


def _moment(shop: Shop, items: Iterable[Item], asked: Asked) -> CautionWhen:
    """What comes next for these items: the order, or where all are ordered the packing."""
    return "pack" if all(is_ordered(shop, one, asked.today) for one in items) else "order"


def _item(shop: Shop, id: str, asked: Asked) -> Outcome:
    item, today = find(shop.items, id), asked.today
    if item is None:
        return answer(asked, (item_gone(),), (Button("The year", sentences.show_year()),))
    when = _moment(shop, (item,), asked)
    found = cautions.cautions(shop, item, when, today)
    lines: list[str] = []
    if len(found) <= WHOLE:
        every = {one: cautions.cautions(shop, item, one, today) for one in WHENS}
        for place, one in enumerate(found):
            checks = {moment: every[moment][place].check for moment in WHENS}
            lines += say.moments(one.goods, checks)
    else:
        lines += [say.in_short(one) for one in found[:SHOWN]]
        lines.append(say.more_kinds(len(found) - SHOWN))
    ask = _ask(shop, item, cautions.questions(shop, item))
    hot = _heat(shop, item, None, asked)
    lines += [*hot.lines, say.DEFER if found else say.nothing(item.name), *ask.lines]
    buttons = (*ask.buttons, *hot.buttons)
    talk = ask.talk(about(asked, item=item.id, box=item.box))
    return answer(asked, lines, buttons, title=say.title_of_item(item, today), talk=talk)


def _box(shop: Shop, box: str, asked: Asked) -> Outcome:
    inside = [item for item in shop.items if item.box == box]
    when = _moment(shop, inside, asked)
    found = cautions.together(shop, inside, when, asked.today)
    unsure = _unsure(shop, inside)
    ask = _ask(shop, unsure, cautions.questions(shop, unsure)) if unsure else Said()
    where = box_name(box, asked.today)
    lines = (
        *(say.with_items(one) for one in found[:SHOWN]),
        say.more_kinds(len(found) - SHOWN),
        say.DEFER if found else say.nothing(where),
        *ask.lines,
    )
    how = Button(f"How is {where}", sentences.how_is(box))
    title = say.title_of_box(box, when, asked.today)
    talk = ask.talk(about(asked, item="", box=box))
    return answer(asked, lines, (*ask.buttons, how), title=title, talk=talk)


def _plan(shop: Shop, asked: Asked) -> Outcome:
    coming = [box.id for box in shop.boxes if not dates.shipped(shop, box.id, asked.today)]
    inside = {box: [one for one in shop.items if one.box == box] for box in sorted(coming)}
    every = {
        box: found
        for box, held in inside.items()
        if (found := cautions.together(shop, held, "order", asked.today))
    }
    unsure = _unsure(shop, (one for held in inside.values() for one in held))
    ask = _ask(shop, unsure, cautions.questions(shop, unsure)) if unsure else Said()
    shown = list(every)[:SHOWN]
    lines = (
        *(say.row(box, every[box], asked.today) for box in shown),
        say.more(len(every) - len(shown), "box with such goods") if len(every) > SHOWN else "",
        say.DEFER if every else f"{say.NOTHING} {say.SAYS_NOTHING}",
        *ask.lines,
    )
    touches = tuple(
        Button(box_name(box, asked.today), says.show(shop, box=box)) for box in shown[:TOUCHED]
    )
    talk = ask.talk(about(asked))
    title = say.TITLE if every else ""
    return answer(asked, lines, (*ask.buttons, *touches), title=title, talk=talk)


def _unsure(shop: Shop, items: Iterable[Item]) -> Item | None:
    """The first item of which something is to be asked."""
    return next((one for one in items if cautions.questions(shop, one)), None)


HANDLERS: dict[type, Handler] = {AnswerCaution: answer_caution, ShowCautions: show_cautions}
WRITES: frozenset[type] = frozenset({AnswerCaution})

"""Changing the year plan: themes, items, swaps, ship dates.

Knows: which records a request changes and when it must be refused. Must not know: how a sentence
is written (replies/plan) or how a date is worked back (planning/deadlines). Invariants: a box that
has shipped stays as it was; a swap, and what touches an order, is done once it was shown; names are
unique within a box; a refusal changes nothing; every reply to a change names the date that follows.
"""

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.amounts import order_lines
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.cautions import now_hot, when_planned
from assistant.conversation.handle.item_facts import (
    ask_currency,
    costs_more,
    currencies,
    same_for_another,
    with_facts,
)
from assistant.conversation.handle.named import add_supplier, nearly, supplier_name
from assistant.conversation.handle.outcomes import about, answer, changed, fresh_id
from assistant.conversation.handle.previewing import as_done, closer_line, effect_lines, preview
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import plan as say
from assistant.conversation.replies import rearranging as say_moves
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import (
    AddItem,
    ChangeItem,
    DropItem,
    ItemFacts,
    MoveItem,
    SetTheme,
    SwapBoxes,
)
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Box, Item, Put, Shop
from assistant.planning.shipping import is_ordered
from assistant.planning.year import rearranging

OFFERED = 3  # boxes that are offered in place of one that has shipped


def set_theme(shop: Shop, request: SetTheme, asked: Asked) -> Outcome:
    """Give a box its theme, making the box if the plan has none for that month."""
    box = find(shop.boxes, request.box) or Box(id=request.box)
    talk = about(asked, box=box.id, item="")
    if box.theme == request.theme:
        text = say.theme_stands(box.id, box.theme, asked.today)
        return answer(asked, (text,), (how_is(box.id, asked),), talk=talk, stands=True)
    if refusal := shipped_already(shop, asked, box.id):
        return refusal
    changes = (Put(replace(box, theme=request.theme)),)
    after = apply(shop, changes)
    lines = (
        say.theme_set(box.id, request.theme, box.theme, asked.today),
        *dates.box_lines(after, box.id, asked.today),
    )
    buttons = (how_is(box.id, asked),)
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:1])


def add_item(shop: Shop, request: AddItem, asked: Asked) -> Outcome:
    """Add an item to a box; a supplier or a box that is new is made."""
    said, box = request.facts, request.box
    if refusal := shipped_already(shop, asked, box):
        return refusal
    if known := item_named(shop, box, said.name):
        return _twice(shop, known, said, asked)
    changes, supplier = add_supplier(shop, asked, said.supplier, said.made_in)
    if find(shop.boxes, box) is None:
        changes = (*changes, Put(Box(id=box)))
    new = Item(id="", box=box, name="")
    item = with_facts(shop, new, said, supplier)
    if codes := currencies(shop, new, said, supplier):
        pairs = ((one, sentences.add_item(box, replace(said, currency=one))) for one in codes)
        return ask_currency(said.name, said, pairs, asked, box)
    if refusal := costs_more(new, item, profile_of(shop).currency, asked):
        return refusal
    item = replace(item, id=fresh_id(apply(shop, changes), asked))
    changes = (*changes, Put(item), *one_main(shop, item))
    after = apply(shop, changes)
    first = (
        say.added(box, say.in_one_line(_facts(after, item)), asked.today),
        _new_supplier(shop, after, supplier),
    )
    goods = when_planned(shop, after, item, asked)
    numbers = order_lines(after, item, said, asked.today)
    lines = (*first, *numbers, *dates.item_lines(after, item.id, asked.today), *goods.lines)
    talk, brief = goods.talk(about(asked, item=item.id, box=box)), (*first, *goods.lines)
    buttons = (*_after_item(after, item, asked), *goods.buttons)
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=brief)


def change_item(shop: Shop, request: ChangeItem, asked: Asked) -> Outcome:
    """Change what was said of an item; fields that were not said stay."""
    item, said = find(shop.items, request.item), request.facts
    if item is None:
        return gone(asked)
    if refusal := shipped_already(shop, asked, item.box):
        return refusal
    other = item_named(shop, item.box, said.name)
    if other and other.id != item.id:
        text = say.taken_name(item.name, said.name, item.box, asked.today)
        return answer(asked, (text,), talk=about(asked, item=item.id, box=item.box))
    changes, supplier = add_supplier(shop, asked, said.supplier, said.made_in)
    new = with_facts(shop, item, said, supplier)
    if codes := currencies(shop, item, said, supplier):
        facts = [(one, replace(said, currency=one)) for one in codes]
        pairs = ((one, sentences.change_item(shop, item.id, told)) for one, told in facts)
        return ask_currency(item.name, said, pairs, asked, item.box)
    if refusal := costs_more(item, new, profile_of(shop).currency, asked):
        return refusal
    talk = about(asked, item=item.id, box=item.box)
    if new == item:
        text = say.nothing_new(say.in_one_line(_facts(shop, item)))
        return answer(asked, (text,), talk=talk, stands=True)
    changes = (*changes, Put(new), *one_main(shop, new))
    after = apply(shop, changes)
    what = say.differences(_facts(shop, item), _facts(after, new))
    first = (
        say.item_changed(item, item.box, what, asked.today),
        _new_supplier(shop, after, supplier),
    )
    goods = when_planned(shop, after, new, asked)
    numbers = order_lines(after, new, said, asked.today)
    later = dates.item_lines(after, item.id, asked.today, before=shop)
    lines = (*first, *numbers, *later, *goods.lines)
    again = same_for_another(after, new, said, asked)
    buttons = (*_after_item(after, new, asked), *again, *goods.buttons)
    talk, brief = goods.talk(talk), (*first, *goods.lines)
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=brief)


def move_item(shop: Shop, request: MoveItem, asked: Asked) -> Outcome:
    """Move an item to another box; what was done for it stays done. What it does is shown first
    where the item is ordered."""
    item = find(shop.items, request.item)
    if item is None:
        return gone(asked)
    if item.box == request.box:
        text = say.in_it_already(item.name, item.box, asked.today)
        talk = about(asked, item=item.id, box=item.box)
        return answer(asked, (text,), talk=talk, stands=True)
    if refusal := _cannot_move(shop, item, request.box, asked):
        return refusal
    changes = rearranging.move(shop, {item.id: request.box})
    after = apply(shop, changes)
    what = say_moves.move(item.name, request.box, asked.today)
    if is_ordered(shop, item, asked.today) and not request.sure:
        says = sentences.move(shop, item.id, request.box)
        return preview(shop, after, what, says, asked)
    moved = replace(item, box=request.box)
    goods = when_planned(shop, after, moved, asked)
    lines = (
        say.moved(item.name, item.box, request.box, asked.today),
        *(effect_lines(shop, after, asked) if request.sure else ()),
        *dates.item_lines(after, item.id, asked.today, before=shop),
        "" if request.sure else closer_line(shop, after, asked),
        *goods.lines,
    )
    talk = goods.talk(about(asked, item=item.id, box=request.box))
    buttons = (*_after_item(after, moved, asked), *goods.buttons)
    outcome = changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:1])
    return as_done(outcome, what) if request.sure else outcome


def drop_item(shop: Shop, request: DropItem, asked: Asked) -> Outcome:
    """Take an item out of the plan, with its lines of the ledger. What it does is shown first
    where the item is ordered."""
    item = find(shop.items, request.item)
    if item is None:
        return gone(asked)
    if refusal := shipped_already(shop, asked, item.box):
        return refusal
    changes = rearranging.drop(shop, (item.id,))
    after = apply(shop, changes)
    ordered = is_ordered(shop, item, asked.today)
    what = say_moves.drop(item.name, item.box, asked.today)
    if ordered and not request.sure:
        return preview(shop, after, what, sentences.drop(shop, item.id), asked)
    lines = (
        say.dropped(item.name, item.box, asked.today),
        say.was_ordered(supplier_name(shop, item.supplier)) if ordered else "",
        *(effect_lines(shop, after, asked)[1:2] if request.sure else ()),
        *dates.box_lines(after, item.box, asked.today),
    )
    talk, buttons = about(asked, item="", box=item.box), (how_is(item.box, asked),)
    outcome = changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:2])
    return as_done(outcome, what) if request.sure else outcome


def swap_boxes(shop: Shop, request: SwapBoxes, asked: Asked) -> Outcome:
    """Swap what two boxes hold, once what it does was shown; months and ship dates stay."""
    pair = request.first, request.second
    if pair[0] == pair[1]:
        return answer(asked, (say.same_box(pair[0], asked.today),))
    if refusal := _cannot_swap(shop, pair, asked):
        return refusal
    held = any(item.box in pair for item in shop.items)
    if not held and not any(box.theme for box in shop.boxes if box.id in pair):
        return answer(asked, (say.both_empty(*pair, asked.today),))
    changes = rearranging.swap(shop, *pair)
    after = apply(shop, changes)
    what = say_moves.swap(*pair, asked.today)
    hot = now_hot(shop, after, asked)
    if not request.sure:
        return preview(shop, after, what, sentences.swap(*pair), asked, (hot,))
    lines = (
        say_moves.swapped(*pair, asked.today),
        *effect_lines(shop, after, asked),
        hot,
        dates.tightest_of(after, pair, asked.today),
    )
    buttons, talk = tuple(how_is(id, asked) for id in pair), about(asked, item="", box=pair[0])
    outcome = changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:2])
    return as_done(outcome, what)


def _cannot_swap(shop: Shop, pair: tuple[str, str], asked: Asked) -> Outcome | None:
    """The refusal to swap with a box that has shipped, with those that can be swapped."""
    for box in pair:
        on = dates.shipped(shop, box, asked.today)
        if on and find(shop.boxes, box) is None:
            return shipped_already(shop, asked, box)
        if on:
            able = to_come(shop, asked, first=pair)[:2]
            text = say_moves.sent_swap(box, on, able, asked.today)
            return answer(asked, (text,), _swap_button(able[0], able[1], asked) if able[1:] else ())
    return None


def _swap_button(first: str, second: str, asked: Asked) -> tuple[Button, ...]:
    label = say_moves.title(say_moves.swap(first, second, asked.today))
    return (Button(label, sentences.swap(first, second)),)


def _cannot_move(shop: Shop, item: Item, box: str, asked: Asked) -> Outcome | None:
    """The refusal to move an item out of or into a box that has shipped, or to where an item of
    its name is."""
    if on := dates.shipped(shop, item.box, asked.today):
        return answer(asked, (say_moves.all_sent(item, on, asked.today),))
    if on := dates.shipped(shop, box, asked.today):
        able = [id for id in to_come(shop, asked) if id != item.box][:OFFERED]
        text = say_moves.sent_target(item.name, box, on, able, asked.today)
        buttons = (
            Button(f"To {box_name(id, asked.today)}", sentences.move(shop, item.id, id))
            for id in able
        )
        return answer(asked, (text,), buttons)
    if item_named(shop, box, item.name):
        text = say.twice_moved(item.name, box, asked.today)
        return answer(asked, (text,), (how_is(box, asked),))
    return None


def to_come(shop: Shop, asked: Asked, first: tuple[str, ...] = ()) -> list[str]:
    """The boxes of the plan that can still change, by month; of `first` before all others."""
    coming = (box.id for box in shop.boxes if not dates.shipped(shop, box.id, asked.today))
    return sorted(coming, key=lambda id: (id not in first, id))


def item_named(shop: Shop, box: str, name: str) -> Item | None:
    """Return the item of a box that has this name, whatever its case."""
    wanted = name.casefold().split()
    inside = (item for item in shop.items if item.box == box and wanted)
    return next((item for item in inside if item.name.casefold().split() == wanted), None)


def how_is(box: str, asked: Asked) -> Button:
    """The button that asks how a box is."""
    return Button(f"How is {box_name(box, asked.today)}", sentences.how_is(box))


def _twice(shop: Shop, known: Item, said: ItemFacts, asked: Asked) -> Outcome:
    """A second item of one name is refused; the same item said once more stands as it is."""
    supplier = supplier_name(shop, known.supplier).casefold()
    new = with_facts(shop, known, said, known.supplier)
    same = replace(new, name=known.name) == known
    stands = same and said.supplier.casefold() in ("", supplier)
    text = (
        say.in_it_already(known.name, known.box, asked.today)
        if stands
        else say.twice(said, known.box, asked.today)
    )
    return answer(asked, (text,), (how_is(known.box, asked),), stands=stands)


def gone(asked: Asked) -> Outcome:
    """Say that an item no longer stands in the plan."""
    return answer(asked, (say.item_gone(),), (Button("The year", sentences.show_year()),))


def shipped_already(shop: Shop, asked: Asked, *boxes: str) -> Outcome | None:
    """The refusal to change a box that has shipped, None where all of them may change."""
    for box in boxes:
        if on := dates.shipped(shop, box, asked.today):
            planned = find(shop.boxes, box) is not None
            return answer(asked, (say.over(box, on, planned, asked.today),))
    return None


def _facts(shop: Shop, item: Item) -> dict[str, str]:
    return say.facts(item, supplier_name(shop, item.supplier), profile_of(shop).currency)


def one_main(shop: Shop, item: Item) -> tuple[Put, ...]:
    """Return the changes by which no other item of its box stands out, where this one does."""
    if not item.main:
        return ()
    others = (one for one in shop.items if one.box == item.box and one.main and one.id != item.id)
    return tuple(Put(replace(one, main=False)) for one in others)


def _new_supplier(before: Shop, after: Shop, id: str) -> str:
    """Name a supplier that the change made; "" when it was known before."""
    supplier = find(after.suppliers, id)
    if supplier is None or find(before.suppliers, id):
        return ""
    near = nearly(before, supplier.name)
    return say.new_supplier(supplier.name, supplier.country, near.name if near else "")


def _after_item(shop: Shop, item: Item, asked: Asked) -> tuple[Button, ...]:
    rescue = dates.rescue_button(shop, item.id, asked.today)
    why = Button("Why that day", sentences.why(shop, item=item.id))
    return (why, rescue) if rescue else (why,)


HANDLERS: dict[type, Handler] = {
    SetTheme: set_theme,
    AddItem: add_item,
    ChangeItem: change_item,
    MoveItem: move_item,
    DropItem: drop_item,
    SwapBoxes: swap_boxes,
}

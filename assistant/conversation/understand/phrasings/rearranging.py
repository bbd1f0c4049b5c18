"""Ways to say that several items move, that a supplier goes, and that a thing is done at once.

Knows: requests of rearranging. Must not know: how a line is matched. Invariants: the sentences of
buttons (EXACT) stand before all others; words that only look like one of these are left to the
other phrasings; each example is understood as its row.
"""

from assistant.conversation.replies.plain import short
from assistant.conversation.requests import DropItem, MoveItem, SwapBoxes
from assistant.conversation.sentences import item_name
from assistant.conversation.sentences.rearranging import move_items, quoted
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_item, supplier_id
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.several import (
    Months,
    items_by_ref,
    read_items,
    read_months,
    seasons,
)
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import tidy
from assistant.conversation.year_requests import DropSupplier, MoveToMonths

OFFERED = 6  # choices under one question


def _exact_supplier(text: str, c: Context) -> str | None:
    said = text.strip()
    return next((one.id for one in c.shop.suppliers if tidy(quoted(one.name)) == said), None)


def _no_item(text: str, c: Context) -> str | Unclear | None:
    """A supplier, where the words are no item's."""
    return None if known_item(text, c) else supplier_id(tidy(text), c)


def _any_supplier(text: str, c: Context) -> str | Unclear:
    """A supplier; of an item it is said that items are dropped one by one."""
    if found := supplier_id(tidy(text), c):
        return found
    item, said = known_item(text, c), short(tidy(text), 40)
    if isinstance(item, Unclear):
        offers = Unclear("", item.offers).said("drop ").offers
        return Unclear(f'"{said}" are items, which are dropped one by one', offers, whole=True)
    if item is not None:
        offer = item_name(c.shop, item)
        return Unclear(f'"{said}" is an item', ((offer[:40], f"drop {offer}"),), whole=True)
    offers = tuple((one.name, one.name) for one in c.shop.suppliers[:OFFERED])
    return Unclear(f'I know no supplier "{said}"', offers, stray=True)


KINDS: dict[str, Kind] = {
    "itemrefs": Kind(r"[0-9a-f]{8}(?: [0-9a-f]{8})*", items_by_ref),
    "items": Kind(r".{1,80}?", read_items),
    "somemonths": Kind(r"[a-z][a-z0-9'/&,. \-\u2013]{1,60}?", read_months),
    "quotedsupplier": Kind(r'".+"', _exact_supplier),
    "anysupplier": Kind(r"[^:;]{1,80}?", _any_supplier),
    "onlysupplier": Kind(r"[^:;]{1,80}?", _no_item),
}


def _to_where(c: Context, items: tuple[str, ...]) -> Built:
    """Several items, and no month: offer the seasons."""
    if len(items) < 2:
        return None
    offers = tuple((f"To {name}", move_items(items, months)) for name, months in seasons(c))
    return Unclear("I do not know to which months", offers, whole=True)


def _several(_c: Context, items: tuple[str, ...], months: Months) -> Built:
    """Several items or several months: one item that moves to one month is a plain move."""
    return None if len(items) == len(months) == 1 else MoveToMonths(items, months)


def _swap_now(_c: Context, first: str, second: str) -> Built:
    same = first == second
    return Unclear("both are the same box") if same else SwapBoxes(first, second, sure=True)


EXACT: tuple[Phrasing, ...] = (
    Phrasing(
        "swap now",
        "swap {first:id} and {second:id} now",
        _swap_now,
        "a swap",
        "swap 2027-03 and 2027-05 now",
    ),
    Phrasing(
        "move now",
        "move {item:exactitem} to {box:id} now",
        lambda _c, item, box: MoveItem(item, box, sure=True),
        "a move",
        "move field notebook for 2027-03 to 2027-05 now",
    ),
    Phrasing(
        "drop now",
        "drop {item:exactitem} now",
        lambda _c, item: DropItem(item, sure=True),
        "an item to drop",
        "drop field notebook for 2027-03 now",
    ),
    Phrasing(
        "move items",
        "move items {items:itemrefs} to {months:somemonths} now",
        lambda _c, items, months: MoveToMonths(items, months, sure=True),
        "items to move",
        "move items c0acbfa2 to September-November now",
    ),
    Phrasing(
        "move items",
        "move items {items:itemrefs} to {months:somemonths}",
        lambda _c, items, months: MoveToMonths(items, months),
        "items to move",
        "move items c0acbfa2 to September-November",
    ),
    Phrasing(
        "drop supplier",
        "drop everything from {supplier:quotedsupplier} now",
        lambda _c, supplier: DropSupplier(supplier, sure=True),
        "a supplier to drop",
        'drop everything from "Aldermoor" now',
    ),
    Phrasing(
        "drop supplier",
        "drop everything from {supplier:quotedsupplier}",
        lambda _c, supplier: DropSupplier(supplier),
        "a supplier to drop",
        'drop everything from "Aldermoor"',
    ),
)

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "swap now",
        """
        (swap|exchange|switch) {first:box} (and|with|for) {second:box} <at-once>
        """,
        _swap_now,
        "a swap of {first} and {second}",
        "swap March and May now",
    ),
    Phrasing(
        "move now",
        """
        (move|shift|push) {item:knownitem} (to|into) {box:month} <at-once>
        """,
        lambda _c, item, box: MoveItem(item, box, sure=True),
        "a move of {item} to {box}",
        "move the notebook to May now",
    ),
    Phrasing(
        "drop now",
        """
        (drop|remove|delete|cut) {item:knownitem} <at-once>
        """,
        lambda _c, item: DropItem(item, sure=True),
        "an item to drop, {item}",
        "drop the notebook now",
    ),
    Phrasing(
        "move several",
        """
        (move|shift|push) {items:items} (to|into|over to) {months:somemonths}[ instead]
        put {items:items} (in|into) {months:somemonths}[ instead]
        """,
        _several,
        "a move of {items} to {months}",
        "move the pins to autumn",
    ),
    Phrasing(
        "drop supplier",
        """
        (drop|cut|remove|delete|cancel) <all-of> (from|by|of) {supplier:anysupplier}[ everywhere]
        (drop|cut|remove|cancel) [the ]supplier {supplier:supplierid}[ everywhere]
        (drop|cut|remove|cancel) all {supplier:supplierid} (items|things|products|goods|stuff)
        take <all-of> (from|by|of) {supplier:supplierid} out[ of the plan| of the year]
        (drop|cut|remove|cancel) {supplier:anysupplier} (everywhere|altogether|completely|entirely)
        (stop buying|buy nothing more|buy nothing|no more orders) from {supplier:supplierid}
        (drop|cut|remove|cancel) {supplier:onlysupplier} (from|out of) the (plan|year)
        take {supplier:onlysupplier} out of the (plan|year)
        (drop|cut|remove|cancel) {supplier:onlysupplier}
        """,
        lambda _c, supplier: DropSupplier(supplier),
        "a supplier to drop, {supplier}",
        "drop Aldermoor everywhere",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "move several",
        """
        (move|shift|push) {items:items}
        """,
        _to_where,
        "a move of {items}",
        "move the pins to autumn",
        half=True,
    ),
)

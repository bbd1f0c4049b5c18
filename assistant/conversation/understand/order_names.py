"""Words that name an order, and what stands on it.

Knows: the orders of a shop, how people speak of them: by number, by supplier, as "the order". Must
not know: patterns, what is done with an order. Invariants: where no order is written, only a number
is taken for one; an item is looked for on the order first, then among what its supplier sells.
"""

import re
from collections.abc import Callable, Iterable

from msgspec.structs import replace

from assistant.conversation.replies.plain import box_name, listed, short
from assistant.conversation.sentences import orders as says
from assistant.conversation.sentences.rearranging import item_ref, quoted
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import exact_item, known_supplier, read_item
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import tidy
from assistant.planning.changes import find
from assistant.planning.model import Item, Order
from assistant.planning.trade.orders import newest_first, unsent

OFFERED = 6
NAME = 60  # characters of a name in a sentence
ADDRESS = 300  # characters
NUMBER = r"(?:number |no\.? ?|nr\.? ?|#)?(?:\d{4}-\d{3,5}|\d{1,4})"
_ORDER = r"(?:purchase order|order|po)"
ORDER = (
    rf"(?:the |our |my )?{_ORDER} {NUMBER}|\d{{4}}-\d{{3,5}}"
    rf"|(?:the |an |our |my |that |this )?{_ORDER}(?: (?:for|to) [^:;]{{1,60}}?)?"
    rf"|(?:the |our |my )?[^:;]{{1,60}}? {_ORDER}"
)
_BY_NUMBER = re.compile(rf"(?:(?:the |our |my )?{_ORDER} )?({NUMBER})", re.IGNORECASE)
_BY_SUPPLIER = re.compile(
    rf"(?:the |an |our |my |that |this )?{_ORDER} (?:for|to) (?P<to>.+)"
    rf"|(?:the |our |my )?(?P<of>.+?)(?:'s|s'|')? {_ORDER}",
    re.IGNORECASE,
)
_THE_ORDER = re.compile(rf"(?:the |our |my |that |this ){_ORDER}", re.IGNORECASE)
REFS = r"[0-9a-f]{8}(?: [0-9a-f]{8})*"


# --- orders ---------------------------------------------------------------------------------


def read_order(text: str, c: Context) -> str | Unclear | None:
    """The id of the order that a text names."""
    said = tidy(text)
    if found := _BY_NUMBER.fullmatch(said):
        return _numbered(found[1], c)
    if not c.shop.orders:
        return None
    if _THE_ORDER.fullmatch(said):
        return _the_order(c)
    found = _BY_SUPPLIER.fullmatch(said)
    return of_supplier(found["to"] or found["of"], c) if found else None


def _numbered(text: str, c: Context) -> str | Unclear:
    """An order by its number: "2027-004", or "4" of this year, else of the last year that has
    it."""
    said = re.sub(r"^\D+", "", text)
    year, _, place = said.rpartition("-")
    years = [year] if year else [str(c.today.year), *_years(c)]
    for one in years:
        number = f"{one}-{int(place):03}"
        if find(c.shop.orders, number):
            return number
    if not c.shop.orders:
        names = [one.name for one in c.shop.suppliers[:OFFERED]]
        write = tuple((f"Order for {short(name, 20)}", says.write_order(name)) for name in names)
        return Unclear("no order is written yet", write or (("Orders", "orders"),), whole=True)
    offers = tuple((one.id, says.show_order(one.id)) for one in _newest(c)[:OFFERED])
    return Unclear(f"there is no order {said}; the last is {_newest(c)[0].id}", offers, whole=True)


def _years(c: Context) -> list[str]:
    return sorted({one.id.partition("-")[0] for one in c.shop.orders}, reverse=True)


def _newest(c: Context) -> list[Order]:
    return newest_first(c.shop.orders)


def _the_order(c: Context) -> str | Unclear | None:
    """What "the order" means: the only one that waits to be sent, else the last."""
    waiting = unsent(c.shop)
    if len(waiting) < 2:
        kept = waiting or [one for one in _newest(c) if not one.dropped]
        return kept[0].id if kept else None
    offers = tuple((one.id, f"order {one.id}") for one in waiting[:OFFERED])
    return Unclear(f"{len(waiting)} orders wait to be sent; say which", offers)


def of_supplier(text: str, c: Context) -> str | None:
    """The order to a supplier that waits to be sent, else the last to it."""
    name = known_supplier(text, c)
    supplier = next((one.id for one in c.shop.suppliers if one.name == name), "")
    if not supplier:
        return None
    theirs = [one for one in _newest(c) if one.supplier == supplier and not one.dropped]
    found = unsent(c.shop, supplier) or theirs
    return found[0].id if found else None


# --- suppliers and items --------------------------------------------------------------------


def quoted_supplier(text: str, c: Context) -> str | None:
    """The id of the supplier that a button's sentence names, in quotes."""
    said = text.strip()
    return next((one.id for one in c.shop.suppliers if tidy(quoted(one.name)) == said), None)


def item_refs(text: str, c: Context) -> tuple[str, ...] | Unclear:
    """The ids of the items that a button's sentence names."""
    known = {item_ref(item.id): item.id for item in c.shop.items}
    found = [known[ref] for ref in text.split() if ref in known]
    if len(found) < len(text.split()):
        return Unclear("one of these items is not in the plan any more")
    return tuple(found)


def item_on(order: Order, text: str, c: Context) -> str | Unclear:
    """The id of the item that a text means where it is about an order."""
    if re.fullmatch(r"[0-9a-f]{8}", text.strip()):
        ids = (*(line.item for line in order.lines), *(one.id for one in c.shop.items))
        if found := next((id for id in ids if item_ref(id) == text.strip()), None):
            return found
    lines = tuple(Item(line.item, line.box, line.name) for line in order.lines)
    theirs = tuple(one for one in c.shop.items if one.supplier == order.supplier)
    for items in (lines, theirs):
        found_ = _among(items, text, c)
        if isinstance(found_, str) or (found_ is not None and found_.offers):
            return found_
    on_it = listed([short(line.name, NAME) for line in order.lines[:OFFERED]])
    return Unclear(f'"{short(text, NAME)}" is not on order {order.id}; it has {on_it}')


def _among(items: Iterable[Item], text: str, c: Context) -> str | Unclear | None:
    only = Context(replace(c.shop, items=tuple(items)), replace(c.talk, item=""), c.today)
    return read_item(text, only)


def which_line(order: Order, found: Unclear, c: Context, says_of: Callable[[str], str]) -> Unclear:
    """A question which line is meant, each choice a whole sentence about one."""
    lines = tuple(Item(line.item, line.box, line.name) for line in order.lines)
    shop = replace(c.shop, items=(*lines, *c.shop.items))
    every = Context(shop, c.talk, c.today)
    meant = ((label, exact_item(words, every)) for label, words in found.offers)
    offers = tuple((label, says_of(id)) for label, id in meant if id is not None)
    return Unclear(found.why, offers, whole=True)


def items_of(supplier: str, text: str, c: Context) -> tuple[str, ...] | Unclear | None:
    """The ids of the items that a text lists for an order to a supplier: "notebook, pins and
    tea"."""
    theirs = tuple(one for one in c.shop.items if one.supplier == supplier)
    ids: list[str] = []
    for part in re.split(r",? and |, ?|[&+]", text):
        said = part.strip()
        found = _among(theirs, said, c) if said else None
        asks = isinstance(found, Unclear) and bool(found.offers)
        if not isinstance(found, str) and not asks:
            found = read_item(said, c)
        if found is None or isinstance(found, Unclear):
            return found
        ids.append(found)
    return tuple(dict.fromkeys(ids))


def box_of(supplier: str, box: str, c: Context) -> tuple[str, ...] | Unclear:
    """The ids of a supplier's items in one box."""
    found = tuple(one.id for one in c.shop.items if (one.supplier, one.box) == (supplier, box))
    name = next((one.name for one in c.shop.suppliers if one.id == supplier), "them")
    return found or Unclear(f"{box_name(box, c.today)} has nothing from {name}")


def read_address(text: str, _c: Context) -> str | Unclear | None:
    """An address on one line, its parts parted by commas."""
    parts = [" ".join(part.split()) for part in re.split(r"[,\n]", text.strip().strip('"'))]
    found = ", ".join(part for part in parts if part)
    if not re.search(r"\w", found):
        return None
    long = Unclear(f"an address has at most {ADDRESS} characters")
    return found if len(found) <= ADDRESS else long

"""What is left over of boxes that have gone out, kept to be used again.

Knows: stock, what came of an item, items of boxes to come. Must not know: words, what is ordered
instead (quantity.py nets stock off). Invariants: pieces are never made: what is used is taken off;
no more can be left than there was; an item of one box has one line of stock, the newest count.
"""

from collections.abc import Iterable
from datetime import date

from msgspec.structs import replace

from assistant.planning.changes import find
from assistant.planning.model import Box, Change, Item, Put, Remove, Shop, Stock
from assistant.planning.year.recurring import plain


def came_of(shop: Shop, item: Item) -> int | None:
    """Return how many pieces of an item there were: those that came (else were bought, else were
    to be ordered) and those on hand before; None where none of these is known."""
    parts = [one.pieces for one in shop.deliveries if one.item == item.id]
    bought = find(shop.purchases, item.id)
    had = sum(parts) if parts else (bought.quantity if bought else None)
    had = item.quantity if had is None else had
    return None if had is None else had + (item.stock or 0)


def kept(shop: Shop, item: Item, pieces: int, on: date, best_before: date | None) -> Stock:
    """Return the stock that an item leaves; a day said before stands unless another is said."""
    old = find(shop.stock, item.id)
    return Stock(
        id=item.id,
        name=item.name,
        pieces=pieces,
        on=on,
        box=item.box,
        type=item.type,
        form=item.form,
        supplier=item.supplier,
        best_before=best_before or (old.best_before if old else None),
    )


def usable(shop: Shop) -> tuple[Stock, ...]:
    """Return all stock of which anything is left, the oldest box first."""
    return tuple(sorted((one for one in shop.stock if one.pieces > 0), key=lambda s: (s.box, s.id)))


def fitting(shop: Shop, item: Item) -> tuple[Stock, ...]:
    """Return what is left over of the same thing as an item: by name, then by type."""
    name = plain(item.name)
    kinds = {kind for kind in (plain(item.type), name) if kind}
    alike = [one for one in usable(shop) if one.id != item.id]
    same = [one for one in alike if plain(one.name) == name]
    typed = [one for one in alike if one not in same and plain(one.type) in kinds]
    return (*same, *typed)


def used_by(shop: Shop, stock: Stock, box: str) -> Item | None:
    """Return the item of a box that a leftover would be used for: the one of its name."""
    wanted = plain(stock.name)
    return next((i for i in shop.items if i.box == box and plain(i.name) == wanted), None)


def use(shop: Shop, stock: Stock, box: str, pieces: int, new_id: str) -> tuple[Item, list[Change]]:
    """Return the item of a box that so many pieces of stock go to, and the changes; where the box
    has none of that name, an item like the one that is left over, with the id `new_id`."""
    known = used_by(shop, stock, box)
    if known is not None:
        item = replace(known, stock=(known.stock or 0) + pieces)
    else:
        old = find(shop.items, stock.id) or Item(
            id="",
            box=box,
            name=stock.name,
            type=stock.type,
            form=stock.form,
            supplier=stock.supplier,
        )
        item = replace(old, id=new_id, box=box, quantity=None, stock=pieces, main=False)
    made = () if find(shop.boxes, box) else (Put(Box(id=box)),)
    left = stock.pieces - pieces
    rest: Change = Put(replace(stock, pieces=left)) if left > 0 else Remove("stock", stock.id)
    return item, [*made, Put(item), rest]


def pieces_of(stock: Iterable[Stock]) -> int:
    """Count pieces."""
    return sum(one.pieces for one in stock)

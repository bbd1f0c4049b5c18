"""How many pieces of an item to order, and why.

Knows: what is expected of a box, an item's terms. Must not know: words, lots over several boxes.
Invariant: a number that the owner set herself is never changed.
"""

from datetime import date
from decimal import Decimal

from assistant.planning.changes import find
from assistant.planning.model import Item, Record, Shop
from assistant.planning.shipping import shipped
from assistant.planning.subscribers import expected


class Amount(Record):
    """What to order of one item. Pieces; money in the item's currency.

    `need` is what the box takes with `safety` and `spares`, less `stock`; `order` is what is to be
    bought, after case, minimum and breaks. `own`: the owner set the number herself.
    """

    item: str
    box: str
    expected: int = 0
    safety: int = 0
    spares: int = 0
    stock: int = 0
    need: int = 0
    order: int = 0
    price: Decimal | None = None  # of one piece, at that quantity
    spend: Decimal | None = None
    own: bool = False


def amount(shop: Shop, item_id: str, today: date) -> Amount | None:
    """Return what to order of an item; None where there is no such item."""
    item = find(shop.items, item_id)
    return None if item is None else _amount(shop, item, today)


def amounts(shop: Shop, today: date) -> tuple[Amount, ...]:
    """Return what to order of every item of the boxes still to ship, in the plan's order."""
    return tuple(
        _amount(shop, item, today) for item in shop.items if not shipped(shop, item.box, today)
    )


def _amount(shop: Shop, item: Item, today: date) -> Amount:
    boxes = round(expected(shop, item.box, today).mean)
    need = boxes * item.units
    order = need if item.quantity is None else item.quantity
    spend = None if item.unit_cost is None else item.unit_cost * order
    return Amount(
        item=item.id,
        box=item.box,
        expected=need,
        need=need,
        order=order,
        price=item.unit_cost,
        spend=spend,
        own=item.quantity is not None,
    )

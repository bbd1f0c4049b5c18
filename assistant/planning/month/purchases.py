"""What was agreed for items: purchases that follow from orders.

Knows: purchases, lines of orders. Must not know: the ledger, deliveries, words. Invariants: an item
has one purchase, whatever orders it stands on; what a supplier promised before stands when it is
ordered once more.
"""

from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.changes import find, profile_of
from assistant.planning.model import Change, Item, Order, OrderLine, Purchase, Put, Remove, Shop
from assistant.planning.numbers.buying import price_at


def as_bought(
    shop: Shop, item: Item, quantity: int | None, price: Decimal | None, currency: str, at: int
) -> Item:
    """Return an item as it was ordered: so many pieces in all, at a price for `at` pieces. Where
    its own breaks do not give the price, they give way."""
    item = replace(item, quantity=quantity) if quantity is not None else item
    known = item.currency or profile_of(shop).currency
    if price is None or (known == currency and price_at(item, at) == price):
        return item
    kept = item.currency if known == currency else currency
    return replace(item, unit_cost=price, currency=kept, breaks=())


def by_order(shop: Shop, item: Item, line: OrderLine, order: Order, on: date) -> Purchase:
    """Return what was agreed for an item (as it was ordered in all) by an order that went out."""
    old = find(shop.purchases, item.id) or Purchase(item.id)
    return replace(
        old,
        quantity=item.quantity,
        price=line.unit_price if line.unit_price is not None else old.price,
        currency=order.currency,
        ordered=old.ordered or on,
        reference=order.id,
    )


def taken_off(shop: Shop, item_id: str, left: int) -> tuple[Change, ...]:
    """Return the changes of what was agreed for an item when so many pieces are left of it."""
    old = find(shop.purchases, item_id)
    if old is None:
        return ()
    return (Put(replace(old, quantity=left)) if left else Remove("purchases", item_id),)

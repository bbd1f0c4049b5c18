"""The lines that tell a number to order, wherever it is told.

Knows: an amount, its item and supplier. Must not know: what was asked. Invariants: nothing here
changes anything; a number is told with its reason.
"""

from collections.abc import Sequence
from datetime import date

from assistant.conversation.handle.item_facts import touches_order
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.replies import quantities as say
from assistant.conversation.replies.plain import money
from assistant.conversation.requests import ItemFacts
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Item, Shop
from assistant.planning.quantity import Amount, amount, surplus


def amount_lines(shop: Shop, item: Item, found: Amount, today: date) -> Sequence[str]:
    """Say a number with its reason, what it comes to, and what is remarkable about it."""
    too_much = surplus(shop, item.id, today)
    return (
        reason(shop, item, found),
        say.own(found),
        say.cost(found, item, item.currency or profile_of(shop).currency),
        say.options(found),
        say.too_much(item, too_much, today) if too_much else "",
    )


def reason(shop: Shop, item: Item, found: Amount) -> str:
    """Say a number with its parts, in one line."""
    supplier = find(shop.suppliers, item.supplier)
    least = supplier.minimum_value if supplier else None
    currency = (supplier.currency if supplier else "") or profile_of(shop).currency
    told = money(least, currency) if least is not None else ""
    return say.one_line(found, item, supplier_name(shop, item.supplier), told)


def order_lines(shop: Shop, item: Item, said: ItemFacts, today: date) -> Sequence[str]:
    """Say what is to be ordered now that facts of an item were told; nothing where they do not
    touch it, or where nobody is known to get the box."""
    found = amount(shop, item.id, today) if touches_order(said) else None
    if found is None or not found.expected:
        return ()
    too_much = surplus(shop, item.id, today)
    return (
        reason(shop, item, found),
        say.options(found),
        say.too_much(item, too_much, today) if too_much else "",
    )

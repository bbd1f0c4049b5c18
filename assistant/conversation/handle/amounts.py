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
from assistant.planning.numbers.quantity import Amount, amount, surplus

FAR = 4  # a minimum is worth a word when it is over the need by more than one part in so many


def amount_lines(shop: Shop, item: Item, found: Amount, today: date) -> Sequence[str]:
    """Say a number with its reason, what it comes to, and what is remarkable about it."""
    return (
        reason(shop, item, found),
        say.own(found),
        say.cost(found, item, item.currency or profile_of(shop).currency),
        say.options(found),
        _too_much(shop, item, today),
    )


def _too_much(shop: Shop, item: Item, today: date) -> str:
    """Say that a minimum is far more than its box needs, and what sharing it takes."""
    found = surplus(shop, item.id, today)
    far = found is not None and found.over * FAR > found.need
    return say.too_much(item, found, today) if found and far else ""


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
    return reason(shop, item, found), say.options(found), _too_much(shop, item, today)

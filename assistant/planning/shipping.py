"""Which boxes are behind us, and which items are bought.

Knows: ship dates and the ledger. Must not know: who asks, or what may be done with what has gone
out. Invariant: what is told here follows from the plan, the ledger and the day alone.
"""

from datetime import date

from assistant.planning.changes import find
from assistant.planning.deadlines import KEPT_AFTER_SHIPPING, deadline, ship_date
from assistant.planning.model import Item, Shop

ORDER = "order"  # the stage at which money is committed


def shipped(shop: Shop, box: str, today: date) -> date | None:
    """Return when a box shipped, None while it may still change: a box is shipped when its ship
    date is past and said to be done, or past by more than 14 days."""
    on = ship_date(shop, box, today)
    if on is None or on >= today:
        return None
    mark = find(shop.ledger, f"{box}/ship")
    done = mark is not None and mark.state == "done"
    return on if done or on + KEPT_AFTER_SHIPPING < today else None


def is_ordered(shop: Shop, item: Item, today: date) -> bool:
    """Say whether an item's order is placed: its stage is done, or one that can only come after."""
    key = f"{item.id}/{ORDER}"
    if found := deadline(shop, key, today):
        return found.state == "done"
    mark = find(shop.ledger, key)
    return mark is not None and mark.state == "done"

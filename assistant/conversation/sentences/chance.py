"""What buttons say of how likely a box is to be complete; invariants as in the package."""

from datetime import date
from decimal import Decimal

from assistant.conversation.sentences import item_name
from assistant.planning.model import Shop


def of_box(box: str, percent: Decimal | None = None) -> str:
    """Ask how likely all of a box is to be in, or for order dates at a chance."""
    return f"chance of {box}" if percent is None else f"order dates for {box} at {percent:f}%"


def of_item(
    shop: Shop, item_id: str, percent: Decimal | None = None, on: date | None = None
) -> str:
    """Ask how likely an item is to be in, when to order it for a chance, or if ordered on a day."""
    name = item_name(shop, item_id)
    if percent is not None:
        return f"order date of {name} at {percent:f}%"
    return f"chance of {name} if ordered on {on}" if on else f"chance of {name}"

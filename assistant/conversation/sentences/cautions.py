"""What buttons say of goods that carry duties; invariants as in the package."""

from assistant.conversation.sentences import item_name
from assistant.planning.model import Shop

YES, NO = "yes to ", "no to "


def answer(shop: Shop, item_id: str, goods: str, so: bool) -> str:
    """Say whether an item is of a kind of goods: "yes to candles: lantern for 2027-03"."""
    return f"{YES if so else NO}{goods}: {item_name(shop, item_id)}"


def show(shop: Shop, item_id: str = "", box: str = "") -> str:
    """Ask what to check for an item, for the items of a box, or for all of the plan."""
    if item_id:
        return f"what to check for {item_name(shop, item_id)}"
    return f"cautions for {box}" if box else "cautions"

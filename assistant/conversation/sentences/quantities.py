"""What buttons say of how many to order; invariants as in the package."""

from assistant.conversation.sentences import item_name
from assistant.planning.model import Shop


def how_many(shop: Shop, item_id: str) -> str:
    """Ask how many pieces of an item to order."""
    return f"how many of {item_name(shop, item_id)}"


def how_many_of_all(box: str) -> str:
    """Ask how many of each item of a box to order."""
    return f"how many of everything for {box}"


def why_so_many(shop: Shop, item_id: str) -> str:
    """Ask for every step of a number."""
    return f"why so many of {item_name(shop, item_id)}"


def set_quantity(shop: Shop, item_id: str, number: int) -> str:
    """Set how many pieces of an item to order."""
    return f"{item_name(shop, item_id)} quantity {number}"


def as_reckoned(shop: Shop, item_id: str) -> str:
    """Let the number of pieces be worked out again."""
    return f"{item_name(shop, item_id)} quantity as reckoned"


def lots(shop: Shop, item_id: str) -> str:
    """Ask whether to buy an item of several boxes at once."""
    return f"one lot or several: {item_name(shop, item_id)}"

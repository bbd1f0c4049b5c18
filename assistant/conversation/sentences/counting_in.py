"""What buttons say of counting in, and claims; invariants as in the package."""

from assistant.conversation.sentences import item_name
from assistant.conversation.sentences.rearranging import quoted
from assistant.planning.model import Shop

_PAGE = " as a page"
HOW = ("replaced", "credited")  # how a claim can be met, as buttons say it


def count_in(
    shop: Shop, item_id: str = "", supplier: str = "", box: str = "", *, page: bool = False
) -> str:
    """Ask for the count-in sheet of an item (id), a supplier (its name) or a box, or of all that
    is on its way."""
    of = item_name(shop, item_id) if item_id else box or (quoted(supplier) if supplier else "")
    return f"count in{f': {of}' if of else ''}{_PAGE if page else ''}"


def make_claim(shop: Shop, item_id: str, *, damaged_only: bool = False) -> str:
    """Ask for the claim note for an item, or only for what is damaged of it."""
    return f"claim note{' for the damaged' if damaged_only else ''}: {item_name(shop, item_id)}"


def claim_met(shop: Shop, item_id: str, how: str) -> str:
    """Say that a claim was made good: one of HOW."""
    return f"claim {how}: {item_name(shop, item_id)}"

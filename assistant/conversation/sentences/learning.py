"""What buttons say of what a box taught; invariants as in the package.

A leftover is named by a short reference, a supplier by its name in quotes.
"""

from datetime import date
from decimal import Decimal

from assistant.conversation.sentences import idea_ref, item_name
from assistant.conversation.sentences.rearranging import quoted
from assistant.planning.accounts.money import plain_number
from assistant.planning.model import Lead, Shop


def look_back(box: str, whole: bool = False) -> str:
    """Ask how a box went, item by item where it is to be whole."""
    return f"look back on {box}{' item by item' if whole else ''}"


def record_of(supplier: str) -> str:
    """Ask for a supplier's (its name) record."""
    return f"the record of {quoted(supplier)}"


def keep_leftovers(shop: Shop, item_id: str, pieces: int, best_before: date | None = None) -> str:
    """Say how many pieces of an item are left over."""
    until = f" best before {best_before}" if best_before else ""
    return f"{pieces} left over of {item_name(shop, item_id)}{until}"


def show_stock() -> str:
    """Ask what is left over."""
    return "what is left over"


def stock_ref(stock_id: str) -> str:
    """A short, stable name for what is left over: eight hex digits."""
    return idea_ref(stock_id)


def use_stock(stock_id: str, box: str, pieces: int | None = None) -> str:
    """Use what is left over in a box, all of it where no number is said."""
    many = f"{pieces} of " if pieces is not None else ""
    return f"use {many}leftover {stock_ref(stock_id)} in {box}"


def opinion(shop: Shop, item_id: str, box: str, score: Decimal, of: int, answers: int) -> str:
    """Say what an item, or a box ("" for the item) scored."""
    who = item_name(shop, item_id) if item_id else box
    many = f" from {answers} answer{'s' * (answers != 1)}" if answers else ""
    return f"{who} scored {plain_number(score)} of {of}{many}"


def lessons(year: int | None = None) -> str:
    """Ask what a year taught."""
    return f"lessons of {year}" if year else "what did we learn"


def lead_of(supplier: str, lead: Lead) -> str:
    """Plan a supplier (its name) with a lead time."""
    return f"{supplier} lead time {lead.days} {lead.unit} days"

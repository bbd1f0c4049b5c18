"""What buttons say of purchase orders; invariants as in the package.

An order is named by its number, an item by a short reference, a supplier by its name in quotes.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Literal

from assistant.conversation.sentences.rearranging import item_ref, quoted

Form = Literal["short", "page", "text"]
_FORMS: dict[Form, str] = {"short": "", "page": " as a page", "text": " as text"}


def write_order(supplier: str, items: Iterable[str] = ()) -> str:
    """Write an order to a supplier (its name), of all that is to be ordered next or of items
    (ids)."""
    refs = " ".join(map(item_ref, items))
    return f"write the order for {quoted(supplier)}{f': {refs}' if refs else ''}"


def show_order(number: str, form: Form = "short") -> str:
    """Ask for an order."""
    return f"show order {number}{_FORMS[form]}"


def list_orders(supplier: str = "") -> str:
    """Ask for the orders, or those to a supplier (its name)."""
    return f"orders to {quoted(supplier)}" if supplier else "orders"


def revise(
    number: str, item_id: str, quantity: int | None = None, price: Decimal | None = None
) -> str:
    """Change a line of an order: its pieces (0 takes it off) or its price; neither adds the
    item."""
    item = item_ref(item_id)
    if quantity == 0:
        return f"take {item} off order {number}"
    if quantity is None and price is None:
        return f"add {item} to order {number}"
    pieces = "" if quantity is None else f"{quantity} "
    return f"order {number}: {pieces}{item}{'' if price is None else f' at {price:f}'}"


def order_sent(number: str, on: date | None = None) -> str:
    """Say that an order has gone to its supplier."""
    return f"order {number} sent{f' on {on}' if on else ''}"


def drop_order(number: str) -> str:
    """Withdraw an order."""
    return f"drop order {number}"

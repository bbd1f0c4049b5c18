"""What is said of what boxes and items cost.

Knows: costs (planning/costs, landed, cheaper) and how they are written. Must not know: which
question was asked. Invariants: an amount is rounded only here; what is not known of a sum is named
beside it; the target is that of the items, as everywhere, and goods are landed: where their prices
alone are told too, both are.
"""

from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, money
from assistant.planning.costs import BoxCost


def in_short(box: BoxCost, currency: str, today: date) -> str:
    """Say what a box costs and leaves, in one line."""
    text = f"{box_name(box.box, today)} costs {money(box.cost, currency)} a box"
    return f"{text}{_left(box.margin, currency)}{_partly(box)}"


def _left(margin: Decimal | None, currency: str) -> str:
    if margin is None:
        return ""
    return f", {'leaves' if margin >= 0 else 'loses'} {money(abs(margin), currency)}"


def _partly(box: BoxCost) -> str:
    return " (not all is known)" if box.unknown else ""

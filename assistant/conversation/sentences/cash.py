"""Sentences about cash and terms of payment; invariants as in the package."""

from datetime import date
from typing import Literal

from assistant.conversation.sentences.rearranging import quoted


def show_cash(
    by: Literal["week", "month"] = "month",
    first: date | None = None,
    last: date | None = None,
    *,
    picture: bool = False,
) -> str:
    """Ask for money in and out, from a day, until a day."""
    begins = f" from {first.isoformat()}" if first else ""
    ends = f" until {last.isoformat()}" if last else ""
    return f"cash by {by}{begins}{ends}{' as a picture' if picture else ''}"


def tightest() -> str:
    """Ask when money is tightest."""
    return "when is money tightest"


def what_moves_cash() -> str:
    """Ask what would lift the lowest point."""
    return "what would help the cash"


def worth_of_terms(supplier: str) -> str:
    """Ask what paying a supplier (its name) early is worth."""
    return f"is paying {quoted(supplier)} early worth it"

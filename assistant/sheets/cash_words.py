"""The few words and numbers that tell of cash, on its picture and in replies alike.

Knows: cash as facts. Must not know: where on a sheet a word stands, what was asked. Invariants: an
amount below zero has its sign before its currency; what the bank holds is never made up: without it
amounts are said to be against today's; what is not known is said in words.
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from assistant.planning.accounts.cash import Cash
from assistant.planning.accounts.payments import Missing
from assistant.scheduling.weeks import MONTHS
from assistant.sheets.writing import full_day, money, plural, weekday_and_day

MINUS = "\u2212"
AGAINST_TODAY = "What is in the bank is not told: shown against today"
_GAPS: dict[Missing, tuple[str, str, str]] = {  # what it is without; of what, one and many
    "items": ("items", "box", "boxes"),
    "cost": ("a price", "item", "items"),
    "rate": ("a rate", "item", "items"),
    "date": ("an order date", "item", "items"),
    "box price": ("the price of a box", "", ""),
    "subscribers": ("subscribers", "", ""),
    "postage": ("postage", "", ""),
    "extras": ("carriage or duty", "item", "items"),
}


def signed(amount: Decimal, currency: str) -> str:
    """Write an amount with its sign before its currency where it is below zero: "−£3.10"."""
    return f"{MINUS if amount < 0 else ''}{money(abs(amount), currency)}"


def rounded(amount: Decimal, currency: str) -> str:
    """The same in whole units of the currency: "−£310"."""
    text = signed(amount.quantize(Decimal(1)), currency)
    return text.replace(".00", "", 1)


def month(day: date) -> str:
    """Name a month in short with its year: "Mar 2027"."""
    return f"{MONTHS[day.month - 1][:3]} {day.year}"


def title(found: Cash) -> str:
    """Name what is shown: "Cash, Jan to Nov 2027"."""
    first, last = month(found.today), month(found.last)
    if found.today.year == found.last.year:
        first = first[:3]
    return f"Cash, {first} to {last}" if first != last[: len(first)] else f"Cash, {last}"


def opening(found: Cash, currency: str) -> str:
    """Say what is in the bank and since when, or that it is not told."""
    if not found.known:
        return AGAINST_TODAY
    return f"{signed(found.opening, currency)} in the bank on {full_day(found.opened)}"


def level(amount: Decimal, found: Cash, currency: str) -> str:
    """Name a level of the scale; where the bank is not told, nothing is "today"."""
    return "today" if amount == 0 and not found.known else rounded(amount, currency)


def lowest(found: Cash, currency: str) -> str:
    """Name the lowest point and its day: "Lowest: £310.00 on Fri 26 Feb"."""
    on = found.lowest_on
    day = weekday_and_day(on) if on.year == found.today.year else full_day(on)
    return f"Lowest: {signed(found.lowest, currency)} on {day}"


def gaps(found: Cash) -> Iterator[str]:
    """Say what the cash is without: "items (3 boxes)", "postage"."""
    for gap in found.gaps:
        what, one, many = _GAPS[gap.what]
        yield f"{what} ({plural(len(gap.of), one, many)})" if one else what

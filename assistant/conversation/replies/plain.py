"""How days, months, money and lists are written, everywhere the same.

Invariants: dates carry their weekday; a year is written only when it is not the one meant;
amounts carry their currency; nothing here decides anything.
"""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from functools import lru_cache

from assistant.scheduling.weeks import MONTHS as MONTHS  # as written to people, too

SIGNS = {"GBP": "£", "EUR": "€", "USD": "$"}
WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


def day(on: date, today: date) -> str:
    """Write a date: "Mon 8 Mar", with its year when that is neither today's nor within half a
    year of today."""
    text = _day(on)
    near = on.year == today.year or abs((on - today).days) <= 183
    return text if near else f"{text} {on.year}"


@lru_cache(2048)
def _day(on: date) -> str:
    return f"{WEEKDAYS[on.weekday()]} {on.day} {MONTHS[on.month - 1][:3]}"


def full_day(on: date) -> str:
    """Write a date with its year: "Mon 8 Mar 2027"."""
    return f"{WEEKDAYS[on.weekday()]} {on.day} {MONTHS[on.month - 1][:3]} {on.year}"


def box_name(box: str, today: date) -> str:
    """Write a box id as people say it: "March", or "March 2028" when it is not the next March
    (this month's counts as next); a second box of a month is "March, second box"."""
    return _box_name(box, today.year, today.month)


@lru_cache(1024)
def _box_name(box: str, this_year: int, this_month: int) -> str:
    year, month = int(box[:4]), int(box[5:7])
    coming = this_year if month >= this_month else this_year + 1
    text = MONTHS[month - 1] if year == coming else f"{MONTHS[month - 1]} {year}"
    return f"{text}, second box" if box.endswith("b") else text


def money(amount: Decimal, currency: str) -> str:
    """Write an amount with two decimals: "£3.10", "€2.00", "4.00 CHF"."""
    sign = SIGNS.get(currency)
    return f"{sign}{amount:,.2f}" if sign else f"{amount:,.2f} {currency}"


def plural(number: int, one: str, many: str = "") -> str:
    """Write a number with its noun: "1 idea", "3 ideas"."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def listed(words: Sequence[str]) -> str:
    """Join words as people do: "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} and {words[-1]}"


@lru_cache(1024)
def short(text: str, most: int) -> str:
    """Cut a text to at most `most` characters on a phone's line, with an ellipsis."""
    one_line = " ".join(text.split())
    return one_line if len(one_line) <= most else one_line[: most - 1].rstrip() + "\u2026"

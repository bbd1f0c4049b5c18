"""How days, money and numbers are written, on sheets and in replies alike.

Invariants: dates carry their weekday; amounts carry their currency and are rounded by the
one rule (accounts/money); nothing here decides anything.
"""

import re
from datetime import date
from decimal import Decimal

from assistant.planning.accounts.money import to_pay
from assistant.scheduling.weeks import MONTHS
from assistant.scheduling.weeks import WEEKDAYS as _LONG

SIGNS = {"GBP": "£", "EUR": "€", "USD": "$"}
SHOP = 60  # characters of the shop's name in the name of a file
UNSAFE = re.compile(r"[^\w ()'-]+")
WEEKDAYS = tuple(name[:3] for name in _LONG)


def weekday_and_day(on: date) -> str:
    """Write a date without its year: "Mon 8 Mar"."""
    return f"{WEEKDAYS[on.weekday()]} {on.day} {MONTHS[on.month - 1][:3]}"


def full_day(on: date) -> str:
    """Write a date with its year: "Mon 8 Mar 2027"."""
    return f"{weekday_and_day(on)} {on.year}"


def money(amount: Decimal, currency: str) -> str:
    """Write an amount to its smallest unit: "£3.10", "€2.00", "4.00 CHF", "450 JPY"."""
    sign, told = SIGNS.get(currency), f"{to_pay(amount, currency):,f}"
    return f"{sign}{told}" if sign else f"{told} {currency}"


def plural(number: int, one: str, many: str = "") -> str:
    """Write a number with its noun: "1 idea", "3 ideas"."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def file_name(shop: str, what: str, on: date, ending: str) -> str:
    """Name a file by shop, what it is and its day, in characters that are safe everywhere:
    "Mossgate Field Club cash (2026-11-25).png"."""
    named = " ".join(UNSAFE.sub(" ", shop).split())[:SHOP].strip()
    return f"{named} {' '.join(UNSAFE.sub(' ', what).split())} ({on}).{ending}".strip()

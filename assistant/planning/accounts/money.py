"""Amounts of money: rounded, and turned from one currency into the shop's.

Knows: the smallest unit of each currency, the owner's dated rates. Must not know: what an amount is
for. Invariants: money is `Decimal`, never a float; a rate is the owner's own, never guessed: an
amount without a rate is not known (None).

The one rounding rule: an amount is rounded where it is paid or told, never before, to the smallest
unit of its currency, a half away from zero (`to_pay`). Everything in between keeps all its digits.
"""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from assistant.planning.changes import profile_of
from assistant.planning.model import Rate, Shop

# Digits behind the point of the smallest unit, two where none is named. Source: ISO 4217.
DIGITS = {"JPY": 0, "KRW": 0, "VND": 0, "CLP": 0, "ISK": 0, "KWD": 3, "BHD": 3, "TND": 3}
CENT = Decimal("0.01")
_SMALLEST = {code: Decimal(1).scaleb(-digits) for code, digits in DIGITS.items()}


def to_pay(amount: Decimal, currency: str) -> Decimal:
    """Round an amount to the smallest unit of its currency (ISO 4217 code), half away from zero."""
    return amount.quantize(_SMALLEST.get(currency, CENT), ROUND_HALF_UP)


def rate_on(shop: Shop, currency: str, day: date) -> Rate | None:
    """Return the owner's rate of a currency that holds on a day: the newest that is not later,
    else the first of those that are."""
    rates = sorted((one for one in shop.rates if one.currency == currency), key=lambda r: r.on)
    known = [one for one in rates if one.on <= day]
    return known[-1] if known else (rates[0] if rates else None)


def in_own(shop: Shop, amount: Decimal, currency: str, day: date) -> Decimal | None:
    """Return an amount in the shop's currency, unrounded; `currency` "" is the shop's. None where
    the owner gave no rate."""
    if currency in ("", profile_of(shop).currency):
        return amount
    rate = rate_on(shop, currency, day)
    return None if rate is None else amount * rate.rate


def plain_number(number: Decimal) -> str:
    """Write a number that is no amount of money with the digits it has: "0.86", "1.5", "20"."""
    return f"{number.normalize():f}"

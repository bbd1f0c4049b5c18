"""Columns of a price list that hold the price from so many pieces on, and how long prices hold.

Knows: what people call such a column, and the words round a last day. Must not know: other columns.
Invariants: a heading that may be something else is not taken for a quantity; prices that do not
fall with the number are not taken for breaks.
"""

import re
from collections.abc import Iterable, Mapping

from assistant.planning.model import Break

_NUMBER = r"(?P<number>\d{1,3}(?:[ ,.]\d{3})+|\d{1,7})"
_PIECES = r"(?:pcs?|pieces?|units?|items?|off|ea|each|stk|qty)\.?"
_PRICE = r"(?:(?:unit|trade|net|ws|wholesale|your) )?(?:prices?|costs?|rate)(?: (?:each|per unit))?"
_MONEY = r"(?:[(\[]? ?(?:[a-z]{3}|[\u00a3\u20ac$\u00a5]) ?[)\]]?)"
# Common practice, no source: "100+", "from 500", "500 pcs", "price 500", "price at 500", "100-249".
_AT = re.compile(
    rf"(?:(?P<price>{_PRICE}) ?)?(?P<from>(?:at|from|for|over|above|>=|\u2265|@|qty|quantity|x)"
    rf"(?: of)? ?)?{_NUMBER}(?P<more> ?(?:\+|plus|or more|and (?:more|up|over|above)|up|upwards"
    rf"|[-\u2013] ?\d[\d,.]*|to \d[\d,.]*))?(?P<pieces> ?{_PIECES})?(?: {_PRICE})? ?{_MONEY}?",
    re.IGNORECASE,
)
_YEARS = range(1990, 2100)  # a bare number behind "price" that is a year, rather
FEWEST_BARE = 13  # a smaller number alone is a month as likely as not

# The words before a day on which prices end.
UNTIL = re.compile(
    r"\b(?:valid|good|firm|held|hold|holds|offer|offers|prices?)?[ :]*"
    r"(?:until|till|through|up to|expires?(?: on)?|expiring(?: on)?|ends?(?: on)?|valid to)[ :]+",
    re.IGNORECASE,
)


def quantity_of(text: str) -> int | None:
    """Return from how many pieces on the prices below a heading hold; None where it says no such
    thing: "100+", "from 500", "price 500", "500 pcs"."""
    found = _AT.fullmatch(" ".join(text.split()))
    if found is None:
        return None
    number = int(re.sub(r"\D", "", found["number"]))
    sure = found["from"] or found["more"] or found["pieces"]
    if not sure and (found["price"] is None or number in _YEARS):
        return None
    return number or None


def break_columns(headings: Mapping[int, str], priced: bool) -> tuple[tuple[int, int], ...]:
    """Return (quantity, column) of the columns that hold prices by quantity, by rising quantity.

    Bare numbers are such headings where there is a column of prices (`priced`) and two of them or
    more, rising. One quantity twice is none.
    """
    said = {at: q for at, text in headings.items() if (q := quantity_of(text))}
    bare = [(at, int(text)) for at, text in headings.items() if re.fullmatch(r"\d{2,6}", text)]
    numbers = [number for _, number in bare]
    if priced and len(bare) > 1 and numbers == sorted(numbers) and numbers[0] >= FEWEST_BARE:
        said |= dict(bare)
    if len(set(said.values())) < len(said):
        return ()
    return tuple(sorted((quantity, at) for at, quantity in said.items()))


def falling(price_and_breaks: Iterable[Break]) -> tuple[Break, ...]:
    """Return breaks without those at which nothing becomes cheaper."""
    kept: list[Break] = []
    for one in price_and_breaks:
        if not kept or one.price < kept[-1].price:
            kept.append(one)
    return tuple(kept)


def without_last_day(text: str) -> tuple[str, str]:
    """Part a title into what it says of the first day of its prices and of their last: "valid from
    4 January 2027 until 31 March 2027"."""
    found = UNTIL.search(text)
    return (text, "") if found is None else (text[: found.start()], text[found.end() :])

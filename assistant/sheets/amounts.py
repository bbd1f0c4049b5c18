"""Prices, lead times and numbers of units as people write them in tables.

Knows: signs of money, decimal commas, words for spans of time. Must not know: which column or
row it reads, what the shop's own currency is. Invariants: reading never raises; what cannot be
read is a `Fault` whose half sentence ends in what would work; nothing below zero is taken.
"""

import re
from collections.abc import Iterable
from decimal import ROUND_CEILING, Decimal

from assistant.planning.model import Lead, Record, Unit
from assistant.sheets.cells import Cell, Fault, text_of

LONGEST = 80  # characters of a cell that is an amount
MOST_MONEY = Decimal(1_000_000)
MOST_UNITS = 1_000_000
MOST_DAYS = 730
CENTS = Decimal("0.01")
PLACES = Decimal("0.0001")

# What stands in a cell that says nothing yet.
NOTHING = {"", "-", "--", "–", "—", "?", "??", "n/a", "na", "tbc", "tba", "tbd", "none", "nil", "x"}

# Sign or word -> code of ISO 4217; "$", "¥" and "kr" are kept as written, for several currencies
# share them.
MONEY_WORDS: dict[str, str] = {
    "us$": "USD", "a$": "AUD", "au$": "AUD", "c$": "CAD", "ca$": "CAD", "nz$": "NZD",
    "hk$": "HKD", "s$": "SGD", "nt$": "TWD", "r$": "BRL",
    "£": "GBP", "€": "EUR", "$": "$", "¥": "¥", "￥": "¥", "円": "JPY", "₹": "INR", "zł": "PLN",
    "kr": "kr", "rmb": "CNY", "euro": "EUR", "euros": "EUR", "pound": "GBP", "pounds": "GBP",
    "yen": "JPY", "yuan": "CNY", "dollar": "$", "dollars": "$",
}  # fmt: skip
CODES = (
    "GBP", "EUR", "USD", "AUD", "CAD", "NZD", "JPY", "CNY", "HKD", "SGD",
    "CHF", "SEK", "NOK", "DKK", "ISK", "PLN", "CZK", "HUF", "RON", "BGN",
    "INR", "KRW", "TWD", "THB", "VND", "IDR", "MYR", "PHP", "ZAR", "BRL",
    "MXN", "ILS", "TRY", "AED", "SAR", "NPR", "LKR", "BDT", "PKR", "MAD",
    "KES", "UAH",
)  # fmt: skip
MONEY_WORDS |= {code.casefold(): code for code in CODES}
PENCE = re.compile(r"(\d+(?:\.\d+)?)\s?(?:p|pence)")

SIGNS = "|".join(re.escape(word) for word in sorted(MONEY_WORDS, key=len, reverse=True))
MONEY = re.compile(rf"(?<![a-z])(?:{SIGNS})(?![a-z])\.?")
EACH = re.compile(
    r"(?<![a-z])(?:each|ea\b\.?|per (?:unit|piece|item|box)|/ ?(?:unit|piece|pc|item|each)|a piece"
    r"|\+ ?vat|(?:ex|excl|net|plus)\b\.? ?(?:of )?(?:vat|tax)?|about|approx\.?|ca\.|~|@)"
)


class Price(Record):
    """An amount, and the code or shared sign of its currency; "" when none was written."""

    amount: Decimal
    currency: str = ""


def says_nothing(cell: Cell) -> bool:
    """Say whether a cell is blank or stands for "not known yet"."""
    return not isinstance(cell, Fault) and text_of(cell).casefold() in NOTHING


def has_decimal_comma(cells: Iterable[Cell]) -> bool:
    """Decide from a whole column whether 1.234 is a thousand: some end in ",10", none in ".10"."""
    texts = [cell for cell in cells if isinstance(cell, str)]
    commas = any(re.search(r"\d,\d{1,2}(?!\d)", text) for text in texts)
    return commas and not any(re.search(r"\d\.\d{1,2}(?!\d)", text) for text in texts)


# How numbers are grouped and cut, most usual first: (pattern, thousands mark, decimal mark).
_POINT = (r"\d*\.\d+", "", ".")
_COMMA = (r"\d*,\d+", "", ",")
_GROUPED_BY_COMMA = (r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", ",", ".")
_GROUPED_BY_POINT = (r"[1-9]\d{0,2}(?:\.\d{3})+(?:,\d+)?", ".", ",")
_WHOLE = (r"\d+", "", ".")
STYLES = {
    False: (_WHOLE, _GROUPED_BY_COMMA, _POINT, _COMMA, _GROUPED_BY_POINT),
    True: (_WHOLE, _GROUPED_BY_POINT, _COMMA, _POINT, _GROUPED_BY_COMMA),
}


def number_in(text: str, decimal_comma: bool = False) -> Decimal | None:
    """Read "1,234.56", "1.234,56", "1 234,5", "3,10": digits and separators and nothing else.

    1.234 is a thousand only where the column has decimal commas, 1,234 only where it has not.
    """
    digits = re.sub(r"(?<=\d)[\s'\u2019](?=\d{3})", "", text.strip())
    for pattern, thousands, decimal in STYLES[decimal_comma]:
        if re.fullmatch(pattern, digits, re.ASCII):
            plain = digits.replace(thousands, "") if thousands else digits
            return Decimal(plain.replace(decimal, "."))
    return None


def read_price(cell: Cell, decimal_comma: bool = False) -> Price | Fault:
    """Read "£3.10", "3,10 €", "USD 4", "85p", "3.10 each". Not taken: ranges, below zero."""
    if isinstance(cell, Decimal):
        return _price(cell, "", text_of(cell))
    shown = text_of(cell)
    text = _short(shown)
    if found := PENCE.fullmatch(text):
        return _price(Decimal(found[1]) / 100, "GBP", shown)
    if text in ("free", "gratis"):
        return Price(Decimal(0))
    signs = _signs(text)
    rest = EACH.sub(" ", MONEY.sub(" ", text)).strip()
    below = re.fullmatch(r"[-−–]\s*(.+)|\((.+)\)", rest)
    number = number_in((below[1] or below[2]) if below else rest, decimal_comma)
    if number is None or len(signs) > 1:
        return Fault(f"says “{_cut(shown)}”, which is no price; write 3.10 or £3.10")
    return _price(-number if below else number, next(iter(signs), ""), shown)


def _price(amount: Decimal, currency: str, shown: str) -> Price | Fault:
    if amount < 0:
        return Fault(f"says “{_cut(shown)}”, which is below zero; write a price such as 3.10")
    if amount > MOST_MONEY:
        return Fault(
            f"says “{_cut(shown)}”, which is too much for one unit; write a price such as 3.10"
        )
    if amount != amount.quantize(PLACES):  # what a formula leaves, such as 3.0999999999999996
        fine = amount.quantize(PLACES)
        amount = fine.quantize(CENTS) if fine == fine.quantize(CENTS) else fine
    return Price(amount, currency)


def currency_in(text: str) -> str:
    """The one currency that a heading or a cell names, or ""."""
    found = _signs(text.casefold())
    return found.pop() if len(found) == 1 else ""


def _signs(text: str) -> set[str]:
    """The currencies that a text names. A shared sign beside a code says nothing more."""
    found = {MONEY_WORDS[sign.rstrip(".")] for sign in MONEY.findall(text)}
    return {sign for sign in found if sign in CODES} or found


# Words for a span of time -> (days, whose days). Weeks and months are calendar days: a supplier
# who quotes weeks counts them on the wall. Common practice, no source.
SPANS: tuple[tuple[str, tuple[int, Unit]], ...] = (
    (r"(?:working|business|work|week) ?days?|wd|bd", (1, "working")),
    (r"(?:working|business) ?weeks?", (5, "working")),
    (r"(?:calendar|cal\.?) ?days?", (1, "calendar")),
    (r"days?|d", (1, "working")),
    (r"weeks?|wks?|w", (7, "calendar")),
    (r"months?|mths?|mo", (30, "calendar")),
)
LEAD = re.compile(
    r"(?:(?:lead(?: time)?|about|approx\.?|ca\.?|circa|up to|max\.?|~|<) ?:? ?)*"
    r"(?P<first>\d+(?:[.,]\d+)?)(?: ?(?:-|–|—|to|or) ?(?P<second>\d+(?:[.,]\d+)?))?"
    r" ?(?P<unit>[a-z. ]*?)\.?(?: lead(?: time)?)?",
    re.ASCII,
)
IN_STOCK = {"in stock", "stock", "ex stock", "from stock", "immediate", "none"}


def span_named(words: str) -> tuple[int, Unit] | None:
    """The days of one unit of time and whose they are: "weeks" is (7, "calendar")."""
    return next((span for pattern, span in SPANS if re.fullmatch(pattern, words.strip())), None)


def read_lead(cell: Cell, unit: tuple[int, Unit] | None = None) -> Lead | Fault:
    """Read "20 working days", "20d", "4 weeks", "3-4 weeks" (the longer counts), "in stock".

    `unit` is what the heading says of bare numbers; without it they are working days.
    """
    shown = text_of(cell)
    text = _short(shown)
    if text in IN_STOCK:
        return Lead(0)
    found = LEAD.fullmatch(text)
    span = None
    if found is not None:
        span = span_named(found["unit"]) if found["unit"] else unit or (1, "working")
    if found is None or span is None:
        return Fault(
            f"says “{_cut(shown)}”, which is no lead time; write 20 working days or 4 weeks"
        )
    spans = (part for part in (found["first"], found["second"]) if part)
    number = max(Decimal(part.replace(",", ".")) for part in spans)
    days = (number * span[0]).to_integral_value(ROUND_CEILING)
    if days > MOST_DAYS:
        return Fault(
            f"says “{_cut(shown)}”, which is more than two years; write 20 working days or 4 weeks"
        )
    return Lead(int(days), span[1])


UNITS = re.compile(r"^[x×] ?| ?[x×]$| ?(?:pcs?|pieces?|units?|off|nos?)\.?$")


def read_quantity(cell: Cell) -> int | Fault:
    """Read "450", "1,000", "450 pcs", "x 450": whole units."""
    shown = text_of(cell)
    text = UNITS.sub("", _short(shown))
    number = cell if isinstance(cell, Decimal) else number_in(text)
    if number is None or number != number.to_integral_value() or not 0 <= number <= MOST_UNITS:
        return Fault(f"says “{_cut(shown)}”, which is no number of units; write 450")
    return int(number)


def _short(shown: str) -> str:
    """A cell's text as amounts are looked for in it; "" when it is too long to be one."""
    return shown.casefold() if len(shown) <= LONGEST else ""


def _cut(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:39]}…"

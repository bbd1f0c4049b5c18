"""From one cell of a price list to the fields of an offer.

Knows: what each column of a price list may hold, and what people call it. Must not know: where
cells stand. Invariants: a cell gives fields of `OfferRow` or a `Fault`; a minimum told in cases is
`cases` until its case pack is known.
"""

import re
from collections.abc import Callable
from datetime import date

from msgspec.structs import replace

from assistant.planning.year.measures import Size, read_grams, read_side, read_size, unit_in
from assistant.scheduling.countries import country_code
from assistant.scheduling.weeks import Problem
from assistant.sheets.amounts import currency_in, read_lead, read_price, read_quantity
from assistant.sheets.break_columns import without_last_day
from assistant.sheets.cells import Cell, Fault, text_of
from assistant.sheets.fields import LONGEST_TEXT, Fields, Style
from assistant.sheets.headings import UNREAD, WORDS, Heading, Vocabulary, heading
from assistant.sheets.when import MONTHS, When, read_when

LONGEST_NOTES = 300  # characters
SIDES = ("length", "width", "height")
# A row is refused where one of these cannot be read: they decide what is ordered, and for how much.
DECIDES = ("item", "price", "currency", "minimum", "case_pack", "lead", "supplier")

# Field -> what people call it on a price list, the surest first. Common practice, no source.
PRICE_LIST = Vocabulary(
    {
        "item": ("item", "item name", "product", "product name", "article", "article name", "goods",
                 "items", "products", "design", "name", "title", "what", "item description",
                 "product description", "description"),
        "type": ("type", "item type", "product type", "category", "kind", "group", "class", "range",
                 "product category", "product group", "item category", "family"),
        "price": ("trade price", "unit price", "wholesale price", "wholesale", "unit cost",
                  "price each", "cost each", "price per unit", "cost per unit", "price per piece",
                  "price per item", "cost per item", "item price", "item cost", "net price",
                  "cost price", "buying price", "your price", "list price", "quoted price",
                  "quote", "price", "prices", "cost", "each", "ws price", "trade", "ex works"),
        "currency": WORDS["currency"],
        "minimum": ("minimum", "moq", "minimum order", "minimum order quantity", "min order",
                    "min order qty", "minimum order qty", "minimum quantity", "min quantity",
                    "min qty", "min", "order minimum", "smallest order", "minimum pieces"),
        "case_pack": ("case pack", "case", "case size", "case qty", "case quantity", "pack size",
                      "units per case", "pieces per case", "pcs per case", "per case", "carton",
                      "carton qty", "carton quantity", "units per carton", "pieces per carton",
                      "pcs per carton", "pack", "pack qty", "pack quantity", "units per pack",
                      "inner", "inner pack", "order multiple", "multiple", "multiples", "sold in",
                      "sold in multiples of", "outer"),
        "lead": WORDS["lead"],
        "grams": ("weight", "unit weight", "item weight", "weight each", "product weight",
                  "net weight", "gross weight", "wt"),
        "mm": ("size", "dimensions", "dimension", "dims", "measurements", "measures",
               "product size", "item size", "unit size", "product dimensions", "sizes"),
        "length": ("length",),
        "width": ("width", "breadth"),
        "height": ("height", "depth", "thickness"),
        "made_in": ("made in", "origin", "country of origin", "country", "coo", "where made",
                    "country of manufacture", "product origin"),
        "supplier": ("supplier", "supplier name", "vendor", "seller", "sold by", "wholesaler",
                     "company", "suppliers", "bought from"),
        "quoted": ("date of quote", "quote date", "quoted", "quoted on", "valid from", "price date",
                   "date of price", "prices from", "price from", "list date", "as of", "updated",
                   "last updated", "date"),
        "valid_until": ("valid until", "valid to", "valid till", "prices valid until", "expires",
                        "expiry", "expiry date", "expires on", "quote expires", "offer ends",
                        "offer valid until", "price valid until", "quote valid until", "until",
                        "valid through", "good until", "end date", "price until", "prices until"),
        "notes": ("notes", "note", "comments", "comment", "remarks", "details", "material",
                  "materials", "colour", "color", "colours", "colors", "theme", "themes",
                  "keywords", "tags", "collection", "season", "more", "information", "about"),
        UNREAD: ("sku", "code", "item code", "product code", "ref", "reference", "id", "no",
                 "barcode", "ean", "gtin", "upc", "isbn", "hs code", "tariff code",
                 "rrp", "srp", "retail price", "retail", "vat", "tax", "duty", "discount", "stock",
                 "in stock", "availability", "image",
                 "picture", "photo", "link", "url", "website", "quantity", "qty", "order", "total",
                 "line total", "case price", "price per case", "pack price", "carton price",
                 "margin", "contact", "email", "phone", "status", "page"),
    }
)  # fmt: skip

_UNIT = re.compile(
    r"^(?P<said>.+?)[ ,.(\[/]+(?:in )?(?P<unit>[a-z]{1,12})\.?[)\]]*$", re.IGNORECASE
)
_CASES = re.compile(r"(\d{1,6}) ?(?:cases?|cartons?|packs?|boxes|outers?|inners?)")
_ROUND_A_NUMBER = re.compile(
    r"^(?:(?:min(?:imum)?|moq|order|case|carton|pack|box|set|from|sold|in|multiples)s?\.?:? ?"
    r"(?:of )?)+"
    r"| ?(?:/|per|a|to a|in a|to the) ?(?:case|carton|pack|box|inner|outer)$|\+$"
)
_MONTH = rf"(?:{'|'.join(name[:3] for name in MONTHS)})[a-z]{{0,6}}\.?"
_DATE = re.compile(
    r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}[./]\d{1,2}[./]\d{4}"
    rf"|(?:\d{{1,2}}(?:st|nd|rd|th)? (?:of )?)?{_MONTH},? 20\d\d"
    rf"|{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?,? 20\d\d",
    re.IGNORECASE,
)
_ASK = ("poa", "on request", "on application", "ask", "price on request", "price on application")

Reader = Callable[[Cell, Heading, Style], Fields | Fault]


def named_unit(text: str) -> Heading:
    """Read a heading of a price list; a unit of weight or length that stands in it is its `text`'s
    last word: "Weight (kg)", "Size in cm"."""
    own = heading(text, PRICE_LIST)
    found = _UNIT.match(text.strip())
    if own.field not in ("", *_MEASURED) or found is None or not unit_in(found["unit"]):
        return own
    bare = heading(found["said"], PRICE_LIST)
    return own if bare.field not in _MEASURED else _with_text(bare, text)


def _with_text(own: Heading, text: str) -> Heading:
    return replace(own, text=text)


def unit_of(own: Heading) -> str:
    """The unit that a heading names for the bare numbers below it; "" for none."""
    found = _UNIT.match(own.text.strip())
    return unit_in(found["unit"]) if found else ""


def date_in(text: str) -> date | None:
    """The date from which a title's prices hold: "Prices from 4 January 2027"; the first of a month
    alone."""
    return _date_in(without_last_day(text)[0])


def last_day_in(text: str) -> date | None:
    """The last day on which a title's prices hold: "Valid until 31 March 2027"."""
    return _date_in(without_last_day(text)[1])


def _date_in(text: str) -> date | None:
    for found in _DATE.finditer(text[:200]):
        when = read_when(found[0])
        if when is not None and when.year is not None:
            return _first_day(when)
    return None


def _first_day(when: When) -> date | None:
    return when.on or (date(when.year, when.month, 1) if when.year else None)


def sides_together(found: Fields) -> Fields:
    """Make one size of three sides that stood in columns of their own."""
    sides = [found.pop(side, None) for side in SIDES]
    if "mm" in found or None in sides:
        return found
    return found | {"mm": (sides[0], sides[1], sides[2])}


def _text(field: str) -> Reader:
    def read(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
        del own, style
        text = text_of(cell)
        if len(text) > LONGEST_TEXT:
            return Fault(f"is longer than {LONGEST_TEXT} characters; write a shorter {field}")
        return {field: text}

    return read


def _notes(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
    del own, style
    return {"notes": text_of(cell)[:LONGEST_NOTES]}


def _price(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
    if text_of(cell).casefold().strip(". ") in _ASK:
        return {}
    price = read_price(cell, style.decimal_comma)
    if isinstance(price, Fault):
        return price
    money = price.currency or own.currency
    return {"price": price.amount} | ({"currency": money} if money else {})


def _currency(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
    del own, style
    said = text_of(cell)
    code = currency_in(said)
    if code:
        return {"currency": code}
    return Fault(f"says “{said[:20]}”, which is no currency; write GBP")


def _pieces(field: str) -> Reader:
    def read(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
        del own, style
        text = text_of(cell).casefold()
        if field == "minimum" and (cases := _CASES.fullmatch(text)):
            return {"cases": int(cases[1])}
        bare = _ROUND_A_NUMBER.sub("", text).strip()
        number = read_quantity(bare if bare != text else cell)
        if isinstance(number, Fault):
            return Fault(f"says “{text_of(cell)[:40]}”, which is no number of pieces; write 50")
        return {field: number} if number else {}

    return read


def _lead(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
    del style
    lead = read_lead(cell, own.unit)
    return lead if isinstance(lead, Fault) else {"lead": lead}


def _measure(field: str, read: Callable[[str, str], int | Size | None], usual: str) -> Reader:
    def measured(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
        del style
        found = read(text_of(cell), unit_of(own) or usual)
        return Fault("is no measure") if found is None else {field: found}

    return measured


def _made_in(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
    del own, style
    code = country_code(text_of(cell)[:60])
    return Fault("is no country") if isinstance(code, Problem) else {"made_in": code[:2]}


def _date(field: str) -> Reader:
    def read(cell: Cell, own: Heading, style: Style) -> Fields | Fault:
        del own
        when = read_when(cell, style.day_first)
        on = _first_day(when) if when else _date_in(text_of(cell))
        return Fault("is no date") if on is None else {field: on}

    return read


# Bare numbers are grams and millimetres, unless a heading says otherwise.
_MEASURED = ("grams", "mm", *SIDES)
READERS: dict[str, Reader] = {
    "item": _text("name"),
    "type": _text("type"),
    "price": _price,
    "currency": _currency,
    "minimum": _pieces("minimum"),
    "case_pack": _pieces("case_pack"),
    "lead": _lead,
    "grams": _measure("grams", read_grams, "g"),
    "mm": _measure("mm", read_size, "mm"),
    **{side: _measure(side, read_side, "mm") for side in SIDES},
    "made_in": _made_in,
    "supplier": _text("supplier"),
    "quoted": _date("quoted"),
    "valid_until": _date("valid_until"),
    "notes": _notes,
}

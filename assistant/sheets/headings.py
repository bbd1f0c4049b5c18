"""What the headings of a year of boxes mean, in whatever words.

Knows: the fields of a row, and what people call them. Must not know: where headings stand.
Invariants: a word means one field; a heading that means nothing here is `UNREAD` when it is a
known word for something else, and "" when it is not known.
"""

import re
from collections.abc import Mapping
from functools import lru_cache

from assistant.planning.model import Record, Unit
from assistant.sheets.amounts import currency_in, span_named

UNREAD = "unread"
TOTAL = "total"

# Field -> what people call it, the surest first: where two columns mean one field, the one that
# stands earlier here is read. Common practice, no source.
WORDS: dict[str, tuple[str, ...]] = {
    "month": ("month", "box month", "month of box", "ship month", "shipping month", "for month",
              "box", "months", "boxes", "shipment", "when", "delivery month", "period"),
    "year": ("year", "box year"),
    "theme": ("theme", "box theme", "monthly theme", "theme of the month", "themes", "concept",
              "topic", "story", "box name", "box title", "title"),
    "item": ("item", "item name", "product", "product name", "items", "products", "article",
             "contents", "goods", "what", "name", "description", "item description",
             "product description"),
    "type": ("type", "item type", "product type", "category", "kind", "recurring type", "group",
             "class", "product category", "item category"),
    "supplier": ("supplier", "supplier name", "vendor", "bought from", "from", "maker", "seller",
                 "source", "made by", "manufacturer", "producer", "company", "brand", "wholesaler",
                 "suppliers", "who"),
    "unit_cost": ("unit cost", "unit price", "cost each", "price each", "cost per unit",
                  "price per unit", "cost per item", "price per item", "item cost", "item price",
                  "quoted price", "quote", "buying price", "purchase price", "cost price",
                  "wholesale price", "wholesale", "net price", "cost", "price", "each"),
    "currency": ("currency", "ccy", "cur"),
    "quantity": ("quantity", "qty", "order quantity", "order qty", "units", "number of units",
                 "number", "number of items", "pieces", "pcs", "how many", "count", "amount"),
    "lead": ("lead time", "lead", "leadtime", "supplier lead time", "production time",
             "making time", "turnaround", "turnaround time", "delivery time", "time to make"),
    "ship_on": ("ship date", "shipping date", "ship day", "ships", "ships on", "date shipped",
                "shipping", "dispatch date", "despatch date", "posting date", "post date",
                "mailing date", "send date", "date"),
    TOTAL: ("total", "totals", "sum", "subtotal", "sub total", "grand total", "total cost",
            "line total", "box total", "box cost", "average"),
    UNREAD: ("notes", "note", "comments", "comment", "remarks", "status", "done", "sku", "code",
             "item code", "link", "url", "website", "photo", "picture", "image", "weight", "size",
             "colour", "color", "moq", "minimum", "minimum order", "case pack", "rrp",
             "retail price", "retail", "sale price", "order by", "order date", "ordered",
             "arrival", "arrival date", "due", "due date", "subscribers", "postage", "packaging",
             "budget", "revenue", "income", "profit", "margin", "contact", "email", "phone",
             "country", "made in", "origin", "form", "id", "no", "ref", "season", "tax",
             "vat", "duty", "freight", "week", "insert card", "box of the month", "state", "late",
             "items in it", "cost so far", "target", "price breaks", "set up", "grams each",
             "size in mm", "pieces a box", "quoted on", "in hand by", "expected", "comes in",
             "goes out", "left at the end", "least left", "without a cost"),
}  # fmt: skip


class Vocabulary:
    """What words mean, for one kind of table: the field of each, and how sure it is (0 the
    surest). Compared as itself, so that what headings were read as can be remembered."""

    def __init__(self, words: Mapping[str, tuple[str, ...]]) -> None:
        self.meaning = {word: field for field, said in words.items() for word in said}
        self.rank = {word: rank for said in words.values() for rank, word in enumerate(said)}


YEAR = Vocabulary(WORDS)

NEAR = 84  # of 100: a heading this near a word is that word, misspelt
SHORTEST_NEAR = 4
LONGEST = 60  # characters of a heading
SPAN_WORDS = re.compile(
    r"\b(?:in )?((?:working|business|calendar) (?:days|weeks)|days?|weeks?|months?|wks?|wd|d|w)$"
)


class Heading(Record):
    """What a heading means. `field` is a field of Row, TOTAL, UNREAD or "".

    `rank` says how sure the word is (0 the surest), `number` is that of "item 2"; `currency` and
    `unit` (days, whose days) hold for bare numbers below; `misspelt` says that it was guessed.
    """

    text: str
    field: str = ""
    rank: int = 0
    number: int | None = None
    currency: str = ""
    unit: tuple[int, Unit] | None = None
    misspelt: bool = False


@lru_cache(maxsize=2_000)
def heading(text: str, words: Vocabulary = YEAR) -> Heading:
    """Read a heading: "Unit cost (GBP)", "Lead time in weeks", "Item 2", "SUPLIER:"."""
    if len(text) > LONGEST:
        return Heading(text)
    lower = text.casefold()
    said = " ".join(re.findall(r"[^\W\d_]+", re.sub(r"[(\[].*", "", lower)))
    said = re.sub(r"(?<=.) [a-z]$", "", said)  # "item b"
    numbers = re.findall(r"\d+", lower)
    found, misspelt = _word(said, words.meaning)
    if not found and not said and currency_in(lower):
        found = "unit cost"  # a heading that is only a sign of money
    beside = [re.sub(r"[^\w ]", " ", part).strip() for part in re.split(r"[(\[]", lower)]
    spans = [span_named(named[1]) for part in beside if (named := SPAN_WORDS.search(part))]
    return Heading(
        text=text,
        field=words.meaning.get(found, ""),
        rank=words.rank.get(found, 0),
        number=int(numbers[-1]) if len(numbers) == 1 and len(numbers[0]) <= 2 else None,
        currency=currency_in(lower),
        unit=spans[-1] if spans else None,
        misspelt=misspelt,
    )


def _word(said: str, meaning: Mapping[str, str]) -> tuple[str, bool]:
    """The known word that a heading says, and whether it was misspelt; "" for none."""
    for cut in (said, SPAN_WORDS.sub("", said).strip(), _without_money(said)):
        if cut in meaning:
            return cut, False
    words = said.split()
    if words and words[-1] in ("item", "product", "article") and not {"of", "per"} & {*words}:
        return "item", False  # "hero item", "seasonal product"
    if len(said) < SHORTEST_NEAR:
        return "", False
    from rapidfuzz import fuzz, process

    near = process.extractOne(said, meaning.keys(), scorer=fuzz.ratio, score_cutoff=NEAR)
    return (near[0], True) if near and len(near[0]) >= SHORTEST_NEAR else ("", False)


def _without_money(said: str) -> str:
    words = [word for word in said.split() if not currency_in(word)]
    return " ".join(words).removesuffix(" in")


def says_month(text: str) -> bool:
    """Whether bare numbers under a heading are months: under "Month", not under "Box"."""
    return heading(text).field == "month" and "month" in text.casefold()

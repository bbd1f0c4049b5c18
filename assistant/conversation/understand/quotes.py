"""What is said of a quote: for which goods, at what price, on what terms, until when it holds.

Knows: the words of a quote; an item's facts are read by facts.py. Must not know: who quotes, what
is kept already. Invariants: nothing that was said is passed over in silence; every amount of a
quote is in one currency; goods that stand in several boxes under one name are one thing, taken for
the next of those boxes.
"""

import re
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.conversation.order_requests import NoteQuote
from assistant.conversation.requests import ItemFacts
from assistant.conversation.understand.amounts import (
    LEAD,
    MONEY,
    Price,
    read_days,
    read_lead,
    read_money,
)
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.facts import read_facts
from assistant.conversation.understand.names import exact_item, read_item
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import tidy
from assistant.planning.changes import find
from assistant.planning.model import Lead
from assistant.planning.year.recurring import plain

LONGEST = 80  # characters of the name of goods
Fields = dict[str, Any] | Unclear | None


# --- goods ----------------------------------------------------------------------------------


def read_goods(text: str, c: Context) -> str | Unclear | None:
    """The id of the item whose goods are meant; of several boxes that have the same goods, the
    next to come."""
    found = read_item(_named(text), c)
    if not isinstance(found, Unclear) or not found.offers:
        return found
    ids = [exact_item(says, c) for _, says in found.offers]
    items = [item for id in ids if id and (item := find(c.shop.items, id))]
    names = {plain(item.name) for item in items}
    if len(items) < len(found.offers) or len(names) > 1:
        return found
    coming = [item for item in items if item.box >= c.month] or items
    return min(coming, key=lambda item: (item.box, item.id)).id


def known_goods(text: str, c: Context) -> str | Unclear | None:
    """The same, but None where no item has such a name."""
    found = read_goods(text, c)
    return None if isinstance(found, Unclear) and not found.offers else found


def _named(text: str) -> str:
    said = re.sub(r"^(?:them|those|these|their|his|her) ", "", tidy(text), flags=re.IGNORECASE)
    return said.strip("\"' ")


def _goods(text: str, c: Context) -> Fields:
    """An item, or the name of goods that the plan does not have."""
    found = read_goods(text, c)
    if isinstance(found, str):
        return {"item": found}
    if isinstance(found, Unclear) and (found.offers or _named(text).lower() in ("it", "them")):
        return found
    name = re.sub(r"^(?:the|our|a|an|some) ", "", _named(text), flags=re.IGNORECASE)
    if not re.search(r"[^\W\d_]", name) or len(name) > LONGEST:
        return Unclear("I found no name of the goods in it")
    return {"name": name}


# --- terms of a quote -----------------------------------------------------------------------


def _money(field: str) -> Callable[[str, Context], Fields]:
    def read(text: str, _c: Context) -> Fields:
        price = read_money(text)
        if not isinstance(price, Price):
            return price
        return {field: price.amount} | ({"currency": price.currency} if price.currency else {})

    return read


def _until(text: str, c: Context) -> Fields:
    """A last day, or how long a quote holds from today."""
    length = read_days(re.sub(r"^(?:for )", "", text.strip(), flags=re.IGNORECASE))
    if isinstance(length, int) and re.search(r"day|week|\dd|\dw", text, re.IGNORECASE):
        return {"valid_until": c.today + timedelta(length)}
    day = read_day(text, c.today)
    if isinstance(day, date):
        return {"valid_until": day}
    return day or Unclear(f'"{text.strip()[:40]}" is no day that I can read')


def _dated(text: str, c: Context) -> Fields:
    """The day of a quote: one without a year is the nearest, which can hardly be ahead."""
    day = read_day(text, c.today, c.today)
    if isinstance(day, date) and day > c.today:
        return Unclear(f'"{text.strip()[:40]}" is still ahead, and a quote cannot be')
    return {"quoted": day} if isinstance(day, date) else day


def _transit(text: str, _c: Context) -> Fields:
    """Calendar days on the way; working days are turned into them, 5 to a week of 7."""
    lead = read_lead(text)
    if not isinstance(lead, Lead):
        return lead
    working = re.search(r"working|business|\dwd", text, re.IGNORECASE)
    return {"transit_days": -(-lead.days * 7 // 5) if working else lead.days}


def _currency(text: str, _c: Context) -> Fields:
    price = read_money(f"1 {text.strip()}")
    code = price.currency if isinstance(price, Price) else ""
    return {"currency": code} if code else Unclear(f'"{text.strip()[:20]}" is no currency I know')


_CARRIAGE = r"(?:carriage|delivery|shipping|freight|postage)"
_ON_ITS_WAY = r"(?:transit|shipping|sea freight|air freight|by (?:sea|air|road|rail|post)|at sea)"
_SIGNS = r"[a-z]{3,8}|[\u00a3\u20ac$\u00a5]"
TERMS: tuple[tuple[str, Callable[[str, Context], Fields]], ...] = (
    (
        r"(?:and |it |the |which |quote |offer |price |prices |is |are )*"
        r"(?:valid|good|holds?|held|open|firm|expires?|ends?)"
        r"(?: until| till| to| through| up to| on)? (?P<said>[^,;]+?)",
        _until,
    ),
    (rf"transit(?: time)?(?: is| of| takes)?:? (?P<said>{LEAD})", _transit),
    (rf"(?P<said>{LEAD}) (?:in |on |of )?{_ON_ITS_WAY}", _transit),
    (rf"(?:{_CARRIAGE}|by sea)(?: takes| time| in| is)*:? (?P<said>{LEAD})", _transit),
    (rf"{_CARRIAGE}(?: is| of| costs?| at)?:? (?P<said>{MONEY})", _money("carriage")),
    (rf"(?P<said>{MONEY}) (?:for )?(?:the )?{_CARRIAGE}", _money("carriage")),
    (
        rf"(?P<said>free {_CARRIAGE}|{_CARRIAGE} (?:is )?(?:free|paid|included|nil)|delivered)",
        lambda _text, _c: {"carriage": Decimal(0)},
    ),
    (r"(?:quote )?(?:quoted|dated)(?: on)? (?P<said>[^,;]+?)", _dated),
    (rf"(?:all )?(?:prices?|amounts?|it|all)(?: is| are)? in (?P<said>{_SIGNS})", _currency),
)
_TERMS = tuple(
    (re.compile(rf"(?:^|[,;]|(?<=\w) ) ?(?:and )?{form} ?(?=[,;]|$)", re.IGNORECASE), read)
    for form, read in TERMS
)
_HEADS = tuple(
    re.compile(form, re.IGNORECASE)
    for form in (
        r"(?:us |me )?(?:for|on) (?P<goods>[^,:]+?)(?:: ?|,| at (?=\D{0,6}\d)| ?@ ?)(?P<rest>.+)",
        rf"(?:us |me )?(?:at )?(?P<price>{MONEY})(?: each| apiece| a piece)? (?:for|on) "
        r"(?P<goods>[^,]+?)(?:,(?P<rest>.+))?",
        r"(?:us |me )?(?P<goods>[^,:\d]*[^\W\d_][^,:\d]*?)(?:: ?|,| at | ?@ ?)(?P<rest>.+)",
        rf"(?:us |me )?(?P<goods>[^,:\d]*[^\W\d_][^,:\d]*?) (?P<rest>{MONEY}(?:,.+)?)",
    )
)
_OF_QUOTES = [
    "name",
    "unit_cost",
    "currency",
    "lead",
    "made_in",
    "minimum",
    "case_pack",
    "breaks",
    "setup",
    "grams",
    "mm",
]


def read_quote(text: str, c: Context) -> NoteQuote | Unclear | None:
    """What a supplier quotes, all but the supplier: "1.40 for the pins, from 500 1.25, valid until
    31 January", "for the pins: 1.40"; without goods, those that were spoken of last."""
    for head in _HEADS:
        found = head.fullmatch(text.strip())
        if found is None or not _says_goods(found["goods"]):
            continue
        goods = _goods(found["goods"], c)
        if isinstance(goods, Unclear):
            return _in_place(goods, text.strip(), found.span("goods"))
        if goods is None:
            return None
        said = found.groupdict()
        price = f"{said['price']} each" if said.get("price") else ""
        rest = ", ".join(filter(None, (price, (said.get("rest") or "").strip())))
        return _with_terms(NoteQuote("", **goods), rest, c)
    goods = _goods("it", c)
    return goods if not isinstance(goods, dict) else _with_terms(NoteQuote("", **goods), text, c)


def _in_place(why: Unclear, text: str, span: tuple[int, int]) -> Unclear:
    """A question about some words of a text, each choice being the whole text with them."""
    before, after = text[: span[0]], text[span[1] :]
    return Unclear(why.why, tuple((label, f"{before}{s}{after}") for label, s in why.offers))


def _says_goods(text: str) -> bool:
    """Whether words before a price name goods, and not a fact."""
    return not re.match(r"(?:from|minimum|min|moq|set-?up|lead|price|cases?)\b", text.strip(), re.I)


def read_terms(text: str, c: Context) -> NoteQuote | Unclear:
    """The terms of a quote of which the goods are known."""
    return _with_terms(NoteQuote(""), text, c)


def _with_terms(quote: NoteQuote, text: str, c: Context) -> NoteQuote | Unclear:
    fields: dict[str, Any] = {}
    currencies: set[str] = set()
    for form, read in _TERMS:
        found = form.search(text)
        if found is None:
            continue
        told = read(found["said"], c)
        if told is None or isinstance(told, Unclear):
            return told or Unclear(f'I could not read "{found["said"].strip()[:40]}"')
        currencies |= {told.pop("currency", "")} - {""}
        fields |= told
        text = f"{text[: found.start()]}, {text[found.end() :]}"
    facts = _facts(text, c)
    if isinstance(facts, Unclear):
        return facts
    currencies |= {facts.currency} - {""}
    if len(currencies) > 1:
        return Unclear(f"its amounts are in {len(currencies)} currencies; say them in one")
    known = {name: getattr(facts, name) for name in ("lead", "made_in", "grams", "mm", "breaks")}
    known |= {name: getattr(facts, name) for name in ("minimum", "case_pack", "setup")}
    fields |= {name: value for name, value in known.items() if value not in (None, "", ())}
    money = {"price": facts.unit_cost, "currency": next(iter(currencies), "")}
    told_of = replace(quote, **fields, **money)
    return told_of if told_of != quote else Unclear("I found no price in it")


def _facts(text: str, c: Context) -> ItemFacts | Unclear:
    """The facts of an item that are facts of a quote, too."""
    bare = re.sub(r"(?: *, *){2,}", ", ", text).strip(" ,;")
    if re.fullmatch(r"\d{1,4}", bare):
        bare = f"{bare} each"
    facts = read_facts(bare, c, named=False) if bare else ItemFacts()
    if isinstance(facts, Unclear):
        return facts
    empty = ItemFacts()
    other = [
        name
        for name in ItemFacts.__struct_fields__
        if name not in _OF_QUOTES and getattr(facts, name) != getattr(empty, name)
    ]
    if other:
        return Unclear("it tells more than a quote does; say the rest of the item itself")
    return facts

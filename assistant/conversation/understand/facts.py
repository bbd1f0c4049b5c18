"""What is said of an item: facts in any order behind its name.

Knows: how price, lead time, supplier, number, kind, form, weight and size are told; what is told of
its order stands in facts_of_orders.py. Must not know: boxes, whether the item exists. Invariants:
every piece between commas is read whole or named as unread, so nothing that was said of an item is
passed over in silence; a fact told twice is asked about.
"""

import re
from collections.abc import Callable
from typing import Any

from assistant.conversation.requests import ItemFacts
from assistant.conversation.understand.amounts import (
    LEAD,
    MONEY,
    Price,
    read_count,
    read_lead,
    read_money,
)
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.facts_of_orders import FACTS as OF_ORDERS
from assistant.conversation.understand.facts_of_orders import (
    FURTHER,
    MANY,
    Fact,
    Fields,
    currency_of,
    whole,
)
from assistant.conversation.understand.names import (
    exact_supplier,
    read_country,
    read_supplier,
)
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find
from assistant.planning.model import Lead
from assistant.planning.year.measures import SIZE, WEIGHT, read_grams, read_size

LONGEST = 120  # characters of an item's name
SLIPS = 2  # of the finger, in a word that may be "offer"

_COMMA = re.compile(r",(?!\d{1,3}(?!\d))|(?<!\d),(?=\d)|(?<=\.\d\d),(?=\d)|;|\n")
_QUOTED = re.compile(r'"([^"]*)"')


def _price(text: str, _c: Context) -> Fields:
    price = read_money(text)
    if not isinstance(price, Price):
        return price
    return {"unit_cost": price.amount, **currency_of(price)}


def _lead(text: str, _c: Context) -> Fields:
    lead = read_lead(text)
    return {"lead": lead} if isinstance(lead, Lead) else lead


def _bare_lead(text: str, _c: Context) -> Fields:
    number = read_count(text)
    return {"lead": Lead(number)} if isinstance(number, int) else number


def _quantity(text: str, _c: Context) -> Fields:
    number = read_count(text)
    return {"quantity": number} if isinstance(number, int) else number


def _grams(text: str, _c: Context) -> Fields:
    grams = read_grams(text)
    return {"grams": grams} if grams else Unclear(f'"{text[:40]}" is no weight I can use')


def _size(text: str, _c: Context) -> Fields:
    mm = read_size(text)
    return {"mm": mm} if mm else Unclear(f'"{text[:40]}" is no size I can use')


def _main(_text: str, _c: Context) -> Fields:
    return {"main": True}


def _country(text: str, c: Context) -> Fields:
    code = read_country(_unquoted(text), c)
    return {"made_in": code.partition("/")[0]} if isinstance(code, str) else code


def _supplier(text: str, c: Context) -> Fields:
    said = _unquoted(text)
    if (fact := _NO_NAME.search(text)) is not None:
        why = f'"{said[:40]}" is no name of a supplier, as it tells "{fact["told"].strip()[:40]}"'
        return Unclear(f"{why}; put commas between the facts")
    name = read_supplier(said, c)
    if isinstance(name, Unclear) and all(says.startswith("supplier ") for _, says in name.offers):
        name = said.removeprefix("supplier ")  # "from" says well enough that it is one
    return {"supplier": name or said} if not isinstance(name, Unclear) else name


def _bare(text: str, c: Context) -> Fields:
    """A piece that is exactly a supplier of the shop, or a country."""
    supplier = find(c.shop.suppliers, exact_supplier(_unquoted(text), c) or "")
    if supplier is not None:
        return {"supplier": supplier.name}
    country = _country(text, c)
    return None if isinstance(country, Unclear) else country


def _kind(field: str) -> Callable[[str, Context], Fields]:
    return lambda text, _c: {field: _unquoted(text)}


# A decimal or a sign makes a bare number a price; a bare whole number could be anything.
_EXACT_PRICE = (
    r"(?:(?:[-\u2212]|minus )?(?:\u00a3|\u20ac|\$|(?:GBP|EUR|USD|CHF) ?)[-\u2212]? ?\d[\d.,]*"
    r"|(?:[-\u2212]|minus )?\d[\d,]*[.,]\d{1,4}"
    r"|(?:[-\u2212]|minus )?\d[\d.,]* ?(?:[\u00a3\u20ac$]"
    r"|(?:GBP|EUR|USD|CHF|SEK|NOK|DKK|PLN|JPY|CNY|CAD|AUD|pounds?|euros?|dollars?|yen|yuan|pence"
    r"|p|cents?|quid)\b))"
)
_EACH = r"(?: ?(?:each|apiece|a piece|per piece|per unit|per item|a unit|ea\.?|pp))"
_NUMBER = r"\d[\d,]*"
_PIECES = r"(?:pieces?|pcs?\.?|units?|off|of them|copies|items)"
_MORE = r"(?P<said>\"[^\"]+\"|.+?)"

FACTS: tuple[Fact, ...] = (
    *OF_ORDERS,
    Fact(rf"(?:(?:weighs|weighing|weight:?|is|of) )?(?P<said>{WEIGHT})", _grams),
    Fact(rf"(?:(?:measures|measuring|size:?|is) )?(?P<said>{SIZE})", _size),
    Fact(r"(?:(?:as|is) )?(?P<said>(?:the )?main item|stands out)", _main),
    Fact(
        r"(?:with (?:a )?)?(?:lead[- ]?(?:time)?(?: is| of)?:? )?"
        rf"(?P<said>{LEAD})(?: lead(?: time)?)?",
        _lead,
    ),
    Fact(rf"lead[- ]?(?:time)?(?: is| of)?:? (?P<said>{_NUMBER})", _bare_lead),
    Fact(rf"(?:at|@|costs?|price|priced at|for)?:? ?(?P<said>{_EXACT_PRICE}){_EACH}?", _price),
    Fact(rf"(?:at|@|costs?|price|priced at|unit cost):? ?(?P<said>{MONEY}){_EACH}?", _price),
    Fact(rf"(?P<said>{MONEY}){_EACH}", _price),
    Fact(rf"each (?P<said>{MONEY})", _price),
    Fact(rf"(?P<said>{_NUMBER}) ?{_PIECES}", _quantity),
    Fact(rf"(?:quantity|qty|number|x):? ?(?P<said>{_NUMBER})", _quantity),
    Fact(rf"(?P<said>{_NUMBER}) ?x", _quantity),
    Fact(rf"(?:is )?made in {_MORE}", _country),
    Fact(
        rf"(?:(?:is|comes|bought|supplied) )?(?:from|by|supplier:?|at the supplier) {_MORE}",
        _supplier,
    ),
    Fact(rf"(?:(?:of )?(?:the )?type|kind|category):? (?:is )?{_MORE}", _kind("type")),
    Fact(rf"(?:in (?:the )?)?form(?: of)?:? {_MORE}", _kind("form")),
)
# What stands in no name: a price, or a length of time. Within quotes it does.
_NO_NAME = re.compile(
    rf'^[^"]*?(?P<told>(?<=\s)(?:{_EXACT_PRICE}|\d+ ?(?:days?|d|wd|weeks?|wks?)\b)[^"]*)$', re.I
)
_BARE = Fact(rf"^{_MORE}", _bare)
_AN = Fact(rf"(?:is )?(?:a|an|some) {_MORE}", _kind("type"))
_TIMES = re.compile(
    rf"\A(.*?)(?<![\d,])(?<!from )(\d[\d,]*) ?[x\u00d7*@] ?({_EXACT_PRICE})({_EACH}?)$",
    re.IGNORECASE,
)


def read_facts(text: str, c: Context, named: bool = True) -> ItemFacts | Unclear:
    """Read facts parted by commas. With `named`, the first piece begins with the item's name."""
    text = _TIMES.sub(r"\1\2 pieces, \3 each", text.strip(" ,.;"))
    pieces = _pieces(text)
    fields: dict[str, Any] = {}
    name = ""
    for place, piece in enumerate(pieces):
        first = named and place == 0
        rest = _peel(piece, c, fields, first)
        if isinstance(rest, Unclear):
            return rest
        if first:
            name = _unquoted(rest)
        elif rest:
            return _unread(rest)
    if named and not re.search(r"[^\W\d_]", name):
        return Unclear("I found no name of an item in it")
    if len(name) > LONGEST:
        return Unclear(f"the name of the item is longer than {LONGEST} characters")
    if wrong := whole(fields):
        return wrong
    return ItemFacts(name=name, **fields)


def _pieces(text: str) -> list[str]:
    """The pieces between commas; a comma within quotes or within a number parts nothing."""
    held: list[str] = []

    def hold(found: re.Match[str]) -> str:
        held.append(found[0])
        return f"\x00{len(held) - 1}\x01"

    cut = _COMMA.split(_QUOTED.sub(hold, text))
    return [
        re.sub(r"\x00(\d+)\x01", lambda found: held[int(found[1])], piece).strip()
        for piece in cut
        if piece.strip()
    ]


def _peel(piece: str, c: Context, fields: dict[str, Any], first: bool) -> str | Unclear:
    """Take facts off the end of a piece into `fields`; return what is left of it."""
    rest = piece
    before = {field: len(fields.get(field, ())) for field in MANY}
    while rest:
        found = _last_fact(rest, c, first)
        if found is None:
            return rest
        if isinstance(found, Unclear):
            return found
        rest, told = found
        twice = [field for field in told if fields.get(field, told[field]) != told[field]]
        if twice := [field for field in twice if field not in MANY]:
            return Unclear(f'"{piece[:60]}" tells the {_TOLD[twice[0]]} a second time')
        for field in before.keys() & told.keys():  # in the order in which they were told
            kept: tuple[Any, ...] = fields.get(field, ())
            told[field] = (*kept[: before[field]], *told[field], *kept[before[field] :])
        fields |= told
        rest = re.sub(r"(?:[ ,:]| (?:and|with|at|for|is))+$", "", rest) if told else rest
    return ""


_TOLD = {
    "unit_cost": "price",
    "currency": "currency",
    "lead": "lead time",
    "quantity": "number of pieces",
    "made_in": "country",
    "supplier": "supplier",
    "type": "type",
    "form": "form",
    "grams": "weight",
    "mm": "size",
    "minimum": "minimum",
    "case_pack": "case",
    "setup": "set-up",
    "units": "number in a box",
    "stock": "stock",
    "damage": "damage",
    "keeps_days": "time it keeps",
}


def _last_fact(rest: str, c: Context, first: bool) -> tuple[str, dict[str, Any]] | Unclear | None:
    if first and _QUOTED.fullmatch(rest):
        return None
    for fact in FACTS if first else (*FACTS, FURTHER, _BARE, _AN):
        found = fact.at_end(rest)
        if found is None or (first and found.start() == 0):
            continue
        if rest[: found.start()].count('"') % 2:
            continue  # within quotes
        told = fact.read(found["said"], c)
        if isinstance(told, Unclear):
            return told
        if told is not None:
            return rest[: found.start()].strip(), told
    return None


def _unread(piece: str) -> Unclear:
    said = piece[:60]
    if re.fullmatch(_NUMBER, piece):
        return Unclear(f'"{said}" could be a price or a number; say "{said} pieces" or "{said}.00"')
    return Unclear(f'I could not read "{said}"; say each fact in words, parted by commas')


def _unquoted(text: str) -> str:
    said = text.strip()
    found = _QUOTED.fullmatch(said)
    return (found[1] if found else said).strip(" ,:;")


def perhaps_an_offer(name: str, box: str, c: Context) -> Unclear | None:
    """Ask about the name of a new item that may be a slip of "offer 2", where offers were shown."""
    said = re.fullmatch(r"(.*?)(\d{0,3})\W*", name) if c.talk.offers else None
    if said is None or (said[2] and not 1 <= int(said[2]) <= len(c.talk.offers)):
        return None
    from rapidfuzz.distance import OSA  # hardly ever said

    letters = re.sub("[^a-z]", "", said[1].casefold())
    slips = SLIPS if said[2] else 1  # "coffee" is no offer
    if "offer" not in letters and OSA.distance(letters, "offer", score_cutoff=slips) > slips:
        return None
    numbers = (said[2],) if said[2] else range(1, min(len(c.talk.offers), 3) + 1)
    says = [f"add offer {number} to {box}" for number in numbers]
    why = "I am not sure that it is one of the offers"
    return Unclear(why, tuple((one, one) for one in says), whole=True)

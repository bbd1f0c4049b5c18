"""What is said of how an item is sold and used up: minimum, cases, breaks, options, stock, damage.

Knows: how these facts are told, one in a piece. Must not know: boxes, whether the item exists, how
pieces are cut (facts.py). Invariants: a number that cannot be meant is asked about; options add up
to the whole; a fact that is taken back is told as none ("no minimum" is 0).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.conversation.understand.amounts import MONEY, Price, read_count, read_money
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import COUNT, count_of
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.model import Break
from assistant.planning.numbers.quantity import MOST_DAMAGE

Fields = dict[str, Any] | Unclear | None
MANY = ("breaks", "shares")  # facts that may be told several times, each time one more of them
NO_BREAKS = Break(0, Decimal(0))  # told: none any more
NO_SHARES = ("", Decimal(100))  # told: everybody gets the same
WHOLE = Decimal(100)
MOST_OPTIONS = 20
LONGEST_KEPT = 730  # days; what keeps longer outlives every plan


@dataclass(frozen=True, slots=True)
class Fact:
    """One kind of fact: the words round it, and how what is told becomes fields of ItemFacts."""

    pattern: str
    read: Callable[[str, Context], Fields]

    def at_end(self, text: str) -> re.Match[str] | None:
        """Find the fact at the end of a piece."""
        return re.search(rf"(?:^|(?<=\s)){self.pattern}$", text, re.IGNORECASE)


def _whole(field: str, least: int = 1) -> Callable[[str, Context], Fields]:
    """A reader of a whole number of something."""

    def read(text: str, _c: Context) -> Fields:
        number = read_count(re.sub(r"^(?:an?|each)$", "1", text.strip(), flags=re.IGNORECASE))
        if isinstance(number, int) and number < least:
            return Unclear(f'"{text.strip()}" is fewer than {least}')
        return {field: number} if isinstance(number, int) else number

    return read


def _told(field: str, value: object) -> Callable[[str, Context], Fields]:
    return lambda _text, _c: {field: value}


def _break(text: str, _c: Context) -> Fields:
    """ "500 at 2.90", or the price first: "2.90 from 500"."""
    found = _FROM.fullmatch(text.strip()) or _PRICE_FIRST.fullmatch(text.strip())
    number = read_count(found["number"]) if found else None
    price = read_money(found["price"]) if found else None
    if not isinstance(number, int) or not isinstance(price, Price):
        return next((one for one in (number, price) if isinstance(one, Unclear)), None)
    if number < 2:
        return Unclear("a price break begins with 2 pieces or more")
    return {"breaks": (Break(number, price.amount),), **currency_of(price)}


def _setup(text: str, _c: Context) -> Fields:
    price = read_money(text)
    if not isinstance(price, Price):
        return price
    return {"setup": price.amount, **currency_of(price)}


def currency_of(price: Price) -> dict[str, str]:
    """The currency of a price as a field, none where it was not said."""
    return {"currency": price.currency} if price.currency else {}


def _share(text: str, _c: Context) -> Fields:
    """ "S 20%", or several: "S 20% M 50% and L 30%"."""
    if _EACH_SHARE.sub("", text).strip():
        return None  # there is more in it
    found = [(one["name"].strip(), _decimal(one["number"])) for one in _EACH_SHARE.finditer(text)]
    over = [percent for _, percent in found if percent > WHOLE]
    if over:
        return Unclear(f"{over[0]:f}% is more than the whole")
    return {"shares": tuple(found)} if found else None


def _no_share(text: str, _c: Context) -> Fields:
    said = text.strip()[:40]
    return Unclear(f'I do not know how many take "{said}"; say it in percent: {said} 40%')


def _damage(text: str, _c: Context) -> Fields:
    percent = _decimal(text)
    if percent > MOST_DAMAGE:
        return Unclear(f"{percent:f}% broken is more than I can order spares for")
    return {"damage": percent}


def _keeps(text: str, _c: Context) -> Fields:
    found = re.fullmatch(rf"(?P<count>{COUNT}) ?(?P<unit>.+)", text.strip(), re.IGNORECASE)
    number = count_of(found["count"]) if found else None
    if found is None or number is None:
        return None
    days = number * _DAYS[found["unit"][0].lower()]
    if not 0 < days <= LONGEST_KEPT:
        return Unclear(f'"{text.strip()}" is none I need: tell only what keeps up to two years')
    return {"keeps_days": days}


def _decimal(text: str) -> Decimal:
    return Decimal(re.sub(r"[^\d.]", "", text.replace(",", ".")) or "0")


_DAYS = {"d": 1, "w": 7, "m": 30, "y": 365}
_NUMBER = r"\d[\d,]*"
_PERCENT = r"\d{1,4}(?:[.,]\d{1,2})? ?(?:%|percent|per cent)"
_PIECES = r"(?: ?(?:pieces?|pcs?\.?|units?|off|items))?"
_EACH = r"(?: ?(?:each|apiece|a piece|per piece|per unit|a unit|ea\.?))?"
_MORE_THAN = r"from"
_UP = r"(?:\+|(?: ?(?:or more|and more|and up|and over|up|upwards)))"
_AT = r"(?: at | ?@ ?| ?: ?| )"
_FROM = re.compile(
    rf"(?:{_MORE_THAN} )?(?P<number>{_NUMBER}){_PIECES}{_UP}?(?: on| onwards)?{_AT}"
    rf"(?P<price>{MONEY}){_EACH}",
    re.IGNORECASE,
)
_PRICE_FIRST = re.compile(
    rf"(?P<price>{MONEY}){_EACH} {_MORE_THAN} (?P<number>{_NUMBER}){_PIECES}{_UP}?", re.IGNORECASE
)
_CASE = r"(?:cases?|packs|cartons?)"
_OPTIONS = r"(?:size|colou?r|option|shade|scent|flavou?r)"
_WORD = r"[^\W\d_][\w'/-]*"
_SHARE = rf"{_WORD}(?: {_WORD})?:? ?{_PERCENT}"
_EACH_SHARE = re.compile(
    rf"(?:and )?(?P<name>{_WORD}(?: {_WORD})?):? ?(?P<number>{_PERCENT})", re.IGNORECASE
)
_BOX = r"(?:(?:in|to|for) )?(?:each|every|a|per|the) box"

FACTS: tuple[Fact, ...] = (
    Fact(
        rf"(?:with )?(?:an? )?(?:minimum|min\.?|moq|at least)(?: order)?(?: quantity)?"
        rf"(?: is| of)?:? (?P<said>{_NUMBER}){_PIECES}",
        _whole("minimum"),
    ),
    Fact(rf"(?P<said>{_NUMBER}){_PIECES} (?:minimum|min\.?|moq)", _whole("minimum")),
    Fact(r"(?P<said>no minimum(?: order)?|without (?:a )?minimum)", _told("minimum", 0)),
    Fact(
        rf"(?:(?:comes?|sold|is|are|packed) )?(?:in )?(?:an? )?{_CASE} of "
        rf"(?P<said>{COUNT}){_PIECES}",
        _whole("case_pack"),
    ),
    Fact(rf"case ?(?:pack|size)(?: is| of)?:? (?P<said>{_NUMBER})", _whole("case_pack")),
    Fact(rf"(?P<said>{COUNT}){_PIECES} (?:a|per|to a|in a|in each) {_CASE}", _whole("case_pack")),
    Fact(r"(?P<said>no cases|not in cases|sold singly|single pieces)", _told("case_pack", 0)),
    Fact(
        rf"(?P<said>(?:{_MORE_THAN} {_NUMBER}{_PIECES}{_UP}?|{_NUMBER}{_PIECES}{_UP})"
        rf"(?: on| onwards)?{_AT}{MONEY}{_EACH})",
        _break,
    ),
    Fact(rf"(?:at )?(?P<said>{MONEY}{_EACH} {_MORE_THAN} {_NUMBER}{_PIECES}{_UP}?)", _break),
    Fact(r"(?P<said>no (?:price )?breaks|without breaks)", _told("breaks", (NO_BREAKS,))),
    Fact(
        r"(?:set-?up|set up|tooling|origination)(?: fee| costs?| charge)?(?: is| of)?:? "
        rf"(?P<said>{MONEY})",
        _setup,
    ),
    Fact(r"(?P<said>no set-?up(?: fee| costs?)?)", _told("setup", Decimal(0))),
    Fact(rf"(?P<said>{COUNT}|an?){_PIECES} {_BOX}", _whole("units")),
    Fact(
        rf"(?:(?:we|i) (?:have|have got|still have) )?(?P<said>{COUNT}){_PIECES} "
        r"(?:in stock|on hand|left over|left|on the shelf)",
        _whole("stock", 0),
    ),
    Fact(rf"stock(?: is| of)?:? (?P<said>{_NUMBER})", _whole("stock", 0)),
    Fact(r"(?P<said>none (?:in stock|left)|no stock)", _told("stock", 0)),
    Fact(
        rf"(?P<said>{_PERCENT}) (?:of them )?(?:(?:arrives?|comes?|are|is|get|gets) )?"
        r"(?:broken|damaged|unusable|breakages?|damage|spares?)",
        _damage,
    ),
    Fact(
        rf"(?:damage|breakages?|spares?)(?: is| of)?:? (?P<said>{_PERCENT})",
        _damage,
    ),
    Fact(
        r"(?:keeps?|best before|shelf life)(?: for| of| is)?:? "
        rf"(?P<said>{COUNT} ?(?:calendar )?(?:days?|d|weeks?|wks?|w|months?|years?))",
        _keeps,
    ),
    Fact(
        rf"(?:in )?{_OPTIONS}s?:? (?:are )?(?P<said>{_WORD}[^,%]{{0,40}}(?:%(?:[^,%]{{1,40}}%)*"
        r"|percent|per cent))",
        _share,
    ),
    Fact(r"(?P<said>one size|no sizes|no options|no colou?rs)", _told("shares", (NO_SHARES,))),
    Fact(rf"(?:in )?{_OPTIONS}s:? (?P<said>{_WORD})", _no_share),
)
# How a piece begins that can only tell one of these facts.
ANCHORS = (
    r"(?:an? )?(?:minimum|min\.?|moq|at least) |no minimum"
    rf"|{_NUMBER}{_PIECES} (?:minimum|min|moq)\b"
    rf"|(?:in )?(?:an? )?{_CASE} of |case ?(?:pack|size)|no cases|not in cases"
    rf"|{COUNT}{_PIECES} (?:a|per|to a|in a|in each) {_CASE}"
    rf"|from {_NUMBER}{_PIECES}{_UP}?{_AT}[^a-z]|{_NUMBER}{_PIECES}{_UP} |no (?:price )?breaks"
    rf"|{MONEY}{_EACH} from \d|set-?up|set up|tooling|origination|no set-?up"
    rf"|{COUNT}{_PIECES} {_BOX}|{COUNT}{_PIECES} (?:in stock|on hand|left)|none (?:in stock|left)"
    rf"|no stock|stock:? \d|{_PERCENT} .*(?:broken|damaged|unusable|breakage|damage|spares)"
    rf"|(?:damage|breakages?|spares?)(?: is| of)?:? {_PERCENT}"
    rf"|(?:keeps?|best before|shelf life) .*\d|(?:in )?{_OPTIONS}s?:? .*%|(?:in )?{_OPTIONS}s "
    r"|one size|no (?:sizes|options|colou?rs)"
)
# A further option, where the piece does not begin with the item's name.
FURTHER = Fact(rf"(?:and )?(?P<said>{_SHARE})", _share)


def whole(fields: dict[str, Any]) -> Unclear | None:
    """Say what does not add up in all that was told of an item; None where it does. Breaks are put
    in order."""
    shares: tuple[tuple[str, Decimal], ...] = fields.get("shares", ())
    names = [name.casefold() for name, _ in shares]
    total = sum((percent for _, percent in shares), Decimal(0))
    if len(set(names)) < len(names):
        return Unclear("it tells one option twice")
    if shares and total != WHOLE:
        told = ", ".join(f"{name} {percent.normalize():f}%" for name, percent in shares)
        told = f"{told}: {total.normalize():f}% in all"
        return Unclear(f"the options have to add up to 100% ({told}); say all of them again")
    if len(shares) > MOST_OPTIONS:
        return Unclear(f"an item has at most {MOST_OPTIONS} options")
    breaks: tuple[Break, ...] = fields.get("breaks", ())
    numbers = [one.quantity for one in breaks]
    if len(set(numbers)) < len(numbers):
        return Unclear("it tells two prices from the same quantity")
    if breaks:
        fields["breaks"] = tuple(sorted(breaks, key=lambda one: one.quantity))
    return None

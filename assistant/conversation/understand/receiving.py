"""What is told of an order or a delivery in one breath: pieces, prices, days, references, damage.

Knows: the clauses in which such things are said. Must not know: patterns of whole lines, what
follows. Invariants: a sentence is read whole or not at all; a day without its year that could be of
two years is asked about; a number that cannot be is said to be so.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, Literal

from assistant.conversation.replies.plain import full_day
from assistant.conversation.understand.amounts import MONEY, Price, read_count, read_money
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.names import known_supplier
from assistant.conversation.understand.unclear import Unclear

Facts = dict[str, Any]
Reader = Callable[[re.Match[str], Context], Facts | Unclear | None]
Way = Literal["order", "dispatch", "arrival", "check"]

FAR = 183  # days from which on a day of no year may be of another one
LONG_AGO = 150  # days
_YEAR = re.compile(r"\b\d{4}\b|'\d\d\b|\d[/.]\d{1,2}[/.]\d\d\b")
_A_PRICE = re.compile(r"\d+[.,]\d\d?")
_COMMA = re.compile(r",\s+|\s+[-\u2013\u2014]\s+|;\s*")
_AND = r"(?:(?:and|but|with) )?"


# --- days -----------------------------------------------------------------------------------


def read_promise(text: str, c: Context) -> date | Unclear | None:
    """A day on which something is to come. One without a year that is just past in this year is
    asked about: the next is a year away."""
    if _A_PRICE.fullmatch(text.strip()):
        return None
    day = read_day(text, c.today)
    if not isinstance(day, date) or _YEAR.search(text):
        return day
    near = read_day(text, c.today, c.today)
    past = near if isinstance(near, date) and near < c.today else None
    if past is None or (day - c.today).days < FAR or (c.today - past).days > LONG_AGO:
        return day
    offers = ((full_day(day), day.isoformat()),)
    return Unclear(f"{full_day(past)} is past; which year do you mean", offers)


def read_past(text: str, c: Context) -> date | Unclear | None:
    """A day on which something happened: without a year the last such day, where that is not long
    ago. One that is said to be still to come is taken as said."""
    day = read_day(text, c.today)
    if not isinstance(day, date) or day <= c.today or _YEAR.search(text):
        return day
    if re.match(r"(?:on )?(?:last )?[a-z]{3,9}day$", text.strip(), re.IGNORECASE):
        return day - timedelta(7)
    last = read_day(text, c.today - timedelta(FAR))
    if isinstance(last, date) and last <= c.today:
        return last
    if (day - c.today).days <= FAR:
        return day
    return Unclear(f"{full_day(day)} is still to come; which year do you mean")


# --- clauses --------------------------------------------------------------------------------


def _on_day(found: re.Match[str], c: Context) -> Facts | Unclear | None:
    return _fact("on", read_past(found["day"], c))


def _promised(found: re.Match[str], c: Context) -> Facts | Unclear | None:
    return _fact("promised", read_promise(found["day"], c))


def _fact(name: str, value: object) -> Facts | Unclear | None:
    """A fact of one value; None where the words are no such thing."""
    if value is None or isinstance(value, Unclear):
        return value
    return {name: value}


def _price(found: re.Match[str], _c: Context) -> Facts | Unclear | None:
    price = read_money(found["money"])
    if not isinstance(price, Price):
        return price
    return {"price": price.amount, "currency": price.currency}


def _total(found: re.Match[str], c: Context) -> Facts | Unclear | None:
    """What all pieces cost together."""
    price = _price(found, c)
    return {**price, "in_all": True} if isinstance(price, dict) else price


def _each_or_all(found: re.Match[str], _c: Context) -> Facts | Unclear | None:
    money = found["money"]
    return Unclear(f'I do not know what "for {money}" is; say "at {money}" or "{money} in all"')


def _supplier(found: re.Match[str], c: Context) -> Facts | Unclear | None:
    name = known_supplier(found["name"], c)
    if not isinstance(name, str):
        return name
    return {"supplier": next(one.id for one in c.shop.suppliers if one.name == name)}


def _text(name: str) -> Reader:
    return lambda found, _c: {name: found["said"].strip()}


def _many(name: str) -> Reader:
    """A clause that tells a number, "none" or "all good" being none."""

    def read(found: re.Match[str], _c: Context) -> Facts | Unclear | None:
        number = _number(found["n"])
        if not isinstance(number, int):
            return number
        said = found.groupdict().get("how") or ""
        note = said.lower() if number and said.lower() not in ("damaged", "unusable") else ""
        return {name: number, **({"note": note} if note else {})}

    return read


def _number(text: str) -> int | Unclear | None:
    return 0 if text.lower() in ("none", "no", "nothing", "not one") else read_count(text)


_N = r"(?P<n>-?\d[\d,]*|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)"
_HOW = (
    r"(?P<how>bent|broken|damaged|cracked|faulty|torn|wet|scratched|dented|spoilt|spoiled|unusable"
    r"|crushed|leaking|leaked|smashed|bad|wrong|useless|chipped|stained|squashed|ruined|defective"
    r"|misprinted|mouldy|rusty|melted)"
)
_DAY = r"(?P<day>[\w'/.-]+(?: [\w'/.-]+){0,4}?)"
_MONEY = rf"(?P<money>{MONEY})"
_DUE = (
    r"(?:they (?:now )?(?:say|said|promise|promised)|promised|due|expected|arriving|coming"
    r"|to arrive|to come|will arrive|will come|will be here|for delivery|delivery|in hand by"
    r"|here by|eta|should be here|should arrive|should come)"
)

Clause = tuple[str, Reader]
_DAYS: tuple[Clause, ...] = (
    (r"(?P<day>today|yesterday|this morning|just now)", _on_day),
    (rf"on {_DAY}", _on_day),
)
_WHEN_DUE: tuple[Clause, ...] = (
    (rf"{_AND}{_DUE}(?: it)?(?: is)?(?: (?:on|for|by))? {_DAY}", _promised),
    (rf"by {_DAY}", _promised),
)
_REF = (
    r"(?:their |our |my )?(?:reference|ref|order no|order number|po)(?:[.:] ?| )"
    r"(?P<said>[^,]{1,40})"
)
_EACH = r"(?: each| a piece| apiece| per piece| ea)"
_IN_ALL = r"(?: in all| altogether| in total| all in)"
_DAMAGED = rf"{_AND}(?:only )?(?P<n>\d[\d,]*|none|no|one|two|three|four|five|six|seven|eight)"
_OF_THEM = r"(?: of (?:them|those|which|these))?(?: pieces)?(?: is| are| was| were| came| arrived)?"
_ALL = (
    rf"{_AND}(?:all|everything|they are all|it is all)(?: of them)?(?: is| are)? "
    r"(?:good|fine|ok|okay|well|perfect|in order|in good order)"
)
_DAMAGE: tuple[Clause, ...] = (
    (rf"{_DAMAGED}{_OF_THEM}(?: all)? {_HOW}", _many("damaged")),
    (_ALL, lambda _f, _c: {"damaged": 0}),
    (rf"{_AND}(?:no|without) (?:damage|breakages?|faults?)", lambda _f, _c: {"damaged": 0}),
)  # fmt: skip
_ALL_GOOD: Clause = (_ALL, lambda _f, _c: {})  # but for what was counted before
CLAUSES: Mapping[Way, tuple[Clause, ...]] = {
    "order": (
        (_REF, _text("reference")),
        *_WHEN_DUE,
        (rf"(?:at|@) {_MONEY}{_IN_ALL}", _total),
        (rf"for {_MONEY}{_IN_ALL}", _total),
        (rf"{_MONEY}{_IN_ALL}", _total),
        (rf"(?:at|@) ?{_MONEY}{_EACH}?", _price),
        (rf"(?:for )?{_MONEY}{_EACH}", _price),
        (rf"for {_MONEY}", _each_or_all),
        (r"(?:from|with) (?P<name>.+)", _supplier),
        (rf"{_N} (?:pieces?|pcs|of them)", _many("quantity")),
        *_DAYS,
    ),
    "dispatch": (
        (r"(?:with )?(?:tracking number|tracking no|tracking|parcel number|parcel)[.:]? ?"
         r"(?P<said>[^,]{1,40})", _text("tracking")),
        *_WHEN_DUE,
        *_DAYS,
    ),
    "arrival": (
        *_DAMAGE,
        (rf"{_AND}{_N}(?: of them)?(?: is| are)? (?:missing|short|too few)", _many("missing")),
        *_DAYS,
        (rf"{_AND}(?:the )?rest (?:is |are )?(?:fine|good|to follow|later|still to come|to come)",
         lambda _f, _c: {}),
        (r"(?P<n>-?\d[\d,]*) of (?P<of>\d[\d,]*)(?: came)?", lambda f, _c: _counted(f)),
        (r"(?P<n>-?\d[\d,]*) came", lambda f, _c: _counted(f)),
    ),
    "check": (_ALL_GOOD, *_DAMAGE),
}  # fmt: skip


def _counted(found: re.Match[str]) -> Facts | Unclear | None:
    """So many pieces, perhaps of so many."""
    parts = found.groupdict()
    facts: Facts = {}
    for name, text in (("pieces", parts.get("n")), ("of", parts.get("of"))):
        number = _number(text) if text else None
        if isinstance(number, Unclear):
            return number
        if number is not None:
            facts[name] = number
    return facts


_COUNTED: Mapping[Way, str] = {"order": "quantity", "arrival": "pieces"}  # by a bare number


def read_facts(text: str, way: Way, c: Context) -> tuple[str, Facts] | Unclear:
    """What is told: the words that are left (what it is of), and the facts told of it. Clauses are
    parted by commas, or follow the words that are left."""
    facts: Facts = {}
    first, *others = [part.strip() for part in _COMMA.split(text.strip(" ,")) if part.strip()]
    for part in others:
        left = _taken(part, way, c, facts)
        if isinstance(left, Unclear):
            return left
        if left and way in _COUNTED and (number := read_count(left)) is not None:
            if isinstance(number, Unclear):
                return number
            facts[_COUNTED[way]] = number
        elif left:
            return Unclear(f'I do not understand "{left[:40]}"')
    left = _taken(first, way, c, facts, keep=True)
    return left if isinstance(left, Unclear) else (left, facts)


def _taken(text: str, way: Way, c: Context, facts: Facts, *, keep: bool = False) -> str | Unclear:
    """Take the clauses from the end of a text; return the words that are left. `keep`: something
    must be left, and a day that is none belongs to it."""
    while text:
        for form, read in CLAUSES[way]:
            found = re.fullmatch(rf"(?P<rest>.*?)(?:^|(?<= )){form}", text, re.IGNORECASE)
            if found is None or (keep and not found["rest"].strip()):
                continue
            told = read(found, c)
            if isinstance(told, Unclear):
                return told
            if told is None or any(name in facts for name in told):
                continue
            facts |= told
            text = found["rest"].strip(" ,:")
            break
        else:
            return text
    return text


# --- how many of what -----------------------------------------------------------------------

_JUST = r"(?:only |just |all |all the |another )?"
_OF = r"(?: ?(?:of|out of|/) ?(?:the |our )?(?P<of>\d[\d,]*))?"
_PIECES = r"(?: ?x| \u00d7| pieces| pcs)?(?: of)?(?: the| my| our)?"
_FIRST = re.compile(
    rf"{_JUST}(?P<n>-?\d[\d,]*|none|no|one|two|three|four|five|six){_OF}{_PIECES} (?P<what>.+)",
    re.IGNORECASE,
)
_LAST = re.compile(
    rf"(?P<what>.+?)(?::| -) ?{_JUST}(?P<n>-?\d[\d,]*|none){_OF}(?: pieces| pcs)?", re.IGNORECASE
)
_LAST_OF = re.compile(
    rf"(?P<what>.+?) {_JUST}(?P<n>-?\d[\d,]*)(?: ?(?:of|out of|/) ?(?P<of>\d[\d,]*))",
    re.IGNORECASE,
)
_REST = re.compile(
    r"(?:the |all )?(?:rest|remainder) of (?:the )?|all of (?:the )?|all (?:the )?(?=\D)"
    r"|(?:the )?(?:other|remaining|last|missing) ",
    re.IGNORECASE,
)


def how_many(text: str) -> tuple[str, Facts] | Unclear:
    """Part "412 of 460 notebooks", "notebooks: 412" or "the rest of the notebooks" into what it is
    of, and how many came (`pieces`, `of`)."""
    text = _REST.sub("", text.strip(), count=1) if _REST.match(text.strip()) else text.strip()
    for form in (_FIRST, _LAST, _LAST_OF):
        if found := form.fullmatch(text):
            counted = _counted(found)
            if isinstance(counted, Unclear):
                return counted
            return found["what"].strip(" :"), counted or {}
    return text, {}


def each(facts: Facts) -> Unclear | None:
    """Put the price of all pieces as that of one, in place."""
    if not facts.pop("in_all", False):
        return None
    if not facts.get("quantity"):
        return Unclear("I do not know how many that price is for; say the number, too")
    one = facts["price"] / facts["quantity"]
    facts["price"] = one.quantize(Decimal("0.0001")).normalize()
    return None

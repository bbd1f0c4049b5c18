"""Words for rates and for tables of postage.

Knows: how bands, rules for weights, and rates are written. Must not know: patterns, what is done
with them. Invariants: a text that is no such thing gives None; one that lacks a piece, or is in
another currency than the shop's, gives an Unclear that says so; a limit is rounded down, so that
nothing is said to fit that does not.
"""

import re
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.conversation.order_requests import SetPostage
from assistant.conversation.understand.amounts import CODES, Price, read_money
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import profile_of
from assistant.planning.model import Band, Record
from assistant.planning.year.measures import SIZE, WEIGHT, read_grams, read_side, read_size

FOREIGN = (
    rf"(?:{CODES.replace(' ', '|')}|euros?|dollars?|yen|yuan|rmb|renminbi|pounds?|sterling"
    "|[\u00a3\u20ac$\u00a5])"
)
RATE = rf"(?:{FOREIGN} ?)?\d+(?:[.,]\d+)?(?: ?{FOREIGN})?"
_RATE = re.compile(
    rf"(?P<before>{FOREIGN})? ?(?P<number>\d+(?:[.,]\d+)?) ?(?P<after>{FOREIGN})?", re.IGNORECASE
)
_WEIGHT = re.compile(WEIGHT, re.IGNORECASE)
_SIZE = re.compile(SIZE, re.IGNORECASE)
_BETWEEN = re.compile(r",? ?(?:and )?(?=\bup to\b)", re.IGNORECASE)
_FILLER = re.compile(r"\b(?:costs?|is|are|at|for|and|within)\b|[:=]|,(?!\d)", re.IGNORECASE)
_CLAUSE = re.compile(r", ?| and ", re.IGNORECASE)
_TOLD = "say it as: postage small parcel up to 2 kg 3.45"


class SaidRate(Record):
    """A rate as said; `unit` is the currency that stood with it, "" for none."""

    number: Decimal
    unit: str


def read_code(text: str) -> str | None:
    """The code of a currency."""
    found = read_money(f"1 {text.strip()}")
    return found.currency or None if isinstance(found, Price) else None


def read_rate(text: str, _c: Context) -> SaidRate | Unclear | None:
    """A rate: "0.86", "0,86", "\u00a30.86", "0.86 pounds"."""
    found = _RATE.fullmatch(text.strip())
    if found is None:
        return None
    number, unit = found["number"].replace(",", "."), found["before"] or found["after"] or ""
    if len(number) > 14:
        return Unclear(f"{number[:20]} has more digits than a rate can use")
    return SaidRate(Decimal(number), read_code(unit) or "" if unit else "")


# --- postage --------------------------------------------------------------------------------


def own_money(price: Price, c: Context) -> Decimal | Unclear:
    """An amount in the shop's own currency."""
    own = profile_of(c.shop).currency
    if price.currency in ("", own):
        return price.amount
    return Unclear(f"the shop counts in {own}; say it in {own}")


def read_bands(text: str, c: Context) -> tuple[Band, ...] | Unclear | None:
    """Bands of postage: "up to 1 kg 2.95, up to 2 kg 3.45", "up to 2 kg 3.45, 45 x 35 x 16 cm"."""
    bands = []
    for part in filter(None, _BETWEEN.split(text.strip())):
        found = _band(part.strip(" ,"), c)
        if not isinstance(found, Band):
            return found
        bands.append(found)
    return tuple(bands) or None


def _band(text: str, c: Context) -> Band | Unclear | None:
    rest = text[len("up to") :]
    size = _SIZE.search(rest)
    mm = read_size(size[0], down=True) if size else None
    rest = rest.replace(size[0], " ") if size else rest
    weight = _WEIGHT.search(rest)
    if weight is None:
        return None
    grams = read_grams(weight[0], down=True)
    left = " ".join(_FILLER.sub(" ", rest.replace(weight[0], " ", 1)).split())
    if grams is None or (size and mm is None):
        return Unclear(f'"{text[:40]}" has a weight or size that I cannot use; {_TOLD}')
    price = read_money(left) if left else Unclear(f"it lacks its price; {_TOLD}")
    if not isinstance(price, Price):
        return price
    amount = own_money(price, c)
    return amount if isinstance(amount, Unclear) else Band(grams, amount, mm)


_DIVISOR = re.compile(r"(?:divisor|divided by|volume (?:divisor|by))[: ]*([\d.,]+)", re.IGNORECASE)
_SIDES = re.compile(
    r"(?:each |every )?sides?(?: (?:are|is))?(?: rounded)?(?: up)?(?: to)?(?: (?:whole|full|the "
    r"next))? (?P<side>(?:\d+ ?)?(?:mm|cm|centimetres?|in|inch|inches))",
    re.IGNORECASE,
)
_STEP = re.compile(rf"(?:in )?steps?(?: of)? (?P<step>{WEIGHT})", re.IGNORECASE)
_ABOVE = re.compile(
    r"(?:only )?(?:above|over|from) (?P<volume>[\d.,]+) ?"
    r"(?P<unit>cm3|cm\u00b3|ccm|cubic cm|litres?)",
    re.IGNORECASE,
)


def read_weighing(text: str, _c: Context) -> SetPostage | Unclear | None:
    """How a service reckons the weight that it bills: "divisor 5000, sides rounded up to 1 cm, step
    500 g, above 9 litres"; the service is not named yet."""
    found = SetPostage("")
    for clause in filter(None, _CLAUSE.split(text.strip())):
        said = _clause(clause.strip())
        if said is None:
            return Unclear(
                f'"{clause.strip()[:40]}" is no rule I know; say it as: divisor 5000, sides '
                "rounded up to 1 cm, step 500 g"
            )
        found = replace(found, **said)
    return found


def _clause(clause: str) -> dict[str, Any] | None:
    """What one clause says; None for nothing that could be meant."""
    if said := _DIVISOR.fullmatch(clause):
        number = said[1].replace(",", "").rstrip(".")
        return {"divisor": Decimal(number)} if re.fullmatch(r"\d{1,7}(\.\d+)?", number) else None
    if said := _SIDES.fullmatch(clause):
        side = said["side"] if said["side"][0].isdigit() else f"1 {said['side']}"
        mm = read_side(side)
        return {"side_mm": mm} if mm else None
    if said := _STEP.fullmatch(clause):
        grams = read_grams(said["step"])
        return {"step_grams": grams} if grams else None
    if said := _ABOVE.fullmatch(clause):
        number = said["volume"].replace(",", "").rstrip(".")
        if not re.fullmatch(r"\d{1,9}(\.\d+)?", number):
            return None
        each = 1000 if said["unit"].lower().startswith("l") else 1
        return {"above_cm3": int(Decimal(number) * each)}
    return None

"""Weights and sizes as people write them, in grams and millimetres.

Knows: units of weight and length. Must not know: whose they are, where they are written.
Invariants: what is no weight or size gives None; a weight is at least one gram, a side at least
one millimetre, none is beyond all reason; fractions are rounded up, so that nothing is taken for
lighter or smaller than it is, but `down` for what has to hold it.

Factors: 1 in = 25.4 mm, 1 lb = 453.59237 g exactly, 1 oz = 1/16 lb. Source: International Yard
and Pound Agreement, 1959.
"""

import re
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

Size = tuple[int, int, int]  # millimetres

MOST_GRAMS = 100_000  # of one piece, or of one mailer
MOST_MM = 5_000  # of one side

_GRAMS = {
    "g": Decimal(1),
    "kg": Decimal(1000),
    "oz": Decimal("28.349523125"),
    "lb": Decimal("453.59237"),
}
_MM = {"mm": Decimal(1), "cm": Decimal(10), "m": Decimal(1000), "in": Decimal("25.4")}
_WORDS = {
    **dict.fromkeys(("g", "gr", "gm", "gms", "gram", "grams", "gramme", "grammes"), "g"),
    **dict.fromkeys(("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("oz", "ounce", "ounces"), "oz"),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), "lb"),
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    **dict.fromkeys(("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m"),
    **dict.fromkeys(("in", "ins", "inch", "inches", '"'), "in"),
}


def _either(units: dict[str, Decimal]) -> str:
    words = (word for word, unit in _WORDS.items() if unit in units)
    return "|".join(sorted(map(re.escape, words), key=len, reverse=True))


_NUMBER = r"(?:\d{1,3}(?:,\d{3})+|\d{1,6})(?:[.,]\d{1,4})?"
_MASS, _LONG = _either(_GRAMS), _either(_MM)
# A weight or a size in a sentence: with its unit, since a bare number could be anything.
WEIGHT = rf"{_NUMBER} ?(?:{_MASS})\b(?:,? (?:and )?{_NUMBER} ?(?:oz|ounces?)\b)?"
SIZE = rf"{_NUMBER} ?(?:{_LONG})? ?(?:[x\u00d7*]|by) ?" * 2 + rf"{_NUMBER} ?(?:{_LONG})(?![a-z])"

_ONE_WEIGHT = re.compile(rf"({_NUMBER}) ?({_MASS})?\.?", re.IGNORECASE)
_ONE_SIDE = re.compile(rf"({_NUMBER}) ?({_LONG})?\.?", re.IGNORECASE)
_CUT = re.compile(r" ?(?:[x\u00d7*]|\bby\b) ?", re.IGNORECASE)
_POUNDS_AND_OUNCES = re.compile(
    rf"({_NUMBER}) ?(?:lbs?|pounds?),? (?:and )?({_NUMBER}) ?(?:oz|ounces?)", re.IGNORECASE
)
# The sides of a size may be named: "L210 x W148 x H12", "210 (L) x 148 (W)".
_NAMED = re.compile(r"\(?\b[lwhd]\)?(?=[\d\s:]|$)|\b(?:length|width|height|depth)\b:?", re.I)


def unit_in(words: str) -> str:
    """Return the unit of weight or length that a word is: "kilos" is "kg"; "" for none."""
    return _WORDS.get(words.strip().casefold().rstrip("."), "")


def read_grams(text: str, unit: str = "", *, down: bool = False) -> int | None:
    """Read "180 g", "0.5 kg", "1 lb 4 oz" as whole grams; `unit` is that of a bare number."""
    said = text.strip()
    if both := _POUNDS_AND_OUNCES.fullmatch(said):
        pounds, ounces = _number(both[1]), _number(both[2])
        return _within(pounds * _GRAMS["lb"] + ounces * _GRAMS["oz"], MOST_GRAMS, down)
    found = _ONE_WEIGHT.fullmatch(said)
    named = unit_in(found[2]) if found and found[2] else unit
    if found is None or named not in _GRAMS:
        return None
    return _within(_number(found[1]) * _GRAMS[named], MOST_GRAMS, down)


def read_side(text: str, unit: str = "", *, down: bool = False) -> int | None:
    """Read "21 cm" as whole millimetres; `unit` is that of a bare number."""
    found = _ONE_SIDE.fullmatch(text.strip())
    named = unit_in(found[2]) if found and found[2] else unit
    if found is None or named not in _MM:
        return None
    return _within(_number(found[1]) * _MM[named], MOST_MM, down)


def read_size(text: str, unit: str = "", *, down: bool = False) -> Size | None:
    """Read three sides: "210 x 148 x 12 mm", "21x14.8x1.2cm", "8 in x 6 in x 1 in".

    A unit behind the last side holds for those without one; `unit` for a size without any.
    """
    parts = _CUT.split(" ".join(_NAMED.sub(" ", text).split()))
    last = _ONE_SIDE.fullmatch(parts[-1])
    own = unit_in(last[2]) if last and last[2] else unit
    sides = [read_side(part, own, down=down) for part in parts]
    if len(sides) != 3 or None in sides:
        return None
    length, width, height = (side or 0 for side in sides)
    return length, width, height


def _number(text: str) -> Decimal:
    """A number in either way of writing: a comma before three digits parts thousands."""
    whole = re.sub(r",(?=\d{3}(?!\d))", "", text)
    return Decimal(whole.replace(",", "."))


def _within(amount: Decimal, most: int, down: bool) -> int | None:
    whole = int(amount.to_integral_value(ROUND_FLOOR if down else ROUND_CEILING))
    return whole if 1 <= whole <= most else None

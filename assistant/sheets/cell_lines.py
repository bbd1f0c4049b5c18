"""An item written into one cell: "field notebook (Aldermoor) 3.10" taken apart.

Knows: how people crowd a supplier, a price, a number and a lead time beside a name. Must not
know: where the cell stands. Invariants: reading never raises; what is not recognised stays in the
name, so nothing is lost; a word is a supplier only where its place says so.
"""

import re
from collections.abc import Callable

from msgspec.structs import replace

from assistant.planning.model import Lead, Record
from assistant.sheets.amounts import SIGNS, Price, read_lead, read_price, read_quantity
from assistant.sheets.cells import Fault, plain

MOST_ITEMS = 30  # in one cell
LONGEST_NAME = 120  # characters
LONGEST_LINE = 300  # characters of one item with all that stands beside it


class CellItem(Record):
    """One item of a cell: its name, and what stood beside it."""

    name: str
    supplier: str = ""
    price: Price | None = None
    quantity: int | None = None
    lead: Lead | None = None


_NUMBER = r"\d[\d.,]*"
# A price in a cell has a sign or two decimals: "tin 50" and "No 7" are names.
_PRICE = (
    rf"[-−]?(?:(?<![a-z])(?:{SIGNS})\.?\s?[-−]?{_NUMBER}|{_NUMBER}\s?(?:{SIGNS})(?![a-z])\.?"
    r"|\d[\d.,]*[.,]\d\d(?!\d))(?:\s?(?:each|ea\.?|per unit|/ ?unit))?"
)
_SPAN = r"(?:working |business |calendar )?(?:days?|weeks?|wks?|d|w)"
_LEAD = rf"(?:lead(?: time)?:? ?)?\d+(?: ?- ?\d+)? ?{_SPAN}"
_NAMED_LEAD = rf"(?:lead(?: time)?:? ?\d+(?: ?- ?\d+)? ?{_SPAN}?|\d+ (?:working|business) days)"
_QUANTITY = r"(?:[x×] ?\d[\d,]*|\d[\d,]* ?(?:[x×]|pcs|pieces|units))"

PRICE = re.compile(_PRICE, re.IGNORECASE)
ALONE: tuple[tuple[str, re.Pattern[str]], ...] = (  # what a piece of a cell is on its own
    ("price", PRICE),
    ("lead", re.compile(_LEAD, re.IGNORECASE)),
    ("quantity", re.compile(_QUANTITY, re.IGNORECASE)),
    ("supplier", re.compile(r"(?:(?i:from|by)\s+|@\s*)(?P<name>.+)")),
)
AT_END: tuple[tuple[str, re.Pattern[str]], ...] = (  # what is taken off the end of a name
    ("price", re.compile(rf"(?:\s(?:at|@)|[\s,;:–—-])\s*(?P<it>{_PRICE})$", re.IGNORECASE)),
    ("lead", re.compile(rf"[,;:–—-]\s*(?P<it>{_LEAD})$", re.IGNORECASE)),
    ("lead", re.compile(rf"\s(?P<it>{_NAMED_LEAD})$", re.IGNORECASE)),
    ("quantity", re.compile(rf"[\s,;:]\s*(?P<it>{_QUANTITY})$", re.IGNORECASE)),
    ("supplier", re.compile(r"(?:\sfrom (?!the |an? |our )|\s?@\s?)(?P<it>[^,;()@]+)$")),
    ("supplier", re.compile(r"\sby (?P<it>[A-Z][^,;()@]*)$")),  # not "walk by the river"
)
AT_START = re.compile(r"(?P<it>\d[\d,]*) ?[x×] (?=\S)", re.IGNORECASE)
BRACKETS = re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]")
SUPPLIER_AFTER_MARK = re.compile(r"^(.+?)(?:,| [-–—|])\s*([^,|–—]+)$")
BULLET = re.compile(r"^(?:[-–—*•·▪]|\d{1,2}[.)])\s+")
BETWEEN_ITEMS = re.compile(r"[\r\n;•]+")


def items_of(text: str, decimal_comma: bool = False) -> tuple[CellItem, ...] | Fault:
    """Take a cell apart into its items: one a line, or with semicolons between.

    Lines that hold only a price, a lead time or a number belong to the line above.
    """
    lines = [BULLET.sub("", plain(line)) for line in BETWEEN_ITEMS.split(text)]
    lines = [line for line in lines if line]
    if any(len(line) < LONGEST_LINE and _alone(line) for line in lines[1:]):
        lines = [", ".join(lines)]
    if len(lines) > MOST_ITEMS:
        return Fault(f"holds more than {MOST_ITEMS} items; give them rows of their own")
    if any(len(line) > LONGEST_LINE for line in lines):
        return Fault(f"is longer than {LONGEST_LINE} characters; write only the item's name")
    items = []
    for line in lines:
        item = _item(line, decimal_comma)
        if isinstance(item, Fault):
            return item
        items.append(item)
    return tuple(items)


def _item(line: str, decimal_comma: bool) -> CellItem | Fault:
    """Take one line apart, from its end to its beginning."""
    found: dict[str, str] = {}
    rest = _out_of_brackets(line, found)
    if start := AT_START.match(rest):
        found.setdefault("quantity", start["it"])
        rest = rest[start.end() :]
    while taken := _off_the_end(rest, found):
        rest = taken
    crowded = found and "supplier" not in found and SUPPLIER_AFTER_MARK.match(rest)
    if crowded and _is_name(crowded[2]):
        rest, found["supplier"] = crowded[1], crowded[2].strip()
    name = rest.strip(" ,;:–—-@|")
    if len(name) > LONGEST_NAME:
        return Fault(f"is longer than {LONGEST_NAME} characters; write only the item's name")
    if not name or _alone(name):
        return Fault("names no item; write it as: field notebook (Aldermoor) 3.10")
    return _with_values(
        CellItem(name=name, supplier=found.get("supplier", "")), found, decimal_comma
    )


def _out_of_brackets(line: str, found: dict[str, str]) -> str:
    """Take brackets whose every part is understood out of a line; others belong to the name."""
    rest = line
    for bracket in BRACKETS.finditer(line):
        parts = [part.strip() for part in re.split(r"[,;/]\s", bracket[1]) if part.strip()]
        kinds = [_alone(part) or ("supplier" if _is_name(part) else "") for part in parts]
        if parts and all(kinds) and len({*kinds, *found}) == len(kinds) + len(found):
            found |= {
                kind: _without_from(part) if kind == "supplier" else part
                for kind, part in zip(kinds, parts, strict=True)
            }
            rest = rest.replace(bracket[0], " ", 1)
    return " ".join(rest.split())


def _off_the_end(rest: str, found: dict[str, str]) -> str:
    """The text without what stands at its end; "" when nothing there is understood."""
    for kind, pattern in AT_END:
        if kind not in found and (taken := pattern.search(rest)) and rest[: taken.start()].strip():
            found[kind] = taken["it"].strip()
            return rest[: taken.start()].rstrip(" ,;:–—-|")
    return ""


def _alone(part: str) -> str:
    """What a piece of text is when nothing stands beside it; "" for a name or a supplier."""
    return next((kind for kind, pattern in ALONE if pattern.fullmatch(part)), "")


def _without_from(part: str) -> str:
    found = ALONE[-1][1].fullmatch(part)
    return found["name"] if found else part


def _is_name(part: str) -> bool:
    """Whether a word in brackets is a supplier: a capital first and no digit, as in (Aldermoor),
    unlike (A5), (50 g) or (decaf)."""
    return part.strip()[:1].isupper() and not any(mark.isdigit() for mark in part)


def _with_values(item: CellItem, found: dict[str, str], decimal_comma: bool) -> CellItem | Fault:
    """Read the amounts that were found beside a name."""
    readers: dict[str, Callable[[str], object]] = {
        "price": lambda text: read_price(text, decimal_comma),
        "quantity": read_quantity,
        "lead": read_lead,
    }
    for kind, read in readers.items():
        if kind in found:
            value = read(found[kind])
            if isinstance(value, Fault):
                return value
            item = replace(item, **{kind: value})
    return item

"""What a row of a year may say of its item besides the usual: form, weight, size, how it is sold.

Knows: the headings under which the workbook (workbook_tables.py) writes these, and how each is
read. Must not know: where cells stand. Invariants: only these very headings are read, so that a
"Size" or a "Weight" of somebody else's table, which may hold anything, costs no row; what the
workbook writes is read as it was; a cell gives fields or a `Fault`.
"""

import re
from collections.abc import Callable
from decimal import Decimal
from itertools import pairwise

from assistant.planning.model import Break
from assistant.planning.year.measures import read_grams, read_size
from assistant.scheduling.countries import country_code
from assistant.scheduling.weeks import Problem
from assistant.sheets.amounts import read_price, read_quantity, says_nothing
from assistant.sheets.cells import Cell, Fault, text_of
from assistant.sheets.fields import LONGEST_TEXT, Fields
from assistant.sheets.when import read_when

BOX = "letter"
MOST_BOXES = 26  # of one month: as many as there are letters
_BREAK = re.compile(r"from ([1-9]\d{0,6}) at (\d{1,7}(?:\.\d+)?)", re.ASCII | re.IGNORECASE)

# Heading in lower case -> field of Row.
EXTRA: dict[str, str] = {
    "box of the month": BOX,
    "form": "form",
    "made in": "made_in",
    "minimum": "minimum",
    "case pack": "case_pack",
    "grams each": "grams",
    "size in mm": "mm",
    "pieces a box": "units",
    "price breaks": "breaks",
    "set-up": "setup",
    "quoted on": "quoted",
}


def plainly(heading: str) -> str:
    """Return a heading as EXTRA has it."""
    return " ".join(heading.split()).casefold()


def read_extra(field: str, cell: Cell) -> Fields | Fault:
    """Read one cell as this field of Row."""
    if isinstance(cell, Fault):
        return cell
    return {} if says_nothing(cell) else _READERS[field](cell)


def _letter(cell: Cell) -> Fields | Fault:
    number = read_quantity(cell)
    if isinstance(number, Fault) or not 1 <= number <= MOST_BOXES:
        said = text_of(cell)[:40]
        return Fault(f"says “{said}”, which is no box of a month; write 1, or 2 for the second")
    return {BOX: "" if number == 1 else chr(ord("a") + number - 1)}


def _form(cell: Cell) -> Fields | Fault:
    text = text_of(cell)
    if len(text) > LONGEST_TEXT:
        return Fault(f"is longer than {LONGEST_TEXT} characters; write a shorter form")
    return {"form": text}


def _made_in(cell: Cell) -> Fields | Fault:
    code = country_code(text_of(cell)[:60])
    if isinstance(code, Problem):
        return Fault(f"says “{text_of(cell)[:40]}”, which is no country; write Germany or DE")
    return {"made_in": code[:2]}


def _pieces(field: str) -> Callable[[Cell], Fields | Fault]:
    def read(cell: Cell) -> Fields | Fault:
        number = read_quantity(cell)
        return number if isinstance(number, Fault) else {field: number}

    return read


def _grams(cell: Cell) -> Fields | Fault:
    grams = read_grams(text_of(cell), "g")
    if grams is None:
        return Fault(f"says “{text_of(cell)[:40]}”, which is no weight; write 180")
    return {"grams": grams}


def _mm(cell: Cell) -> Fields | Fault:
    size = read_size(text_of(cell), "mm")
    if size is None:
        return Fault(f"says “{text_of(cell)[:40]}”, which is no size; write 210 x 148 x 12")
    return {"mm": size}


def _units(cell: Cell) -> Fields | Fault:
    number = read_quantity(cell)
    if isinstance(number, Fault) or not number:
        return Fault(f"says “{text_of(cell)[:40]}”, which is no number of pieces; write 1")
    return {"units": number}


def _breaks(cell: Cell) -> Fields | Fault:
    found = [_BREAK.fullmatch(part.strip()) for part in text_of(cell).split(";")]
    breaks = [Break(int(one[1]), Decimal(one[2])) for one in found if one]
    rising = all(one.quantity < two.quantity for one, two in pairwise(breaks))
    if len(breaks) < len(found) or not rising:
        said = text_of(cell)[:40]
        return Fault(f"says “{said}”, which is no list of prices; write from 500 at 2.90")
    return {"breaks": tuple(breaks)}


def _setup(cell: Cell) -> Fields | Fault:
    price = read_price(cell)
    return price if isinstance(price, Fault) else {"setup": price.amount}


def _quoted(cell: Cell) -> Fields | Fault:
    when = read_when(cell)
    if when is None or when.on is None:
        return Fault(f"says “{text_of(cell)[:40]}”, which is no date; write 15 March 2027")
    return {"quoted": when.on}


_READERS: dict[str, Callable[[Cell], Fields | Fault]] = {
    BOX: _letter,
    "form": _form,
    "made_in": _made_in,
    "minimum": _pieces("minimum"),
    "case_pack": _pieces("case_pack"),
    "grams": _grams,
    "mm": _mm,
    "units": _units,
    "breaks": _breaks,
    "setup": _setup,
    "quoted": _quoted,
}

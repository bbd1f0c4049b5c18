"""Workbooks (.xlsx): their sheets as grids, each cell as its owner sees it.

Knows: openpyxl, and what a workbook can hide. Must not know: what a column means. Invariants:
any bytes give grids or a problem; nothing is unpacked before its size is known; a formula counts
by its saved value, one without a saved value is a `Fault`; a merged range counts for each of its
cells.
"""

import io
import re
import warnings
import zipfile
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any
from xml.etree.ElementTree import iterparse

from assistant.sheets.cells import (
    MAX_BYTES,
    MAX_CELLS,
    MAX_COLUMNS,
    MAX_ROWS,
    Cell,
    Fault,
    Grid,
    Problem,
    cell_name,
    grid,
    is_blank,
    number_cell,
    plain,
)

if TYPE_CHECKING:
    from openpyxl.workbook import Workbook

MAX_PARTS = 2_000
MAX_UNPACKED = 100_000_000  # bytes, all parts
MAX_SHEET_BYTES = 60_000_000  # a sheet: read as a stream
MAX_XML_BYTES = 4_000_000  # any other part that is read: whole, in memory
MAX_SHEETS = 40
MAX_MERGED = 500  # ranges of one sheet
SHOWN_MERGED = 3  # ranges named in the note
TOO_FAR = "…"  # stands for whatever lies beyond the last column that is read
UNSAVED = "holds a formula without a saved value: open and save it in your spreadsheet program"

SHEET_PART = re.compile(r"xl/worksheets/[^/]+\.xml", re.IGNORECASE)
MERGED_TAG = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}mergeCell"
# The sign of money in a number format: [$€-407] or a bare sign outside of brackets.
# Source: ECMA-376, part 1, section 18.8.31.
MONEY_FORMAT = re.compile(r"\[\$([^\]-]+)[^\]]*\]|([£€¥₹$])(?![^\[]*\])")

Sheet = Any  # a read-only sheet of openpyxl's; the published types do not fit it
Place = tuple[int, int]  # row and column, from 0
Range = tuple[int, int, int, int]  # first row, first column, last row, last column, from 0


def read_xlsx(content: bytes, name: str) -> tuple[Grid, ...] | Problem:
    """Read every visible sheet of a workbook. `name` is what the owner calls the file."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            if problem := _too_big(archive, name):
                return problem
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")  # about features that no grid has
                return _sheets(content, archive, name)
    except Exception:  # a damaged workbook can make the parsers below raise anything at all
        return Problem(
            f"{name} looks like a workbook but is damaged, so it cannot be opened. Open it in "
            "your spreadsheet program, save it again under a new name and send that."
        )


def _too_big(archive: zipfile.ZipFile, name: str) -> Problem | None:
    """Refuse by the sizes that the archive declares; unpacking stops at them too."""
    parts = archive.infolist()
    unpacked = sum(part.file_size for part in parts)
    if (
        len(parts) <= MAX_PARTS
        and unpacked <= MAX_UNPACKED
        and all(part.file_size <= _most(part.filename) for part in parts)
    ):
        return None
    return Problem(
        f"{name} unpacks to {len(parts):,} parts of {unpacked / 1_000_000:,.0f} MB, far more than "
        "a year of boxes needs. Copy the part with the boxes into a new workbook and send that."
    )


def _most(part: str) -> int:
    """The most bytes that a part may unpack to."""
    if SHEET_PART.fullmatch(part):
        return MAX_SHEET_BYTES
    return MAX_XML_BYTES if part.lower().endswith((".xml", ".rels")) else MAX_BYTES


def _sheets(content: bytes, archive: zipfile.ZipFile, name: str) -> tuple[Grid, ...] | Problem:
    """Read the sheets in order. One that is too big is left out, unless no other can be read."""
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(content), read_only=True, keep_links=False)
    saved: Workbook | None = None
    grids: list[Grid] = []
    problem: Problem | None = None
    left = MAX_CELLS
    for sheet in [one for one in book.worksheets if one.sheet_state == "visible"][:MAX_SHEETS]:
        rows, formulas = _rows(sheet)
        if formulas:
            saved = saved or load_workbook(
                io.BytesIO(content), read_only=True, keep_links=False, data_only=True
            )
            _fill_in(rows, formulas, saved[sheet.title])
        notes = _spread_merged(rows, _merged(archive, sheet)) if len(rows) <= MAX_ROWS else ()
        title = plain(sheet.title)
        made = grid(title, rows, notes, what=f"The sheet “{title}” of {name}")
        if isinstance(made, Problem):
            problem = problem or made
            continue
        left -= sum(not is_blank(cell) for row in made.rows for cell in row)
        if left < 0:
            break
        grids.append(made)
    return (
        tuple(grids)
        or problem
        or Problem(
            f"{name} is a workbook without a visible sheet. Show the sheet with the boxes, save it "
            "and send it again."
        )
    )


def _rows(sheet: Sheet) -> tuple[list[list[Cell]], set[Place]]:
    """The cells of a sheet, one more row or column than the limits allow; and where its
    formulas are."""
    sheet.reset_dimensions()  # what a sheet says of its own size is not to be relied on
    rows: list[list[Cell]] = []
    formulas: set[Place] = set()
    filled = 0
    for at, line in enumerate(sheet.iter_rows()):
        cells = [_seen(cell) for cell in line[:MAX_COLUMNS]]
        if any(cell.value is not None for cell in line[MAX_COLUMNS:]):
            cells.append(TOO_FAR)
        here = sum(not is_blank(cell) for cell in cells)
        if at >= MAX_ROWS and not here:
            continue
        rows.append(cells)
        formulas.update(
            (at, column) for column, cell in enumerate(line[:MAX_COLUMNS]) if cell.data_type == "f"
        )
        filled += here
        if at >= MAX_ROWS or filled > MAX_CELLS:
            break
    return rows, formulas


def _seen(cell: Any) -> Cell:
    """A cell of openpyxl's as its owner sees it: with the sign of its money, or as a percentage."""
    value = cell.value
    match value:
        case None:
            return ""
        case str():
            return Fault(f"shows {value}") if cell.data_type == "e" else value
        case bool():
            return "yes" if value else "no"
        case datetime():
            return value.date()
        case date():
            return value
        case int() | float():
            return _seen_number(number_cell(value), cell.number_format or "")
        case _:
            return str(value)


def _seen_number(number: Decimal | Fault, number_format: str) -> Cell:
    if isinstance(number, Fault):
        return number
    if "%" in number_format:
        return f"{(number * 100).normalize():f}%"
    from openpyxl.styles.numbers import BUILTIN_FORMATS

    # The built-in formats show the sign of whichever country the owner's computer is set to.
    sign = MONEY_FORMAT.search(number_format)
    if sign is None or number_format in BUILTIN_FORMATS.values():
        return number
    return f"{(sign[1] or sign[2]).strip()} {number:f}"


def _fill_in(rows: list[list[Cell]], formulas: set[Place], saved: Sheet) -> None:
    """Put the saved values of formulas where the formulas are."""
    saved.reset_dimensions()
    last = max(row for row, _ in formulas)
    for at, line in enumerate(saved.iter_rows(max_row=last + 1)):
        for column, cell in enumerate(line[:MAX_COLUMNS]):
            if (at, column) not in formulas:
                continue
            nothing = cell.value is None and cell.data_type != "str"  # "str": a text, left empty
            rows[at][column] = Fault(UNSAVED) if nothing else _seen(cell)


# --- merged cells ---------------------------------------------------------------------------


def _merged(archive: zipfile.ZipFile, sheet: Sheet) -> list[Range]:
    """The merged ranges of a sheet. openpyxl leaves them out of what it reads as a stream, so the
    sheet's part is looked through once more; only openpyxl knows which part that is."""
    from openpyxl.utils.cell import range_boundaries

    ranges: list[Range] = []
    with archive.open(vars(sheet)["_worksheet_path"]) as part:
        for _, element in iterparse(part):
            if element.tag == MERGED_TAG and len(ranges) < MAX_MERGED:
                left, top, right, bottom = range_boundaries(element.get("ref", ""))
                if left and top and right and bottom:
                    ranges.append((top - 1, left - 1, bottom - 1, right - 1))
            element.clear()
    return ranges


def _spread_merged(rows: list[list[Cell]], ranges: list[Range]) -> tuple[str, ...]:
    """Let the value of each merged range count for all its cells; return a note that says so."""
    names = []
    budget = MAX_CELLS
    for top, left, bottom, right in ranges:
        bottom, right = min(bottom, len(rows) - 1), min(right, MAX_COLUMNS - 1)
        value = rows[top][left] if top <= bottom and left < len(rows[top]) else ""
        budget -= (bottom - top + 1) * (right - left + 1)
        if is_blank(value) or budget < 0:
            continue
        for row in rows[top : bottom + 1]:
            row.extend([""] * (right + 1 - len(row)))
            row[left : right + 1] = [value] * (right + 1 - left)
        names.append(f"{cell_name(top, left)}:{cell_name(bottom, right)}")
    if not names:
        return ()
    more = f" and {len(names) - SHOWN_MERGED} more" if len(names) > SHOWN_MERGED else ""
    shown = ", ".join(names[:SHOWN_MERGED])
    return (f"Merged cells ({shown}{more}) count for each of their cells.",)

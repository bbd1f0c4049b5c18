"""Cells and grids: what every kind of table is turned into before anyone looks for a year in it.

Knows: rows and columns, and how a spreadsheet names them. Must not know: file formats, what a
column means. Invariants: a grid is a full rectangle without blank last rows or columns; row 0 of
a grid is row 1 of the sheet; text stands exactly as in the file; a number is a `Decimal` made
from its shortest text; a date is a real date; a cell that cannot be read is a `Fault`.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.model import Record

MAX_BYTES = 10_000_000  # of a file as sent
MAX_ROWS = 5_000
MAX_COLUMNS = 200
MAX_CELLS = 100_000  # that are not blank, over all sheets of a file

# Control characters that are no white space, and those that turn the direction of writing.
# Source: Unicode Standard Annex 9, section 2 (directional formatting characters).
STEERING = dict.fromkeys(
    (
        *(code for code in (*range(32), *range(127, 160)) if not chr(code).isspace()),
        *range(0x202A, 0x202F),
        *range(0x2066, 0x206A),
    )
)


class Problem(Record):
    """Why a file was not read: what was understood, what is wrong, and a way that works."""

    text: str


class Fault(Record):
    """Why one cell was not read, as half a sentence that follows the cell's name."""

    why: str


Cell = str | Decimal | date | Fault


class Grid(Record):
    """One sheet. `name` is "" for a text file. `turned` says that rows and columns are swapped."""

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    notes: tuple[str, ...] = ()
    turned: bool = False


def grid(
    name: str, rows: Iterable[Sequence[Cell]], notes: tuple[str, ...] = (), what: str = "the file"
) -> Grid | Problem:
    """Make a grid of ragged rows: blank last rows and columns fall away, short rows are filled.

    `what` names the sheet to its owner in a problem: a grid beyond the limits is refused, for
    no year of boxes is that big.
    """
    kept = [tuple(row) for row in rows]
    used = [[at for at, cell in enumerate(row) if not is_blank(cell)] for row in kept]
    height = max((at + 1 for at, row in enumerate(used) if row), default=0)
    width = max((row[-1] + 1 for row in used if row), default=0)
    for size, most, of_what in (
        (height, MAX_ROWS, "rows"),
        (width, MAX_COLUMNS, "columns"),
        (sum(map(len, used)), MAX_CELLS, "filled cells"),
    ):
        if size > most:
            return Problem(
                f"{what} has more than {most:,} {of_what}; a year of boxes needs far fewer. "
                "Copy the part with the boxes into a sheet of its own and send that."
            )
    full = tuple((*row, *("",) * (width - len(row)))[:width] for row in kept[:height])
    return Grid(name=name, rows=full, notes=notes)


def is_blank(cell: Cell) -> bool:
    """Say whether a cell holds nothing but white space."""
    return isinstance(cell, str) and not cell.strip()


def turn(grid: Grid) -> Grid:
    """Swap rows and columns. Cells keep the names that they have in the file."""
    return replace(grid, rows=tuple(zip(*grid.rows, strict=True)), turned=not grid.turned)


def cell_name(row: int, column: int) -> str:
    """Name a cell as spreadsheets do, from indices that begin at 0: (3, 3) is D4."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return f"{letters}{row + 1}"


def where(grid: Grid, row: int, column: int) -> str:
    """Return "cell D4", whichever way the grid is turned."""
    return f"cell {cell_name(column, row) if grid.turned else cell_name(row, column)}"


def line_name(grid: Grid, row: int) -> str:
    """Return "row 7", or "column G" of a turned grid."""
    return f"column {cell_name(0, row)[:-1]}" if grid.turned else f"row {row + 1}"


def text_of(cell: Cell) -> str:
    """Return a cell as one line of plain text: single spaces, no control characters.

    A date is written 2027-03-15. A `Fault` has no text.
    """
    if isinstance(cell, str):
        return plain(cell)
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    return cell.isoformat() if isinstance(cell, date) else ""


def plain(text: str) -> str:
    """Return text on one line, without the characters that steer instead of being read."""
    return " ".join(text.translate(STEERING).split())


def number_cell(value: int | float) -> Decimal | Fault:
    """Return a number of a workbook by its shortest text: 3.1, not 3.1000000000000000888."""
    number = Decimal(repr(value))
    if not number.is_finite():
        return Fault("holds no real number")
    whole = number.to_integral_value()
    return whole if whole == number else number

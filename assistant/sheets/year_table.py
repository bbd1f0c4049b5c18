"""A year of boxes out of a file: which sheet it stands in, which way it lies, and its rows.

Knows: the ways in which a year can be laid out, and which of them to try first. Must not know:
the plan it will be laid over, what today is. Invariants: any bytes give a year or a problem;
of several sheets exactly one is read, or the two of our own workbook (workbook_tables.py) that hold
what a year is made of, and the others are named.
"""

from collections.abc import Sequence

from msgspec.structs import replace

from assistant.sheets.cells import Grid, Problem, plain, text_of, turn
from assistant.sheets.fields import ReadYear as ReadYear  # what this room hands out
from assistant.sheets.fields import listed
from assistant.sheets.grid import LONGEST_NAME, read_grids
from assistant.sheets.months_across import Across, find_months, read_across
from assistant.sheets.row_per_item import LAYOUT as DOWN
from assistant.sheets.row_per_item import Table, find_table, read_rows
from assistant.sheets.when import year_in

OWN = ("items", "year")  # sheets of our own workbook that are read together, in this order
EXAMPLE = "Month, Theme, Item, Supplier, Unit cost, Lead time, Ship date"


def read_file(content: bytes, name: str) -> ReadYear | Problem:
    """Read a CSV or XLSX file as a year of boxes.

    `content` is the whole file (at most 10 MB), `name` what the owner calls it. The rows are in
    the order of the file; a month without a year has none, a ship date without a year stands in
    the year `dating.NO_YEAR`. The sheet that gives the most rows is the one that is read.
    """
    grids = read_grids(content, name)
    return grids if isinstance(grids, Problem) else read_year(grids, name)


def read_year(grids: Sequence[Grid], name: str) -> ReadYear | Problem:
    """Read the one of a file's sheets that gives the most rows as a year of boxes; of a workbook
    that has the sheets of ours, these."""
    own = read_own(grids, name)
    if own is not None:
        return own
    years = [(grid, read_grid(grid, name)) for grid in grids]
    found = [(grid, year) for grid, year in years if isinstance(year, ReadYear)]
    if not found:
        return next(problem for _, problem in years if isinstance(problem, Problem))
    grid, best = max(found, key=lambda pair: (len(pair[1].rows), -len(pair[1].refused)))
    others = [f"“{other.name}”" for other in grids if other is not grid and other.rows]
    if not others:
        return best
    note = f"Read the sheet “{grid.name}”, not {listed(others)}."
    return replace(best, notes=(note, *best.notes))


def read_own(grids: Sequence[Grid], name: str) -> ReadYear | None:
    """Read the sheets of our own workbook together, the year's after the items'; None where they
    are not there. Each place is told with its sheet."""
    wanted = [grid for grid in grids if grid.name.casefold() in OWN]
    years = ((grid, read_grid(grid, name)) for grid in wanted)
    named = {
        grid.name.casefold(): (grid, year)
        for grid, year in years
        if isinstance(year, ReadYear) and year.layout == DOWN
    }
    if len(named) < len(OWN):
        return None
    parts = [named[name] for name in OWN]
    read = [grid for grid, _ in parts]
    others = [f"“{other.name}”" for other in grids if other not in read and other.rows]
    told = f", not {listed(others)}" if others else ""
    note = f"Read the sheets {listed(f'“{grid.name}”' for grid in read)}{told}."
    rows = [replace(row, where=_at(grid, row.where)) for grid, year in parts for row in year.rows]
    refused = [
        replace(one, where=_at(grid, one.where)) for grid, year in parts for one in year.refused
    ]
    notes = [f"{grid.name}: {one}" for grid, year in parts for one in year.notes]
    return ReadYear(tuple(rows), tuple(refused), (note, *notes), DOWN)


def _at(grid: Grid, where: str) -> str:
    return f"{grid.name}, {where}"


def read_grid(grid: Grid, name: str) -> ReadYear | Problem:
    """Read one grid as a year of boxes, whichever way it lies."""
    table = find_table(grid)
    across = find_months(grid)
    year: ReadYear | None = None
    if table is not None and (table.sure or across is None):
        year = _down(grid, table, name)
    if across is not None and (year is None or not year.rows):
        start = year_in(_titles(grid, across.at, name))
        year = _better(year, read_across(grid, across, start))
    if year is None:
        return _no_months(grid, name)
    if not year.rows and not year.refused:
        return Problem(
            f"{_what(grid, name)} has months but nothing beside them. Write a theme or an item "
            f"for each month, under headings such as: {EXAMPLE}"
        )
    return replace(year, notes=(*grid.notes, *year.notes))


def _down(grid: Grid, table: Table, name: str) -> ReadYear:
    """Read a table with headings across the top: a row for each item, or for each whole box."""
    start = year_in(_titles(grid, table.top, name))
    if not table.several:
        return read_rows(grid, table, start)
    month = table.columns.get("month")
    at = table.columns["ship_on"] if month is None else month
    lines = tuple(column for column in range(len(grid.rows[0])) if column != month)
    return read_across(turn(grid), Across(at, (table.top,), lines), start)


def _better(one: ReadYear | None, other: ReadYear) -> ReadYear:
    return one if one is not None and len(one.rows) >= len(other.rows) else other


def _titles(grid: Grid, top: int, name: str) -> list[str]:
    """The texts that may name the year: those above the table, names of sheet and file."""
    above = [text_of(cell) for row in grid.rows[:top] for cell in row if isinstance(cell, str)]
    return [*above, grid.name, name]


def _what(grid: Grid, name: str) -> str:
    called = plain(name)[:LONGEST_NAME] or "The file"
    return f"The sheet “{grid.name}” of {called}" if grid.name else called


def _no_months(grid: Grid, name: str) -> Problem:
    """Say what was seen instead of months, and headings that work."""
    texts = ([text_of(cell) for cell in row] for row in grid.rows)
    words = ([text for text in row if any(mark.isalpha() for mark in text)] for row in texts)
    seen = [f"“{text[:20]}”" for text in max(words, key=len, default=[])]
    headings = f"I see the headings {listed(seen)}" if seen else "It is a table"
    return Problem(
        f"{_what(grid, name)} names no months. {headings}, but no column or row of months such as "
        f"March or March 2027. Headings that work: {EXAMPLE}"
    )

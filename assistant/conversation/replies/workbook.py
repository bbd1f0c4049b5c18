"""Sentences about the workbook.

Knows: what a table holds. Must not know: how a file is written. Invariants: a file is said to be
what it is, and what comes back from it when it is sent again.
"""

from collections.abc import Iterable
from datetime import date

from assistant.conversation.replies.plain import listed, plural
from assistant.sheets import writing
from assistant.sheets.workbook_tables import Sheet, Table

NO_PLAN = (
    "Nothing is planned yet, so there is nothing to export. To begin: March theme rain and roots"
)
SEND_IT_BACK = (
    "Change it and send it back: I read Year and Items, and show what would change before anything "
    "does."
)
ITS_SHIP_DATE = "To fix a ship date, write it under Ship date (fixed)."
SEND_CSV_BACK = "Change it and send it back: I show what would change before anything does."
FOR_READING = "It is for reading: sent back to me, it changes nothing."
WHAT: dict[Sheet, str] = {"orders": "purchase orders", "cash": "the cash"}
COUNTED: dict[Sheet, tuple[str, str]] = {
    "year": ("box", "boxes"),
    "items": ("item", ""),
    "suppliers": ("supplier", ""),
    "orders": ("line of an order", "lines of orders"),
    "cash": ("month of cash", "months of cash"),
}


def title(year: int | None) -> str:
    """The title of a workbook."""
    return "The workbook" if year is None else f"The workbook {year}"


def csv_title(sheet: Sheet, year: int | None) -> str:
    """The title of a sheet as CSV."""
    return f"{sheet.capitalize()} as CSV" if year is None else f"{sheet.capitalize()} {year} as CSV"


def holds(tables: Iterable[Table]) -> str:
    """Say how much stands in tables: "3 boxes, 12 items and 2 suppliers."."""
    return f"{listed([plural(len(one.rows), *COUNTED[one.sheet]) for one in tables if one.rows])}."


def nothing_in(sheet: Sheet) -> str:
    """Say that a sheet would be empty."""
    return f"There is no {COUNTED[sheet][0]} yet, so that file would be empty."


def no_boxes(year: int, years: Iterable[int]) -> str:
    """Say that nothing is planned for a year, and for which years something is."""
    known = listed([str(one) for one in years])
    return f"No box is planned for {year}. The plan has boxes of {known}."


def file_name(shop: str, what: str, year: int | None, on: date, ending: str) -> str:
    """Name a file by shop, what it holds, the year where it is of one, and its day."""
    return writing.file_name(shop, what if year is None else f"{what} {year}", on, ending)

"""What the buttons of the workbook say; invariants as in the package."""

from assistant.sheets.workbook_tables import Sheet


def workbook(year: int | None = None) -> str:
    """Ask for the workbook, of all boxes or those of one year."""
    return "workbook" if year is None else f"workbook {year:04}"


def csv(sheet: Sheet, year: int | None = None) -> str:
    """Ask for one sheet of it as CSV."""
    return f"{sheet} as csv" if year is None else f"{sheet} as csv {year:04}"

"""The plan as a workbook (.xlsx): real dates and numbers, money with its sign, frozen headings.

Knows: openpyxl, how a value is written into a cell. Must not know: what a column means. Invariants:
the same tables give the same bytes; text is always written as text, and one that looks like a
formula stays text when its cell is edited (OWASP, "CSV Injection"); no cell holds a formula.
"""

import io
import re
import zipfile
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from assistant.planning.accounts.money import DIGITS
from assistant.sheets.blocks import LETTER, Paper
from assistant.sheets.csv_out import guarded
from assistant.sheets.workbook_tables import Money, Month, Table, Value
from assistant.sheets.writing import SIGNS

if TYPE_CHECKING:
    from openpyxl.cell.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

DATE = "ddd d mmm yyyy"
MONTH = "mmmm yyyy"
LETTER_PAPER, A4_PAPER = 1, 9  # source: ECMA-376, part 1, section 18.3.1.63
HEADING_FILL = "E8E8E8"  # grey: good in black and white
NAMED_BY = {
    "items": "Item",
    "orders": "Item",
}  # the last column that stays in sight; else the first
SMALLEST_PLACES = 2

_MODIFIED = re.compile(rb"(<dcterms:(created|modified)[^>]*>)[^<]*")


def workbook(tables: Sequence[Table], on: date, paper: Paper, title: str = "") -> bytes:
    """Write tables as the sheets of a workbook, as of a day; printed, each is as wide as a page of
    this paper lying on its side."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.title = title
    book.properties.creator = "Twelvefold"
    for table in tables:
        sheet = book.create_sheet(table.name)
        _fill(sheet, table)
        _dress(sheet, table, paper)
    out = io.BytesIO()
    book.save(out)
    return _still(out.getvalue(), on)


def _fill(sheet: "Worksheet", table: Table) -> None:
    from openpyxl.styles import Alignment, Font, PatternFill

    bold, fill = Font(bold=True), PatternFill("solid", fgColor=HEADING_FILL)
    wrapped = Alignment(wrap_text=True, vertical="top")
    for at, column in enumerate(table.columns, start=1):
        cell: Any = sheet.cell(1, at, column.heading)
        cell.font, cell.fill, cell.alignment = bold, fill, wrapped
    for row, values in enumerate(table.rows, start=2):
        for at, value in enumerate(values, start=1):
            if value not in (None, ""):
                _write(sheet.cell(row, at), value)


def _write(cell: "Cell | MergedCell", value: Value) -> None:
    match value:
        case Money(amount, currency):
            cell.value, cell.number_format = amount, money_format(amount, currency)
        case Month(year, month):
            cell.value, cell.number_format = date(year, month, 1), MONTH
        case str():
            cell.value, cell.data_type = value, "s"
            if guarded(value) != value:
                cell.quotePrefix = True
        case date():
            cell.value, cell.number_format = value, DATE
        case _:
            cell.value = value


def money_format(amount: Decimal, currency: str) -> str:
    """Return the number format of an amount: its sign or code, and as many places as its currency
    has or, where it is finer, as it needs."""
    fine = -int(amount.normalize().as_tuple().exponent)
    places = max(DIGITS.get(currency, SMALLEST_PLACES), fine)
    number = f"#,##0.{'0' * places}" if places else "#,##0"
    sign = SIGNS.get(currency)
    unsure = sign is None or sign == "$"  # a sign that several currencies share
    return f"[${currency}] {number}" if unsure else f"[${sign}]{number}"


def _dress(sheet: "Worksheet", table: Table, paper: Paper) -> None:
    """Widths, frozen headings, a filter, and how the sheet is printed."""
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.properties import PageSetupProperties

    for at, column in enumerate(table.columns, start=1):
        sheet.column_dimensions[get_column_letter(at)].width = float(column.width)
    headings = [column.heading for column in table.columns]
    named = headings.index(NAMED_BY.get(table.sheet, headings[0]))
    sheet.freeze_panes = f"{get_column_letter(named + 2)}2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(table.columns))}{len(table.rows) + 1}"
    sheet.print_title_rows = "1:1"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = LETTER_PAPER if paper == LETTER else A4_PAPER
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    foot: Any = sheet.oddFooter
    foot.left.text, foot.right.text = "&A", "&P / &N"


def _still(content: bytes, on: date) -> bytes:
    """The workbook with one day in place of the times at which its parts were written."""
    out = io.BytesIO()
    stamp = f"{on.isoformat()}T00:00:00Z".encode()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as made,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as still,
    ):
        for part in made.infolist():
            data = made.read(part)
            if part.filename == "docProps/core.xml":
                data = _MODIFIED.sub(rb"\g<1>" + stamp, data)
            info = zipfile.ZipInfo(part.filename, (on.year, on.month, on.day, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            still.writestr(info, data)
    return out.getvalue()

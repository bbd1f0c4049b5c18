"""Tables as CSV, as RFC 4180 has it: commas, CRLF, quotation marks where they must be.

Knows: how a value is written as text. Must not know: what a column means. Invariants: dates are
written 2027-03-15, months 2027-03, numbers with a point and without signs of money; text from
outside never begins a formula.

Policy for formulas (OWASP, "CSV Injection"): a cell of text that begins with = + - @, a tab or a
line break gets an apostrophe before it, and so does one that begins with apostrophes and then one
of these; the import (csv_file.py) takes exactly one off again, so that nothing is changed by a
round trip. Numbers are written by us and never guarded: -12.50 stays a number.

A file begins with a byte order mark, by which spreadsheet programs know UTF-8.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.sheets.csv_file import LIVE
from assistant.sheets.workbook_tables import Money, Month, Table, Value

BYTE_ORDER_MARK = "\ufeff"


def csv_out(table: Table) -> bytes:
    """Write a table as the bytes of a CSV file; the headings are its first row."""
    headings = [column.heading for column in table.columns]
    rows = ([_written(value) for value in row] for row in table.rows)
    return (BYTE_ORDER_MARK + rfc4180([headings, *rows])).encode()


def rfc4180(rows: Iterable[Sequence[str]]) -> str:
    """Write rows of text as they are: RFC 4180, section 2."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


def guarded(text: str) -> str:
    """Return text as a cell that no spreadsheet program takes for a formula."""
    return f"'{text}" if LIVE.match(text) else text


def _written(value: Value) -> str:
    match value:
        case None:
            return ""
        case Money(amount, _):
            return f"{amount:f}"
        case Month(year, month):
            return f"{year:04}-{month:02}"
        case str():
            return guarded(value)
        case Decimal():
            return f"{value:f}"
        case date():
            return value.isoformat()
        case _:
            return str(value)

"""Workbooks for the tests, written with openpyxl. Everything in them is invented."""

import io
import zipfile
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

HEADINGS = (
    "Month",
    "Theme",
    "Item",
    "Type",
    "Supplier",
    "Unit cost",
    "Lead time",
    "Ship date",
)


def book(
    rows: Iterable[Sequence[Any]],
    dress: Callable[[Worksheet], object] | None = None,
    title: str = "Plan",
    **more: Iterable[Sequence[Any]],
) -> bytes:
    """A workbook of one sheet, changed by `dress` at the end; `more` are further sheets."""
    made = Workbook()
    sheet = made.worksheets[0]
    sheet.title = title
    for row in rows:
        sheet.append(list(row))
    for name, others in more.items():
        other = made.create_sheet(name)
        for row in others:
            other.append(list(row))
    if dress is not None:
        dress(sheet)
    return saved(made)


def saved(made: Workbook) -> bytes:
    out = io.BytesIO()
    made.save(out)
    return out.getvalue()


def with_part(content: bytes, part: str, change: Callable[[bytes], bytes]) -> bytes:
    """The workbook with one of its parts rewritten."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(content)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            data = old.read(name)
            new.writestr(name, change(data) if name == part else data)
    return out.getvalue()


def archive(**parts: bytes) -> bytes:
    """An archive of parts; two underscores in a name stand for a slash, one for a full stop."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, data in parts.items():
            made.writestr(name.replace("__", "/").replace("_", "."), data)
    return out.getvalue()

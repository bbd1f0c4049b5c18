"""Text files of cells: commas, semicolons, tabs or bars between them (RFC 4180 and its cousins).

Knows: encodings, separators, quotation marks. Must not know: what a column means. Invariant: any
bytes give a grid or a problem, in one pass over at most `cells.MAX_BYTES` of them.
"""

import csv
import io
import re
from collections import Counter
from typing import Literal

from assistant.sheets.cells import MAX_COLUMNS, MAX_ROWS, Cell, Fault, Grid, Problem, grid

BYTE_ORDER_MARKS: tuple[tuple[bytes, str], ...] = (
    (b"\xef\xbb\xbf", "utf-8-sig"),
    (b"\xff\xfe\x00\x00", "utf-32"),
    (b"\x00\x00\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
SEPARATORS = ",;\t|"
SAMPLE_ROWS = 100
SAMPLE_CHARACTERS = 100_000

# First characters with which a cell is taken for a formula by spreadsheet programs, so that an
# exporter may have put an apostrophe before them. Source: OWASP, "CSV Injection".
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")
LIVE = re.compile(f"'*[{re.escape(''.join(FORMULA_STARTS))}]")  # one that was guarded, or must be
QUOTED_TEXT = re.compile(r'="((?:[^"]|"")*)"')  # ="00123" keeps zeros; it is text


def read_csv(content: bytes, name: str) -> Grid | Problem:
    """Read a text file. `name` is what the owner calls it."""
    text = _decoded(content)
    if text is None:
        return Problem(
            f"{name} is neither a spreadsheet nor text, so there is nothing to read in it. "
            "Save your table as .xlsx or .csv and send that."
        )
    separator, text = _separator(text)
    try:
        rows, notes = _rows(text, separator)
    except csv.Error:
        return Problem(
            f"{name} is text, but one of its cells is longer than a book chapter. Open it in your "
            "spreadsheet program, save it as .xlsx and send that."
        )
    return grid("", rows, notes, what=name)


def _decoded(content: bytes) -> str | None:
    """The text of a file, or None when it is no text."""
    for mark, encoding in BYTE_ORDER_MARKS:
        if content.startswith(mark):
            return _if_text(content.decode(encoding, errors="replace"))
    sample = content[:1000]
    for encoding, zeros in (("utf-16-le", sample[1::2]), ("utf-16-be", sample[::2])):
        if zeros and zeros.count(0) > len(zeros) * 0.6:
            return _if_text(content.decode(encoding, errors="replace"))
    for encoding in ("utf-8", "cp1252"):
        try:
            return _if_text(content.decode(encoding))
        except UnicodeDecodeError:
            continue
    return None


def _if_text(text: str) -> str | None:
    """The text, unless so many of its characters are no writing that it is something else."""
    odd = len(re.findall(r"[\x00-\x08\x0e-\x1f\x7f\ufffd]", text))
    return text if "\x00" not in text and odd * 100 <= len(text) else None


# A whole field in quotation marks, whatever the separator.
_QUOTED = re.compile(r'(?<![^,;|\t\r\n])"(?:[^"]|"")*"(?=[,;|\t\r\n]|$)')


def _separator(text: str) -> tuple[str, str]:
    """The separator, and the text without the line that may name it."""
    if named := re.match(r"sep=([,;|\t:~^])\r?\n", text):
        return named[1], text[named.end() :]
    sample = _QUOTED.sub('""', text[:SAMPLE_CHARACTERS])  # what stands in quotes separates nothing
    return max(SEPARATORS, key=lambda one: _evenness(sample, one)), text


def _evenness(sample: str, separator: str) -> int:
    """How well a separator cuts a sample: cells in rows of the most usual width above one."""
    widths: Counter[int] = Counter()
    try:
        for row in csv.reader(io.StringIO(sample, newline=""), delimiter=separator):
            if len(row) > 1:
                widths[len(row)] += 1
            if widths.total() >= SAMPLE_ROWS:
                break
    except csv.Error:
        return 0
    return max((width * rows for width, rows in widths.items()), default=0)


def _rows(text: str, separator: str) -> tuple[list[list[Cell]], tuple[str, ...]]:
    """The rows. Where a quotation mark is opened and never closed, quotation marks are letters."""
    rows = _split(text, separator, csv.QUOTE_MINIMAL)
    swallowed = rows and rows[-1] and text.count('"') % 2 and len(rows[-1][-1].splitlines()) > 1
    if not swallowed:
        return [[_cell(text) for text in row] for row in rows], ()
    note = "A quotation mark is opened and never closed: quotation marks were read as letters."
    return [[_cell(text) for text in row] for row in _split(text, separator, csv.QUOTE_NONE)], (
        note,
    )


def _split(text: str, separator: str, quoting: Literal[0, 3]) -> list[list[str]]:
    """The rows as far as the limits: one filled row too many is enough to refuse a file."""
    rows: list[list[str]] = []
    lines = io.StringIO(text, newline="")
    for row in csv.reader(lines, delimiter=separator, quoting=quoting):
        if not any(row[MAX_COLUMNS:]):
            del row[MAX_COLUMNS:]
        if len(rows) < MAX_ROWS:
            rows.append(row)
        elif any(cell.strip() for cell in row):
            return [*rows, row]
    return rows


def _cell(text: str) -> Cell:
    """A cell as meant: text stays as it stands; a formula has no value in a text file."""
    if text.startswith("'") and LIVE.match(text):
        return text[1:]
    if quoted := QUOTED_TEXT.fullmatch(text):
        return quoted[1].replace('""', '"')
    if text.startswith("="):
        return Fault("holds a formula instead of its value: write the value itself")
    return text

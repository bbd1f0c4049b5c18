"""Opening a file: from the bytes that were sent to grids of cells, or the reason why not.

Knows: what the first bytes of a file say about its kind. Must not know: what a column means.
Invariants: any bytes under any name give grids or a problem, never an exception; what a file is
called decides nothing, only what is in it.
"""

import io
import zipfile

from assistant.sheets.cells import MAX_BYTES, Grid, Problem, plain
from assistant.sheets.csv_file import read_csv
from assistant.sheets.xlsx_file import read_xlsx

LONGEST_NAME = 80  # characters of a file's name that are shown
SEND_INSTEAD = "Save the table as .xlsx or .csv and send that."
OLD_CONTAINER = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
ENCRYPTED = "EncryptedPackage".encode("utf-16-le")  # source: [MS-OFFCRYPTO], section 2.3.4

# First bytes -> what the file is. Values from memory, except ZIP and PDF: see their standards.
KINDS: tuple[tuple[bytes, str], ...] = (
    (b"%PDF", "a PDF, which shows a table but does not hold one"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a packed file (.gz)"),
    (b"7z\xbc\xaf", "a packed file (.7z)"),
    (b"Rar!", "a packed file (.rar)"),
    (b"{\\rtf", "a text document (.rtf)"),
    (b"<html", "a web page, whatever its name says"),
    (b"<!doc", "a web page, whatever its name says"),
    (b"<?xml", "an XML file"),
)

# A part inside an archive -> what the archive is.
ARCHIVES: tuple[tuple[str, str], ...] = (
    ("xl/workbook.bin", "a binary workbook (.xlsb)"),
    ("content.xml", "an OpenDocument file"),
    ("word/document.xml", "a text document (.docx)"),
    ("ppt/presentation.xml", "a set of slides (.pptx)"),
    ("Index/Document.iwa", "a table of another program's own kind (.numbers)"),
)


def read_grids(content: bytes, name: str) -> tuple[Grid, ...] | Problem:
    """Read a CSV or XLSX file into its grids, one for each sheet.

    `content` is the whole file, `name` what the owner calls it. At most 10 MB, and for each
    sheet 5,000 rows, 200 columns and 100,000 filled cells (see `cells`).
    """
    called = plain(name)[:LONGEST_NAME] or "The file"
    if not content.strip():
        return Problem(f"{called} is empty: there is nothing to read in it. {SEND_INSTEAD}")
    if len(content) > MAX_BYTES:
        return Problem(
            f"{called} is {-(-len(content) // 1_000_000):,} MB; I read files of up to "
            f"{MAX_BYTES // 1_000_000} MB. Copy the part with the boxes into a new file and send "
            "that."
        )
    if content.startswith(OLD_CONTAINER):
        return _old_container(content, called)
    if content.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        kind = _kind_of_archive(content)
        return _instead(called, kind) if kind else read_xlsx(content, called)
    start = content.lstrip(b"\xef\xbb\xbf\r\n\t ")[:8].lower()
    for mark, kind in KINDS:
        if start.startswith(mark.lower()):
            return _instead(called, kind)
    grid = read_csv(content, called)
    return grid if isinstance(grid, Problem) else (grid,)


def _instead(called: str, kind: str) -> Problem:
    return Problem(f"{called} is {kind}. I read .xlsx and .csv. {SEND_INSTEAD}")


def _old_container(content: bytes, called: str) -> Problem:
    """The container of older programs: a locked workbook is one too."""
    if ENCRYPTED in content:
        return Problem(
            f"{called} is locked with a password, so nothing in it can be read. Open it, take the "
            "password off, save it and send it again."
        )
    return _instead(called, "in the older workbook format (.xls)")


def _kind_of_archive(content: bytes) -> str:
    """What an archive is when it is no workbook; "" when it may be one."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = set(archive.namelist())
    except Exception:  # damaged: the reader of workbooks says so
        return ""
    if "xl/workbook.bin" not in parts and any(part.startswith("xl/") for part in parts):
        return ""
    return next((kind for part, kind in ARCHIVES if part in parts), "an archive without a workbook")

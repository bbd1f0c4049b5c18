"""Opening files: what text files and workbooks hold, and what is refused with a reason."""

import random
from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

from assistant.sheets.cells import MAX_BYTES, Cell, Fault, Grid, Problem, cell_name, turn, where
from assistant.sheets.csv_file import FORMULA_STARTS
from assistant.sheets.grid import read_grids
from tests.sheets.books import archive, book, with_part


def only(content: bytes | str) -> Grid:
    (grid,) = sheets(content)
    return grid


def sheets(content: bytes | str) -> Sequence[Grid]:
    grids = read_grids(content.encode() if isinstance(content, str) else content, "plan")
    assert not isinstance(grids, Problem), grids
    return grids


def refused(content: bytes) -> str:
    problem = read_grids(content, "plan.xlsx")
    assert isinstance(problem, Problem)
    return problem.text


# --- text files -----------------------------------------------------------------------------

VECTORS = [  # RFC 4180, section 2; \r\n are the bytes CR LF
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
    ("aaa, e ,ccc", [["aaa", " e ", "ccc"]]),
]


@pytest.mark.parametrize(("text", "rows"), VECTORS)
def test_comma_separated_text(text: str, rows: list[list[str]]) -> None:
    assert [list(row) for row in only(text).rows] == rows


TABLE = [["Month", "Item", "Cost"], ["March", "crêpe paper", "3,10 €"], ["April", "moss", "2,00 €"]]


@pytest.mark.parametrize(
    "encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"]
)
@pytest.mark.parametrize("separator", [";", "\t", "|"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_encodings_separators_line_ends(encoding: str, separator: str, line_end: str) -> None:
    text = line_end.join(separator.join(row) for row in TABLE)
    assert [list(row) for row in only(text.encode(encoding)).rows] == TABLE


def test_a_line_that_names_the_separator_is_no_row() -> None:
    assert only("sep=;\r\na;b,c\r\nd;e").rows == (("a", "b,c"), ("d", "e"))


def test_ragged_rows_are_filled_and_blank_edges_fall_away() -> None:
    grid = only("\na,b,,\nc\n,,\nd,e,f,\n,,,\n")
    assert grid.rows == (
        ("", "", ""),
        ("a", "b", ""),
        ("c", "", ""),
        ("", "", ""),
        ("d", "e", "f"),
    )


def test_a_quotation_mark_that_is_never_closed_swallows_nothing() -> None:
    grid = only('month,item\nMarch,"5 inch pencil\nApril,moss\nMay,fern\n')
    assert grid.rows[2] == ("April", "moss")
    assert grid.rows[1][1] == '"5 inch pencil'
    assert "quotation mark" in grid.notes[0]


def test_inch_marks_are_letters() -> None:
    assert only('item,cost\n5" pencil,3\nmoss,2\n').rows[1] == ('5" pencil', "3")


@pytest.mark.parametrize("start", FORMULA_STARTS)
def test_a_dangerous_start_is_text_and_loses_the_apostrophe_of_an_exporter(start: str) -> None:
    """OWASP, "CSV Injection": the first characters with which a cell becomes a formula."""
    (row,) = only(f'a,"\'{start}1",c\r\n'.encode()).rows
    assert row[1] == f"{start}1"


def test_formulas_in_text() -> None:
    (row,) = only('="00123",=1+2,-3.10,@Aldermoor\n').rows
    assert row[0] == "00123"
    assert isinstance(row[1], Fault)
    assert row[2:] == ("-3.10", "@Aldermoor")


@given(
    st.lists(
        st.lists(st.text(st.characters(exclude_categories=["Cc", "Cs", "Cn"])), min_size=2),
        min_size=1,
        max_size=8,
    )
)
@example([["", "|"], ["", "|", "|"]])
def test_what_is_written_by_the_rules_is_read_back(rows: list[list[str]]) -> None:
    text = "".join(
        ",".join('"' + cell.replace('"', '""') + '"' for cell in row) + "\r\n" for row in rows
    )
    grids = read_grids(text.encode("utf-8-sig"), "plan.csv")
    if not any(cell.strip() for row in rows for cell in row):
        return
    assert not isinstance(grids, Problem)
    for row, read in zip(rows, grids[0].rows, strict=False):
        for cell, got in zip(row, read, strict=False):
            assert got == cell or cell.startswith(("=", "'"))


# --- workbooks ------------------------------------------------------------------------------


def test_cells_as_their_owner_sees_them() -> None:
    def dress(sheet: Worksheet) -> None:
        for at, shown in enumerate(
            ("General", '"£"#,##0.00', "#,##0.00\\ [$€-407]", "0%", '"$"#,##0.00_);("$"#,##0.00)'),
            start=1,
        ):
            cell = sheet.cell(2, at, 0.15 if shown == "0%" else 3.1)
            cell.number_format = shown

    row = only(book([("a",)], dress)).rows[1]
    # the last is a built-in format, shown with the sign of the owner's country
    assert row == (Decimal("3.1"), "£ 3.1", "€ 3.1", "15%", Decimal("3.1"))


def test_kinds_of_cells() -> None:
    moment = datetime(2027, 3, 15, 9, 30)  # noqa: DTZ001 - a workbook knows no zones
    (row,) = only(book([(date(2027, 3, 15), moment, 450, 450.0, 3.1, True, " a ")])).rows
    assert row[:5] == (
        date(2027, 3, 15),
        date(2027, 3, 15),
        Decimal(450),
        Decimal(450),
        Decimal("3.1"),
    )
    assert row[5:] == ("yes", " a ")


def test_a_formula_counts_by_its_saved_value() -> None:
    content = book([("Cost", "=1+2", "=A1", '="a"&"b"')])
    values = {b"<f>1+2</f><v />": b"<f>1+2</f><v>3</v>", b"<f>1+2</f><v/>": b"<f>1+2</f><v>3</v>"}

    def save(part: bytes) -> bytes:
        for old, new in values.items():
            part = part.replace(old, new)
        return part

    (row,) = only(with_part(content, "xl/worksheets/sheet1.xml", save)).rows
    assert row[:2] == ("Cost", Decimal(3))
    assert isinstance(row[2], Fault)
    assert "open and save it in your spreadsheet program" in row[2].why


def test_errors_are_faults() -> None:
    (row,) = only(book([("#REF!", "x")])).rows
    assert row == (Fault("shows #REF!"), "x")


def test_merged_cells_count_for_each_of_their_cells() -> None:
    def dress(sheet: Worksheet) -> None:
        sheet.merge_cells("B1:D1")
        sheet.merge_cells("A2:A3")

    content = book([("", "2027"), ("Tea", "mint"), ("", "nettle", "", "x")], dress)
    far = b'<mergeCell ref="F900:XFD1048576" /><mergeCell ref="D3:XFD1048576" />'

    def stretch(part: bytes) -> bytes:
        return part.replace(b"</mergeCells>", far + b"</mergeCells>")

    grid = only(content)
    stretched = only(with_part(content, "xl/worksheets/sheet1.xml", stretch))
    assert stretched.rows[2][3:] == ("x",) * 197
    assert grid.rows == (
        ("", "2027", "2027", "2027"),
        ("Tea", "mint", "", ""),
        ("Tea", "nettle", "", "x"),
    )
    assert grid.notes == ("Merged cells (B1:D1, A2:A3) count for each of their cells.",)


def test_several_sheets_and_hidden_ones() -> None:
    def dress(sheet: Worksheet) -> None:
        sheet.parent["Old"].sheet_state = "hidden"
        sheet.row_dimensions[2].hidden = True

    content = book([("a",), ("hidden row",)], dress, title="New", Costs=[("b",)], Old=[("c",)])
    assert [grid.name for grid in sheets(content)] == ["New", "Costs"]
    assert sheets(content)[0].rows == (("a",), ("hidden row",))


def test_names_of_cells() -> None:
    grid = only(book([[1, 2, 3], [4, 5, 6]]))
    assert [cell_name(0, at) for at in (0, 25, 26, 701, 702)] == ["A1", "Z1", "AA1", "ZZ1", "AAA1"]
    assert (where(grid, 1, 2), where(turn(grid), 2, 1)) == ("cell C2", "cell C2")
    assert turn(grid).rows[2][1] == grid.rows[1][2] == Decimal(6)
    assert turn(turn(grid)) == grid


# --- refused --------------------------------------------------------------------------------

LOCKED = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 500 + "EncryptedPackage".encode("utf-16-le")
REFUSED = [
    (b"", "empty"),
    (b" \r\n", "empty"),
    (b"a,b\n" * (MAX_BYTES // 4 + 1), "11 MB; I read files of up to 10 MB"),
    (bytes(50_000_000), "50 MB"),
    (LOCKED, "locked with a password"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600), "older workbook format (.xls)"),
    (b"%PDF-1.7\n", "a PDF"),
    (b"\x89PNG\r\n\x1a\n0000", "a picture"),
    (b"\xff\xd8\xff\xe0JFIF", "a picture"),
    (b"<html><table><tr><td>March", "a web page"),
    (bytes(range(256)) * 20, "neither a spreadsheet nor text"),
    (archive(word__document_xml=b"<w/>"), "a text document (.docx)"),
    (archive(content_xml=b"<o/>", mimetype=b"o"), "an OpenDocument file"),
    (archive(xl__workbook_bin=b"\0"), "a binary workbook (.xlsb)"),
    (archive(notes=b"x"), "an archive without a workbook"),
    (archive(xl__workbook_xml=b"<x/>"), "damaged"),
    (b"PK\x03\x04" + bytes(100), "damaged"),
    (archive(xl__sharedStrings_xml=bytes(5_000_000)), "unpacks to"),
    (archive(xl__worksheets__sheet1_xml=bytes(61_000_000)), "unpacks to"),
    (archive(**{f"xl__media__p{n}_png": bytes(9_000_000) for n in range(12)}), "unpacks to"),
    (b"\n".join(b"March,moss" for _ in range(5_001)), "more than 5,000 rows"),
    (b"a" + b"," * 200 + b"b", "more than 200 columns"),
    (b"a,b\nc," + b"d" * 140_000, "longer than a book chapter"),
]


@pytest.mark.parametrize(("content", "said"), REFUSED, ids=[said for _, said in REFUSED])
def test_what_cannot_be_read_is_refused_with_a_way_that_works(content: bytes, said: str) -> None:
    text = refused(content)
    assert said in text
    assert text.startswith("plan.xlsx")
    assert "send that" in text or "send it again" in text


def test_a_workbook_that_is_too_long() -> None:
    content = book([("March", "moss")] * 5_001)
    assert "The sheet “Plan” of plan.xlsx has more than 5,000 rows" in _anyhow(content)


def test_a_workbook_that_is_too_wide_or_far() -> None:
    content = book([("a",)], lambda sheet: sheet.cell(2, 300, "b"))
    assert "more than 200 columns" in _anyhow(content)
    content = book([("a",)], lambda sheet: sheet.cell(1_048_576, 1, "b"))
    assert "more than 5,000 rows" in _anyhow(content)


def test_a_sheet_that_is_too_big_does_not_hide_the_others() -> None:
    content = book([("a", "b")], Log=[("x",)] * 5_001)
    assert [grid.name for grid in sheets(content)] == ["Plan"]


def _anyhow(content: bytes) -> str:
    problem = read_grids(content, "plan.xlsx")
    assert isinstance(problem, Problem)
    return problem.text


# --- any bytes ------------------------------------------------------------------------------


def whole(content: bytes) -> None:
    grids = read_grids(content, "plan.xlsx")
    if isinstance(grids, Problem):
        assert grids.text
        return
    for grid in grids:
        assert len({len(row) for row in grid.rows}) <= 1
        assert all(isinstance(cell, Cell) for row in grid.rows for cell in row)


@given(st.binary(max_size=400))
def test_any_bytes(content: bytes) -> None:
    whole(content)


@given(st.text(max_size=400))
def test_any_text(text: str) -> None:
    whole(text.encode("utf-8", errors="surrogatepass"))


def _real() -> bytes:
    def dress(sheet: Worksheet) -> None:
        sheet.merge_cells("A1:B1")

    return book([("Plan", ""), ("March", date(2027, 3, 1)), ("=1+1", 3.5)], dress)


REAL = _real()


@given(st.randoms(use_true_random=False), st.integers(1, 12))
def test_workbooks_with_flipped_bytes(chance: random.Random, flips: int) -> None:
    content = bytearray(REAL)
    for _ in range(flips):
        content[chance.randrange(len(content))] = chance.randrange(256)
    whole(bytes(content))


PARTS = ("xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml")


@given(st.sampled_from(PARTS), st.randoms(use_true_random=False), st.integers(1, 6))
def test_workbooks_with_damaged_parts(part: str, chance: random.Random, cuts: int) -> None:
    def damage(data: bytes) -> bytes:
        changed = bytearray(data)
        for _ in range(cuts):
            at = chance.randrange(len(changed))
            changed[at : at + chance.randrange(6)] = chance.randbytes(chance.randrange(3))
        return bytes(changed)

    whole(with_part(REAL, part, damage))


@given(st.integers(0, len(REAL)))
def test_workbooks_cut_short(length: int) -> None:
    whole(REAL[:length])

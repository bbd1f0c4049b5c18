"""CSV as we write it, and as we read it back.

Sources: RFC 4180, section 2; OWASP, "CSV Injection".
"""

import csv
import io
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.sheets.cells import Grid
from assistant.sheets.csv_file import FORMULA_STARTS, read_csv
from assistant.sheets.csv_out import csv_out, guarded, rfc4180
from assistant.sheets.workbook_tables import Column, Money, Month, Table, Value

WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), max_size=20)


def table(*rows: tuple[Value, ...]) -> Table:
    width = len(rows[0])
    return Table("items", tuple(Column(f"Item {n}", 9) for n in range(width)), rows)


def back(content: bytes) -> list[list[object]]:
    grid = read_csv(content, "x.csv")
    assert isinstance(grid, Grid), grid
    return [list(row) for row in grid.rows]


def test_rows_are_written_as_the_standard_says() -> None:
    """RFC 4180, section 2, rules 1, 4, 6 and 7; written by hand from them."""
    row = ("aaa", 'b"bb', "c,c", "d\r\nd", " e ")
    assert rfc4180([row]) == 'aaa,"b""bb","c,c","d\r\nd", e \r\n'


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        (
            '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
            [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]],
        ),
        ('"aaa","b""bb","ccc"', [["aaa", 'b"bb', "ccc"]]),
        ('"aaa","b""bb","ccc"\r\n', [["aaa", 'b"bb', "ccc"]]),
    ],
)
def test_rows_are_read_as_the_standard_says(text: str, rows: list[list[str]]) -> None:
    """RFC 4180, section 2: the examples of rules 5, 6 and 7."""
    assert back(text.encode()) == rows


def test_a_file_begins_with_its_mark_and_ends_each_row_with_both_characters() -> None:
    content = csv_out(table(("tea", 450), ("r\u00f4ti", None)))
    assert content.startswith(b"\xef\xbb\xbfItem 0,Item 1\r\n")
    assert content.endswith("r\u00f4ti,\r\n".encode())


def test_values_are_written_plainly() -> None:
    row = (date(2027, 3, 15), Month(2027, 3), Money(Decimal("-1250.50"), "EUR"), Decimal("1E+3"), 7)
    assert b"2027-03-15,2027-03,-1250.50,1000,7\r\n" in csv_out(table(row))


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_text_that_begins_a_formula_is_guarded_and_a_number_is_not(start: str) -> None:
    """The set of OWASP's page, exactly; our policy for numbers is that ours are never guarded."""
    assert guarded(f"{start}1") == f"'{start}1"
    assert guarded(f"1{start}") == f"1{start}"
    assert guarded(f"'{start}1") == f"''{start}1"
    assert set(FORMULA_STARTS) == {"=", "+", "-", "@", "\t", "\r", "\n"}
    assert csv_out(table((Money(Decimal(-5), "GBP"), -5))).endswith(b"\r\n-5,-5\r\n")


@given(st.sampled_from([chr(n) for n in range(32, 127) if chr(n) not in "=+-@'"]))
def test_other_beginnings_are_left_alone(start: str) -> None:
    assert guarded(f"{start}1") == f"{start}1"


@given(st.lists(st.tuples(WORDS, WORDS, WORDS), min_size=1, max_size=5))
def test_what_is_written_is_read_back_as_it_was(rows: list[tuple[str, str, str]]) -> None:
    full = [("first", *row) for row in rows]
    assert back(csv_out(table(*full)))[1:] == [list(row) for row in full] or any(
        not any(row[1:]) for row in full
    )


@given(st.lists(st.lists(WORDS.filter(lambda word: "\0" not in word), min_size=2, max_size=4)))
def test_another_reader_reads_the_same(rows: list[list[str]]) -> None:
    assert list(csv.reader(io.StringIO(rfc4180(rows), newline=""))) == rows

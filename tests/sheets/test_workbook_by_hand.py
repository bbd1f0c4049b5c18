"""A workbook of ours, changed by hand in places that matter and sent back: the cell is named, and
nothing else is done. Everything is invented."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from openpyxl import Workbook

from assistant.planning.bringing_in import plan
from assistant.sheets.cells import Problem
from assistant.sheets.survey import read_table
from tests.sheets.books import saved
from tests.sheets.plans import TODAY, a_shop, book_of, column, opened, read


def put(sheet: str, row: int, heading: str, value: object) -> Callable[[Workbook], None]:
    def change(book: Workbook) -> None:
        page = book[sheet]
        page.cell(row, column(page, heading)).value = value  # type: ignore[assignment]

    return change


BY_HAND: list[tuple[str, Callable[[Workbook], None], str, str]] = [
    (
        "text for a date",
        put("Year", 3, "Ship date (fixed)", "in spring"),
        "Year, row 3",
        "D3 says “in spring”, which is no date",
    ),
    ("no month", put("Items", 2, "Month", "Febtember"), "Items, row 2", "A2 says “Febtember”"),
    ("no box", put("Year", 2, "Box of the month", "3rd of it"), "Year, row 2", "no box of a month"),
    ("no price", put("Items", 2, "Unit cost", "dear"), "Items, row 2", "which is no price"),
    ("a range", put("Items", 2, "Quantity", "400-450"), "Items, row 2", "no number of units"),
    ("a formula", put("Items", 2, "Quantity", "=2*225"), "Items, row 2", "formula without a saved"),
    ("no lead", put("Items", 2, "Lead time", "soon"), "Items, row 2", "which is no lead time"),
    ("far off", put("Year", 3, "Ship date (fixed)", date(2029, 1, 1)), "Year, row 3", "far from"),
]


@pytest.mark.parametrize(("what", "change", "where", "why"), BY_HAND, ids=lambda one: str(one)[:20])
def test_a_cell_that_cannot_be_read_is_named_and_its_row_stays_as_it_was(
    what: str, change: Callable[[Workbook], None], where: str, why: str
) -> None:
    made = a_shop()
    book = opened(book_of(made))
    change(book)
    back = read(saved(book))
    incoming = plan(made, back.rows, TODAY, "r")
    told = (*back.refused, *incoming.refused)
    assert [one.where for one in told] == [where], what
    assert why in told[0].why
    assert incoming.changes == ()


SOFT = [
    ("Grams each", "180 pages", "no weight"),
    ("Size in mm", "A5", "no size"),
    ("Made in", "Elsewhere", "no country"),
    ("Minimum", "a few", "no number of units"),
    ("Case pack", "2 dozen", "no number of units"),
    ("Form", "x" * 121, "longer than 120"),
    ("Pieces a box", 0, "no number of pieces"),
    ("Price breaks", "cheaper from 500", "no list of prices"),
    ("Price breaks", "from 500 at 2.90; from 400 at 2.95", "no list of prices"),
    ("Set-up", "dear", "no price"),
    ("Quoted on", "last spring", "no date"),
]


@pytest.mark.parametrize(("heading", "value", "why"), SOFT)
def test_a_lesser_cell_costs_only_itself(heading: str, value: str, why: str) -> None:
    made = a_shop()
    book = opened(book_of(made))
    put("Items", 2, heading, value)(book)
    put("Items", 2, "Quantity", 460)(book)
    back = read(saved(book))
    assert [one.where for one in back.refused] == ["Items, row 2"]
    assert why in back.refused[0].why
    assert back.refused[0].why.endswith("; the rest of the row was read.")
    incoming = plan(made, back.rows, TODAY, "r")
    assert [(one.field, one.new) for one in incoming.altered] == [("quantity", 460)]


def test_numbers_with_their_units_are_read() -> None:
    made = a_shop()
    book = opened(book_of(made))
    for name, value in (
        ("Quantity", "460 pcs"),
        ("Unit cost", "€3.25"),
        ("Grams each", "0.2 kg"),
        ("Size in mm", "21 x 14.8 x 1.3 cm"),
        ("Lead time", "4 weeks"),
    ):
        put("Items", 2, name, value)(book)
    back = read(saved(book))
    assert back.refused == ()
    altered = {one.field: one.new for one in plan(made, back.rows, TODAY, "r").altered}
    assert altered["quantity"] == 460
    assert altered["unit cost"] == Decimal("3.25")
    assert altered["weight"] == 200
    assert altered["size"] == (210, 148, 13)


@pytest.mark.parametrize("sheet", ["Year", "Items"])
@pytest.mark.parametrize("at", range(1, 10))
def test_a_heading_that_is_gone_never_makes_another_plan(sheet: str, at: int) -> None:
    """What stood under it may be lost, or its rows refused: nothing else is changed."""
    made = a_shop()
    book = opened(book_of(made))
    name = str(book[sheet].cell(1, at).value)
    book[sheet].cell(1, at).value = None
    found = read_table(saved(book), "workbook.xlsx")
    if isinstance(found, Problem):
        return
    incoming = plan(made, found.rows, TODAY, "r")
    ships = {one.box for one in incoming.ships}
    assert incoming.boxes == ()
    assert incoming.new_items == ()
    assert incoming.altered == ()
    assert not ships or name == "Ship date (fixed)"


def test_swapped_names_of_sheets_change_nothing() -> None:
    made = a_shop()
    book = opened(book_of(made))
    book["Year"].title, book["Items"].title = "X", "Year"
    book["X"].title = "Items"
    assert plan(made, read(saved(book)).rows, TODAY, "r").changes == ()


def test_swapped_columns_change_nothing() -> None:
    made = a_shop()
    book = opened(book_of(made))
    page = book["Items"]
    for row in page.iter_rows():
        row[3].value, row[6].value = row[6].value, row[3].value
    assert plan(made, read(saved(book)).rows, TODAY, "r").changes == ()

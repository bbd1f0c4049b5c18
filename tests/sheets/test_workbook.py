"""The workbook: what stands in it, and that the import takes it back whole.

Formats are read back by openpyxl, dates and numbers as it sees them. Everything is invented.
"""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import fields, replace

from assistant.planning.bringing_in import plan
from assistant.planning.changes import apply
from assistant.planning.model import Break, Item, Shop, Supplier
from assistant.planning.veiling import without_money
from assistant.sheets.blocks import A4, LETTER
from assistant.sheets.csv_out import csv_out
from assistant.sheets.headings import UNREAD, heading
from assistant.sheets.item_fields import EXTRA, plainly
from assistant.sheets.workbook import money_format, workbook
from assistant.sheets.workbook_tables import SHEETS, Month, Table, table, tables
from tests.sheets.books import saved
from tests.sheets.plans import (
    LIVE,
    TODAY,
    a_shop,
    book_of,
    column,
    opened,
    plans,
    read,
)
from tests.trade import shop

UNHURRIED = settings(max_examples=60)
# Fields of an item that the import does not carry.
LOST = ("main", "shares", "stock", "damage", "keeps_days", "goods")


def bare(made: Shop) -> Shop:
    return replace(made, boxes=(), items=(), suppliers=(), orders=())


def carried(made: Shop) -> tuple[Any, ...]:
    """What of a plan the import carries: ids aside, with suppliers by name."""
    by = {one.id: one.name for one in made.suppliers}
    default = {one.name: one.default for one in fields(Item) if one.name in LOST}
    inside = (
        replace(one, id="", supplier=by.get(one.supplier, ""), **default) for one in made.items
    )
    boxes = sorted((box.id, box.theme, box.ship_on) for box in made.boxes)
    return boxes, sorted(inside, key=lambda one: (one.box, one.name.casefold()))


def first_as_written(made: Shop) -> Shop:
    """The shop with every type as its first item writes it: the import writes one type one way."""
    seen: dict[str, str] = {}
    ordered = sorted(made.items, key=lambda one: one.box)
    kept = {
        one.id: seen.setdefault(" ".join(one.type.split()).casefold(), one.type) for one in ordered
    }
    return replace(made, items=tuple(replace(one, type=kept[one.id]) for one in made.items))


# --- there and back -------------------------------------------------------------------------


@UNHURRIED
@given(plans())
def test_a_workbook_brought_into_its_own_shop_changes_nothing(made: Shop) -> None:
    back = read(book_of(made))
    assert back.refused == ()
    incoming = plan(made, back.rows, TODAY, "r")
    assert (incoming.changes, incoming.refused) == ((), ())
    assert not [one for one in incoming.warnings if "later one counts" in one]


@UNHURRIED
@given(plans())
def test_a_workbook_brought_into_an_empty_shop_makes_the_same_plan(made: Shop) -> None:
    made = first_as_written(made)
    incoming = plan(bare(made), read(book_of(made)).rows, TODAY, "r")
    after = apply(bare(made), incoming.changes)
    assert carried(after) == carried(made)
    used = {one.supplier for one in made.items} - {""}
    assert {one.name for one in after.suppliers} == {
        one.name for one in made.suppliers if one.id in used
    }


@UNHURRIED
@given(plans())
def test_the_csv_of_the_items_and_of_the_year_change_nothing_either(made: Shop) -> None:
    for sheet in SHEETS[:2]:
        found = table(made, sheet, TODAY)
        if not found.rows:
            continue
        back = read(csv_out(found), f"{sheet}.csv")
        assert back.refused == ()
        incoming = plan(made, back.rows, TODAY, "r")
        assert (incoming.changes, incoming.refused) == ((), ())


@UNHURRIED
@given(plans())
def test_without_money_no_money_is_lost_on_the_way_back(made: Shop) -> None:
    content = workbook(tables(without_money(made), TODAY, money=False), TODAY, A4)
    back = read(content)
    assert back.refused == ()
    assert plan(made, back.rows, TODAY, "r").changes == ()


def test_the_sheets_may_stand_in_any_order_and_the_rest_may_be_gone() -> None:
    made = a_shop()
    book = opened(book_of(made))
    book.move_sheet("Items", 3)
    book.move_sheet("Year", 4)
    for name in ("Suppliers", "Cash"):
        book.remove(book[name])
    back = read(saved(book))
    assert plan(made, back.rows, TODAY, "r").changes == ()
    assert back.notes[0] == "Read the sheets “Items” and “Year”, not “Orders”."


def test_names_and_themes_as_long_as_chat_takes_them() -> None:
    box = shop("2027-03 Rain: tea@Aldermoor").boxes[0]
    made = a_shop()
    suppliers = (Supplier("aldermoor", "s" * 200), *made.suppliers[1:])
    boxes = (replace(box, theme="t" * 200), *made.boxes[1:])
    items = (replace(made.items[0], name="n" * 120), *made.items[1:])
    made = replace(made, suppliers=suppliers, boxes=boxes, items=items)
    back = read(book_of(made))
    assert back.refused == ()
    assert plan(made, back.rows, TODAY, "r").changes == ()


def test_where_no_row_of_it_can_be_read_it_is_still_no_price_list() -> None:
    made = a_shop()
    book = opened(book_of(made))
    for sheet in ("Year", "Items"):
        for row in range(2, book[sheet].max_row + 1):
            book[sheet].cell(row, 1).value = "Febtember"
    back = read(saved(book))
    assert back.rows == ()
    assert len(back.refused) == 6


def test_a_theme_that_is_changed_in_the_year_counts_and_is_told() -> None:
    made = a_shop()
    book = opened(book_of(made))
    book["Year"].cell(2, column(book["Year"], "Theme"), "Moss")
    incoming = plan(made, read(saved(book)).rows, TODAY, "r")
    assert [(one.box, one.new) for one in incoming.themes] == [("2027-03", "Moss")]
    assert incoming.warnings == (
        "March 2027: theme is Rain and roots in Items, row 3 but Moss in Year, row 2. "
        "The later one counts.",
    )


# --- headings -------------------------------------------------------------------------------


@pytest.mark.parametrize("money", [True, False])
def test_every_heading_is_read_as_what_it_is_or_left_alone(money: bool) -> None:
    wanted = {
        "Month": "month", "Theme": "theme", "Item": "item", "Type": "type", "Supplier": "supplier",
        "Unit cost": "unit_cost", "Currency": "currency", "Quantity": "quantity",
        "Lead time": "lead", "Ship date (fixed)": "ship_on", "Ships": "ship_on",
    }  # fmt: skip
    made = replace(a_shop(), boxes=(*a_shop().boxes, replace(a_shop().boxes[0], id="2027-03b")))
    found = [table(made, sheet, TODAY, money=money) for sheet in SHEETS[:2]]
    headings = [one.heading for each in found for one in each.columns]
    for text in headings:
        meant = heading(text)
        assert (meant.field, meant.misspelt) == (wanted.get(text, UNREAD), False), text
    of_money = set() if money else {"price breaks", "set-up"}
    assert set(EXTRA) - of_money <= set(map(plainly, headings))
    assert heading("Ship date (fixed)").rank < heading("Ships").rank


# --- what stands in it ----------------------------------------------------------------------


def test_values_have_their_kinds() -> None:
    book = opened(book_of(a_shop()))
    assert book.sheetnames == ["Year", "Items", "Suppliers", "Orders", "Cash"]
    year, items = book["Year"], book["Items"]
    assert year["A2"].value.date() == date(2027, 3, 1)  # type: ignore[union-attr]
    assert year["A2"].number_format == "mmmm yyyy"
    assert year["C2"].value.date() == date(2027, 3, 15)  # type: ignore[union-attr]
    assert year["D2"].value is None
    assert year["D3"].value.date() == date(2027, 5, 12)  # type: ignore[union-attr]
    cost = items.cell(2, column(items, "Unit cost"))
    assert (cost.value, cost.number_format) == (3.1, "[$€]#,##0.00")
    assert items.cell(3, column(items, "Unit cost")).number_format == "[$£]#,##0.00"
    assert items.cell(2, column(items, "Quantity")).value == 450
    assert book["Orders"]["H2"].value is None
    assert book["Orders"].cell(2, column(book["Orders"], "Amount")).value == 1395


def test_sheets_are_dressed_to_be_read_and_printed() -> None:
    made = a_shop()
    found = tables(made, TODAY)
    for paper, size in ((A4, "9"), (LETTER, "1")):
        for page in opened(workbook(found, TODAY, paper)).worksheets:
            named = "Item" if page.title in ("Items", "Orders") else str(page["A1"].value)
            assert page[page.freeze_panes].column == column(page, named) + 1
            assert page[page.freeze_panes].row == 2
            assert str(page.page_setup.paperSize) == size
            assert page.page_setup.orientation == "landscape"
            assert (page.page_setup.fitToWidth, page.page_setup.fitToHeight) == (1, 0)
            assert page.print_title_rows == "$1:$1"
            assert all(cell.font.b for cell in page[1])
            widths = [one.width for one in page.column_dimensions.values()]
            assert all(7 <= width <= 60 for width in widths)


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert book_of(a_shop()) == book_of(a_shop())


def test_text_from_outside_is_never_a_formula() -> None:
    """Source: OWASP, "CSV Injection"."""
    made = a_shop()
    made = replace(
        made,
        boxes=tuple(replace(box, theme=text) for box, text in zip(made.boxes, LIVE, strict=False)),
        items=tuple(
            replace(one, name=text) for one, text in zip(made.items, LIVE[3:], strict=False)
        ),
        suppliers=(
            Supplier("aldermoor", "=cmd|' /C calc'!A0"),
            Supplier("brackenfold", "@SUM(A1)"),
        ),
    )
    book = opened(book_of(made))
    cells = [cell for page in book.worksheets for row in page.iter_rows() for cell in row]
    assert {cell.data_type for cell in cells} <= {"s", "n", "d"}
    live = [cell for cell in cells if isinstance(cell.value, str) and cell.value[0] in "=+-@"]
    assert len(live) >= 6
    assert all(cell.quotePrefix for cell in live)


def test_without_money_nothing_tells_of_any() -> None:
    made = replace(
        a_shop(),
        items=tuple(
            replace(one, breaks=(Break(500, Decimal("2.93")),), setup=Decimal("46.83"))
            for one in a_shop().items
        ),
    )
    found = tables(without_money(made), TODAY, money=False)
    assert [one.sheet for one in found] == ["year", "items", "suppliers"]
    words = " ".join(one.heading for each in found for one in each.columns).casefold()
    told = ("cost", "price", "currency", "target", "set-up", "carriage", "duty", "free from")
    assert not [word for word in told if word in words]
    assert "€" not in str([one.rows for one in found])


@pytest.mark.parametrize(
    ("amount", "currency", "wanted"),
    [
        ("3.10", "GBP", "[$£]#,##0.00"),
        ("3.125", "EUR", "[$€]#,##0.000"),
        ("450", "JPY", "[$JPY] #,##0"),
        ("4", "USD", "[$USD] #,##0.00"),
        ("100", "KWD", "[$KWD] #,##0.000"),
        ("1200", "CHF", "[$CHF] #,##0.00"),
    ],
)
def test_money_is_shown_as_its_currency_is(amount: str, currency: str, wanted: str) -> None:
    assert money_format(Decimal(amount), currency) == wanted


def test_one_year_alone() -> None:
    made = shop("2027-12 Frost: tea", "2028-01 Thaw: pin")
    found: Table = table(made, "items", TODAY, year=2028)
    assert [row[0] for row in found.rows] == [Month(2028, 1)]


@given(st.sampled_from(SHEETS))
def test_a_shop_without_a_plan_has_empty_sheets(sheet: Any) -> None:
    assert table(replace(shop(), boxes=()), sheet, TODAY).rows == ()

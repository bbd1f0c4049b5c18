"""A price list out of a file, told from a year. Every supplier and thing is invented."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.planning.bringing_in import fold
from assistant.planning.model import Lead, OfferRow
from assistant.sheets.cells import Problem, text_of
from assistant.sheets.offer_fields import date_in, named_unit
from assistant.sheets.price_list import PriceList, read_any
from assistant.sheets.year_table import ReadYear
from tests.sheets.books import book
from tests.sheets.test_year_table import table


def priced(content: bytes | str, name: str = "list.csv") -> PriceList:
    read = read_any(content.encode() if isinstance(content, str) else content, name)
    assert isinstance(read, PriceList), read
    return read


def problem(content: bytes | str, name: str = "list.csv") -> str:
    read = read_any(content.encode() if isinstance(content, str) else content, name)
    assert isinstance(read, Problem), read
    return read.text


def only(content: str) -> OfferRow:
    (row,) = priced(content).rows
    return row


WHOLE = OfferRow(
    where="row 4",
    name="moss print",
    type="print",
    price=Decimal("2.10"),
    currency="GBP",
    minimum=200,
    case_pack=50,
    quoted=date(2027, 1, 4),
    lead=Lead(20),
    grams=40,
    mm=(210, 148, 1),
    made_in="DE",
    supplier="Aldermoor",
    notes="printed on cotton",
)
COLUMNS: tuple[tuple[str, Any], ...] = (
    ("Product", "moss print"),
    ("Category", "print"),
    ("Unit price", "£2.10"),
    ("MOQ", "200"),
    ("Case pack", "50"),
    ("Lead time", "20 working days"),
    ("Weight (kg)", "0.04"),
    ("Size (cm)", "21 x 14.8 x 0.1"),
    ("Country of origin", "Germany"),
    ("Supplier", "Aldermoor"),
    ("Notes", "printed on cotton"),
)


def columned(columns: tuple[tuple[str, Any], ...]) -> list[list[str]]:
    heads, cells = zip(*columns, strict=True)
    return [["Trade prices"], ["Valid from 4 January 2027"], list(heads), list(cells)]


@given(st.permutations(COLUMNS))
def test_columns_in_any_order(columns: list[tuple[str, Any]]) -> None:
    read = priced(table(columned(tuple(columns))))
    assert read.rows == (WHOLE,)
    assert read.refused == ()
    assert read.notes == ()
    assert "Trade prices" in read.titles


def test_a_workbook_is_read_as_a_text_file_is() -> None:
    rows: list[list[Any]] = [list(row) for row in columned(COLUMNS)]
    rows[-1][2:5] = [2.1, 200, 50]
    rows[2][2] = "Unit price (GBP)"
    assert priced(book(rows), "list.xlsx").rows == (WHOLE,)


@pytest.mark.parametrize(
    ("heading", "field"),
    [
        ("Item", "item"),
        ("Description", "item"),
        ("Wholesale price", "price"),
        ("Trade", "price"),
        ("Unit pricce", "price"),
        ("£", "price"),
        ("Min. order qty", "minimum"),
        ("Minimum", "minimum"),
        ("Pcs per carton", "case_pack"),
        ("Pack size", "case_pack"),
        ("Lead time (weeks)", "lead"),
        ("Weight g", "grams"),
        ("Net weight in kg", "grams"),
        ("Dimensions (mm)", "mm"),
        ("Made in", "made_in"),
        ("Valid from", "quoted"),
        ("Material", "notes"),
        ("RRP", "unread"),
        ("Case price", "unread"),
        ("Barcode", "unread"),
        ("Wombat", ""),
    ],
)
def test_what_headings_mean(heading: str, field: str) -> None:
    assert named_unit(heading).field == field


# --- told from a year -----------------------------------------------------------------------


@pytest.mark.parametrize(
    "content",
    [
        "Month,Item,Price,MOQ\nMarch,tea,1.20,4\n",
        "Date,Item,Price\n15/03/2027,tea,1.20\n15/05/2027,mug,1.20\n",
        "Ship date,Item,Price,MOQ\n15/03/2027,tea,1.20,4\n",
        ",Item,Price\nMarch 2027,tea,1.20\nMay 2027,mug,1.20\n",
        "Item,Unit cost,When\ntea,1.20,March\n",
    ],
)
def test_what_has_months_is_a_year(content: str) -> None:
    assert isinstance(read_any(content.encode(), "a.csv"), ReadYear)


@pytest.mark.parametrize(
    "content",
    [
        "Item,Cost\ntea,1.20\n",
        "Date,Item,Price\n04/01/2027,tea,1.20\n04/01/2027,mug,1.20\n",
        "Item,Price,Valid from\ntea,1.20,04/01/2027\nmug,2,05/02/2027\n",
        "Item,Price,Valid until,MOQ\ntea,1.20,30/06/2027,5\n",
        "Item,Price,Season\nfrost print,1.20,winter\nmoss print,1.20,spring\n",
    ],
)
def test_what_has_prices_and_no_months_is_a_list(content: str) -> None:
    assert priced(content).rows


def test_what_is_neither_is_told_as_before() -> None:
    assert "names no months" in problem("Colour,Shelf\nred,4\n")
    assert "empty" in problem("")


def test_of_a_workbook_with_both_the_year_is_read() -> None:
    content = book(
        [["Month", "Item"], ["March 2027", "tea"]], Prices=[["Item", "Price"], ["mug", 2]]
    )
    read = read_any(content, "a.xlsx")
    assert isinstance(read, ReadYear)
    assert [row.item for row in read.rows] == ["tea"]


def test_of_two_lists_the_longer_is_read_and_the_other_named() -> None:
    content = book(
        [["Item", "Price"], ["mug", 2]], Spring=[["Item", "Price"], ["tea", 2], ["pin", 1]]
    )
    read = priced(content, "a.xlsx")
    assert [row.name for row in read.rows] == ["tea", "pin"]
    assert read.notes[0] == "Read the sheet “Spring”, not “Plan”."
    assert "Spring" in read.titles


# --- what a cell says -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("heading", "cell", "field", "value"),
    [
        ("MOQ", "50 pcs", "minimum", 50),
        ("MOQ", "min. 50", "minimum", 50),
        ("MOQ", "1,000", "minimum", 1000),
        ("MOQ", "50+", "minimum", 50),
        ("MOQ", "none", "minimum", None),
        ("MOQ", "0", "minimum", None),
        ("MOQ", "3 cases", "minimum", 3),
        ("Case pack", "12 per case", "case_pack", 12),
        ("Case pack", "case of 24", "case_pack", 24),
        ("Case pack", "12/case", "case_pack", 12),
        ("Case pack", "x 12", "case_pack", 12),
        ("Lead time in weeks", "4", "lead", Lead(28, "calendar")),
        ("Lead time", "3-4 weeks", "lead", Lead(28, "calendar")),
        ("Lead time", "in stock", "lead", Lead(0)),
        ("Weight", "40", "grams", 40),
        ("Weight", "0.4 kg", "grams", 400),
        ("Weight oz", "4", "grams", 114),
        ("Size", "210 x 148 x 12", "mm", (210, 148, 12)),
        ("Size", "8 x 6 x 1 in", "mm", (204, 153, 26)),
        ("Made in", "UK", "made_in", "GB"),
        ("Made in", "CN", "made_in", "CN"),
        ("Valid from", "2027-01-04", "quoted", date(2027, 1, 4)),
        ("Valid from", "March 2027", "quoted", date(2027, 3, 1)),
        ("Material", "cotton", "notes", "cotton"),
    ],
)
def test_what_a_cell_says(heading: str, cell: str, field: str, value: object) -> None:
    row = only(table([["Item", "Price", heading], ["print", "2.10", cell]]))
    assert getattr(row, field) == value


def test_a_minimum_in_cases_is_told_in_pieces() -> None:
    assert only("Item,Price,MOQ,Case pack\nmug,2,4 cases,25\n").minimum == 100
    assert only("Item,Price,Case pack,MOQ\nmug,2,25,1 carton\n").minimum == 25


def test_three_columns_of_sides_make_a_size() -> None:
    row = only("Item,Price,Length (cm),Width (cm),Height (cm)\nmug,2,9,9,8\n")
    assert row.mm == (90, 90, 80)
    assert only("Item,Price,Length (cm),Width (cm),Height\nmug,2,9,9,\n").mm is None


def test_a_second_column_of_names_is_kept_as_notes() -> None:
    row = only('Product,Description,Colour,Trade price\nmug,"tin, with a fern",moss,4.20\n')
    assert (row.name, row.notes) == ("mug", "moss; tin, with a fern")


def test_a_line_with_nothing_but_a_name_is_a_group() -> None:
    read = priced("Item,Price\nNotebooks\nfield notebook,3.10\nPens\nfine pen,1.10\nAll ex VAT.\n")
    assert [(row.name, row.type) for row in read.rows] == [
        ("field notebook", "Notebooks"),
        ("fine pen", "Pens"),
    ]
    assert read.notes == ("Lines not read: row 6.",)


def test_a_price_on_request_is_no_price() -> None:
    row = only("Item,Price,MOQ\nlamp,POA,5\n")
    assert (row.price, row.minimum) == (None, 5)


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("mug,lots,5,12,20d", "B2 says “lots”, which is no price; write 3.10 or £3.10."),
        ("mug,-2,5,12,20d", "B2 says “-2”, which is below zero; write a price such as 3.10."),
        ("mug,2,some,12,20d", "C2 says “some”, which is no number of pieces; write 50."),
        ("mug,2,£150,12,20d", "C2 says “£150”, which is no number of pieces; write 50."),
        ("mug,2,5,a few,20d", "D2 says “a few”, which is no number of pieces; write 50."),
        ("mug,2,5,12,soon", "E2 says “soon”, which is no lead time;"),
        (",2,5,12,20d", "names no item; write its name under Item."),
        (f"{'m' * 130},2,5,12,20d", "A2 is longer than 120 characters; write a shorter name."),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_with_a_reason(line: str, why: str) -> None:
    read = priced(f"Item,Price,MOQ,Case pack,Lead time\n{line}\npin,1,2,3,4d\n")
    assert [row.name for row in read.rows] == ["pin"]
    (refused,) = read.refused
    assert refused.where == "row 2"
    assert why in refused.why


def test_what_decides_nothing_is_left_out_and_told() -> None:
    read = priced("Item,Price,Weight,Size,Made in,Valid from\nmug,2,heavy,A6,Nowhere,soon\n")
    (row,) = read.rows
    assert row == OfferRow(where="row 2", name="mug", price=Decimal(2))
    assert read.notes == (
        "Weights not read: C2.",
        "Sizes not read: D2.",
        "Countries not read: E2.",
        "Dates not read: F2.",
    )


def test_one_name_twice_is_one_offer_or_refused() -> None:
    read = priced("Item,Price\nmug,2\nMUG,2\nmug,3\n")
    assert [row.where for row in read.rows] == ["row 2"]
    (refused,) = read.refused
    assert refused.where == "row 4"
    assert "has the name of row 2" in refused.why


def test_one_name_of_two_suppliers_is_two_offers() -> None:
    assert len(priced("Item,Price,Supplier\nmug,2,Aldermoor\nmug,3,Brackenfold\n").rows) == 2


# --- currencies and dates -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "currency"),
    [
        ("Item,Price\nmug,2\n", ""),
        ("Item,Price (EUR)\nmug,2\n", "EUR"),
        ("Item,Price\nmug,£2\n", "GBP"),
        ("Item,Price\nmug,€2\npin,3\n", "EUR"),
        ("Item,Price,Currency\nmug,2,USD\n", "USD"),
        ("Item,Price,Currency\nmug,$2,USD\npin,$3,\n", "USD"),
        ("Item,Price\nmug,$2\n", "$"),
    ],
)
def test_a_list_has_one_currency(content: str, currency: str) -> None:
    assert {row.currency for row in priced(content).rows} == {currency}


def test_prices_without_a_currency_among_others_are_told() -> None:
    read = priced("Item,Price\nmug,€2\npin,3\n")
    assert read.notes == ("Prices without a currency are read as EUR: row 3.",)


@pytest.mark.parametrize(
    "content",
    [
        "Item,Price\nmug,£2\npin,£3\ncup,€2\ntea,£1\nbag,£1\n",
        "Item,Price,Currency\nmug,2,GBP\npin,3,GBP\ncup,2,EUR\ntea,1,GBP\nbag,1,GBP\n",
        "Item,Price (GBP)\nmug,2\npin,3\ncup,€2\ntea,1\nbag,1\n",
    ],
)
def test_two_currencies_are_refused_with_what_would_work(content: str) -> None:
    assert problem(content, "spring.csv") == (
        "spring.csv has prices in 2 currencies: 4 in GBP (rows 2, 3, 5 and 6) and 1 in EUR "
        "(row 4). A price list has one, so that its prices can be compared. Nothing was brought "
        "in. Send the rows in GBP and EUR as files of their own."
    )


def test_many_rows_of_two_currencies_are_named_in_runs() -> None:
    rows = "".join(f"thing {n},{'£' if n < 12 else '€'}2\n" for n in range(20))
    text = problem(f"Item,Price\n{rows}")
    assert "12 in GBP (rows 2 to 13) and 8 in EUR (rows 14 to 21)" in text


@pytest.mark.parametrize(
    ("title", "on"),
    [
        ("Prices from 4 January 2027", date(2027, 1, 4)),
        ("Valid from 2027-01-04", date(2027, 1, 4)),
        ("Price list 04/01/2027, ex VAT", date(2027, 1, 4)),
        ("Spring list, March 2027", date(2027, 3, 1)),
        ("as of the 4th of January 2027", date(2027, 1, 4)),
        ("as of January 4, 2027", date(2027, 1, 4)),
        ("Catalogue 2027", None),
        ("Minimum order 150 2027", None),
        ("", None),
    ],
)
def test_the_date_of_a_title(title: str, on: date | None) -> None:
    assert date_in(title) == on


def test_a_rows_own_date_comes_before_the_titles() -> None:
    read = priced("From 4 January 2027\nItem,Price,Valid from\nmug,2,2027-02-01\npin,2,\n")
    assert [row.quoted for row in read.rows] == [date(2027, 2, 1), date(2027, 1, 4)]


# --- hostile --------------------------------------------------------------------------------


@pytest.mark.parametrize("formula", ["=1+1", '=HYPERLINK("http://x","y")', "@SUM(A1)", "+cmd|' /C"])
def test_a_formula_is_text_or_refused_never_run(formula: str) -> None:
    read = priced(table([["Item", "Price"], [formula, "2"], ["mug", formula], ["pin", "1"]]))
    names = [row.name for row in read.rows]
    assert "pin" in names
    assert "mug" not in names
    assert all(name in (formula, "pin") for name in names)


def test_signs_that_steer_are_taken_out() -> None:
    row = only("Item,Price,Notes\nmug\u202egnp.exe,2,a\u202db\n")
    assert "\u202e" not in row.name
    assert "\u202d" not in row.notes


PLAIN = st.text(st.characters(categories=("L", "N", "P", "S")), max_size=12)
SAID = ("", "2", "£2", "3 cases", "20d", "A6", "=1+1", "March", "2027-01-04", "POA", "-")
CELLS = st.one_of(PLAIN, st.sampled_from(SAID))
HEADS = st.sampled_from(
    ("MOQ", "Case", "Weight (g)", "Size", "Origin", "Valid from", "Notes", "Lead", "Colour")
)


@settings(max_examples=60)
@given(st.lists(HEADS, max_size=7, unique=True), st.lists(st.lists(CELLS, max_size=9), max_size=6))
def test_no_table_raises_and_every_row_is_taken_refused_or_told(
    heads: list[str], rows: list[list[str]]
) -> None:
    width = 2 + len(heads)
    cut = [row[:width] for row in rows]
    read = read_any(book([["Item", "Price", *heads], *cut]), "list.xlsx")
    if not isinstance(read, PriceList):
        return
    told = {row.where for row in read.rows} | {one.where for one in read.refused}
    names = [fold(text_of(row[0])) for row in cut if row]
    for number, row in enumerate(cut, 2):
        filled = sum(bool(cell.strip()) for cell in row)
        alike = filled and names.count(fold(text_of(row[0]))) > 1
        if filled > 1 and not alike:
            assert f"row {number}" in told
    assert told <= {f"row {number}" for number in range(2, len(cut) + 2)}

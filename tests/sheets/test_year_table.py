"""A year out of a file, whichever way its table lies. Every shop and supplier is invented."""

import csv
import io
from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl.worksheet.worksheet import Worksheet

from assistant.planning.bringing_in import plan
from assistant.planning.changes import apply
from assistant.planning.dating import NO_YEAR
from assistant.planning.model import Lead, Row, Shop
from assistant.sheets.cells import Problem
from assistant.sheets.headings import WORDS, heading
from assistant.sheets.year_table import ReadYear, read_file
from tests.sheets.books import HEADINGS, book
from tests.trade import shop

TODAY = date(2026, 11, 25)
SHORT = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def year(content: bytes | str, name: str = "plan.csv") -> ReadYear:
    read = read_file(content.encode() if isinstance(content, str) else content, name)
    assert isinstance(read, ReadYear), read
    return read


def problem(content: bytes | str, name: str = "plan.csv") -> str:
    read = read_file(content.encode() if isinstance(content, str) else content, name)
    assert isinstance(read, Problem), read
    return read.text


def brief(read: ReadYear) -> list[tuple[str, str, str, str]]:
    """What each row says: its box, theme, item and supplier."""
    return [(f"{r.year or ''}-{r.month:02}", r.theme, r.item, r.supplier) for r in read.rows]


def refusals(read: ReadYear) -> dict[str, str]:
    return {one.where: one.why for one in read.refused}


def table(rows: Sequence[Sequence[Any]]) -> str:
    out = io.StringIO()
    csv.writer(out).writerows(rows)
    return out.getvalue()


# --- one row for each item ------------------------------------------------------------------


def test_a_row_for_each_item_with_everything() -> None:
    read = year(
        "Month,Theme,Item,Type,Supplier,Unit cost,Currency,Qty,Lead time,Ship date\n"
        "March 2027,Rain & Roots,field notebook,notebook,Aldermoor,3.10,GBP,450,20 working days,"
        "2027-03-12\n"
    )
    assert read == ReadYear(
        rows=(
            Row(
                where="row 2",
                month=3,
                year=2027,
                theme="Rain & Roots",
                item="field notebook",
                type="notebook",
                supplier="Aldermoor",
                unit_cost=Decimal("3.10"),
                currency="GBP",
                quantity=450,
                lead=Lead(20),
                ship_on=date(2027, 3, 12),
            ),
        ),
        refused=(),
        notes=(),
        layout="row per item",
    )


def test_columns_in_another_order_and_other_words() -> None:
    read = year(
        "Vendor;Price each (EUR);Product;Kind;Box month;Lead time in weeks\n"
        "Tannwald;1.234,50;press;tool;Mai;4\n"
        "Kirigawa;3,10;brush;tool;05/2027;2 days\n".replace("Mai", "May 2027")
    )
    first, second = read.rows
    assert (first.supplier, first.unit_cost, first.currency) == (
        "Tannwald",
        Decimal("1234.50"),
        "EUR",
    )
    assert (first.lead, second.lead) == (Lead(28, "calendar"), Lead(2))
    assert (second.month, second.year, second.type) == (5, 2027, "tool")


def test_a_month_holds_for_the_rows_below_it() -> None:
    read = year("Month,Item\nMarch,tea\n,pin\n\nApril,map\n,,\n,jar\n")
    assert brief(read) == [
        ("-03", "", "tea", ""),
        ("-03", "", "pin", ""),
        ("-04", "", "map", ""),
        ("-04", "", "jar", ""),
    ]


def test_titles_above_the_headings_name_the_year() -> None:
    read = year("Mossgate Field Club\nPlan for 2027\n\nMonth,Item\nNov,tea\nDec,pin\nJan,map\n")
    assert [(row.where, row.year) for row in read.rows] == [
        ("row 5", 2027),
        ("row 6", 2027),
        ("row 7", 2028),
    ]
    assert "The year 2027 was taken from a title." in read.notes


def test_years_carry_on_and_stand_in_a_column_of_their_own() -> None:
    read = year("Month,Item\nNov 2026,tea\nDec,pin\nJan,map\n")
    assert [row.year for row in read.rows] == [2026, 2026, 2027]
    read = year("Year,Month,Item\n2026,12,tea\n,,pin\n2027,1,map\n")
    assert brief(read) == [
        ("2026-12", "", "tea", ""),
        ("2026-12", "", "pin", ""),
        ("2027-01", "", "map", ""),
    ]


def test_months_out_of_order_are_given_no_year_that_only_order_would_tell() -> None:
    read = year("Item,Month\ntea,March 2027\npin,January\nmap,March 2028\njar,January\n")
    assert [row.year for row in read.rows] == [2027, None, 2028, None]
    read = year("Item,Month\ntea,March 2027\npin,January\nmap,March\n")
    assert [row.year for row in read.rows] == [2027, 2027, 2027]


def test_totals_and_repeated_headings_are_no_rows() -> None:
    read = year("Month,Item,Cost\nMarch,tea,1\nMonth,Item,Cost\n,pin,2\nTotal,,3\n,Grand total,3\n")
    assert [row.item for row in read.rows] == ["tea", "pin"]
    assert "Totals not read: row 5 and row 6." in read.notes
    assert read.refused == ()


def test_columns_that_mean_nothing_here_are_named() -> None:
    read = year("Month,Item,Notes,SKU,Retail price\nMarch,tea,lovely,A1,9\n")
    assert "Columns not read: Notes, SKU and Retail price." in read.notes
    assert read.rows[0].unit_cost is None


def test_what_was_guessed_is_told() -> None:
    read = year("Mnth,Prodct,Suplier,Lead time\nFebuary,tea,Aldermoor,20\n")
    (row,) = read.rows
    assert (row.month, row.item, row.supplier, row.lead) == (2, "tea", "Aldermoor", Lead(20))
    assert read.notes == (
        "Lead times without a unit were read as working days.",
        "Read “Febuary” (row 2) as February.",
        "Headings that were guessed: “Mnth”, “Prodct” and “Suplier”.",
    )


def test_two_columns_for_one_field_the_surer_word_counts() -> None:
    read = year("Month,Description,Item,Price,Unit cost\nMarch,with honey,tea,9,1.20\n")
    (row,) = read.rows
    assert (row.item, row.unit_cost) == ("tea", Decimal("1.20"))
    assert "Columns not read: Description and Price." in read.notes


def test_a_column_of_months_needs_no_heading() -> None:
    read = year(",Item,Supplier\nMarch,tea,Aldermoor\nApril,pin,Aldermoor\n")
    assert brief(read) == [("-03", "", "tea", "Aldermoor"), ("-04", "", "pin", "Aldermoor")]
    assert "Column A was read as the month." in read.notes


def test_one_odd_heading_beside_suppliers_and_prices_is_the_item() -> None:
    read = year("Month,Treasure,Supplier,Cost\nMarch,tea,Aldermoor,1.20\n")
    assert read.rows[0].item == "tea"
    assert "“Treasure” was read as the item." in read.notes


def test_items_are_taken_apart_where_no_column_stands_beside_them() -> None:
    read = year(
        'Month,Item\nMarch,"field notebook (Aldermoor) 3.10\nmint tea (Brackenfold) 1.20"\n'
    )
    assert [(row.where, row.item, row.supplier) for row in read.rows] == [
        ("row 2", "field notebook", "Aldermoor"),
        ("row 2", "mint tea", "Brackenfold"),
    ]
    read = year("Month,Item,Supplier\nMarch,map (Large) 3.10,Aldermoor\n")
    assert read.rows[0].item == "map (Large) 3.10"


def test_a_type_names_an_item_that_has_no_name() -> None:
    read = year("Month,Type,Supplier\nMarch,tea,Aldermoor\n")
    assert (read.rows[0].item, read.rows[0].type) == ("tea", "tea")


def test_ship_dates_may_name_the_month() -> None:
    read = year("Product,Ships\nlantern,15/03/2027\nwax,\npin,April\n")
    assert [(row.month, row.ship_on) for row in read.rows] == [
        (3, date(2027, 3, 15)),
        (3, None),
        (4, None),
    ]


@pytest.mark.parametrize(
    ("text", "ships"),
    [
        ("2027-03-12", date(2027, 3, 12)),
        ("12 March", date(NO_YEAR, 3, 12)),
        ("12/3", date(NO_YEAR, 3, 12)),
        ("3/22", date(NO_YEAR, 3, 22)),
        ("12", date(NO_YEAR, 3, 12)),
        ("12th", date(NO_YEAR, 3, 12)),
        ("", None),
        ("tbc", None),
    ],
)
def test_ship_dates_beside_a_month(text: str, ships: date | None) -> None:
    assert year(f"Month,Item,Ship date\nMarch,tea,{text}\n").rows[0].ship_on == ships


def test_the_whole_column_says_which_number_is_the_day() -> None:
    rows = "Month,Item,Ship date\nMarch 2027,tea,03/04/2027\nMay 2027,pin,05/04/2027\n"
    assert [row.ship_on for row in year(rows).rows] == [date(2027, 3, 4), date(2027, 5, 4)]
    read = year("Item,Ship date\ntea,03/04/2027\n")
    assert read.rows[0].ship_on == date(2027, 4, 3)
    assert "Dates such as 3/4/2027 were read as 3 April: day before month." in read.notes


ROWS_REFUSED = [
    ("Febtember,tea,1,,", "A2 says “Febtember”, which is no month; write March or March 2027."),
    ("spring,tea,1,,", "A2 says “spring”, which is no month; write March or March 2027."),
    ("3,tea,1,,", "A2 says “3”, which is no month; write March or March 2027."),
    (",tea,1,,", "names no month; write March or March 2027."),
    ("March,tea,-3.10,,", "C2 says “-3.10”, which is below zero; write a price such as 3.10."),
    ("March,tea,dear,,", "C2 says “dear”, which is no price; write 3.10 or £3.10."),
    (
        "March,tea,1,soon,",
        "D2 says “soon”, which is no lead time; write 20 working days or 4 weeks.",
    ),
    ("March,tea,1,,31 June", "E2 says “31 June”, which is no date; write 15 March 2027."),
    ("March,,1.20,,", "names no item; write its name under Item."),
    ("March," + "x" * 121 + ",1,,", "B2 is longer than 120 characters; write a shorter item."),
    ("March,=A1,1,,", "B2 holds a formula instead of its value: write the value itself."),
]


@pytest.mark.parametrize(("row", "why"), ROWS_REFUSED)
def test_a_row_is_refused_whole_with_what_would_work(row: str, why: str) -> None:
    read = year(f"Box,Item,Cost,Lead,Ship date\n{row}\nApril,pin,2,,\n")
    assert refusals(read) == {"row 2": why}
    assert [one.item for one in read.rows] == ["pin"]


def test_a_month_that_was_refused_does_not_hold_for_rows_below() -> None:
    read = year("Month,Item\nMarch,tea\nSmarch,pin\n,map\n")
    assert list(refusals(read)) == ["row 3", "row 4"]


# --- months across --------------------------------------------------------------------------

ACROSS = (
    ",January 2027,Feb,Mar\n"
    "Theme,Frost,Snow,Moss\n"
    "Ship date,15 Jan,12/02,15\n"
    "Item 1,field notebook (Aldermoor) 3.10,lantern,\n"
    "Supplier,,Hangfeng,\n"
    "Cost,,USD 1.80,\n"
    "Lead time,,4 weeks,\n"
    "Tea,mint,,x\n"
    ",nettle,,\n"
)


def test_months_across() -> None:
    read = year(ACROSS)
    assert read.layout == "months across"
    assert (read.refused, read.notes) == ((), ())
    assert brief(read) == [
        ("2027-01", "Frost", "", ""),
        ("2027-01", "", "", ""),
        ("2027-01", "", "field notebook", "Aldermoor"),
        ("2027-01", "", "mint", ""),
        ("2027-01", "", "nettle", ""),
        ("2027-02", "Snow", "", ""),
        ("2027-02", "", "", ""),
        ("2027-02", "", "lantern", "Hangfeng"),
        ("2027-03", "Moss", "", ""),
        ("2027-03", "", "", ""),
        ("2027-03", "", "Tea", ""),
    ]
    lantern = read.rows[7]
    assert (lantern.where, lantern.unit_cost, lantern.currency, lantern.lead) == (
        "cell C4",
        Decimal("1.80"),
        "USD",
        Lead(28, "calendar"),
    )
    assert [row.type for row in read.rows if row.type] == ["Tea", "Tea", "Tea"]
    assert [row.ship_on for row in read.rows if row.ship_on] == [
        date(NO_YEAR, 1, 15),
        date(NO_YEAR, 2, 12),
        date(NO_YEAR, 3, 15),
    ]


@pytest.mark.parametrize(
    ("months", "years"),
    [
        (SHORT, [None] * 12),
        ([f"{name}-27" for name in SHORT], [2027] * 12),
        ([f"2027-{n:02}" for n in range(1, 13)], [2027] * 12),
        ([f"{n:02}/2027" for n in range(1, 13)], [2027] * 12),
        ([f"01/{n:02}/2027" for n in range(1, 13)], [2027] * 12),
        ([f"{n:02}/01/2027" for n in range(1, 13)], [2027] * 12),
        ([date(2027, n, 1) for n in range(1, 13)], [2027] * 12),
        (["Jan 2027", *SHORT[1:]], [2027] * 12),
    ],
)
def test_ways_to_write_months_across(months: Sequence[Any], years: list[int | None]) -> None:
    rows = [("", *months), ("Theme", *(f"theme {n}" for n in range(1, 13)))]
    for content in (table(rows).encode(), book(rows)):
        read = year(content)
        assert [(row.month, row.theme) for row in read.rows] == [
            (n, f"theme {n}") for n in range(1, 13)
        ]
        assert [row.year for row in read.rows] == years


def test_years_in_a_merged_row_above_the_months() -> None:
    def dress(sheet: Worksheet) -> None:
        sheet.merge_cells("B1:C1")
        sheet.merge_cells("D1:E1")

    rows = [
        ("", 2026, "", 2027, ""),
        ("", "Nov", "Dec", "Jan", "Feb"),
        ("Theme", "Fog", "Frost", "Snow", "Thaw"),
    ]
    read = year(book(rows, dress))
    assert [row.year for row in read.rows] == [2026, 2026, 2027, 2027]
    assert read.notes == ("Merged cells (B1:C1, D1:E1) count for each of their cells.",)
    assert [row.year for row in year(table(rows)).rows] == [2026, 2026, 2027, 2027]


def test_a_theme_merged_over_two_months_holds_for_both() -> None:
    def dress(sheet: Worksheet) -> None:
        sheet.merge_cells("B2:C2")
        sheet.merge_cells("A3:D3")

    rows = [("", "Jan", "Feb", "Mar"), ("Theme", "Frost", "", "Moss"), ("Contents",), ("Item", "a")]
    read = year(book(rows, dress))
    assert [row.theme for row in read.rows if row.theme] == ["Frost", "Frost", "Moss"]
    assert [row.item for row in read.rows if row.item] == ["a"]


def test_columns_of_different_things_below_each_month() -> None:
    def dress(sheet: Worksheet) -> None:
        sheet.merge_cells("B1:D1")
        sheet.merge_cells("E1:G1")

    rows: list[Sequence[Any]] = [
        ("", "March 2027", "", "", "April 2027", "", ""),
        ("", "Item", "Supplier", "Cost", "Item", "Supplier", "Cost"),
        ("Tea", "mint", "Brackenfold", 1.2, "nettle", "", 1.3),
        ("Pin", "", "Aldermoor", "", "moss pin", "Tannwald", "low"),
    ]
    read = year(book(rows, dress))
    assert [(r.month, r.item, r.type, r.supplier, r.unit_cost) for r in read.rows] == [
        (3, "mint", "Tea", "Brackenfold", Decimal("1.2")),
        (4, "nettle", "Tea", "", Decimal("1.3")),
        (4, "moss pin", "Pin", "Tannwald", None),
    ]
    assert refusals(read) == {
        "cell C4": "stands beside 0 items; write it beside one.",
        "cell G4": "says “low”, which is no price; write 3.10 or £3.10.",
    }


def test_facts_by_number() -> None:
    read = year(
        ",Jan,Feb,Mar\nItem 1,tea,pin,map\nItem 2,jar,,\nCost 1,1.10,1.20,1.30\nCost 2,2,,\n"
    )
    assert [(row.item, row.unit_cost) for row in read.rows] == [
        ("tea", Decimal("1.10")),
        ("jar", Decimal(2)),
        ("pin", Decimal("1.20")),
        ("map", Decimal("1.30")),
    ]


def test_lines_that_are_not_read_are_named() -> None:
    read = year(
        ",Jan,Feb,Mar,Total\nTheme,a,b,c,\nSubscribers,1,2,3,6\nGuests,10,20,30,60\n"
        "Box cost,4,5,6,15\nNotes,x,y,z,\n"
    )
    assert read.notes == (
        "Not read: Total (cell E1), Subscribers (row 3), Guests (row 4), Box cost (row 5) "
        "and Notes (row 6).",
    )
    assert len(read.rows) == 3


CELLS_REFUSED = [
    ("Item,tea,3.10,pin", "cell C3", "says “3.10”, which names no item; write field notebook."),
    ("Item,tea,£3.10,pin", "cell C3", "names no item; write it as: field notebook (Aldermoor) "),
    ("Item,tea,12,pin", "cell C3", "says “12”, which names no item; write field notebook."),
    ("Item,tea,map -1.00,pin", "cell C3", "says “-1.00”, which is below zero; "),
    ("Ship date,1,soon,2", "cell C3", "says “soon”, which is no date; write 15 March 2027."),
    ("Ship date,1,30,2", "cell C3", "says “30”, which is no date; write 15 March 2027."),
    ("Item,a,b,c\nCost,1,low,2", "cell C4", "says “low”, which is no price; write 3.10 or £3.10."),
    ("Item,a,b; c,d\nCost,1,2,3", "cell C4", "stands beside 2 items; write it beside one."),
    ("Item,a,,c\nCost,1,2,3", "cell C4", "stands beside 0 items; write it beside one."),
    ("Cost,1,2,3\nItem,a,b,c", "row 3", "“Cost” stands before any item."),
]


@pytest.mark.parametrize(("lines", "where", "why"), CELLS_REFUSED)
def test_a_cell_is_refused_with_what_would_work(lines: str, where: str, why: str) -> None:
    read = year(f",Jan,Feb,Mar\nTheme,x,y,z\n{lines}\n")
    assert list(refusals(read)) == [where]
    assert refusals(read)[where].startswith(why)


def test_a_month_that_comes_again_without_a_year() -> None:
    read = year(table([("", *SHORT, "Jan"), ("Theme", *SHORT, "again")]))
    assert refusals(read) == {
        "cell N1": "is January a second time; write the year too, as in January 2028."
    }
    assert len(read.rows) == 12


# --- a whole box in each row ----------------------------------------------------------------


def test_months_down_with_several_items() -> None:
    read = year(
        "Plan 2027\n\nMonth,Theme,Item 1,Item 2,Ship date,Notes\n"
        "Jan,Frost,tea (Brackenfold) 1.20,pin,15,cold\n"
        ",,map,,,\nFeb,Snow,jar,,12 Feb,\nTotal,,,,,\n"
    )
    assert read.layout == "months down"
    assert brief(read) == [
        ("2027-01", "Frost", "", ""),
        ("2027-01", "", "tea", "Brackenfold"),
        ("2027-01", "", "pin", ""),
        ("2027-01", "", "", ""),
        ("2027-01", "", "map", ""),
        ("2027-02", "Snow", "", ""),
        ("2027-02", "", "jar", ""),
        ("2027-02", "", "", ""),
    ]
    assert read.rows[1].where == "cell C4"
    assert read.notes == (
        "The year 2027 was taken from a title.",
        "Not read: Total (cell A7) and Notes (column F).",
    )


def test_months_down_with_types_for_headings() -> None:
    read = year("Month,Tea,Pin\nJan,mint,\nFebtember,x,x\nMar,x,moss pin\n")
    assert [(row.month, row.item, row.type) for row in read.rows] == [
        (1, "mint", "Tea"),
        (3, "Tea", "Tea"),
        (3, "moss pin", "Pin"),
    ]
    assert list(refusals(read)) == ["cell A3"]


# --- workbooks ------------------------------------------------------------------------------


def test_a_workbook_with_dates_formulas_and_several_sheets() -> None:
    rows = [
        HEADINGS,
        (date(2027, 3, 1), "Moss", "tea", "tea", "Aldermoor", 1.2, 20, date(2027, 3, 15)),
        ("", "", "map", "print", "Tannwald", "=1+2", "4 weeks", ""),
    ]

    def dress(sheet: Worksheet) -> None:
        sheet["F2"].number_format = '"£"#,##0.00'

    content = book(rows, dress, Suppliers=[("Name",), ("Aldermoor",)], Empty=[])
    read = year(content, "plan.xlsx")
    (row,) = read.rows
    assert (row.unit_cost, row.currency, row.ship_on) == (
        Decimal("1.2"),
        "GBP",
        date(2027, 3, 15),
    )
    assert "F3 holds a formula without a saved value: open and save it" in refusals(read)["row 3"]
    assert read.notes[0] == "Read the sheet “Plan”, not “Suppliers”."


def test_the_sheet_that_reads_best_is_read() -> None:
    content = book(
        [("Month", "Item"), ("March", "tea")],
        title="Old",
        New=[("Month", "Item"), ("March", "tea"), ("April", "pin")],
    )
    read = year(content)
    assert len(read.rows) == 2
    assert read.notes == ("Read the sheet “New”, not “Old”.",)


def test_the_name_of_a_sheet_or_file_may_name_the_year() -> None:
    rows = [("Month", "Item"), ("March", "tea")]
    assert year(book(rows, title="Boxes 2027"), "plan.xlsx").rows[0].year == 2027
    assert year(table(rows), "boxes-2027.csv").rows[0].year == 2027
    assert year(table(rows), "boxes.csv").rows[0].year is None


# --- no year in it --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("Item,Cost\ntea,1.20\n", "I see the headings “Item” and “Cost”, but no column or row of"),
        ("tea\n", "names no months"),
        ("March,tea\nApril,pin\n", "names no months"),
        ("Month,Item\n", "has months but nothing beside them"),
        (",Jan,Feb,Mar\n", "has months but nothing beside them"),
        ("1,2,3\n4,5,6\n", "It is a table, but no column or row of months"),
    ],
)
def test_a_table_without_a_year_says_what_was_seen_and_what_works(content: str, said: str) -> None:
    text = problem(content)
    assert said in text
    assert "Month, Theme, Item, Supplier, Unit cost, Lead time, Ship date" in text


def test_the_example_headings_are_read() -> None:
    text = problem("Item,Cost\ntea,1.20\n")
    example = text.rpartition(": ")[2]
    assert len(year(f"{example}\nMarch,a,b,c,1.20,20,15\n").rows) == 1


def test_headings_mean_one_thing_each() -> None:
    words = [word for words in WORDS.values() for word in words]
    assert len(words) == len(set(words))
    assert all(heading(word).field == field for field in WORDS for word in WORDS[field])


@pytest.mark.parametrize(
    "name",
    ["Tea", "Pin", "Art print", "Drawing tool", "Seeds", "Candle", "Soap", "Mug", "Print", "Pen"],
)
def test_what_shops_sell_is_no_heading(name: str) -> None:
    assert heading(name).field == ""


# --- what is written is read back -----------------------------------------------------------

NAMES = st.sampled_from(
    ["mint tea", "field notebook", "enamel pin", "wax", "moss print", "lantern"]
)
PLANS = st.lists(
    st.fixed_dictionaries(
        {
            "month": st.integers(1, 12),
            "theme": st.sampled_from(["", "Moss & Fern", "first swifts"]),
            "item": NAMES,
            "type": st.sampled_from(["", "tea", "pin"]),
            "supplier": st.sampled_from(["", "Aldermoor", "Brackenfold", "Tannwald"]),
            "unit_cost": st.none() | st.decimals("0.01", 99, places=2),
            "quantity": st.none() | st.integers(1, 5000),
            "lead": st.none() | st.builds(Lead, st.integers(1, 90)),
            "ship_on": st.none() | st.integers(1, 28),
        }
    ),
    min_size=1,
    max_size=15,
)
FIELDS = ("month", "theme", "item", "type", "supplier", "unit_cost", "quantity", "lead", "ship_on")
SOMETIMES = ("box month", "monthly theme", "product", "category", "vendor", "price each", "qty",
             "lead time in days", "dispatch date")  # fmt: skip
MONTH_STYLES = ("{0:%B %Y}", "{0:%b-%y}", "{0:%Y-%m}", "{0:%m/%Y}")


@given(
    PLANS,
    st.permutations(range(len(FIELDS))),
    st.lists(st.booleans(), min_size=9, max_size=9),
    st.sampled_from(MONTH_STYLES),
    st.integers(0, 3),
    st.sampled_from([",", ";", "\t", "xlsx"]),
)
def test_a_plan_written_with_a_row_for_each_item_is_read_back(
    plan_rows: list[dict[str, Any]],
    order: list[int],
    others: list[bool],
    month_style: str,
    titles: int,
    kind: str,
) -> None:
    heads = [SOMETIMES[at] if others[at] else FIELDS[at].replace("_", " ") for at in range(9)]
    heads = ["ship date" if head == "ship on" else head for head in heads]
    written: list[list[Any]] = [["Our boxes"]] * titles + [[heads[at] for at in order]]
    for one in plan_rows:
        first = date(2027, one["month"], 1)
        cells = {
            **{key: value if value is not None else "" for key, value in one.items()},
            "month": month_style.format(first),
            "lead": f"{one['lead'].days} working days" if one["lead"] else "",
            "ship_on": (first + timedelta(one["ship_on"] - 1)) if one["ship_on"] else "",
        }
        written.append([cells[FIELDS[at]] for at in order])
    if kind == "xlsx":
        content = book(written)
    else:
        out = io.StringIO()
        csv.writer(out, delimiter=kind).writerows(written)
        content = out.getvalue().encode()
    read = year(content)
    assert read.refused == ()
    assert read.rows == tuple(
        Row(
            where=f"row {at + titles + 2}",
            year=2027,
            **{
                **one,
                "ship_on": date(2027, one["month"], one["ship_on"]) if one["ship_on"] else None,
            },
        )
        for at, one in enumerate(plan_rows)
    )


@given(
    st.integers(2, 12),
    st.lists(st.tuples(NAMES, st.sampled_from(["", "Aldermoor"])), min_size=12, max_size=12),
    st.booleans(),
    st.booleans(),
)
def test_both_layouts_of_a_whole_box_say_the_same(
    count: int, items: list[tuple[str, str]], turned: bool, workbook: bool
) -> None:
    names = [f"{name} ({supplier})" if supplier else name for name, supplier in items[:count]]
    rows: list[list[str]] = [
        ["Month", *(f"{name} 2027" for name in SHORT[:count])],
        ["Theme", *(f"theme {n}" for n in range(count))],
        ["Item 1", *names],
        ["Item 2", *("wax" for _ in range(count))],
    ]
    if turned:
        rows = [list(row) for row in zip(*rows, strict=True)]
    read = year(book(rows) if workbook else table(rows))
    assert read.layout == ("months down" if turned else "months across")
    assert brief(read) == [
        line
        for at, (name, supplier) in enumerate(items[:count])
        for line in (
            (f"2027-{at + 1:02}", f"theme {at}", "", ""),
            (f"2027-{at + 1:02}", "", name, supplier),
            (f"2027-{at + 1:02}", "", "wax", ""),
        )
    ]


@pytest.mark.parametrize(
    "content", [ACROSS, table([HEADINGS, ("May", "a", "b", "", "C", 1, 2, 15)])]
)
def test_the_same_file_twice_changes_nothing(content: str) -> None:
    into: Shop = shop("Aldermoor", "2027-01 Frost: field notebook@Aldermoor 450")
    rows = year(content).rows
    after = apply(into, plan(into, rows, TODAY, "m1").changes)
    assert after != into
    assert plan(after, year(content).rows, TODAY, "m2").changes == ()


# --- any table ------------------------------------------------------------------------------

CELLS = st.just("") | st.text(max_size=8)
CELLS |= st.sampled_from(["Month", "Theme", "Item", "Item 2", "Cost", "Ships", "Year", "Total"])
CELLS |= st.sampled_from(["Tea", "Supplier", "Lead weeks", "Notes", "tea (Aldermoor)", "x", "a;b"])
CELLS |= st.sampled_from(
    ["March", "Jan 2027", "2027", "Febuary", "2027-05-06", "31/02/2027", "13/1"]
)
CELLS |= st.sampled_from(["12", "3.10", "-1", "20 days", "?", "=1", "\u202e"])


@given(st.lists(st.lists(CELLS, max_size=7), max_size=9))
def test_any_table_gives_a_year_or_a_problem(rows: list[list[str]]) -> None:
    read = read_file(table(rows).encode("utf-8", "surrogatepass"), "plan.csv")
    if isinstance(read, Problem):
        assert read.text
        return
    assert read.rows or read.refused
    for row in read.rows:
        assert 1 <= row.month <= 12
        assert row.theme or row.item or row.ship_on
        assert row.unit_cost is None or row.unit_cost >= 0
    assert all(
        one.why and one.where.startswith(("row ", "cell ", "column ")) for one in read.refused
    )
    first = plan(shop(), read.rows, TODAY, "m1")
    after = apply(shop(), first.changes)
    assert plan(after, read.rows, TODAY, "m2").changes == ()

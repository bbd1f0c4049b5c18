"""Prices from a quantity on, and how long prices hold, out of a price list.

Every supplier and thing is invented.
"""

from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Break, OfferRow
from assistant.planning.trade.quotes import dearer
from assistant.sheets.break_columns import falling, quantity_of
from assistant.sheets.grid import read_grids
from assistant.sheets.offer_fields import date_in, last_day_in, named_unit
from assistant.sheets.price_list import PriceList, find_list, read_any
from assistant.sheets.year_table import ReadYear


def priced(content: str) -> PriceList:
    read = read_any(content.encode(), "list.csv")
    assert isinstance(read, PriceList), read
    return read


def only(content: str) -> OfferRow:
    (row,) = priced(content).rows
    return row


def at(quantity: int, price: str) -> Break:
    return Break(quantity, Decimal(price))


@pytest.mark.parametrize(
    ("heading", "quantity"),
    [
        ("100+", 100),
        ("1,000+", 1000),
        ("from 500", 500),
        ("From 500 pcs", 500),
        ("500 pcs", 500),
        ("500 off", 500),
        ("price 500", 500),
        ("Price at 500", 500),
        ("Unit price from 500 (GBP)", 500),
        ("100-249", 100),
        ("250 to 499", 250),
        ("@500", 500),
        ("qty 500", 500),
        ("250 or more", 250),
        ("500 units £", 500),
        ("100", None),
        ("price 2027", None),
        ("Price", None),
        ("Item 2", None),
        ("Prices from 4 January 2027", None),
        ("minimum", None),
        ("0+", None),
    ],
)
def test_a_heading_tells_from_how_many_pieces_on(heading: str, quantity: int | None) -> None:
    assert quantity_of(heading) == quantity


@pytest.mark.parametrize(
    "heads", ["100+,500+", "from 100,from 500", "100 pcs,500 pcs", "price 100,price 500", "100,500"]
)
def test_columns_of_breaks_stand_beside_the_price(heads: str) -> None:
    row = only(f"Item,Price,{heads}\nmoss print,2.10,1.95,1.80\n")
    assert row.price == Decimal("2.10")
    assert row.breaks == (at(100, "1.95"), at(500, "1.80"))


def test_the_order_of_the_columns_does_not_matter() -> None:
    row = only("500+,Item,100+,Price\n1.80,moss print,1.95,2.10\n")
    assert row.breaks == (at(100, "1.95"), at(500, "1.80"))


def test_without_a_column_of_prices_the_smallest_quantity_is_the_minimum() -> None:
    row = only("Product,100+,500+,1000+\nmoss print,1.95,1.80,\n")
    assert (row.price, row.minimum) == (Decimal("1.95"), 100)
    assert row.breaks == (at(500, "1.80"),)
    own = only("Product,1+,500+,MOQ\nmoss print,1.95,1.80,50\n")
    assert (own.price, own.minimum) == (Decimal("1.95"), 50)


def test_a_blank_break_is_none_and_one_that_saves_nothing_is_left_out() -> None:
    row = only("Item,Price,100+,250+,500+\nmoss print,2.10,2.10,,1.80\n")
    assert row.breaks == (at(500, "1.80"),)


def test_breaks_that_cost_more_are_told_and_the_row_is_taken_without_them() -> None:
    read = priced(
        "Item,Price,100+,500+,MOQ\nmoss print,2.10,1.95,2.40,50\ntin mug,4.00,3.80,3.60,\n"
    )
    moss, mug = read.rows
    assert (moss.price, moss.breaks, moss.minimum) == (Decimal("2.10"), (), 50)
    assert mug.breaks == (at(100, "3.80"), at(500, "3.60"))
    (note,) = read.notes
    assert note == (
        "Price breaks not read, as more pieces cost more each: row 2 (from 500 on 2.40 each)."
    )
    assert read.refused == ()


def test_a_break_that_cannot_be_read_is_told_by_its_cell() -> None:
    read = priced("Item,Price,100+,500+\nmoss print,2.10,ask Jo,1.80\n")
    assert read.rows[0].breaks == (at(500, "1.80"),)
    assert "Price breaks not read: C2." in read.notes


def test_a_break_in_another_currency_than_its_price_is_not_read() -> None:
    read = priced("Item,Price,100+\nmoss print,£2.10,€1.95\n")
    assert read.rows[0].breaks == ()
    assert "Price breaks not read: C2." in read.notes


def test_years_of_prices_are_no_quantities() -> None:
    read = priced("Item,Price,Price 2026,MOQ\nmoss print,2.10,1.95,50\n")
    assert read.rows[0].breaks == ()


def test_numbers_that_may_be_months_are_no_quantities() -> None:
    (grid,) = read_grids(b"Item,Price,1,2\nmoss print,2.10,3,4\n", "list.csv")  # type: ignore[misc]
    table = find_list(grid)
    assert table is None or table.breaks == ()


# --- how long they hold ---------------------------------------------------------------------


@pytest.mark.parametrize("heading", ["Valid until", "Valid to", "Expires", "Expiry date"])
def test_a_column_says_until_when_a_price_holds(heading: str) -> None:
    assert named_unit(heading).field == "valid_until"
    row = only(f"Item,Price,{heading}\nmoss print,2.10,31 January 2027\n")
    assert row.valid_until == date(2027, 1, 31)


def test_days_that_differ_make_no_year_of_a_list() -> None:
    content = "Item,Price,Valid until\nmoss print,2.10,31/01/2027\ntin mug,4.00,28/02/2027\n"
    read = read_any(content.encode(), "list.csv")
    assert not isinstance(read, ReadYear)
    assert [one.valid_until for one in priced(content).rows] == [
        date(2027, 1, 31),
        date(2027, 2, 28),
    ]


@pytest.mark.parametrize(
    ("title", "first", "last"),
    [
        ("Valid until 31 March 2027", None, date(2027, 3, 31)),
        ("Prices valid until 31/03/2027", None, date(2027, 3, 31)),
        ("Prices from 4 January 2027", date(2027, 1, 4), None),
        ("Valid from 4 January 2027 until 31 March 2027", date(2027, 1, 4), date(2027, 3, 31)),
        ("Prices 4 January 2027, expires 2027-03-31", date(2027, 1, 4), date(2027, 3, 31)),
        ("Until further notice", None, None),
    ],
)
def test_a_title_says_from_when_until_when(
    title: str, first: date | None, last: date | None
) -> None:
    assert (date_in(title), last_day_in(title)) == (first, last)
    row = only(f'"{title}"\nItem,Price\nmoss print,2.10\n')
    assert (row.quoted, row.valid_until) == (first, last)


def test_a_rows_own_last_day_comes_before_the_titles() -> None:
    read = priced(
        "Valid until 31 March 2027\nItem,Price,Expires\nmoss,2.10,\nmug,4,28 February 2027\n"
    )
    assert [one.valid_until for one in read.rows] == [date(2027, 3, 31), date(2027, 2, 28)]


# --- what is a break ------------------------------------------------------------------------

PRICES = st.lists(st.integers(1, 500), min_size=1, max_size=6)


@given(PRICES)
def test_breaks_are_dear_exactly_where_a_price_rises(prices: list[int]) -> None:
    breaks = [Break(100 * n, Decimal(price)) for n, price in enumerate(prices, 1)]
    rises = [b for a, b in pairwise(breaks) if b.price > a.price]
    assert dearer(None, breaks) == (rises[0] if rises else None)
    assert dearer(None, reversed(breaks)) == dearer(None, breaks)


@given(PRICES)
def test_what_is_kept_of_breaks_falls(prices: list[int]) -> None:
    breaks = [Break(100 * n, Decimal(price)) for n, price in enumerate(prices, 1)]
    kept = falling(breaks)
    assert all(b.price < a.price for a, b in pairwise(kept))
    assert kept[0] == breaks[0]
    assert min(one.price for one in kept) <= breaks[0].price

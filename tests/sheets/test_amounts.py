"""Prices, lead times and numbers of units as people write them. All invented."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Lead
from assistant.sheets.amounts import (
    Price,
    currency_in,
    has_decimal_comma,
    number_in,
    read_lead,
    read_price,
    read_quantity,
    says_nothing,
)
from assistant.sheets.cells import Fault

PRICES = [
    ("3.10", "3.10", ""),
    ("3,10", "3.10", ""),
    ("£3.10", "3.10", "GBP"),
    ("£ 3.10", "3.10", "GBP"),
    ("3,10 €", "3.10", "EUR"),
    ("EUR 3.10", "3.10", "EUR"),
    ("USD 4", "4", "USD"),
    ("usd4", "4", "USD"),
    ("US$4", "4", "USD"),
    ("USD $4", "4", "USD"),
    ("$4", "4", "$"),
    ("¥300", "300", "¥"),
    ("25 kr.", "25", "kr"),
    ("85p", "0.85", "GBP"),
    ("1.234,56", "1234.56", ""),
    ("1,234.56", "1234.56", ""),
    ("1 234,56", "1234.56", ""),
    ("1'234.50", "1234.50", ""),
    ("1,234", "1234", ""),
    ("0.125", "0.125", ""),
    ("3.10 each", "3.10", ""),
    ("£3.10 ea.", "3.10", "GBP"),
    ("3.10/unit", "3.10", ""),
    ("£3.10 + VAT", "3.10", "GBP"),
    ("~3", "3", ""),
    ("free", "0", ""),
    (Decimal("3.0999999999999996"), "3.10", ""),
    (Decimal("0.12345"), "0.1234", ""),
    (Decimal(0), "0", ""),
]


@pytest.mark.parametrize(("cell", "amount", "currency"), PRICES)
def test_prices(cell: str | Decimal, amount: str, currency: str) -> None:
    price = read_price(cell)
    assert price == Price(Decimal(amount), currency)


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        ("-3.10", "below zero"),
        ("(3.10)", "below zero"),
        ("-£3.10", "below zero"),
        ("£ -3.10", "below zero"),
        ("−3.10", "below zero"),
        (Decimal("-0.01"), "below zero"),
        ("3-4", "no price"),
        ("ask Mari", "no price"),
        ("£3 or €4", "no price"),
        ("1,23,456", "no price"),
        ("3.1.0", "no price"),
        ("9" * 12, "too much"),
        ("9" * 300, "no price"),
        (Decimal("1e300"), "too much"),
    ],
)
def test_what_is_no_price(cell: str | Decimal, said: str) -> None:
    fault = read_price(cell)
    assert isinstance(fault, Fault)
    assert said in fault.why
    assert "3.10" in fault.why
    assert len(fault.why) < 110


def test_a_column_decides_what_a_full_stop_means() -> None:
    assert has_decimal_comma(["3,10", "1.234"])
    assert not has_decimal_comma(["3.10", "1,234"])
    assert not has_decimal_comma(["3,10", "3.10"])
    assert not has_decimal_comma([Decimal("3.1"), "1.234"])
    assert number_in("1.234", decimal_comma=True) == Decimal(1234)
    assert number_in("1,234", decimal_comma=True) == Decimal("1.234")
    assert number_in("0.125", decimal_comma=True) == Decimal("0.125")
    assert read_price(Decimal("1.234"), decimal_comma=True) == Price(Decimal("1.234"))


@given(st.decimals(0, 999_999, places=2), st.sampled_from("£€"), st.booleans(), st.booleans())
def test_a_price_reads_back(amount: Decimal, sign: str, comma: bool, ahead: bool) -> None:
    number = f"{amount:,.2f}"
    if comma:
        number = number.translate(str.maketrans(",.", ".,"))
    price = read_price(f"{sign}{number}" if ahead else f"{number} {sign}", decimal_comma=comma)
    assert price == Price(amount, {"£": "GBP", "€": "EUR"}[sign])


@pytest.mark.parametrize(
    ("text", "currency"),
    [("Unit cost (GBP)", "GBP"), ("Cost €", "EUR"), ("Cost", ""), ("£ or €", ""), ("krone", "")],
)
def test_the_currency_of_a_heading(text: str, currency: str) -> None:
    assert currency_in(text) == currency


@pytest.mark.parametrize(
    ("cell", "lead"),
    [
        ("20 working days", Lead(20)),
        ("20 Business Days", Lead(20)),
        ("20d", Lead(20)),
        ("20 days", Lead(20)),
        ("20", Lead(20)),
        (Decimal(20), Lead(20)),
        ("lead 20d", Lead(20)),
        ("30 calendar days", Lead(30, "calendar")),
        ("4 weeks", Lead(28, "calendar")),
        ("4w", Lead(28, "calendar")),
        ("4 wks.", Lead(28, "calendar")),
        ("1.5 weeks", Lead(11, "calendar")),
        ("2 working weeks", Lead(10)),
        ("2 months", Lead(60, "calendar")),
        ("3-4 weeks", Lead(28, "calendar")),
        ("3 to 4 weeks lead time", Lead(28, "calendar")),
        ("about 10 days", Lead(10)),
        ("in stock", Lead(0)),
        ("0", Lead(0)),
    ],
)
def test_lead_times(cell: str | Decimal, lead: Lead) -> None:
    assert read_lead(cell) == lead


def test_a_heading_gives_bare_numbers_their_unit() -> None:
    assert read_lead("4", (7, "calendar")) == Lead(28, "calendar")
    assert read_lead("20 working days", (7, "calendar")) == Lead(20)


@pytest.mark.parametrize("cell", ["soon", "-5", "5 moons", "999 days", "200 weeks", "9" * 300])
def test_what_is_no_lead_time(cell: str) -> None:
    fault = read_lead(cell)
    assert isinstance(fault, Fault)
    assert "20 working days" in fault.why


@pytest.mark.parametrize(
    ("cell", "number"),
    [("450", 450), ("1,000", 1000), ("450 pcs", 450), ("x 450", 450), (Decimal(450), 450)],
)
def test_numbers_of_units(cell: str | Decimal, number: int) -> None:
    assert read_quantity(cell) == number


@pytest.mark.parametrize("cell", ["many", "4.5", Decimal("4.5"), "-3", Decimal(-3), "1" * 60])
def test_what_is_no_number_of_units(cell: str | Decimal) -> None:
    assert isinstance(read_quantity(cell), Fault)


@pytest.mark.parametrize("cell", ["", " ", "-", "tbc", "TBA", "n/a", "?"])
def test_cells_that_say_nothing_yet(cell: str) -> None:
    assert says_nothing(cell)
    assert not says_nothing("tea")
    assert not says_nothing(Fault("holds a formula"))


@given(st.text(max_size=90) | st.decimals(allow_nan=False, allow_infinity=False))
def test_reading_never_raises(cell: str | Decimal) -> None:
    price, lead, number = read_price(cell), read_lead(cell), read_quantity(cell)
    assert isinstance(price, Fault) or price.amount >= 0
    assert isinstance(lead, Fault) or lead.days >= 0
    assert isinstance(number, Fault) or number >= 0

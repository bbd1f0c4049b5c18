"""The one rounding rule, and rates.

Digits of a currency: ISO 4217, "minor unit". A half is rounded away from zero.
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.money import DIGITS, in_own, plain_number, rate_on, to_pay
from assistant.planning.model import Rate
from assistant.sheets.writing import money
from tests.trade import shop

AMOUNTS = st.decimals(-(10**9), 10**9, places=6)
CURRENCIES = st.sampled_from(["GBP", "EUR", "JPY", "KWD"])


@pytest.mark.parametrize(
    ("amount", "currency", "paid"),
    [
        ("0.005", "GBP", "0.01"),
        ("-0.005", "GBP", "-0.01"),
        ("2.675", "EUR", "2.68"),  # a binary fraction would give 2.67
        ("2.665", "EUR", "2.67"),  # to even would give 2.66
        ("449.5", "JPY", "450"),
        ("448.5", "JPY", "449"),
        ("1.0005", "KWD", "1.001"),
        ("0.004999999", "GBP", "0.00"),
    ],
)
def test_a_half_goes_away_from_zero(amount: str, currency: str, paid: str) -> None:
    assert to_pay(Decimal(amount), currency) == Decimal(paid)


@given(AMOUNTS, CURRENCIES)
def test_what_is_paid_is_the_nearest_amount_there_is(amount: Decimal, currency: str) -> None:
    unit = Fraction(1, 10 ** DIGITS.get(currency, 2))
    paid, exact = Fraction(to_pay(amount, currency)), Fraction(amount)
    assert paid % unit == 0
    assert abs(paid - exact) <= unit / 2
    if abs(paid - exact) == unit / 2:
        assert abs(paid) > abs(exact)


@given(AMOUNTS, CURRENCIES)
def test_rounding_twice_is_rounding_once_and_sides_are_alike(amount: Decimal, code: str) -> None:
    once = to_pay(amount, code)
    assert to_pay(once, code) == once
    assert to_pay(-amount, code) == -once


@given(st.decimals(0, 10**6, places=4), CURRENCIES)
def test_what_is_told_is_what_is_paid(amount: Decimal, currency: str) -> None:
    told = money(amount, currency).translate(str.maketrans("", "", "\u00a3\u20ac, " + currency))
    assert Decimal(told) == to_pay(amount, currency)


def test_amounts_are_told_to_their_smallest_unit() -> None:
    assert money(Decimal("450.4"), "JPY") == "450 JPY"
    assert money(Decimal("2.665"), "GBP") == "\u00a32.67"


RATES = tuple(
    Rate(f"EUR/{on}", "EUR", date.fromisoformat(on), Decimal(rate))
    for on, rate in (("2027-03-01", "0.88"), ("2027-01-05", "0.86"), ("2027-06-01", "0.84"))
)
KEPT = replace(shop("2027-03 Rain", currency="GBP"), rates=RATES)


@pytest.mark.parametrize(
    ("day", "rate"),
    [
        ("2027-01-04", "0.86"),  # before the first: the first
        ("2027-01-05", "0.86"),
        ("2027-02-28", "0.86"),
        ("2027-03-01", "0.88"),
        ("2028-01-01", "0.84"),
    ],
)
def test_the_newest_rate_that_is_not_later_holds(day: str, rate: str) -> None:
    on = date.fromisoformat(day)
    found = rate_on(KEPT, "EUR", on)
    assert found is not None
    assert found.rate == Decimal(rate)
    assert in_own(KEPT, Decimal("3.333"), "EUR", on) == Decimal("3.333") * Decimal(rate)


def test_an_amount_without_a_rate_is_not_known() -> None:
    day = date(2027, 3, 1)
    assert in_own(KEPT, Decimal(3), "JPY", day) is None
    assert in_own(KEPT, Decimal(3), "", day) == in_own(KEPT, Decimal(3), "GBP", day) == 3


def test_a_plain_number_keeps_its_digits_and_no_exponent() -> None:
    assert [plain_number(Decimal(n)) for n in ("0.8600", "20", "1E+3", "1.50")] == [
        *("0.86", "20", "1000", "1.5"),
    ]

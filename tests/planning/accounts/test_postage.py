"""What a parcel costs to post. Divisors, steps and prices here are test inputs, no tariffs.

Dimensional weights: Pengellys (freight forwarder), volumetric weight fact sheet; public articles
on carriers' rates (Supply Chain Dive, Postal Advocate).
"""

from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil, prod

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.postage import (
    NO_SIZE,
    NO_TABLE,
    TOO_MUCH,
    Parcel,
    billed_weight,
    cheapest,
    dimensional_weight,
    rounded_up,
    tables,
    ways,
    weigh,
)
from assistant.planning.model import Band, Shop, Tariff
from assistant.planning.year.contents import fits
from tests.trade import shop

TODAY = date(2027, 1, 11)


def decimals(*numbers: object) -> list[Decimal]:
    return [Decimal(str(number)) for number in numbers]


def with_tables(*tariffs: Tariff) -> Shop:
    return replace(shop("2027-03 Rain"), tariffs=tariffs)


def table(service: str, *bands: Band, since: date = TODAY, **rule: object) -> Tariff:
    return Tariff(f"{service}/{since}", service, since, bands, **rule)  # type: ignore[arg-type]


# --- published cases ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("divisor", "step", "dimensional", "billed"),
    [("6000", "1", "14.625", "15"), ("5000", "0.5", "17.55", "18.0")],
)
def test_centimetres_and_kilograms(divisor: str, step: str, dimensional: str, billed: str) -> None:
    """Pengellys: 30 x 45 x 65 cm, 14 kg."""
    found = dimensional_weight(decimals(30, 45, 65), Decimal(divisor))
    assert found == Decimal(dimensional)
    assert billed_weight(Decimal(14), found, Decimal(step)) == Decimal(billed)


@pytest.mark.parametrize(
    ("divisor", "step", "grams"), [("6000", 1000, 15_000), ("5000", 500, 18_000)]
)
def test_the_same_in_millimetres_and_grams(divisor: str, step: int, grams: int) -> None:
    tariff = table("air", divisor=Decimal(divisor), step_grams=step)
    found = weigh(tariff, 14_000, (300, 450, 650))
    assert found is not None
    assert found[1] == grams


@pytest.mark.parametrize(
    ("sides", "divisor", "printed", "billed"),
    [
        ((24, 24, 24), 139, "99.45", 100),
        ((10, 10, 10), 139, "7.19", 8),
        ((15, 15, 22), 139, "35.61", 36),
        ((15, 15, 22), 166, "29.82", 30),
        ((12, 12, 12), 139, "12.43", 13),
    ],
)
def test_inches_and_pounds(sides: tuple[int, ...], divisor: int, printed: str, billed: int) -> None:
    """Supply Chain Dive, Postal Advocate and others; rounded up to the next pound."""
    found = dimensional_weight(decimals(*sides), Decimal(divisor))
    assert abs(found - Decimal(printed)) <= Decimal("0.005")
    assert billed_weight(Decimal(1), found, Decimal(1)) == billed


# --- rules ----------------------------------------------------------------------------------

SIDES = st.tuples(*[st.integers(1, 1500)] * 3)


@given(
    SIDES,
    st.integers(1, 30_000),
    st.integers(1000, 9000),
    st.sampled_from([1, 5, 10, 25]),
    st.sampled_from([1, 100, 500, 1000]),
    st.sampled_from([0, 1000, 9000]),
)
def test_billed_as_in_whole_fractions(
    mm: tuple[int, int, int], grams: int, divisor: int, side: int, step: int, above: int
) -> None:
    """Against the same rule in exact fractions."""
    rule = {"divisor": Decimal(divisor), "side_mm": side, "step_grams": step, "above_cm3": above}
    found = weigh(table("post", **rule), grams, mm)
    assert found is not None
    volume = prod(ceil(Fraction(one, side)) * side for one in mm)
    by_size = Fraction(volume, divisor) if volume >= above * 1000 else Fraction(0)
    assert found[1] == ceil(max(by_size, Fraction(grams)) / step) * step
    assert found[1] >= grams


@given(st.decimals(0, 10**6, places=3), st.sampled_from(decimals("0.5", 1, 500)))
def test_rounding_up_is_to_the_next_whole_step(amount: Decimal, step: Decimal) -> None:
    up = rounded_up(amount, step)
    assert up % step == 0
    assert amount <= up < amount + step


def test_a_small_parcel_goes_by_its_weight_where_the_rule_says_so() -> None:
    rule = table("post", divisor=Decimal(5000), above_cm3=9000)
    assert weigh(rule, 100, (300, 300, 99)) == (Decimal(0), Decimal(100))
    assert weigh(rule, 100, (300, 300, 100)) == (Decimal(1800), Decimal(1800))


def test_a_service_without_a_divisor_bills_the_weight_alone() -> None:
    assert weigh(table("post", step_grams=100), 101, None) == (Decimal(0), Decimal(200))
    assert weigh(table("post", divisor=Decimal(5000)), 101, None) is None


# --- tables ---------------------------------------------------------------------------------

LETTER = table("letter", Band(750, Decimal("2.10"), (353, 250, 25)))
SMALL = table("small parcel", Band(1000, Decimal("2.95")), Band(2000, Decimal("3.45")))
FLAT, THICK = (350, 240, 20), (350, 240, 40)


@pytest.mark.parametrize(
    ("grams", "mm", "price"),
    [
        (700, FLAT, "2.10"),
        (700, (20, 350, 240), "2.10"),  # turned
        (700, THICK, "2.95"),
        (751, FLAT, "2.95"),
        (1000, FLAT, "2.95"),
        (1001, FLAT, "3.45"),
        (700, None, "2.95"),  # without a size, no letter
    ],
)
def test_the_cheapest_service_that_takes_it(
    grams: int, mm: tuple[int, int, int] | None, price: str
) -> None:
    found = cheapest(with_tables(LETTER, SMALL), grams, mm, TODAY)
    assert isinstance(found, Parcel)
    assert found.price == Decimal(price)


def test_why_nothing_takes_it_is_told() -> None:
    assert cheapest(with_tables(), 700, FLAT, TODAY) == NO_TABLE
    assert cheapest(with_tables(LETTER), 700, None, TODAY) == NO_SIZE
    assert cheapest(with_tables(LETTER, SMALL), 2001, FLAT, TODAY) == TOO_MUCH


def test_a_table_holds_from_its_day_until_the_next() -> None:
    april = date(2027, 4, 1)
    dearer = table("Small parcel", Band(2000, Decimal("3.70")), since=april)
    both = with_tables(dearer, SMALL)
    prices = [cheapest(both, 1500, FLAT, day) for day in (date(2027, 3, 31), april)]
    assert [one.price for one in prices if isinstance(one, Parcel)] == decimals("3.45", "3.70")
    assert tables(both.tariffs, date(2027, 1, 10)) == ()


BANDS = st.lists(
    st.builds(
        Band,
        st.integers(100, 5000),
        st.decimals("0.5", 20, places=2),
        st.none() | st.tuples(*[st.integers(10, 600)] * 3),
    ),
    max_size=5,
)


@given(st.lists(BANDS, max_size=3), st.integers(1, 5000), st.tuples(*[st.integers(10, 600)] * 3))
def test_no_way_is_cheaper_than_the_cheapest(
    services: list[list[Band]], grams: int, mm: tuple[int, int, int]
) -> None:
    held = with_tables(*(table(f"service {n}", *bands) for n, bands in enumerate(services)))
    able = [
        band.price
        for bands in services
        for band in bands
        if grams <= band.grams and (band.mm is None or fits(mm, band.mm))
    ]
    found = cheapest(held, grams, mm, TODAY)
    assert (found.price if isinstance(found, Parcel) else None) == min(able, default=None)
    prices = [one.price for one in ways(held, grams, mm, TODAY)]
    assert prices == sorted(prices)

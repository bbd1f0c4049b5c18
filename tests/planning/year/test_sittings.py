"""Which boxes a sitting is about, and which days fall to each. The shops are invented."""

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Shop
from assistant.planning.year.sittings import (
    days_of,
    neighbours,
    open_boxes,
    sitting_year,
    year_boxes,
)
from tests.planning.plans import shops
from tests.trade import shop

TODAY = date(2026, 11, 25)
MONTHS = tuple(f"2027-{month:02}" for month in range(1, 13))
FORTNIGHTLY = "every 2 weeks from 2027-01-05"


def every(*months: int, year: int = 2027, theme: str = "moss") -> tuple[str, ...]:
    return tuple(f"{year}-{month:02} {theme}" for month in months)


# --- the boxes of a year --------------------------------------------------------------------

YEARS = [
    ("nothing planned: a box a month", shop(), MONTHS),
    ("one month planned first", shop(*every(3)), MONTHS),
    ("a second box of a month", shop("2027-03b"), (*MONTHS[:3], "2027-03b", *MONTHS[3:])),
    ("four a year by rule", shop(ship_rule="the 15th in March, June, September and December"), 3),
    ("four a year by plan", shop(*every(3, 6, 9, 12)), 3),
    ("six a year by plan", shop(*every(2, 4, 6, 8, 10, 12)), 2),
    ("four a year last year", shop(*every(3, 6, 9, 12, year=2026)), 3),
    ("four a year, and one of them planned", shop("2027-06", *every(3, 6, 9, 12, year=2026)), 3),
    ("no rhythm: some months of twelve", shop(*every(1, 3, 5, 7)), MONTHS),
    ("a rule that cannot be read", shop(ship_rule="when it rains"), MONTHS),
]


@pytest.mark.parametrize(("shop", "expected"), [y[1:] for y in YEARS], ids=[y[0] for y in YEARS])
def test_the_boxes_of_a_year(shop: Shop, expected: tuple[str, ...] | int) -> None:
    if isinstance(expected, int):  # months from box to box
        expected = tuple(id for id in MONTHS if int(id[5:]) % expected == 0)
    assert year_boxes(shop, 2027, TODAY) == expected


def test_a_box_every_two_weeks_has_letters() -> None:
    """26 Tuesdays, counted here: two in most months, three in March and August."""
    found = year_boxes(shop(ship_rule=FORTNIGHTLY), 2027, TODAY)
    days = [date(2027, 1, 5) + timedelta(14 * n) for n in range(26)]
    months = [f"{day:%Y-%m}" for day in days]
    assert [id[:7] for id in found] == months
    assert [id for id in found if id[7:] == "c"] == ["2027-03c", "2027-08c"]


def test_what_is_gone_by_without_a_plan_never_was() -> None:
    assert year_boxes(shop("2026-04 moss"), 2026, TODAY) == ("2026-04", "2026-12")
    assert open_boxes(shop("2026-04"), 2026, TODAY) == ("2026-12",)  # April has shipped


def test_open_is_what_has_no_theme() -> None:
    assert open_boxes(shop(*every(1, 2, 12)), 2027, TODAY) == MONTHS[2:11]


@pytest.mark.parametrize(
    ("today", "boxes", "expected"),
    [
        (date(2026, 9, 30), (), 2026),
        (date(2026, 10, 1), (), 2027),
        (date(2026, 11, 25), every(*range(1, 13)), 2026),  # December is open yet
        (date(2026, 12, 20), every(*range(1, 13)), 2028),
        (date(2027, 2, 1), every(*range(1, 12)), 2027),
        (date(2027, 2, 1), every(*range(1, 13)), 2028),
    ],
)
def test_the_year_that_is_meant(today: date, boxes: tuple[str, ...], expected: int) -> None:
    assert sitting_year(shop(*boxes), today) == expected


def test_neighbours_are_boxes_of_the_row() -> None:
    assert neighbours(shop(), "2027-01", TODAY) == ("2026-12", "2027-02")
    assert neighbours(shop(*every(3, 6, 9, 12)), "2027-12", TODAY) == ("2027-09", "2028-03")
    assert neighbours(shop("2027-03b"), "2027-03", TODAY) == ("2027-02", "2027-03b")


# --- the days of a box ----------------------------------------------------------------------


def test_a_box_has_the_days_from_its_arrival_to_the_next() -> None:
    """Ships Mon 15 March and Thu 15 April 2027; two days to the door."""
    assert days_of(shop(), "2027-03", TODAY) == (date(2027, 3, 17), date(2027, 4, 16))


def test_a_box_of_its_own_date_counts() -> None:
    found = shop("2027-03 moss, ships 2027-03-01", "2027-04 fern, ships 2027-04-20")
    assert days_of(found, "2027-03", TODAY) == (date(2027, 3, 3), date(2027, 4, 21))


def test_boxes_out_of_order_keep_their_first_day() -> None:
    found = shop("2027-03 moss, ships 2027-04-20", "2027-04 fern, ships 2027-04-01")
    assert days_of(found, "2027-03", TODAY) == (date(2027, 4, 22), date(2027, 4, 22))


@given(
    st.sampled_from(
        (
            "the 15th or the working day before",
            "the last working day",
            "the first working day",
            "second Tuesday",
            FORTNIGHTLY,
            "the 20th in March, June, September and December",
        )
    )
)
def test_every_day_falls_to_one_box(rule: str) -> None:
    found = shop(ship_rule=rule)
    row = (*year_boxes(found, 2027, TODAY), *year_boxes(found, 2028, TODAY))
    spans = [days_of(found, id, TODAY) for id in row]
    for (first, last), (after, _) in pairwise(spans):
        assert first <= last
        assert after - last == timedelta(1)


@given(shops(), st.integers(2026, 2028))
def test_a_sitting_is_about_boxes_in_order(found: Shop, year: int) -> None:
    boxes, left = year_boxes(found, year, TODAY), open_boxes(found, year, TODAY)
    assert list(boxes) == sorted(set(boxes))
    assert set(left) <= set(boxes)
    assert {box.id for box in found.boxes if box.id[:4] == str(year)} <= set(boxes)
    assert not {box.id for box in found.boxes if box.theme} & set(left)

"""Months and dates as people write them. Invented, where no standard is named."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.sheets.when import MONTHS, When, read_when, reads_day_first, settle_years, year_in

READ = [
    ("March", When(3)),
    ("march", When(3)),
    ("MAR", When(3)),
    ("Mar.", When(3)),
    ("Sept", When(9)),
    ("Mar-27", When(3, 2027)),
    ("Mar 27", When(3, 2027)),
    ("Mar '27", When(3, 2027)),
    ("Mar ’27", When(3, 2027)),
    ("March 2027", When(3, 2027)),
    ("2027 March", When(3, 2027)),
    ("March box", When(3)),
    ("box of March 2027", When(3, 2027)),
    ("2027-03", When(3, 2027)),  # ISO 8601, reduced precision
    ("2027/3", When(3, 2027)),
    ("03/2027", When(3, 2027)),
    ("3.2027", When(3, 2027)),
    (Decimal("3.2027"), When(3, 2027)),
    ("2027-03-15", When(3, 2027, 15)),  # ISO 8601, calendar date
    ("2027-03-15T09:30:00", When(3, 2027, 15)),
    ("15/03/2027", When(3, 2027, 15)),
    ("15.3.27", When(3, 2027, 15)),
    ("15 March 2027", When(3, 2027, 15)),
    ("15-Mar-27", When(3, 2027, 15)),
    ("March 15, 2027", When(3, 2027, 15)),
    ("Mon 15 Mar", When(3, None, 15)),
    ("15-Mar", When(3, None, 15)),
    ("Mar 15th", When(3, None, 15)),
    ("the 15th of March", When(3, None, 15)),
    ("27 Mar", When(3, None, 27)),
    ("29 Feb", When(2, None, 29)),
    (date(2027, 3, 15), When(3, 2027, 15)),
    ("Febuary", When(2, guessed="Febuary")),
    ("Septmber 2027", When(9, 2027, guessed="Septmber")),
    ("Ocotber", When(10, guessed="Ocotber")),
]
NOT_READ = [
    "",
    "spring",
    "Mary",
    "Smarch",
    "Febtember",
    "marching band",
    "March and April",
    "May Day",
    "31 April",
    "29 Feb 2027",
    "2027-13",
    "13/2027",
    "32/01/2027",
    "March 1 2 3",
    "1999-01",
    "3",
    Decimal(3),
    "tea",
    "0",
    "x" * 5000,
]


@pytest.mark.parametrize(("cell", "when"), READ)
def test_what_is_a_month_or_a_date(cell: str | Decimal | date, when: When) -> None:
    assert read_when(cell) == when


@pytest.mark.parametrize("cell", NOT_READ)
def test_what_is_neither(cell: str | Decimal) -> None:
    assert read_when(cell) is None


def test_bare_months_where_the_heading_says_so() -> None:
    assert read_when(Decimal(3), bare_months=True) == When(3)
    assert read_when("12", bare_months=True) == When(12)
    assert read_when("13", bare_months=True) is None


@given(st.text(max_size=70))
def test_reading_never_raises(text: str) -> None:
    for day_first in (True, False):
        when = read_when(text, day_first, bare_months=True)
        assert when is None or 1 <= when.month <= 12


@given(st.sampled_from(MONTHS), st.integers(0, 11), st.sampled_from("aeklz"))
def test_one_wrong_letter_is_forgiven_after_the_first(name: str, at: int, letter: str) -> None:
    if len(name) < 5 or not 0 < at < len(name):
        return
    read = read_when(name[:at] + name[at + 1 :]) if at > 3 else read_when(name)
    assert read is not None
    assert MONTHS[read.month - 1] == name
    swapped = read_when(name[:at] + letter + name[at + 1 :])
    assert swapped is None or MONTHS[swapped.month - 1][0] == name[0]


@pytest.mark.parametrize(
    ("cells", "months", "order"),
    [
        (["13/02/2027", "01/03/2027"], None, (True, False)),
        (["02/13/2027", "01/03/2027"], None, (False, False)),
        (["03/04/2027", "05/04/2027"], [4, 4], (True, False)),
        (["03/04/2027", "03/05/2027"], [3, 3], (False, False)),
        (["01/02/2027", "01/03/2027", "01/04/2027"], None, (True, False)),
        (["02/01/2027", "03/01/2027", "04/01/2027"], None, (False, False)),
        (["03/04/2027"], None, (True, True)),
        (["04/04/2027"], None, (True, False)),
        (["March", "", "15 March 2027"], None, (True, False)),
        ([], None, (True, False)),
    ],
)
def test_a_whole_column_decides_which_is_the_day(
    cells: list[str], months: list[int | None] | None, order: tuple[bool, bool]
) -> None:
    assert reads_day_first(cells, months) == order


@pytest.mark.parametrize(
    ("texts", "start", "years"),
    [
        (["Jan 2027", "Feb", "Mar"], None, (2027, 2027, 2027)),
        (["Nov", "Dec", "Jan 2027", "Feb"], None, (2026, 2026, 2027, 2027)),
        (["Sep", "Dec", "Jan", "Aug"], 2026, (2026, 2026, 2027, 2027)),
        (["Jan", "Feb"], None, (None, None)),
        (["Dec 2026", "Jan", "Jan"], 2030, (2026, 2027, 2027)),
        ([], 2027, ()),
    ],
)
def test_years_follow_from_those_that_are_written(
    texts: list[str], start: int | None, years: tuple[int | None, ...]
) -> None:
    months = [when for text in texts if (when := read_when(text))]
    assert settle_years(months, start) == years


@pytest.mark.parametrize(
    ("titles", "year"),
    [
        (["Year plan 2027"], 2027),
        (["plan-2027.csv", "Sheet1", "2027"], 2027),
        (["Plan 2026/27"], None),
        (["2026 and 2027"], None),
        (["Plan", "v1.2027"], None),
    ],
)
def test_the_year_of_a_title(titles: list[str], year: int | None) -> None:
    assert year_in(titles) == year

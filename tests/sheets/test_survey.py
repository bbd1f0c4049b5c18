"""Answers of a survey out of a file. Goods and answers are invented; means are those of
`statistics`."""

from collections import defaultdict
from decimal import Decimal
from statistics import fmean
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.model import Tally
from assistant.sheets.cells import Problem
from assistant.sheets.price_list import PriceList
from assistant.sheets.survey import LEAST_ROWS, Survey, field_of, read_table, scale_of
from assistant.sheets.year_table import ReadYear
from tests.sheets.books import book


def read(text: str) -> Survey:
    found = read_table(text.encode(), "answers.csv")
    assert isinstance(found, Survey), found
    return found


def tallies(text: str) -> dict[str, Tally]:
    return {one.name: one for one in read(text).tallies}


# --- a row for each score -------------------------------------------------------------------


def test_a_row_for_each_score() -> None:
    found = read(
        "Item,Score,Comment,Month,Email\n"
        "lamp,5,bright,March 2027,a@example.org\n"
        "lamp,4,,2027-03,b@example.org\n"
        "lamp,,a little dim,March 2027,c@example.org\n"
        "pin,2,,3,d@example.org\n"
        ",,,,\n"
    )
    lamp, pin = found.tallies
    assert (lamp.where, lamp.name, lamp.month, lamp.year) == ("row 2", "lamp", 3, 2027)
    assert (lamp.score, lamp.answers, lamp.words) == (
        Decimal("4.50"),
        2,
        ("bright", "a little dim"),
    )
    assert (pin.month, pin.year, pin.score) == (3, None, Decimal(2))
    assert found.refused == ()
    assert found.notes == ("Columns not read: “Email”.",)
    assert "example.org" not in str(found.tallies)


def test_means_with_their_number_of_answers() -> None:
    found = tallies("Product;Average rating;Responses\nlamp;4,6;38\npin;3,1;1,200\n")
    assert (found["lamp"].score, found["lamp"].answers) == (Decimal("4.60"), 38)
    assert (found["pin"].score, found["pin"].answers) == (Decimal("3.10"), 1200)


def test_a_box_as_a_whole() -> None:
    found = read("Month,Rating\nMarch 2027,4\nMarch 2027,5\nMay 2027,3\n")
    assert [(one.name, one.month, one.answers) for one in found.tallies] == [
        ("", 3, 2),
        ("", 5, 1),
    ]
    assert tallies("Item,Score\nOverall,4\n")[""].score == 4


@given(
    st.lists(
        st.tuples(st.sampled_from(("lamp", "pin", "tea")), st.integers(1, 5)),
        min_size=1,
        max_size=30,
    )
)
def test_a_tally_is_the_mean_of_its_rows(rows: list[tuple[str, int]]) -> None:
    text = "Item,Score\n" + "".join(f"{name},{score}\n" for name, score in rows)
    scores = defaultdict(list)
    for name, score in rows:
        scores[name].append(score)
    found = tallies(text)
    assert found.keys() == scores.keys()
    for name, own in scores.items():
        assert found[name].answers == len(own)
        assert float(found[name].score or 0) == pytest.approx(fmean(own), abs=0.006)


# --- a row for each person ------------------------------------------------------------------

WIDE = (
    "Timestamp,Email,How did you like the field notebook?,mint tea (1-10),Overall,Comments\n"
    "2027-03-20,a@example.org,5,9,4,lovely\n"
    "2027-03-21,b@example.org,4,7,5,\n"
    "2027-03-22,c@example.org,,8,4,more tea\n"
)


def test_a_row_for_each_person() -> None:
    found = read(WIDE)
    by_name = {one.name: one for one in found.tallies}
    assert by_name["How did you like the field notebook"].score == Decimal("4.50")
    tea = by_name["mint tea"]
    assert (tea.score, tea.answers) == (Decimal("4.00"), 3)  # (9 + 7 + 8) / 3 of 10
    assert by_name[""].words == ("lovely", "more tea")
    assert by_name[""].answers == 3
    assert "Scores are taken as of 10: 5 of 10 is 2.5 of 5." in found.notes
    assert "Columns not read: “Timestamp” and “Email”." in found.notes
    assert isinstance(found.instead, Problem)


def test_a_workbook_is_read_like_a_text() -> None:
    rows: list[list[Any]] = [["Item", "Score"], ["lamp", 5], ["lamp", 4.5], ["pin", "3/5"]]
    found = read_table(book(rows), "answers.xlsx")
    assert isinstance(found, Survey)
    assert [(one.name, one.score) for one in found.tallies] == [
        ("lamp", Decimal("4.75")),
        ("pin", Decimal("3.00")),
    ]


# --- scores and scales ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("cell", "score"),
    [("4", "4"), ("4.5", "4.5"), ("4/5", "4"), ("8/10", "4"), ("8 out of 10", "4"),
     ("4 stars", "4"), ("★★★★☆", "4")],
)  # fmt: skip
def test_a_score_in_many_ways(cell: str, score: str) -> None:
    assert tallies(f"Item,Score\nlamp,{cell}\n")["lamp"].score == Decimal(score)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("lamp,great", "B3 says “great”, which is no score"),
        ("lamp,0", "0 is no score of 5"),
        ("lamp,-2", "B3 says “-2”, which is no score"),
        ("lamp,12", "12 is no score of 5"),
        ("lamp,11/10", "11 is no score of 10"),
    ],
)
def test_what_is_no_score_is_refused_with_its_row(row: str, why: str) -> None:
    found = read(f"Item,Score\nlamp,4\n{row}\n")
    (refused,) = found.refused
    assert refused.where == "row 3"
    assert why in refused.why
    assert found.tallies[0].answers == 1


def test_a_column_is_of_10_where_its_heading_or_enough_of_it_says_so() -> None:
    assert tallies("Item,Score (1-10)\nlamp,4\n")["lamp"].score == Decimal(2)
    assert tallies("Item,Score\nlamp,9\nlamp,5\n")["lamp"].score == Decimal("3.50")
    slip = read("Item,Score\n" + "lamp,4\n" * 30 + "lamp,9\n")
    assert slip.tallies[0].score == Decimal(4)
    assert [one.where for one in slip.refused] == ["row 32"]


@pytest.mark.parametrize(
    ("heading", "field", "of"),
    [
        ("Score (1-10)", "score", 10),
        ("RATING out of 5", "score", 5),
        ("Stars", "score", None),
        ("Item name", "item", None),
        ("Your name", "nobody", None),
        ("Unit cost", "", None),
        ("lamp /10", "", 10),
    ],
)
def test_headings(heading: str, field: str, of: int | None) -> None:
    assert (field_of(heading), scale_of(heading)) == (field, of)


@pytest.mark.parametrize("row", ["lamp,5,Febtember,1", "lamp,5,March,many"])
def test_a_month_or_a_number_that_is_none_is_refused(row: str) -> None:
    found = read(f"Item,Score,Month,Answers\n{row}\nlamp,4,March,2\n")
    assert [one.where for one in found.refused] == ["row 2"]
    assert [one.answers for one in found.tallies] == [2]


# --- what is no survey ----------------------------------------------------------------------


def test_a_year_and_a_price_list_stay_what_they_are() -> None:
    year = "Month,Theme,Item,Supplier,Unit cost\nMarch 2027,rain,notebook,Aldermoor,3.10\n"
    assert isinstance(read_table(year.encode(), "year.csv"), ReadYear)
    prices = "Product,Price,Minimum,Rating\nlamp,4.20,50,5\n"
    assert isinstance(read_table(prices.encode(), "list.csv"), PriceList)


def test_a_table_of_other_things_is_a_problem() -> None:
    found = read_table(b"Name,Town\nBo,York\nAl,Leeds\n", "a.csv")
    assert isinstance(found, Problem)
    assert LEAST_ROWS == 2
    one_row = read_table(b"lamp,pin\n4,5\n", "a.csv")
    assert isinstance(one_row, Problem)


def test_outside_text_is_cut_and_a_formula_is_not_kept() -> None:
    long = "x" * 400
    found = tallies(f'Item,Score,Comment\nlamp,5,{long}\nlamp,5,"=HYPERLINK(""http://e"")"\n')
    assert all(len(word) <= 120 for word in found["lamp"].words)
    assert not any(word.startswith("=") for word in found["lamp"].words)


@given(st.binary(max_size=200))
def test_any_bytes_give_something(content: bytes) -> None:
    found = read_table(b"Item,Score\n" + content, "a.csv")
    assert isinstance(found, Survey | ReadYear | PriceList | Problem)


@given(st.lists(st.lists(st.text(max_size=6), min_size=1, max_size=4), max_size=6))
def test_any_cells_give_something(rows: list[list[str]]) -> None:
    text = "\n".join(",".join(row) for row in rows)
    found = read_table(text.encode("utf-8", "ignore"), "a.csv")
    assert isinstance(found, Survey | ReadYear | PriceList | Problem)

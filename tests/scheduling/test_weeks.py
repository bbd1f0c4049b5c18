"""Working weeks in words."""

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.weeks import Problem, Week, parse_week, weekday_number


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("Mon-Fri", "Mon-Fri"),
        ("Monday to Friday", "Mon-Fri"),
        ("weekdays and Saturday", "Mon-Sat"),
        ("mon, wednesdays & fri", "Mon, Wed, Fri"),
        ("Sunday - Thursday", "Sun-Thu"),
        ("Tue-Sat", "Tue-Sat"),
        ("EVERY DAY", "every day"),
        ("no day", "no day"),
    ],
)
def test_weeks_in_words(words: str, text: str) -> None:
    week = parse_week(words)
    assert isinstance(week, Week)
    assert week.text() == text


@pytest.mark.parametrize("words", ["", "  ", "Mon-", "Mon Fri", "funday", "Mon-Fri-Sat", ",,"])
def test_words_that_are_no_week_get_a_sentence(words: str) -> None:
    problem = parse_week(words)
    assert isinstance(problem, Problem)
    assert isinstance(parse_week(problem.example), Week)
    with pytest.raises(ValueError, match="For example"):
        Week.from_string(words)


def test_every_week_reads_back() -> None:
    weeks = [Week(days) for size in range(8) for days in combinations(range(7), size)]
    assert len(weeks) == 128
    assert [parse_week(week.text()) for week in weeks] == weeks


@given(st.text())
def test_reading_a_week_never_raises(text: str) -> None:
    assert isinstance(parse_week(text), Week | Problem)


@pytest.mark.parametrize(
    ("word", "number"), [("Mon", 0), ("tues", 1), ("Thursdays", 3), ("sun", 6)]
)
def test_weekdays_by_name(word: str, number: int) -> None:
    assert weekday_number(word) == number


@pytest.mark.parametrize("word", ["", "funday", "mo", "monthly", "sunny"])
def test_words_that_are_no_weekday(word: str) -> None:
    assert weekday_number(word) is None

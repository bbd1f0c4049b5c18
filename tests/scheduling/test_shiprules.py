"""Ship-day rules in words."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.shiprules import ShipRule, parse_rule
from assistant.scheduling.workdays import Problem
from tests.scheduling.rules import rule, rules


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("15", "the 15th"),
        ("day 15", "the 15th"),
        (
            "on the 15th of each month, or the next business day",
            "the 15th or the working day after",
        ),
        ("15th or the previous working day", "the 15th or the working day before"),
        ("15th, otherwise the workday before", "the 15th or the working day before"),
        ("22nd OR THE WORKING DAY BEFORE.", "the 22nd or the working day before"),
        ("11th", "the 11th"),
        ("the 31st", "the last day"),
        ("last day of the month", "the last day"),
        ("2nd tues of the month", "the second Tuesday"),
        ("last fri", "the last Friday"),
        ("penultimate Friday", "the second to last Friday"),
        ("last business day", "the last working day"),
        ("third working day of every month", "the third working day"),
        ("6th working day", "the 6th working day"),
        ("every two weeks starting 5 January 2027", "every 2 weeks from 2027-01-05"),
        ("fortnightly from January 5, 2027", "every 2 weeks from 2027-01-05"),
        ("every other week from 5th Jan 2027", "every 2 weeks from 2027-01-05"),
        ("weekly from 2027-1-5", "every week from 2027-01-05"),
        (
            "quarterly from March on the 15th or the working day before",
            "the 15th or the working day before in March, June, September and December",
        ),
        ("the 15th in nov and may", "the 15th in May and November"),
        (
            "the 15th of March, or the working day after but within the same month",
            "the 15th or the working day after, but not into the next month in March",
        ),
    ],
)
def test_rules_in_words(words: str, text: str) -> None:
    assert rule(words).text() == text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("", "could not read"),
        ("whenever", "could not read"),
        ("the 15th or never", "could not read"),
        ("the 1st and the 15th", "could not read"),
        ("the 32nd", "No month"),
        ("the 0th", "No month"),
        ("6th Tuesday", "No month"),
        ("40th working day", "No month"),
        ("every 2 weeks", "first date"),
        ("every Tuesday", "first date"),
        ("every second Tuesday", "can mean"),
        ("every 2 weeks from 2027-02-30", "is no date"),
        ("every 2 weeks from soon", "is no date"),
        ("every 0 weeks from 2027-01-05", "1 to 52"),
        ("quarterly on the 15th", "months of the quarters"),
        ("the 15th " * 1000, "could not read"),
    ],
)
def test_words_that_are_no_rule_get_a_sentence_and_an_example(words: str, told: str) -> None:
    problem = parse_rule(words)
    assert isinstance(problem, Problem)
    assert told in problem.sentence
    assert len(problem.sentence) < 150
    assert isinstance(parse_rule(problem.example), ShipRule)


@given(rules)
def test_every_rule_reads_back(a_rule: ShipRule) -> None:
    assert parse_rule(a_rule.text()) == a_rule


@given(st.text())
def test_reading_never_raises(text: str) -> None:
    found = parse_rule(text)
    assert isinstance(found, ShipRule) or isinstance(parse_rule(found.example), ShipRule)


FRAGMENTS = """
    the 15th second last fifth Tuesday fri working day days every 2 0 99 weeks week from fortnightly
    quarterly in of March may and , or before after but not into next month same 2027-01-05 #-1 day
    31st 5 January 2027 monthly weekly other
"""


@given(st.lists(st.sampled_from(FRAGMENTS.split()), max_size=12).map(" ".join))
def test_half_rules_are_read_or_refused(text: str) -> None:
    found = parse_rule(text)
    if isinstance(found, ShipRule):
        assert parse_rule(found.text()) == found
    else:
        assert isinstance(parse_rule(found.example), ShipRule)

"""Due dates against published rules and numpy.

England and Wales: UK Government, data file behind gov.uk/bank-holidays. Rolls: NumPy reference
manual, numpy.busday_offset. A deposit with a net balance: common practice, no source.
"""

from datetime import date, timedelta
from typing import Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.paydays import (
    day_of_month,
    due_on,
    month_end,
    months_between,
    paid_on,
    paid_out,
)
from assistant.scheduling.workdays import Calendar, Roll, Week

FIRST, LAST = date(2026, 1, 1), date(2027, 12, 31)
BANK_HOLIDAYS = tuple(
    date(2026, month, day)
    for month, day in ((1, 1), (4, 3), (4, 6), (5, 4), (5, 25), (8, 31), (12, 25), (12, 28))
)
ENGLAND = Calendar.build(Week.from_string("Mon-Fri"), BANK_HOLIDAYS, first=FIRST, last=LAST)
NEVER = Calendar.build(
    Week.from_string("Mon-Fri"), [FIRST + timedelta(n) for n in range(9)], first=FIRST, last=LAST
)
ROLLS: dict[Roll, Literal["forward", "backward", "modifiedfollowing"]] = {
    Roll.FOLLOWING: "forward",
    Roll.PRECEDING: "backward",
    Roll.MODIFIED_FOLLOWING: "modifiedfollowing",
}
DAYS = st.dates(FIRST + timedelta(40), LAST - timedelta(40))


def test_thirty_days_net_of_a_day_in_february() -> None:
    assert due_on(date(2026, 2, 28), 30) == date(2026, 3, 30)
    assert paid_on(date(2026, 3, 30), ENGLAND) == date(2026, 3, 30)


@pytest.mark.parametrize(
    ("roll", "expected"),
    [
        (Roll.FOLLOWING, date(2026, 4, 7)),
        (Roll.PRECEDING, date(2026, 4, 2)),
        (Roll.MODIFIED_FOLLOWING, date(2026, 4, 7)),
    ],
)
def test_a_due_day_in_the_easter_week_end(roll: Roll, expected: date) -> None:
    due = due_on(date(2026, 3, 5), 30)
    assert due == date(2026, 4, 4)
    assert paid_on(due, ENGLAND, roll) == expected


@given(DAYS, st.integers(0, 120), st.sampled_from(list(ROLLS)))
def test_due_days_roll_as_numpy_rolls_them(invoice: date, net: int, roll: Roll) -> None:
    due = due_on(invoice, net)
    if due > LAST - timedelta(10):
        return
    oracle = np.busday_offset(due, 0, roll=ROLLS[roll], holidays=list(BANK_HOLIDAYS))
    assert paid_on(due, ENGLAND, roll) == oracle.astype(date)


@given(DAYS, st.integers(0, 120))
def test_end_of_month_counts_from_the_last_day_of_the_month(invoice: date, net: int) -> None:
    day = invoice
    while (day + timedelta(1)).month == invoice.month:
        day += timedelta(1)
    assert month_end(invoice) == day
    assert due_on(invoice, net, end_of_month=True) == day + timedelta(net)
    assert due_on(invoice, net, end_of_month=True) >= due_on(invoice, net)


@pytest.mark.parametrize(
    ("year", "month", "day", "expected"),
    [
        (2027, 1, 31, date(2027, 1, 31)),
        (2027, 2, 31, date(2027, 2, 28)),
        (2028, 2, 30, date(2028, 2, 29)),
        (2027, 4, 31, date(2027, 4, 30)),
        (2027, 4, 1, date(2027, 4, 1)),
    ],
)
def test_a_day_that_a_month_lacks_is_its_last(
    year: int, month: int, day: int, expected: date
) -> None:
    assert day_of_month(year, month, day) == expected


@given(DAYS, st.integers(0, 20))
def test_what_is_charged_is_paid_out_as_numpy_counts(charged: date, after: int) -> None:
    oracle = np.busday_offset(charged, after, roll="forward", holidays=list(BANK_HOLIDAYS))
    assert paid_out(charged, after, ENGLAND) == oracle.astype(date)


def test_months_between_two_days_are_all_of_theirs() -> None:
    found = list(months_between(date(2026, 11, 30), date(2027, 2, 1)))
    assert found == [(2026, 11), (2026, 12), (2027, 1), (2027, 2)]
    assert list(months_between(date(2027, 3, 1), date(2027, 3, 1))) == [(2027, 3)]
    assert list(months_between(date(2027, 3, 1), date(2027, 2, 28))) == []


def test_a_calendar_that_never_works_leaves_the_day_as_it_is() -> None:
    shut = Calendar.build(Week.from_string("Mon-Fri"), first=FIRST, last=LAST)
    assert paid_on(date(2026, 6, 6), shut) == date(2026, 6, 5)
    assert paid_on(FIRST, NEVER) == date(2025, 12, 31)

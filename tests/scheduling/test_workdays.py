"""Working calendars against published examples, numpy and a walk from day to day."""

from datetime import date, timedelta

import pytest

from assistant.scheduling.workdays import (
    NO_DAY,
    Calendar,
    Roll,
    Skip,
    Span,
    Week,
)

MON_FRI = Week.from_string("Mon-Fri")
DAY = timedelta(days=1)


def day(text: str) -> date:
    return date.fromisoformat(text)


def calendar(week: str = "Mon-Fri", *off: str, first: str = "2011-01-01") -> Calendar:
    start = day(first)
    return Calendar.build(
        Week.from_string(week), map(day, off), first=start, last=start + 800 * DAY
    )


def days_worked(cal: Calendar, first: str, last: str) -> list[str]:
    start, end = day(first), day(last)
    days = (start + n * DAY for n in range((end - start).days + 1))
    return [str(d) for d in days if cal.is_working(d)]


# --- published examples ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "n", "roll", "expected"),
    [
        ("2011-10-01", 0, Roll.FOLLOWING, "2011-10-03"),
        ("2012-03-01", -1, Roll.FOLLOWING, "2012-02-29"),
        ("2011-03-20", 0, Roll.FOLLOWING, "2011-03-21"),
        ("2011-03-22", 0, Roll.FOLLOWING, "2011-03-22"),
        ("2011-03-20", 1, Roll.PRECEDING, "2011-03-21"),
        ("2011-03-22", 1, Roll.PRECEDING, "2011-03-23"),
    ],
)
def test_offsets_of_the_numpy_manual(start: str, n: int, roll: Roll, expected: str) -> None:
    # Source: NumPy reference manual, Examples of numpy.busday_offset.
    assert calendar().shift(day(start), n, roll) == day(expected)


@pytest.mark.parametrize(
    ("week", "start", "n", "expected"),
    [
        ("Wed", "2011-01-01", 2, "2011-01-19"),  # third Wednesday of January 2011
        ("Sun", "2012-05-01", 1, "2012-05-13"),  # second Sunday of May 2012
    ],
)
def test_a_week_of_one_weekday(week: str, start: str, n: int, expected: str) -> None:
    # Source: NumPy reference manual, Examples of numpy.busday_offset (weekmask).
    assert calendar(week).shift(day(start), n, Roll.FOLLOWING) == day(expected)


@pytest.mark.parametrize(
    ("week", "first", "end", "expected"),
    [
        ("Mon-Fri", "2011-01-01", "2011-02-01", 21),
        ("Mon-Fri", "2011-01-01", "2012-01-01", 260),
        ("Sat", "2011-01-01", "2012-01-01", 53),
    ],
)
def test_counts_of_the_numpy_manual(week: str, first: str, end: str, expected: int) -> None:
    # Source: NumPy reference manual, Examples of numpy.busday_count.
    assert calendar(week).count(day(first), day(end)) == expected


def test_holidays_of_the_numpy_manual() -> None:
    # Source: NumPy reference manual, Examples of numpy.is_busday.
    cal = calendar("Mon-Fri", "2011-07-01", "2011-07-04", "2011-07-17")
    worked = [cal.is_working(day(d)) for d in ("2011-07-01", "2011-07-02", "2011-07-18")]
    assert worked == [False, False, True]


@pytest.mark.parametrize(
    ("start", "n", "expected"),
    [("2022-08-05", 1, "2022-08-08"), ("2022-12-09", 5, "2022-12-16")],
)
def test_business_days_of_the_pandas_reference(start: str, n: int, expected: str) -> None:
    # Source: pandas API reference, docstring examples of BusinessDay and CustomBusinessDay.
    assert calendar(first="2022-01-01").shift(day(start), n) == day(expected)


@pytest.mark.parametrize(
    ("week", "off", "last", "expected"),
    [
        ("Mon,Wed,Fri", (), "2022-12-21", "12-12 12-14 12-16 12-19 12-21"),
        (
            "Mon-Fri",
            ("2022-12-12", "2022-12-14"),
            "2022-12-25",
            "12-13 12-15 12-16 12-19 12-20 12-21 12-22 12-23",
        ),
    ],
)
def test_custom_weeks_of_the_pandas_reference(
    week: str, off: tuple[str, ...], last: str, expected: str
) -> None:
    # Source: pandas API reference, docstring examples of CustomBusinessDay.
    cal = calendar(week, *off, first="2022-01-01")
    assert days_worked(cal, "2022-12-10", last) == [f"2022-{d}" for d in expected.split()]


MONTH_OFF = ("2022-08-01", "2022-09-30", "2022-10-31", "2022-11-01")


@pytest.mark.parametrize(
    ("week", "off", "months", "n", "expected"),
    [
        ("Wed,Thu", (), range(7, 12), -1, "07-28 08-31 09-29 10-27 11-30"),
        ("Mon-Fri", MONTH_OFF, range(7, 11), -1, "07-29 08-31 09-29 10-28"),
        ("Mon-Fri", MONTH_OFF, range(8, 12), 0, "08-02 09-01 10-03 11-02"),
    ],
)
def test_month_ends_of_the_pandas_reference(
    week: str, off: tuple[str, ...], months: range, n: int, expected: str
) -> None:
    # Source: pandas API reference, docstring examples of CustomBusinessMonthEnd and
    # CustomBusinessMonthBegin. The last working day of a month is one back from the next month.
    cal = calendar(week, *off, first="2022-01-01")
    found = [cal.shift(date(2022, m - n, 1), n, Roll.FOLLOWING) for m in months]
    assert found == [day(f"2022-{d}") for d in expected.split()]


@pytest.mark.parametrize(
    ("roll", "expected"),
    [
        (Roll.FOLLOWING, "2026-05-05"),
        (Roll.PRECEDING, "2026-05-01"),
        (Roll.MODIFIED_FOLLOWING, "2026-05-05"),
        (Roll.MODIFIED_PRECEDING, "2026-05-01"),
    ],
)
def test_rolls_within_a_month(roll: Roll, expected: str) -> None:
    # Rolls as named in the NumPy reference manual, numpy.busday_offset.
    cal = calendar("Mon-Fri", "2026-05-04", first="2026-01-01")
    assert cal.roll(day("2026-05-03"), roll) == day(expected)


@pytest.mark.parametrize(
    ("start", "roll", "expected"),
    [
        ("2026-05-31", Roll.MODIFIED_FOLLOWING, "2026-05-29"),
        ("2026-05-31", Roll.FOLLOWING, "2026-06-01"),
        ("2026-08-01", Roll.MODIFIED_PRECEDING, "2026-08-03"),
        ("2026-08-01", Roll.PRECEDING, "2026-07-31"),
    ],
)
def test_modified_rolls_stay_in_the_month(start: str, roll: Roll, expected: str) -> None:
    # Rolls as named in the NumPy reference manual, numpy.busday_offset.
    assert calendar(first="2026-01-01").roll(day(start), roll) == day(expected)


# --- what an owner would see ------------------------------------------------------------------


def easter_calendar() -> Calendar:
    return Calendar.build(
        MON_FRI,
        [day("2026-04-03"), day("2026-04-06"), Span(day("2026-08-02"), day("2026-08-20"), "break")],
        first=day("2026-01-01"),
        last=day("2026-12-31"),
        reasons={day("2026-04-03"): "Good Friday", day("2026-04-06"): "Easter Monday"},
    )


def test_skipped_days_are_named_in_runs() -> None:
    assert easter_calendar().skipped(day("2026-04-08"), day("2026-03-30")) == (
        Skip(day("2026-04-03"), day("2026-04-03"), "Good Friday"),
        Skip(day("2026-04-04"), day("2026-04-05"), "weekend"),
        Skip(day("2026-04-06"), day("2026-04-06"), "Easter Monday"),
    )


def test_a_closure_is_one_run_through_its_weekends() -> None:
    assert easter_calendar().skipped(day("2026-07-31"), day("2026-08-21")) == (
        Skip(day("2026-08-01"), day("2026-08-01"), "weekend"),
        Skip(day("2026-08-02"), day("2026-08-20"), "break"),
    )


def test_the_longest_closure_names_a_day() -> None:
    span = Span(day("2026-08-24"), day("2026-09-04"), "late break")
    cal = Calendar.build(
        MON_FRI,
        [day("2026-08-31"), span],
        first=day("2026-01-01"),
        last=day("2026-12-31"),
        reasons={day("2026-08-31"): "bank holiday"},
    )
    assert [skip.reason for skip in cal.skipped(span.first, span.first + 11 * DAY)] == [
        "late break"
    ]


@pytest.mark.parametrize(
    ("week", "reason"), [("Mon-Fri", "weekend"), ("Tue-Sat", "outside the working week")]
)
def test_days_outside_the_week_have_a_reason(week: str, reason: str) -> None:
    skips = calendar(week, first="2026-01-01").skipped(day("2026-03-07"), day("2026-03-09"))
    assert {skip.reason for skip in skips} == {reason}


def test_days_without_a_name_are_closed() -> None:
    skips = calendar("every day", "2026-03-04", first="2026-01-01").skipped(
        day("2026-03-01"), day("2026-03-09")
    )
    assert skips == (Skip(day("2026-03-04"), day("2026-03-04"), "closed"),)


def test_a_day_on_beats_a_day_off_which_beats_the_week() -> None:
    saturday, friday = day("2026-02-28"), day("2026-02-27")
    cal = Calendar.build(
        MON_FRI, [friday, saturday], [saturday], first=day("2026-01-01"), last=day("2026-12-31")
    )
    assert (cal.is_working(friday), cal.is_working(saturday)) == (False, True)


def test_provisional_days() -> None:
    expected = Span(day("2026-08-02"), day("2026-08-20"), "break", provisional=True)
    cal = Calendar.build(
        MON_FRI,
        [expected],
        first=day("2026-01-01"),
        last=day("2027-12-31"),
        provisional_after=day("2026-12-31"),
    )
    told = {
        d: cal.provisional(day(d))
        for d in ("2025-12-31", "2026-01-01", "2026-08-02", "2026-08-21", "2026-12-31")
    }
    assert list(told.values()) == [True, False, True, False, False]
    assert cal.provisional(day("2027-01-01"))
    assert cal.provisional_between(day("2026-08-25"), day("2026-07-25"))  # passes the closure
    assert not cal.provisional_between(day("2026-08-21"), day("2026-12-31"))


# --- no answer is an answer -----------------------------------------------------------------


def test_a_week_without_days_has_no_working_day() -> None:
    cal = Calendar.build(NO_DAY, first=day("2026-01-01"), last=day("2026-12-31"))
    assert cal.shift(day("2026-03-01"), -1) is None
    assert cal.roll(day("2026-03-01"), Roll.FOLLOWING) is None
    assert cal.count(date.min, date.max) == 0


def test_a_closure_without_end_goes_on_beyond_the_table() -> None:
    gone = Span(day("2026-06-01"), None, "closed for good")
    cal = Calendar.build(MON_FRI, [gone], first=day("2026-01-01"), last=day("2026-12-31"))
    assert cal.roll(day("2026-06-10"), Roll.FOLLOWING) is None
    assert cal.roll(day("2999-06-10"), Roll.PRECEDING) == day("2026-05-29")
    assert cal.skipped(day("2026-05-29"), day("2026-06-03")) == (
        Skip(day("2026-05-30"), day("2026-05-31"), "weekend"),
        Skip(day("2026-06-01"), day("2026-06-03"), "closed for good"),
    )


def test_opening_without_end_beats_closing_without_end() -> None:
    cal = Calendar.build(
        NO_DAY,
        [Span(day("2026-03-01"), None)],
        [Span(day("2026-06-06"), None)],
        first=day("2026-01-01"),
        last=day("2026-12-31"),
    )
    assert cal.shift(day("2026-01-01"), 400) == day("2026-06-06") + 400 * DAY


@pytest.mark.parametrize("n", [10**12, -(10**12), 10**7, -(10**7)])
@pytest.mark.parametrize("start", [date.min, day("2026-06-01"), date.max])
def test_no_day_beyond_the_calendar_of_the_world(start: date, n: int) -> None:
    assert calendar(first="2026-01-01").shift(start, n) is None


def test_a_span_that_ends_before_it_begins_holds_no_day() -> None:
    backwards = Span(day("2026-03-20"), day("2026-03-02"))
    cal = Calendar.build(MON_FRI, [backwards], first=day("2026-01-01"), last=day("2026-12-31"))
    assert cal.is_working(day("2026-03-10"))

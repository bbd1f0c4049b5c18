"""Working calendars against published examples, numpy and a walk from day to day."""

from collections.abc import Callable
from datetime import date, timedelta
from itertools import combinations
from typing import Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.workdays import (
    NO_DAY,
    Calendar,
    Problem,
    Roll,
    Skip,
    Span,
    Week,
    parse_week,
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


# --- working weeks in words -----------------------------------------------------------------


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


# --- random calendars against a walk from day to day --------------------------------------------

FIRST, LAST = day("2026-01-01"), day("2027-06-30")
near = st.dates(day("2025-10-01"), day("2027-09-30"))
inside = st.dates(day("2026-02-01"), day("2027-05-31"))
weeks = st.sets(st.integers(0, 6)).map(lambda days: Week(tuple(sorted(days))))
ends = st.one_of(st.none(), st.integers(-3, 40))


@st.composite
def spans(draw: st.DrawFn) -> Span:
    first, length = draw(near), draw(ends)
    return Span(first, None if length is None else first + length * DAY)


entries = st.lists(st.one_of(near, st.builds(Span, near, near), spans()), max_size=6)
Plan = tuple[Calendar, Callable[[date], bool]]


def holds(entry: date | Span, d: date) -> bool:
    """Whether an entry covers a day, told without the calendar's help."""
    if not isinstance(entry, Span):
        return FIRST <= d <= LAST and d == entry
    if entry.last is None and entry.first <= LAST:
        return max(entry.first, FIRST) <= d
    return FIRST <= d <= LAST and entry.first <= d <= (entry.last or date.max)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """A calendar, and the same calendar as a question asked day by day."""
    week, off, on = draw(weeks), draw(entries), draw(entries)

    def works(d: date) -> bool:
        if any(holds(entry, d) for entry in on):
            return True
        return d.weekday() in week.days and not any(holds(entry, d) for entry in off)

    return Calendar.build(week, off, on, first=FIRST, last=LAST), works


def walk(works: Callable[[date], bool], start: date, step: int) -> date | None:
    """The first worked day from `start` on, looking at 3000 days and no further."""
    days = (start + i * step * DAY for i in range(3000))
    return next((d for d in days if works(d)), None)


def shift_by_walking(works: Callable[[date], bool], start: date, n: int) -> date | None:
    step = -1 if n < 0 else 1
    at = walk(works, start, step)
    for _ in range(abs(n)):
        at = at and walk(works, at + step * DAY, step)
    return at


@given(plans(), near)
def test_is_working_as_day_by_day(plan: Plan, d: date) -> None:
    cal, works = plan
    assert cal.is_working(d) == works(d)


@given(plans(), near, st.integers(-60, 60))
def test_shift_as_day_by_day(plan: Plan, d: date, n: int) -> None:
    cal, works = plan
    assert cal.shift(d, n) == shift_by_walking(works, d, n)


@given(plans(), near, near)
def test_count_as_day_by_day(plan: Plan, a: date, b: date) -> None:
    cal, works = plan
    if a <= b:
        expected = sum(works(a + i * DAY) for i in range((b - a).days))
    else:
        expected = -sum(works(b + i * DAY) for i in range(1, (a - b).days + 1))
    assert cal.count(a, b) == expected


@given(plans(), near, near)
def test_skipped_days_are_those_not_worked(plan: Plan, a: date, b: date) -> None:
    cal, works = plan
    low, high = min(a, b), max(a, b)
    told = [
        skip.first + i * DAY
        for skip in cal.skipped(a, b)
        for i in range((skip.last - skip.first).days + 1)
    ]
    days = (low + i * DAY for i in range((high - low).days + 1))
    assert told == [d for d in days if not works(d)]


@given(plans(), near, st.sampled_from(Roll))
def test_rolling_twice_is_rolling_once(plan: Plan, d: date, roll: Roll) -> None:
    cal, _ = plan
    once = cal.roll(d, roll)
    if once is not None:
        assert cal.roll(once, roll) == once
        assert cal.is_working(once)


@given(plans(), near, st.integers(-60, 60))
def test_count_gives_back_what_shift_moved(plan: Plan, d: date, n: int) -> None:
    cal, _ = plan
    moved = cal.shift(d, n)
    if moved is not None:
        assert cal.count(d, moved) == n


@given(plans(), near, st.integers(-60, 60))
def test_shift_is_undone_by_shift_from_a_day_worked(plan: Plan, d: date, n: int) -> None:
    cal, _ = plan
    moved = cal.shift(d, n)
    if cal.is_working(d) and moved is not None:
        assert cal.shift(moved, -n) == d


@given(plans(), near, st.integers(0, 60))
def test_back_and_forward_never_passes_the_day(plan: Plan, d: date, n: int) -> None:
    cal, _ = plan
    back = cal.shift(d, -n, Roll.PRECEDING)
    if back is not None:
        again = cal.shift(back, n)
        assert again is not None
        assert again <= d


@given(plans(), st.lists(near, min_size=3, max_size=3).map(sorted))
def test_counts_add_up(plan: Plan, days: list[date]) -> None:
    cal, _ = plan
    a, b, c = days
    assert cal.count(a, b) + cal.count(b, c) == cal.count(a, c)
    assert cal.count(c, b) + cal.count(b, a) == cal.count(c, a)


# --- random calendars against numpy ---------------------------------------------------------------

NumpyRoll = Literal["following", "preceding", "modifiedfollowing", "modifiedpreceding"]
ROLL_NAMES: dict[Roll, NumpyRoll] = {
    Roll.FOLLOWING: "following",
    Roll.PRECEDING: "preceding",
    Roll.MODIFIED_FOLLOWING: "modifiedfollowing",
    Roll.MODIFIED_PRECEDING: "modifiedpreceding",
}
some_week = weeks.filter(lambda week: bool(week.days))
holidays = st.lists(st.dates(FIRST, LAST), max_size=30)


def in_numpy(week: Week, off: list[date]) -> np.busdaycalendar:
    return np.busdaycalendar([d in week.days for d in range(7)], off)


@given(some_week, holidays, near, st.integers(-90, 90), st.sampled_from(Roll))
def test_shift_as_numpy(week: Week, off: list[date], d: date, n: int, roll: Roll) -> None:
    cal = Calendar.build(week, off, first=FIRST, last=LAST)
    expected = np.busday_offset(
        np.datetime64(d), np.int64(n), roll=ROLL_NAMES[roll], busdaycal=in_numpy(week, off)
    )
    assert cal.shift(d, n, roll) == expected.item()


@given(some_week, holidays, near, near)
def test_count_as_numpy(week: Week, off: list[date], a: date, b: date) -> None:
    cal = Calendar.build(week, off, first=FIRST, last=LAST)
    assert cal.count(a, b) == np.busday_count(a, b, busdaycal=in_numpy(week, off))

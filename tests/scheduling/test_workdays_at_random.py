"""Random working calendars against a walk from day to day, and against numpy."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Literal

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.workdays import Calendar, Roll, Span, Week

DAY = timedelta(days=1)
FIRST, LAST = date(2026, 1, 1), date(2027, 6, 30)
near = st.dates(date(2025, 10, 1), date(2027, 9, 30))
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

"""Ship-day rules: their words, and their dates against RFC 5545 and official calendars."""

from datetime import date, timedelta
from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.daysoff import HolidayYear, public_holidays, working_calendar
from assistant.scheduling.shipdays import (
    EveryWeeks,
    MonthDay,
    NthWeekday,
    NthWorkingDay,
    ShipRule,
    occurrences,
    ship_date,
    ship_dates,
)
from assistant.scheduling.workdays import NO_DAY, Calendar, Span, Week
from tests.scheduling.rules import rule, rules

MON_FRI = Week.from_string("Mon-Fri")
DAY = timedelta(days=1)


def day(text: str) -> date:
    return date.fromisoformat(text)


def england() -> Calendar:
    # Source: UK Government, data file behind gov.uk/bank-holidays, version of 2026-08-21.
    years = [public_holidays("GB", "ENG", year) for year in (2025, 2026, 2027)]
    known = [year for year in years if isinstance(year, HolidayYear)]
    return working_calendar(MON_FRI, known, first=day("2025-01-01"), last=day("2027-12-31"))


PLAIN = Calendar.build(MON_FRI, first=day("2025-01-01"), last=day("2028-12-31"))


def in_2026(text: str, calendar: Calendar) -> list[str]:
    found = [ship_date(rule(text), 2026, month, calendar) for month in range(1, 13)]
    return [f"{on:%m-%d}" for on in found if on]


# --- recurrence -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "recurrence", "expected"),
    [
        (
            "1997-09-05",
            "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
            "1997: 09-05 10-03 11-07 12-05 1998: 01-02 02-06 03-06 04-03 05-01 06-05",
        ),
        (
            "1997-09-22",
            "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
            "1997: 09-22 10-20 11-17 12-22 1998: 01-19 02-16",
        ),
        (
            "1997-09-28",
            "FREQ=MONTHLY;BYMONTHDAY=-3",
            "1997: 09-28 10-29 11-28 12-29 1998: 01-29 02-26",
        ),
        (
            "1997-09-02",
            "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=2,15",
            "1997: 09-02 09-15 10-02 10-15 11-02 11-15 12-02 12-15 1998: 01-02 01-15",
        ),
        (
            "1997-09-30",
            "FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1",
            "1997: 09-30 10-01 10-31 11-01 11-30 12-01 12-31 1998: 01-01 01-31 02-01",
        ),
        (
            "1997-09-04",
            "FREQ=MONTHLY;COUNT=3;BYDAY=TU,WE,TH;BYSETPOS=3",
            "1997: 09-04 10-07 11-06",
        ),
        (
            "1997-09-29",
            "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-2",
            "1997: 09-29 10-30 11-27 12-30 1998: 01-29 02-26 03-30",
        ),
        (
            "1997-09-13",
            "FREQ=MONTHLY;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
            "1997: 09-13 10-11 11-08 12-13 1998: 01-10 02-07 03-07 04-11 05-09 06-13",
        ),
        (
            "1997-09-07",
            "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
            "1997: 09-07 09-28 11-02 11-30 1998: 01-04 01-25 03-01 03-29 05-03 05-31",
        ),
        (
            "2007-01-15",
            "FREQ=MONTHLY;COUNT=5;BYMONTHDAY=15,30",
            "2007: 01-15 01-30 02-15 03-15 03-30",
        ),
        (
            "1997-08-05",
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO",
            "1997: 08-05 08-10 08-19 08-24",
        ),
        (
            "1997-08-05",
            "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU",
            "1997: 08-05 08-17 08-19 08-31",
        ),
        (
            "1997-05-12",
            "FREQ=YEARLY;BYWEEKNO=20;BYDAY=MO",
            "1997: 05-12 1998: 05-11 1999: 05-17",
        ),
    ],
)
def test_recurrences_of_the_standard(start: str, recurrence: str, expected: str) -> None:
    # Source: RFC 5545, section 3.8.5.3, examples, and section 3.3.10.
    wanted, year = [], ""
    for word in expected.split():
        if word.endswith(":"):
            year = word.rstrip(":")
        else:
            wanted.append(day(f"{year}-{word}"))
    assert list(islice(occurrences(recurrence, day(start)), len(wanted))) == wanted


def test_last_working_day_as_a_recurrence() -> None:
    # Source: RFC 5545, section 3.3.10: BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1 on a plain week.
    last = "FREQ=MONTHLY;BYDAY=MO,TU,WE,TH,FR;BYSETPOS=-1"
    expected = list(islice(occurrences(last, day("2026-01-01")), 12))
    found = ship_dates(rule("last working day"), day("2026-01-01"), day("2026-12-31"), PLAIN)
    assert list(found) == expected


# --- ship days on official calendars ------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "second Tuesday",  # RFC 5545: BYDAY=2TU
            "01-13 02-10 03-10 04-14 05-12 06-09 07-14 08-11 09-08 10-13 11-10 12-08",
        ),
        (
            "last working day",
            "01-30 02-27 03-31 04-30 05-29 06-30 07-31 08-28 09-30 10-30 11-30 12-31",
        ),
        (
            "15th or the previous working day",
            "01-15 02-13 03-13 04-15 05-15 06-15 07-15 08-14 09-15 10-15 11-13 12-15",
        ),
    ],
)
def test_monthly_ship_days_in_england(text: str, expected: str) -> None:
    # Calendar as in `england`; choosing such ship days: common practice, no source.
    assert in_2026(text, england()) == expected.split()
    year = ship_dates(rule(text), day("2026-01-01"), day("2026-12-31"), england())
    assert [f"{on:%m-%d}" for on in year] == expected.split()


@pytest.mark.parametrize(
    ("text", "month", "expected"),
    [
        ("the 31st", 2, "2026-02-28"),  # RFC 7529, section 4.1: SKIP=BACKWARD
        ("the last day", 4, "2026-04-30"),
        ("the 30th", 1, "2026-01-30"),
        ("the 15th", 3, "2026-03-15"),  # a Sunday: the rule leaves it there
        ("the 15th or the working day after", 3, "2026-03-16"),
        ("the 31st or the working day after", 5, "2026-06-01"),
        ("the 31st or the working day after, but not into the next month", 5, "2026-05-29"),
        ("the 1st or the working day before", 8, "2026-07-31"),
        ("the 1st or the working day before, but not into the month before", 8, "2026-08-03"),
        ("last Friday", 5, "2026-05-29"),
        ("second to last Friday", 5, "2026-05-22"),
        ("first working day", 5, "2026-05-01"),
        ("3rd working day", 4, "2026-04-07"),  # Good Friday and Easter Monday lie before
        ("second to last working day", 12, "2026-12-30"),
        ("every 2 weeks from 2026-01-06", 3, "2026-03-03"),
    ],
)
def test_one_month(text: str, month: int, expected: str) -> None:
    # Rolls as named in the NumPy reference manual, numpy.busday_offset; calendar as in `england`.
    assert ship_date(rule(text), 2026, month, england()) == day(expected)


@pytest.mark.parametrize(
    ("text", "month"),
    [
        ("fifth Friday", 2),
        ("23rd working day", 2),
        ("the 15th in March", 4),
        ("every 2 weeks from 2027-01-05", 3),
    ],
)
def test_a_month_without_a_ship_day(text: str, month: int) -> None:
    assert ship_date(rule(text), 2026, month, PLAIN) is None


def test_nothing_ships_where_nobody_works() -> None:
    never = Calendar.build(NO_DAY, first=day("2026-01-01"), last=day("2026-12-31"))
    for text in ("15th or the working day before", "last working day", "first working day"):
        assert ship_date(rule(text), 2026, 5, never) is None
    assert ship_date(rule("the 15th"), 2026, 5, never) == day("2026-05-15")


def test_a_date_rolled_in_from_outside_counts() -> None:
    before = rule("the 1st or the working day before")
    found = ship_dates(before, day("2026-07-30"), day("2026-07-31"), PLAIN)
    assert found == (day("2026-07-31"),)  # the box of August


def test_a_date_may_be_rolled_over_months() -> None:
    closed = Span(day("2026-03-01"), day("2026-11-30"))
    cal = Calendar.build(MON_FRI, [closed], first=day("2026-01-01"), last=day("2026-12-31"))
    after = rule("the 15th or the working day after in March")
    assert ship_dates(after, day("2026-12-01"), day("2026-12-31"), cal) == (day("2026-12-01"),)


def test_two_boxes_rolled_to_one_day_are_one_date() -> None:
    closed = Span(day("2026-08-10"), day("2026-09-30"))
    cal = Calendar.build(MON_FRI, [closed], first=day("2026-01-01"), last=day("2026-12-31"))
    after = rule("the 15th or the working day after")
    found = ship_dates(after, day("2026-08-01"), day("2026-10-14"), cal)
    assert found == (day("2026-10-01"),)


def test_every_two_weeks() -> None:
    found = ship_dates(
        rule("every 2 weeks from 2026-12-29"), day("2026-12-01"), day("2027-02-15"), PLAIN
    )
    assert [str(on) for on in found] == ["2026-12-29", "2027-01-12", "2027-01-26", "2027-02-09"]


def test_the_ends_of_the_calendar_of_the_world() -> None:
    for text in ("15th or the working day before", "every 2 weeks from 0001-01-01", "last day"):
        assert ship_dates(rule(text), date.min, date.min.replace(month=3), PLAIN)
        assert ship_dates(rule(text), date.max.replace(month=10), date.max, PLAIN)


# --- random rules on random calendars ---------------------------------------------------------

closures = st.lists(
    st.builds(
        lambda first, days: Span(first, first + days * DAY),
        st.dates(day("2025-06-01"), day("2028-06-01")),
        st.integers(0, 20),
    ),
    max_size=5,
)
calendars = closures.map(
    lambda off: Calendar.build(MON_FRI, off, first=day("2025-01-01"), last=day("2028-12-31"))
)
near = st.dates(day("2026-01-01"), day("2027-12-31"))


@given(rules, near, st.integers(0, 200), calendars)
def test_ship_dates_are_those_of_the_months_around(
    a_rule: ShipRule, first: date, days: int, calendar: Calendar
) -> None:
    """As if every day for months around were asked whether the rule names it."""
    last = first + days * DAY
    around = (first + n * DAY for n in range(-130, days + 131))
    named = [on for on in around if names(a_rule.pattern, on, calendar)]
    kept = [on for on in named if not a_rule.months or on.month in a_rule.months]
    landed = [calendar.roll(on, a_rule.roll) if a_rule.roll else on for on in kept]
    expected = sorted({on for on in landed if on and first <= on <= last})
    assert list(ship_dates(a_rule, first, last, calendar)) == expected


def names(
    pattern: MonthDay | NthWeekday | NthWorkingDay | EveryWeeks, on: date, calendar: Calendar
) -> bool:
    """Whether a pattern names a day, told by counting from the ends of its month."""
    if isinstance(pattern, EveryWeeks):
        return on >= pattern.start and (on - pattern.start).days % (7 * pattern.weeks) == 0
    start = on.replace(day=1)
    month = [d for d in (start + n * DAY for n in range(31)) if d.month == on.month]
    if isinstance(pattern, MonthDay):
        return on.day == min(pattern.day, len(month))
    if isinstance(pattern, NthWeekday):
        month = [d for d in month if d.weekday() == pattern.weekday]
    else:
        month = [d for d in month if calendar.is_working(d)]
    place = pattern.n - 1 if pattern.n > 0 else pattern.n
    return -len(month) <= place < len(month) and month[place] == on


@given(rules, st.integers(1, 12), calendars)
def test_a_rolled_ship_date_is_worked(a_rule: ShipRule, month: int, calendar: Calendar) -> None:
    found = ship_date(a_rule, 2027, month, calendar)
    if found and a_rule.roll:
        assert calendar.is_working(found)

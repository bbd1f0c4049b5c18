"""Ship dates: the dates that a ship-day rule means on one working calendar.

Knows rules, months and the calendar that is handed in. Must not know boxes or who ships.
Recurrence is that of RFC 5545 (iCalendar), as `dateutil.rrule` works it out; rolling to a working
day is that of `workdays`.

Invariants: a monthly rule gives at most one date for each month; the date belongs to that month
even when it is rolled out of it; nothing raises for dates that `date` can hold.
"""

from __future__ import annotations

from calendar import monthrange
from collections.abc import Iterator
from datetime import date, datetime, time
from functools import lru_cache

from dateutil.rrule import MONTHLY, WEEKLY, rrule, rrulestr, weekday

from assistant.scheduling.shiprules import (
    EXAMPLE,
    EveryWeeks,
    MonthDay,
    NthWeekday,
    NthWorkingDay,
    Pattern,
    ShipRule,
    parse_rule,
)
from assistant.scheduling.workdays import Calendar, Problem, Roll

__all__ = [
    "EXAMPLE",
    "EveryWeeks",
    "MonthDay",
    "NthWeekday",
    "NthWorkingDay",
    "Problem",
    "ShipRule",
    "occurrences",
    "parse_rule",
    "ship_date",
    "ship_dates",
]

_REACH = 366  # days: how far a roll is followed from the day that the rule names


def occurrences(rule: str, start: date) -> Iterator[date]:
    """The dates of an iCalendar recurrence rule ("FREQ=MONTHLY;BYDAY=2TU") from `start` on.

    Source: RFC 5545, section 3.3.10. For rules we write ourselves: ValueError for anything else.
    """
    return (moment.date() for moment in rrulestr(rule, dtstart=_at_midnight(start)))


def ship_date(rule: ShipRule, year: int, month: int, calendar: Calendar) -> date | None:
    """The ship date of a month's box; for a rule of weeks, the first that it names in the month.

    None when the month has none, or when no working day can be found for it.
    """
    first = date(year, month, 1)
    return next(_dates(rule, first, _month_end(first), calendar), None)


def ship_dates(rule: ShipRule, first: date, last: date, calendar: Calendar) -> tuple[date, ...]:
    """The ship dates from `first` to `last`, both included, in order, each once.

    A date that is rolled into that time from outside counts, if by no more than a year.
    """
    begin, end = _moved(first, -_REACH).replace(day=1), _month_end(_moved(last, _REACH))
    found = {day for day in _dates(rule, begin, end, calendar) if first <= day <= last}
    return tuple(sorted(found))


def _dates(rule: ShipRule, first: date, last: date, calendar: Calendar) -> Iterator[date]:
    """The ship dates of the days that a rule names in whole months, rolled."""
    for day in _named(rule.pattern, first, last, calendar):
        if rule.months and day.month not in rule.months:
            continue
        landed = calendar.roll(day, rule.roll) if rule.roll else day
        if landed is not None:
            yield landed


def _named(pattern: Pattern, first: date, last: date, calendar: Calendar) -> Iterator[date]:
    """The days that a pattern names in whole months, in order."""
    if isinstance(pattern, EveryWeeks):
        yield from _every_weeks(pattern, first, last)
        return
    for months in range(first.year * 12 + first.month - 1, last.year * 12 + last.month):
        year, month = months // 12, months % 12 + 1
        if isinstance(pattern, NthWorkingDay):
            day = _nth_working_day(pattern.n, date(year, month, 1), calendar)
        else:
            day = _in_month(pattern, year, month)
        if day is not None:
            yield day


def _every_weeks(pattern: EveryWeeks, first: date, last: date) -> Iterator[date]:
    """The pattern's days in a time, counted from near it: a start long ago costs nothing."""
    step = 7 * pattern.weeks
    turns = max(0, -(-(first - pattern.start).days // step))
    ordinal = pattern.start.toordinal() + turns * step
    if ordinal <= last.toordinal():
        start, until = date.fromordinal(ordinal), _at_midnight(last)
        yield from (
            moment.date()
            for moment in rrule(WEEKLY, _at_midnight(start), pattern.weeks, until=until)
        )


@lru_cache(maxsize=4096)
def _in_month(pattern: MonthDay | NthWeekday, year: int, month: int) -> date | None:
    """The day that a pattern names in one month, if it has one."""
    first = date(year, month, 1)
    start, until = _at_midnight(first), _at_midnight(_month_end(first))
    if isinstance(pattern, MonthDay):
        days = range(min(pattern.day, 28), pattern.day + 1)
        found = rrule(MONTHLY, start, until=until, bymonthday=days, bysetpos=-1)
    else:
        nth = weekday(pattern.weekday, pattern.n)
        found = rrule(MONTHLY, start, until=until, byweekday=nth)
    return next((moment.date() for moment in found), None)


def _nth_working_day(n: int, first: date, calendar: Calendar) -> date | None:
    """The nth working day of the month that begins on `first`, if it has so many."""
    if n > 0:
        found = calendar.shift(first, n - 1, Roll.FOLLOWING)
    else:
        found = calendar.shift(_month_end(first), n + 1, Roll.PRECEDING)
    return found if found and (found.year, found.month) == (first.year, first.month) else None


def _month_end(day: date) -> date:
    return day.replace(day=monthrange(day.year, day.month)[1])


def _moved(day: date, days: int) -> date:
    """`day` moved by `days`, no further than `date` reaches."""
    return date.fromordinal(min(max(day.toordinal() + days, 1), date.max.toordinal()))


def _at_midnight(day: date) -> datetime:
    """The form in which dateutil takes a date."""
    return datetime.combine(day, time())

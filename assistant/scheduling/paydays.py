"""Days on which money is due: by terms of payment, by a day of the month.

Knows: terms as numbers, calendars. Must not know: who pays whom, or how much. Invariants: terms
count calendar days; a day of the month that a month lacks is its last day; a day that is not worked
goes where a roll leads it, on the calendar of whoever pays.
"""

from calendar import monthrange
from collections.abc import Iterator
from datetime import date, timedelta

from assistant.scheduling.workdays import Calendar, Roll


def month_end(day: date) -> date:
    """Return the last day of a day's month."""
    return day.replace(day=monthrange(day.year, day.month)[1])


def due_on(invoice: date, net_days: int, *, end_of_month: bool = False) -> date:
    """Return when an invoice is due: so many calendar days after its day, or after the end of its
    month ("net 30 end of month"): common practice, no source."""
    return (month_end(invoice) if end_of_month else invoice) + timedelta(net_days)


def paid_on(due: date, calendar: Calendar, roll: Roll = Roll.PRECEDING) -> date:
    """Return the working day on which what is due on a day is paid; the day itself where the
    calendar has no working day to roll to. The rolls: NumPy reference manual, numpy.busday_offset.
    """
    return calendar.roll(due, roll) or due


def day_of_month(year: int, month: int, day: int) -> date:
    """Return a day of a month by its number from 1 on, the month's last day where it lacks it."""
    return date(year, month, min(day, monthrange(year, month)[1]))


def months_between(first: date, last: date) -> Iterator[tuple[int, int]]:
    """The (year, month) of every month from that of `first` to that of `last`."""
    for number in range(first.year * 12 + first.month - 1, last.year * 12 + last.month):
        yield number // 12, number % 12 + 1


def paid_out(charged: date, payout_days: int, calendar: Calendar) -> date:
    """Return when what is charged on a day is in the bank: so many working days later, counted
    from the next working day where the charge falls on none."""
    return calendar.shift(charged, payout_days, Roll.FOLLOWING) or charged

"""Working calendars: which days someone works, and arithmetic on those days.

Knows dates, working weeks, days off and days on. Must not know why anyone asks: no boxes, no shop,
no supplier, no clock, no disk.

Invariants:
- A day on beats a day off, and a day off beats the working week.
- A calendar is a table from `first` to `last`. Outside it only the working week and closures that
  have no end are known; every answer out there is provisional.
- No question raises. One without an answer (a calendar that never works again, a day beyond the
  years 1 to 9999) is answered with None.
- Looking up, moving and counting days take the same short time however far they reach.

Days are counted inside by `date.toordinal()`, where day 1 is a Monday. The *rank* of a day is how
many working days of the calendar lie before it, counted from the first day of the table; it is
negative before the table. Moving n working days is adding n to a rank.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from itertools import accumulate, compress, groupby
from types import MappingProxyType
from typing import NamedTuple

from assistant.scheduling.weeks import EVERY_DAY, NO_DAY, WEEKDAYS, Problem, Week, parse_week

__all__ = [
    "EVERY_DAY",
    "NO_DAY",
    "WEEKDAYS",
    "Calendar",
    "Problem",
    "Roll",
    "Skip",
    "Span",
    "Week",
    "parse_week",
]

_LAST_DAY = date.max.toordinal()
_NO_REASONS: Mapping[date | Span, str] = MappingProxyType({})


class Roll(Enum):
    """Where a date goes that falls on a day that is not worked.

    Names and meanings as in the NumPy reference manual, numpy.busday_offset.
    """

    FOLLOWING = "following"
    PRECEDING = "preceding"
    MODIFIED_FOLLOWING = "modified following"
    MODIFIED_PRECEDING = "modified preceding"


@dataclass(frozen=True, slots=True)
class Span:
    """The days from `first` to `last`, both included; `last` None means without end.

    A span whose last day lies before its first holds no day. `provisional` says that the dates are
    not settled yet, only expected.
    """

    first: date
    last: date | None
    reason: str = ""
    provisional: bool = False


class Skip(NamedTuple):
    """A run of days that are not worked, first and last included, and why."""

    first: date
    last: date
    reason: str


class Table(NamedTuple):
    """A calendar's days laid out, for loops that cannot spare a call (see backward.py).

    `counts[i]` is the rank of the day `low + i`, one more than there are days; `ordinals[rank]` is
    the working day of that rank. A day or rank outside must go through `Calendar.rank` and `nth`.
    """

    low: int
    counts: tuple[int, ...]
    ordinals: tuple[int, ...]


@dataclass(frozen=True, slots=True, repr=False)
class Calendar:
    """The days on which someone works. Make one with `Calendar.build`.

    Two calendars are equal when they work the same days for the same reasons.
    """

    week: Week
    first: date
    last: date
    _worked: bytes
    _after: Week  # what is worked beyond `last`
    _off: tuple[date | Span, ...]
    _reasons: tuple[str | None, ...]  # one for each of `_off`
    _settled: tuple[int, int]  # outside these two days everything is provisional
    _doubts: tuple[tuple[int, int], ...]  # closures that are only expected, first and last day
    table: Table = field(compare=False)

    @staticmethod
    def build(
        week: Week,
        off: Iterable[date | Span] = (),
        on: Iterable[date | Span] = (),
        *,
        first: date,
        last: date,
        reasons: Mapping[date | Span, str] = _NO_REASONS,
        provisional_after: date | None = None,
    ) -> Calendar:
        """A calendar that knows the days from `first` to `last` (at least one day).

        Args:
            week: the weekdays worked when nothing else is said.
            off: days and spans not worked; what lies outside the table is not kept, save that a
                span without end that has begun by `last` goes on for ever.
            on: days and spans worked whatever `week` and `off` say, kept likewise.
            reasons: a name for each of `off`, used before a span's own; "closed" where none is.
            provisional_after: the last day for which `off` and `on` are settled.
        """
        low, high = first.toordinal(), max(first, last).toordinal()
        closed, opened = tuple(off), tuple(on)
        worked = _worked_days(week, closed, opened, low, high)
        settled = high if provisional_after is None else min(high, provisional_after.toordinal())
        return Calendar(
            week=week,
            first=first,
            last=max(first, last),
            _worked=worked,
            _after=_tail(week, closed, opened, high),
            _off=closed,
            _reasons=tuple(map(reasons.get, closed)),
            _settled=(low, settled),
            _doubts=tuple([_ends(e) for e in closed if isinstance(e, Span) and e.provisional]),
            table=Table(
                low=low,
                counts=tuple(accumulate(worked, initial=0)),
                ordinals=tuple(compress(range(low, high + 1), worked)),
            ),
        )

    def __repr__(self) -> str:
        return f"Calendar({self.week.text()}, {self.first} to {self.last})"

    def is_working(self, day: date) -> bool:
        """Whether `day` is worked."""
        ordinal = day.toordinal()
        return self.rank(ordinal + 1) > self.rank(ordinal)

    def shift(self, day: date, n: int, roll: Roll | None = None) -> date | None:
        """The day `n` working days after `day` (before it when `n` is negative).

        As numpy.busday_offset: a `day` that is not worked is rolled first, then the steps are
        taken. Without `roll` it rolls the way it travels: back when `n` is negative, else forward.
        Then `count(day, shift(day, n)) == n`, and moving n days back and n days forward again never
        ends after `day`: whoever works back from a handover hands over on a day that they work.

        None when the calendar has no such day.
        """
        if roll is None:
            roll = Roll.PRECEDING if n < 0 else Roll.FOLLOWING
        return _date(self.nth(self._rolled_rank(day, roll) + n))

    def roll(self, day: date, roll: Roll) -> date | None:
        """`day` itself when it is worked, else the working day that `roll` leads to, or None."""
        return _date(self.nth(self._rolled_rank(day, roll)))

    def count(self, a: date, b: date) -> int:
        """Working days from `a` up to the day before `b`, as numpy.busday_count.

        When `b` lies before `a`: minus the working days after `b` up to and including `a`.
        """
        if a <= b:
            return self.rank(b.toordinal()) - self.rank(a.toordinal())
        return self.rank(b.toordinal() + 1) - self.rank(a.toordinal() + 1)

    def skipped(self, a: date, b: date) -> tuple[Skip, ...]:
        """The days not worked from the earlier of `a` and `b` to the later, both included.

        Neighbouring days with one reason make one run. Where several reasons cover a day the
        longest closure is named, so that a summer closure is one run through its weekends.
        """
        low, high = sorted((a.toordinal(), b.toordinal()))
        covering, rest_reason = self._covering(low, high), self.week.rest_reason()
        rests = [
            (
                ordinal,
                next((why for start, end, why in covering if start <= ordinal <= end), rest_reason),
            )
            for ordinal in range(low, high + 1)
            if self.rank(ordinal + 1) == self.rank(ordinal)
        ]
        runs = [
            [rest for _, rest in run]
            for _, run in groupby(enumerate(rests), lambda item: (item[1][0] - item[0], item[1][1]))
        ]
        return tuple(
            Skip(date.fromordinal(run[0][0]), date.fromordinal(run[-1][0]), run[0][1])
            for run in runs
        )

    def provisional(self, day: date) -> bool:
        """Whether `day` lies beyond what is settled, or in a closure that is only expected."""
        return self.provisional_between(day, day)

    def provisional_between(self, a: date, b: date) -> bool:
        """Whether any day from the earlier of `a` and `b` to the later is provisional."""
        return not self.settled(*sorted((a.toordinal(), b.toordinal())))

    def settled(self, low: int, high: int) -> bool:
        """Whether no day from the ordinal `low` up to and including `high` is provisional."""
        return (
            self._settled[0] <= low
            and high <= self._settled[1]
            and not (self._doubts and any(f <= high and low <= last for f, last in self._doubts))
        )

    def rank(self, ordinal: int) -> int:
        """Working days before the day `ordinal`, counted from the first day of the table."""
        low, counts, _ = self.table
        place = ordinal - low
        if 0 <= place < len(counts):
            return counts[place]
        if place < 0:
            return self.week.before(ordinal) - self.week.before(low)
        return counts[-1] + self._after.before(ordinal) - self._after.before(low + len(counts) - 1)

    def nth(self, rank: int) -> int | None:
        """The ordinal of the working day with this rank; None where there is none."""
        low, counts, ordinals = self.table
        if 0 <= rank < len(ordinals):
            return ordinals[rank]
        if rank < 0:
            ordinal = self.week.nth(self.week.before(low) + rank)
        else:
            start = self._after.before(low + len(counts) - 1)
            ordinal = self._after.nth(start + rank - len(ordinals))
        return ordinal if ordinal is not None and 1 <= ordinal <= _LAST_DAY else None

    def _rolled_rank(self, day: date, roll: Roll) -> int:
        """The rank of `day` once rolled."""
        ordinal = day.toordinal()
        if roll is Roll.FOLLOWING:
            return self.rank(ordinal)
        if roll is Roll.PRECEDING:
            return self.rank(ordinal + 1) - 1
        wanted, other = self.rank(ordinal), self.rank(ordinal + 1) - 1
        if roll is Roll.MODIFIED_PRECEDING:
            wanted, other = other, wanted
        landed = _date(self.nth(wanted))
        return wanted if landed and (landed.year, landed.month) == (day.year, day.month) else other

    def _covering(self, low: int, high: int) -> list[tuple[int, int, str]]:
        """First day, last day and reason of what is off from `low` to `high`, longest first."""
        found = []
        for entry, reason in zip(self._off, self._reasons, strict=True):
            first, last = _ends(entry)
            if first <= high and last >= low:
                own = entry.reason if isinstance(entry, Span) else ""
                found.append((first, last, reason or own or "closed"))
        return sorted(found, key=lambda stretch: stretch[0] - stretch[1])


def _date(ordinal: int | None) -> date | None:
    return None if ordinal is None else date.fromordinal(ordinal)


def _ends(entry: date | Span) -> tuple[int, int]:
    """The first and last day of an entry; a span without end lasts as long as there are days."""
    if isinstance(entry, Span):
        return entry.first.toordinal(), _LAST_DAY if entry.last is None else entry.last.toordinal()
    return entry.toordinal(), entry.toordinal()


def _worked_days(
    week: Week, off: Iterable[date | Span], on: Iterable[date | Span], low: int, high: int
) -> bytes:
    """One byte for each day from `low` to `high`: 1 when it is worked."""
    size = high - low + 1
    pattern = bytes([weekday in week.days for weekday in range(7)])
    start = (low - 1) % 7
    worked = bytearray((pattern * (size // 7 + 2))[start : start + size])
    for entries, mark in ((off, 0), (on, 1)):
        for entry in entries:
            if isinstance(entry, Span):
                first, last = _ends(entry)
                begin, end = max(first - low, 0), min(last - low + 1, size)
                if begin < end:
                    worked[begin:end] = bytes([mark]) * (end - begin)
            elif low <= (ordinal := entry.toordinal()) <= high:
                worked[ordinal - low] = mark
    return bytes(worked)


def _tail(week: Week, off: Iterable[date | Span], on: Iterable[date | Span], high: int) -> Week:
    """What is worked after the table: spans without end that have begun go on."""
    if any(isinstance(e, Span) and e.last is None and e.first.toordinal() <= high for e in on):
        return EVERY_DAY
    if any(isinstance(e, Span) and e.last is None and e.first.toordinal() <= high for e in off):
        return NO_DAY
    return week

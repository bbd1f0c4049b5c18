"""The chance that what is ordered on a day is in hand by another day.

Knows: stretches of varying length, the calendars of those who work, dates. Must not know: what is
ordered, by whom, or what it is for. Invariants: exact, day by day on each party's own calendar; the
later an order, the smaller its chance; with stretches that do not vary the chance falls from 1 to 0
on the latest date that backward.py finds.

A curve is worked back once from the day of need: every way in which the stretches can turn out has
one last day on which an order is still in time, and the chance of an order is that of the ways
whose last day has not passed.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import accumulate
from operator import neg
from typing import NamedTuple

from assistant.scheduling.backward import Unit
from assistant.scheduling.lead_times import Days
from assistant.scheduling.workdays import Calendar

_ROUNDING = 1e-9  # of a chance


class Leg(NamedTuple):
    """One stretch between order and arrival, of varying length.

    Working days are counted on `calendar`. Calendar days begin on a working day of it, or on any
    day where it is None.
    """

    days: Days
    calendar: Calendar | None
    unit: Unit = Unit.WORKING


@dataclass(frozen=True, slots=True)
class Curve:
    """The chance to be in hand in time, for every order date.

    `days` are ordinals, rising: the last days on which an order is still in time, for all that may
    happen. `chances[i]` is the chance of an order on `days[i]`, and of one on any earlier day after
    `days[i - 1]`. An order after the last of them never comes in time.
    """

    days: tuple[int, ...]
    chances: tuple[float, ...]

    def chance(self, order_on: date) -> float:
        """The chance that what is ordered on this day is in hand in time."""
        place = bisect_left(self.days, order_on.toordinal())
        return self.chances[place] if place < len(self.days) else 0.0

    def order_by(self, confidence: float) -> date | None:
        """The last day on which an order has this chance (0..1); None where no day has it."""
        enough = bisect_right(self.chances, _ROUNDING - confidence, key=neg)
        return date.fromordinal(self.days[enough - 1]) if enough else None


def curve(by: date, receiver: Calendar, legs: Iterable[Leg]) -> Curve:
    """Return the curve of an order that must be in hand by a day.

    `legs` go from the last to the first. What comes on a day on which the receiver does not work is
    in hand on the next on which they do. Each leg begins on a working day of its calendar, and one
    of working days ends on one.
    """
    latest = receiver.nth(receiver.rank(by.toordinal() + 1) - 1)
    found = {} if latest is None else {latest: 1.0}
    for leg in legs:
        if found:
            found = _counted(found, leg) if leg.unit is Unit.WORKING else _passed(found, leg)
    days = sorted(found, reverse=True)
    chances = [min(1.0, chance) for chance in accumulate(found[day] for day in days)]
    return Curve(tuple(days[::-1]), tuple(chances[::-1]))


def _counted(found: dict[int, float], leg: Leg) -> dict[int, float]:
    """Working days back: on the ranks of the calendar, which have no gaps."""
    calendar = leg.calendar
    if calendar is None:
        return _spread(found, leg.days)
    ranks = _gathered((calendar.rank(day + 1) - 1, chance) for day, chance in found.items())
    spread = _spread(ranks, leg.days)
    landed = ((calendar.nth(rank), chance) for rank, chance in spread.items())
    return {day: chance for day, chance in landed if day is not None}


def _passed(found: dict[int, float], leg: Leg) -> dict[int, float]:
    """Calendar days back, then to a day on which the leg can begin."""
    calendar, spread = leg.calendar, _spread(found, leg.days)
    if calendar is None:
        return {day: chance for day, chance in spread.items() if day >= 1}
    landed = ((calendar.nth(calendar.rank(day + 1) - 1), chance) for day, chance in spread.items())
    return _gathered((day, chance) for day, chance in landed if day is not None)


def _gathered(pairs: Iterable[tuple[int, float]]) -> dict[int, float]:
    """Chances of the same day together."""
    found: dict[int, float] = {}
    for day, chance in pairs:
        found[day] = found.get(day, 0.0) + chance
    return found


def _spread(found: dict[int, float], days: Days) -> dict[int, float]:
    """Every day moved back by each number of days that may pass. The inner loop of a curve."""
    least, chances = days
    if len(chances) == 1 and chances[0] == 1.0:
        return {day - least: chance for day, chance in found.items()}
    top, bottom = max(found), min(found)
    sums = [0.0] * (top - bottom + len(chances))
    for day, chance in found.items():
        place = top - day
        for share in chances:
            sums[place] += chance * share
            place += 1
    top -= least
    return {top - place: chance for place, chance in enumerate(sums) if chance}


def last_days(found: Curve, since: date) -> tuple[Sequence[int], Sequence[float]]:
    """Return the order dates left from a day on, latest first, with their chances.

    Where none is left: that day alone.
    """
    first = bisect_left(found.days, since.toordinal())
    if first == len(found.days):
        return (since.toordinal(),), (0.0,)
    return found.days[first:][::-1], found.chances[first:][::-1]

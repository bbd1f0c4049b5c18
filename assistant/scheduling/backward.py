"""Chains of stages worked back from a date to latest dates, and forward to earliest ones.

Knows stages, calendars by key, and dates. Must not know what is packed, bought or sent.

Invariants:
- The date that a stage is worked back from is a handover. Whoever hands over works on that day or,
  if it is not theirs, hands over on their last working day before it.
- Working back and then forward again from the first date found never passes the anchor.
- A chain that cannot be finished (a calendar that never works) ends at the stage where it is stuck.
- A date that leans on a provisional day is provisional, and so is every date worked back from it.

The rules of the trade behind the stages: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from typing import NamedTuple

from assistant.scheduling.workdays import Calendar, Roll, Skip

_LAST_DAY = date.max.toordinal()


class Unit(Enum):
    """How the days of a stage are counted."""

    WORKING = "working"
    CALENDAR = "calendar"


_WORKING = Unit.WORKING  # looking up an enum's member takes longer than the rest of a stage


@dataclass(frozen=True, slots=True)
class Stage:
    """One stretch of work or waiting.

    Attributes:
        name: what the stage is called.
        calendar: key of the calendar whose working days count; not looked at for calendar days.
        count: how many days it takes. A negative count lies after the date it is worked back from.
        unit: working days or calendar days.
        land: key of the calendar on which a stage of calendar days must begin (a parcel leaves on a
            working day of its sender); "" where any day will do.
    """

    name: str
    calendar: str
    count: int
    unit: Unit = Unit.WORKING
    land: str = ""


class Step(NamedTuple):
    """A stage worked back: it must begin on `latest` to be through by `after`."""

    name: str
    stage: Stage
    latest: date
    after: date
    provisional: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """Stages worked back from `anchor`, from last to first.

    `stuck` is the stage for which no day could be found; the steps end before it.
    """

    anchor: date
    steps: tuple[Step, ...]
    stuck: Stage | None = None

    def latest(self, name: str) -> date | None:
        """The latest date of the stage called `name`, or None if the chain does not reach it."""
        return next((step.latest for step in self.steps if step.name == name), None)


# A stage made ready for the inner loop: offset, size, counts, moves, ordinals. A day lies at
# `day - offset` of its calendar's `counts` (the days that pass before it lands taken off); less
# `moves` that gives the rank of the day to land on. A stage for which this would not do (it has no
# calendar, or leads forward) has size 0. A plain tuple is unpacked twice as fast as a named one.
_Hop = tuple[int, int, tuple[int, ...], int, tuple[int, ...]]


class Route:
    """Stages with their calendars at hand, for working back from many anchors."""

    __slots__ = ("_calendars", "_hops", "_landings", "stages")

    def __init__(self, stages: Iterable[Stage], calendars: Mapping[str, Calendar]) -> None:
        """Stages from last to first; every key that they name must be in `calendars`."""
        self.stages = tuple(stages)
        self._landings = tuple([_landing(stage, calendars) for stage in self.stages])
        self._hops = tuple(map(_hop, self.stages, self._landings))
        self._calendars = tuple({id(c): c for c in self._landings if c is not None}.values())

    def latest_days(self, ordinal: int) -> list[int]:
        """The latest day of each stage, as ordinals, worked back from the day `ordinal`.

        Shorter than the stages where the chain is stuck. This is the inner loop of a whole plan: a
        day is looked up in place, and only one outside its calendar's table costs calls.
        """
        days: list[int] = []
        for offset, size, counts, moves, ordinals in self._hops:
            place = ordinal - offset
            if 0 <= place < size:
                rank = counts[place] - moves
                if rank >= 0:
                    ordinal = ordinals[rank]
                    days.append(ordinal)
                    continue
            found = _latest(self.stages[len(days)], self._landings[len(days)], ordinal)
            if found is None:
                break
            ordinal = found
            days.append(ordinal)
        return days

    def work_back(self, anchor: date) -> Chain:
        """The chain of latest dates from `anchor`, each with what it was worked back from."""
        start, after = anchor.toordinal(), anchor
        days = self.latest_days(start)
        steps = []
        for stage, ordinal, provisional in zip(
            self.stages, days, self._provisional(start, days), strict=False
        ):
            latest = date.fromordinal(ordinal)
            steps.append(Step(stage.name, stage, latest, after, provisional))
            after = latest
        stuck = self.stages[len(days)] if len(days) < len(self.stages) else None
        return Chain(anchor, tuple(steps), stuck)

    def _provisional(self, start: int, days: list[int]) -> list[bool]:
        """For each day found: whether it, or one it was worked back from, leans on a guess."""
        low, high = min(days, default=start), max(days, default=start)
        if all(calendar.settled(low, max(high, start)) for calendar in self._calendars):
            return [False] * len(days)
        found, after, leans = [], start, False
        for stage, calendar, day in zip(self.stages, self._landings, days, strict=False):
            begun = after - _split(stage)[0]
            leans = leans or not (
                calendar is None or calendar.settled(min(day, begun), max(day, begun))
            )
            found.append(leans)
            after = day
        return found


def work_back(anchor: date, stages: Sequence[Stage], calendars: Mapping[str, Calendar]) -> Chain:
    """Work `stages`, given from last to first, back from `anchor`.

    A stage of working days moves that many back on its own calendar, as Calendar.shift with
    Roll.PRECEDING; one of calendar days moves back and then to a working day of `land`, if any.
    """
    return Route(stages, calendars).work_back(anchor)


def explain(step: Step, calendars: Mapping[str, Calendar]) -> tuple[Skip, ...]:
    """The days that a step passed over because its calendar does not work them, and why.

    For calendar days: only the days over which the beginning had to move to land.
    """
    stage = step.stage
    if stage.unit is Unit.WORKING:
        return calendars[stage.calendar].skipped(step.latest, step.after)
    if not stage.land:
        return ()
    return calendars[stage.land].skipped(step.latest, step.after - timedelta(stage.count))


class Leg(NamedTuple):
    """A stage worked forward: begun on `start` at the earliest, it is through by `end`."""

    name: str
    stage: Stage
    start: date
    end: date
    provisional: bool


@dataclass(frozen=True, slots=True)
class Forecast:
    """Stages worked forward from `today`, from first to last.

    `stuck` is the stage for which no day could be found; the legs end before it.
    """

    today: date
    legs: tuple[Leg, ...]
    stuck: Stage | None = None

    @property
    def finish(self) -> date | None:
        """When the last stage is through; None if it never is."""
        if self.stuck is not None:
            return None
        return self.legs[-1].end if self.legs else self.today


def work_forward(
    today: date, stages: Iterable[Stage], calendars: Mapping[str, Calendar]
) -> Forecast:
    """Work `stages`, given from first to last, forward from `today`: the earliest dates.

    A stage begins on the first day from then on that its calendar (or `land`) works, and is through
    `count` days later. Negative counts are for working back only.
    """
    legs: list[Leg] = []
    at, provisional = today, False
    for stage in stages:
        calendar = _landing(stage, calendars)
        start = at if calendar is None else calendar.roll(at, Roll.FOLLOWING)
        end = start and _end(stage, start, calendar)
        if start is None or end is None:
            return Forecast(today, tuple(legs), stage)
        leaned = end if stage.unit is Unit.WORKING else start
        provisional = provisional or bool(calendar and calendar.provisional_between(at, leaned))
        legs.append(Leg(stage.name, stage, start, end, provisional))
        at = end
    return Forecast(today, tuple(legs))


class Float(NamedTuple):
    """Working days between what is expected and `latest`, and whose they are.

    Fields stand in the order that decides which of several binds.
    """

    days: int
    latest: date
    name: str


def float_days(calendar: Calendar, expected: date, latest: date) -> int:
    """Working days of `calendar` from `expected` to `latest`; below zero when it is too late.

    Too late by days that nobody works is still too late: -1.
    """
    if expected <= latest:
        return calendar.count(expected, latest)
    return -max(1, calendar.count(latest, expected))


def binding(floats: Iterable[Float]) -> Float | None:
    """The one that binds: least float, then earliest latest date, then name. None of none."""
    return min(floats, default=None)


def _landing(stage: Stage, calendars: Mapping[str, Calendar]) -> Calendar | None:
    """The calendar on a working day of which a stage begins, if it has one."""
    if stage.unit is _WORKING:
        return calendars[stage.calendar]
    return calendars[stage.land] if stage.land else None


def _split(stage: Stage) -> tuple[int, int]:
    """The calendar days that a stage takes before it lands, and the working days after."""
    return (0, stage.count) if stage.unit is _WORKING else (stage.count, 0)


def _hop(stage: Stage, calendar: Calendar | None) -> _Hop:
    gap, moves = _split(stage)
    if calendar is None or stage.count < 0:
        return 0, 0, (), 0, ()
    low, counts, ordinals = calendar.table
    return low + gap - 1, len(counts), counts, moves + 1, ordinals


def _latest(stage: Stage, calendar: Calendar | None, ordinal: int) -> int | None:
    """The latest day of one stage, wherever it lies."""
    gap, moves = _split(stage)
    ordinal -= gap
    if calendar is None:
        return ordinal if 1 <= ordinal <= _LAST_DAY else None
    return calendar.nth(calendar.rank(ordinal + 1) - 1 - moves)


def _end(stage: Stage, start: date, calendar: Calendar | None) -> date | None:
    """When a stage begun on `start` is through; None if never."""
    if stage.unit is Unit.WORKING and calendar is not None:
        return calendar.shift(start, stage.count)
    ordinal = start.toordinal() + stage.count
    return date.fromordinal(ordinal) if 1 <= ordinal <= _LAST_DAY else None

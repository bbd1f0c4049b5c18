"""Working weeks: which weekdays are worked when nothing else is said, and the words for them.

Knows weekdays and how people write them. Must not know single dates, days off, or why anyone asks.

Invariants: `parse_week(week.text()) == week` for every week; reading never raises. Days are counted
by `date.toordinal()`, where day 1 is a Monday, so that the weekday of a day is `(ordinal - 1) % 7`.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)  # spelt out here: the standard library's names follow the machine's language
WEEKEND = (5, 6)


@dataclass(frozen=True, slots=True)
class Problem:
    """Words that were not understood: a sentence for the reader, and an example that works."""

    sentence: str
    example: str

    def __str__(self) -> str:
        return f'{self.sentence} For example: "{self.example}".'


@dataclass(frozen=True, slots=True)
class Week:
    """The weekdays on which someone works: numbers in rising order, Monday is 0.

    A week may be empty: then nothing is ever worked but days on.
    """

    days: tuple[int, ...]

    @classmethod
    def from_string(cls, text: str) -> Week:
        """The week that `text` names, for text we wrote ourselves.

        Raises ValueError where `parse_week`, which is for a reader's words, returns a Problem.
        """
        week = parse_week(text)
        if isinstance(week, Problem):
            raise ValueError(str(week))
        return week

    def text(self) -> str:
        """The week in words that `parse_week` reads back: "Mon-Fri", "Mon, Wed, Fri"."""
        if len(self.days) == 7:
            return "every day"
        if not self.days:
            return "no day"
        runs = _runs(self.days)
        if len(runs) == 2 and runs[0][0] == 0 and runs[1][-1] == 6:
            runs = [runs[1] + runs[0]]  # through Sunday: "Sun-Thu"
        return ", ".join(
            f"{_short(run[0])}-{_short(run[-1])}" if len(run) > 2 else ", ".join(map(_short, run))
            for run in runs
        )

    def rest_reason(self) -> str:
        """What to call the weekdays on which this week does not work."""
        rest = set(range(7)) - set(self.days)
        return "weekend" if rest <= set(WEEKEND) else "outside the working week"

    def before(self, ordinal: int) -> int:
        """Working weekdays from day 1 up to the day before `ordinal` (negative below day 1)."""
        weeks, weekday = divmod(ordinal - 1, 7)
        return weeks * len(self.days) + bisect_left(self.days, weekday)

    def nth(self, index: int) -> int | None:
        """The ordinal of the working weekday that has `index` others before it."""
        if not self.days:
            return None
        weeks, place = divmod(index, len(self.days))
        return 1 + 7 * weeks + self.days[place]


def _runs(days: tuple[int, ...]) -> list[list[int]]:
    """Days in rising order, cut where a day is missing."""
    steady = groupby(enumerate(days), lambda place_and_day: place_and_day[1] - place_and_day[0])
    return [[day for _, day in run] for _, run in steady]


def _short(weekday: int) -> str:
    return WEEKDAYS[weekday][:3]


EVERY_DAY = Week(tuple(range(7)))
NO_DAY = Week(())
_WEEK_WORDS: dict[str, tuple[int, ...]] = {
    "every day": EVERY_DAY.days,
    "all week": EVERY_DAY.days,
    "seven days a week": EVERY_DAY.days,
    "no day": NO_DAY.days,
    "weekday": (0, 1, 2, 3, 4),
    "weekdays": (0, 1, 2, 3, 4),
    "weekend": WEEKEND,
    "weekends": WEEKEND,
}
_DAY_WORD = r"(?:mon|tues?|wed(?:nes)?|thu(?:rs?)?|fri|sat(?:ur)?|sun)(?:day)?s?"
_DAY = re.compile(_DAY_WORD)
_DAY_RANGE = re.compile(rf"({_DAY_WORD})(?:\s*(?:-|\u2013|to|until|till)\s*({_DAY_WORD}))?")
_WEEK_JOINTS = re.compile(r"\s*(?:,|;|/|&|\+|\band\b)\s*")


def weekday_number(word: str) -> int | None:
    """The number of a weekday written "Tue", "tues" or "Tuesdays": Monday is 0. None if none."""
    word = word.strip().lower()
    if not _DAY.fullmatch(word):
        return None
    return next(n for n, name in enumerate(WEEKDAYS) if name.lower().startswith(word[:3]))


@lru_cache(maxsize=256)
def parse_week(text: str) -> Week | Problem:
    """Read a working week: "Mon-Fri", "Mon, Wed, Fri", "Sunday to Thursday", "every day"."""
    days: set[int] = set()
    for part in filter(None, _WEEK_JOINTS.split(text.strip().lower())):
        found = _WEEK_WORDS.get(part)
        if found is None and (match := _DAY_RANGE.fullmatch(part)):
            found = _days_between(match[1], match[2] or match[1])
        if found is None:
            return Problem(f'I could not read "{part}" as working days.', "Mon-Fri")
        days.update(found)
    if not days and text.strip().lower() != NO_DAY.text():
        return Problem("I found no working days in that.", "Mon-Fri")
    return Week(tuple(sorted(days)))


def _days_between(first: str, last: str) -> tuple[int, ...] | None:
    start, end = weekday_number(first), weekday_number(last)
    if start is None or end is None:
        return None
    return tuple((start + step) % 7 for step in range((end - start) % 7 + 1))

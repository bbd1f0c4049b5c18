"""Occasions: seasons, moons, feasts, holidays and days worth marking, as dated names.

Knows: how a yearly day is said (`on`, `rule`, `easter`), where the sun and moon stand (sky.py),
the lunar feasts. Must not know: boxes, themes, who is prompted. Invariants: a rule that `fault`
has nothing against gives exactly one day in every year; a season has the name of the hemisphere;
the same question gives the same days.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import Literal

from assistant.scheduling.daysoff import lunar_new_year
from assistant.scheduling.shipdays import occurrences
from assistant.scheduling.sky import full_moons, local_day, seasons

Source = Literal["season", "moon", "feast", "holiday", "school", "day"]


@dataclass(frozen=True, slots=True)
class Occasion:
    """A named day, or days from `on` to `last`; `words` suit it."""

    on: date
    name: str
    source: Source
    words: tuple[str, ...] = ()
    last: date | None = None


# --- days worth marking ---------------------------------------------------------------------

_ON = re.compile(r"(\d\d)-(\d\d)")
_RULE = re.compile(
    r"FREQ=YEARLY;BYMONTH=(?P<month>[1-9]|1[0-2])"
    r";BYDAY=(?P<nth>-?[1-5])?(?:MO|TU|WE|TH|FR|SA|SU)(?:;BYMONTHDAY=(?P<days>\d+(?:,\d+){6}))?"
)
_EASTER_REACH = 80  # days either side: beyond, Easter would not be what it hangs on
_COMMON_YEAR = 2001


def fault(on: str, rule: str, easter: int | None) -> tuple[str, str] | None:
    """What is wrong with a yearly day, as its key and a reason; None where it can be kept.

    Args:
        on: month and day, "05-20".
        rule: a rule of RFC 5545 for one weekday of one month, by its place in the month or by
            seven days of the month in a row: others may give no day in a year, or several.
        easter: days from western Easter Sunday.
    """
    said = [key for key, given in (("on", on), ("rule", rule)) if given]
    said += ["easter"] if easter is not None else []
    if len(said) != 1:
        return (said[-1] if said else "name"), "exactly one of on, rule and easter says when it is"
    if on and _month_day(on) is None:
        return "on", f'"{on}" is no day that every year has; write month-day, as in "05-20"'
    if rule and (why := _fault_of_rule(rule)):
        return "rule", why
    if easter is not None and abs(easter) > _EASTER_REACH:
        return "easter", f"{easter} is more than {_EASTER_REACH} days from Easter"
    return None


def _fault_of_rule(rule: str) -> str:
    example = '"FREQ=YEARLY;BYMONTH=6;BYDAY=3SU"'
    found = _RULE.fullmatch(rule)
    if found is None:
        return f"this does not name one weekday of one month; write it as in {example}"
    if (found["nth"] is None) == (found["days"] is None):
        return f"which of the month's weekdays is meant? Write it as in {example}"
    if found["nth"] in ("5", "-5"):
        return "not every year has a fifth such weekday in that month"
    if found["days"]:
        days = [int(day) for day in found["days"].split(",")]
        if days != list(range(days[0], days[0] + 7)) or not 1 <= days[0] <= 22:
            return "BYMONTHDAY must be seven days in a row that every month has"
    return ""


def _month_day(on: str) -> tuple[int, int] | None:
    """Month and day, where every year has that day."""
    found = _ON.fullmatch(on)
    if found is None:
        return None
    month, day = int(found[1]), int(found[2])
    try:
        date(_COMMON_YEAR, month, day)
    except ValueError:
        return None
    return month, day


@lru_cache(maxsize=2048)
def day_of(year: int, on: str = "", rule: str = "", easter: int | None = None) -> date:
    """The day of a year that `on`, `rule` or `easter` says; one that `fault` lets through."""
    if rule:
        return next(occurrences(rule, date(year, 1, 1)))
    if easter is not None:
        from dateutil.easter import easter as easter_sunday

        return easter_sunday(year) + timedelta(easter)
    month, day = _month_day(on) or (1, 1)
    return date(year, month, day)


# --- seasons and moons ----------------------------------------------------------------------

Quarter = Literal["winter", "spring", "summer", "autumn"]
_QUARTERS: tuple[Quarter, ...] = ("winter", "spring", "summer", "autumn")
_TURNS: dict[Quarter, str] = {
    "spring": "spring equinox",
    "summer": "summer solstice",
    "autumn": "autumn equinox",
    "winter": "winter solstice",
}

# Countries that lie south of the equator with most of their people. Value from memory.
_SOUTHERN = "AO AR AU BO BR BW CL FJ LS MG MU MW MZ NA NC NZ PE PG PY RE SZ TL TZ UY VU ZA ZM ZW"
SOUTHERN = frozenset(_SOUTHERN.split())

# Words that go with a quarter of the year, besides its name. Ours; common practice, no source.
SEASON_WORDS: dict[Quarter, tuple[str, ...]] = {
    "winter": ("snow", "frost", "ice", "hearth", "wool", "cosy", "candle", "dark", "fireside"),
    "spring": ("blossom", "seed", "nest", "bulb", "lamb", "bud", "swallow", "rain", "daffodil"),
    "summer": ("sun", "beach", "picnic", "meadow", "berry", "swift", "butterfly", "sea", "hay"),
    "autumn": ("harvest", "leaf", "leaves", "apple", "mushroom", "pumpkin", "acorn", "mist", "nut"),
}


def quarter_of(month: int, country: str) -> Quarter:
    """The quarter of the year in which a month lies, by whole months from December on."""
    turned = 2 if country in SOUTHERN else 0
    return _QUARTERS[(month % 12 // 3 + turned) % 4]


@lru_cache(maxsize=64)
def sky_days(year: int, zone: str, country: str) -> tuple[Occasion, ...]:
    """Equinoxes, solstices and full moons on the days of a year in a zone, in order."""
    near = (year - 1, year, year + 1)  # an instant may fall in another year there
    turns = (local_day(turn, zone) for one in near for _, turn in seasons(one))
    moons = (local_day(moon, zone) for one in near for moon in full_moons(one))
    found = [
        *(_turn(on, country) for on in turns),
        *(Occasion(on, "full moon", "moon", ("moon", "night")) for on in moons),
    ]
    return tuple(sorted((one for one in found if one.on.year == year), key=lambda one: one.on))


def _turn(on: date, country: str) -> Occasion:
    """The equinox or solstice of a day: it opens the quarter to which the next month belongs."""
    quarter = quarter_of(on.month % 12 + 1, country)
    return Occasion(on, _TURNS[quarter], "season")


# --- lunar feasts ---------------------------------------------------------------------------

# Source: Hong Kong Observatory, Gregorian-Lunar Calendar Conversion Tables, for 2026 to 2030; the
# other years as in the calendar data of `holidays`. Kept here as the new year is in daysoff.py, so
# that a prompt does not cost the import of that package.
_FIRST_FEAST = 2020
_DRAGON_BOAT = (
    "06-25 06-14 06-03 06-22 06-10 05-31 06-19 06-09 05-28 06-16 "
    "06-05 06-24 06-12 06-01 06-20 06-10 05-30 06-18 06-07 05-27 "
    "06-14 06-03 06-22 06-11 05-31 06-19 06-08 05-29 06-15 06-04 "
    "06-23 06-13 06-01 06-20 06-10 05-30 06-17 06-06 06-25 06-14 06-03"
)
_MID_AUTUMN = (
    "10-01 09-21 09-10 09-29 09-17 10-06 09-25 09-15 10-03 09-22 "
    "09-12 10-01 09-19 09-08 09-27 09-16 10-04 09-24 09-13 10-02 "
    "09-20 09-10 09-28 09-17 10-05 09-25 09-15 10-04 09-22 09-11 "
    "09-30 09-19 09-07 09-26 09-16 10-05 09-24 09-13 10-02 09-21 09-09"
)
_LUNAR = (
    ("dragon boat festival", _DRAGON_BOAT.split(), ("boats", "rice", "river")),
    ("mid-autumn festival", _MID_AUTUMN.split(), ("moon", "lanterns", "cakes")),
)


def lunar_feasts(year: int) -> tuple[Occasion, ...]:
    """Lunar new year, dragon boat and mid-autumn festival of a year; none outside 2020 to 2060."""
    new_year = lunar_new_year(year)
    if new_year is None:
        return ()
    others = (
        Occasion(date.fromisoformat(f"{year}-{days[year - _FIRST_FEAST]}"), name, "feast", words)
        for name, days, words in _LUNAR
    )
    return (Occasion(new_year, "lunar new year", "feast", ("red", "dumplings", "luck")), *others)

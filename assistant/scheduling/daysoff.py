"""Days off and days on that are not a person's own habit: public holidays, festivals, closures.

Knows countries by code, years, and the days that are off or worked in them. Must not know whose
calendar they go into. Holidays come from the `holidays` package, which is imported on the first
question that needs it (it costs more time than everything else here together).

Invariants:
- Nothing raises: an unknown country or subdivision is a returned Problem.
- A year is provisional when its days are not all officially settled, as far as the data tells: a
  festival whose date is an estimate, a country that sets its worked weekends by a yearly notice
  that the data does not hold yet, a year outside the data.
- Each day off has a name.
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from assistant.scheduling.countries import country_name
from assistant.scheduling.weeks import MONTHS, Problem, Week
from assistant.scheduling.workdays import Calendar, Span

if TYPE_CHECKING:
    from holidays.holiday_base import HolidayBase

# Countries whose government moves working days to weekends by a notice each year, so that a year
# without one is not settled. Common practice, as seen in the yearly data of `holidays`.
YEARLY_NOTICE = frozenset({"AZ", "BY", "CN", "HU", "KG", "KZ", "LV", "MM", "RU", "UZ", "VN"})

# Raise this when the rules below change what is derived from the same data.
_RULES = 1

# Source: Hong Kong Observatory, Gregorian-Lunar Calendar Conversion Tables, for 2026 to 2030; the
# other years as in the calendar data of `holidays`. Kept here so that a festival closure does not
# cost the import of that package.
_FIRST_NEW_YEAR, _LAST_NEW_YEAR = 2020, 2060
_NEW_YEARS = (
    "01-25 02-12 02-01 01-22 02-10 01-29 02-17 02-06 01-26 02-13 "
    "02-03 01-23 02-11 01-31 02-19 02-08 01-28 02-15 02-04 01-24 "
    "02-12 02-01 01-22 02-10 01-30 02-17 02-06 01-26 02-14 02-02 "
    "01-23 02-11 02-01 02-19 02-08 01-28 02-15 02-04 01-24 02-12 02-02"
)

_SUBSTITUTED = re.compile(r"Day off \(substituted from (\d\d)/(\d\d)/(\d{4})\)")


@dataclass(frozen=True, slots=True)
class HolidayYear:
    """The public holidays of one country or subdivision in one year.

    Attributes:
        country: code as in `countries`, without subdivision.
        subdivision: last part of an ISO 3166-2 code, or None.
        year: the calendar year.
        off: (day, name), in order; days at weekends are among them.
        on: days at weekends that are worked instead of another day.
        provisional: whether the year is not settled yet.
    """

    country: str
    subdivision: str | None
    year: int
    off: tuple[tuple[date, str], ...]
    on: tuple[date, ...]
    provisional: bool


@cache
def edition() -> str:
    """Which holiday data and rules are in use: derived days kept from another edition are stale."""
    from importlib.metadata import version  # 25 ms, and not every conversation asks

    return f"{version('holidays')}/{_RULES}"


@lru_cache(maxsize=512)
def public_holidays(country: str, subdivision: str | None, year: int) -> HolidayYear | Problem:
    """The public holidays of a year, from the `holidays` package.

    Args:
        country: code as in `countries` ("DE"), without subdivision.
        subdivision: last part of an ISO 3166-2 code ("BY"), or a name that `holidays` knows it by;
            None or "" for what the whole country keeps.
        year: the calendar year.
    """
    place = _place(country, subdivision or None, (year, year + 1, year + 2))
    if isinstance(place, Problem):
        return place
    off = tuple((day, _name(name)) for day, name in sorted(place.items()) if day.year == year)
    return HolidayYear(
        country=country,
        subdivision=subdivision or None,
        year=year,
        off=off,
        on=tuple(sorted(day for day in place.weekend_workdays if day.year == year)),
        provisional=not _settled(place, country, year),
    )


def subdivision_code(country: str, name: str) -> str | Problem:
    """The code of the subdivision of `country` that `name` means: "Bayern" in "DE" is "BY"."""
    place = _place(country, None, ())
    if isinstance(place, Problem):
        return place
    wanted = name.strip().casefold()
    names = {code.casefold(): code for code in place.subdivisions}
    names |= {alias.casefold(): code for alias, code in place.subdivisions_aliases.items()}
    if wanted in names:
        return names[wanted]
    example = next(iter(place.subdivisions_aliases), None) or next(iter(place.subdivisions), None)
    if example is None:
        return Problem(f"{country_name(country)} has one holiday calendar.", country)
    return Problem(f'I know no part of {country_name(country)} called "{name[:40]}".', example)


def lunar_new_year(year: int) -> date | None:
    """The first day of the lunar year (China, Hong Kong) that begins in `year`.

    None outside 2020 to 2060.
    """
    if not _FIRST_NEW_YEAR <= year <= _LAST_NEW_YEAR:
        return None
    return date.fromisoformat(f"{year}-{_NEW_YEARS.split()[year - _FIRST_NEW_YEAR]}")


def festival_closure(
    years: Iterable[int],
    before_days: int,
    after_days: int,
    reason: str = "lunar new year closure",
) -> tuple[Span, ...]:
    """Closures from `before_days` before the lunar new year's first day to `after_days` after it.

    Calendar days, both ends closed. A year outside `lunar_new_year` has none.
    """
    feasts = filter(None, map(lunar_new_year, years))
    return tuple(
        Span(feast - timedelta(before_days), feast + timedelta(after_days), reason)
        for feast in feasts
    )


def yearly_closure(span: Span, years: Iterable[int]) -> tuple[Span, ...]:
    """The same days of the year as `span`, wherever they touch one of `years`.

    A closure may run over the end of the year. 29 February is 28 February in a common year. One
    without end is given back as it is.
    """
    if span.last is None:
        return (span,)
    over = span.last.year - span.first.year
    begins = sorted({year - back for year in years for back in range(over + 1)})
    return tuple(
        replace(span, first=_in_year(span.first, year), last=_in_year(span.last, year + over))
        for year in begins
    )


def expected_closure(span: Span, years: Iterable[int]) -> tuple[Span, ...]:
    """A closure known for one year only, expected for `years` on the same days, provisionally.

    For planning past the last notice from a supplier: the reason says which year it is taken from.
    The year of `span` itself is left out.
    """
    later = [year for year in years if year != span.first.year]
    reason = f"{span.reason or 'closure'}, as in {span.first.year}"
    guess = replace(span, reason=reason, provisional=True)
    return tuple(found for found in yearly_closure(guess, later) if found.first != span.first)


def working_calendar(
    week: Week,
    years: Iterable[HolidayYear],
    closures: Iterable[Span] = (),
    on: Iterable[date | Span] = (),
    *,
    first: date,
    last: date,
) -> Calendar:
    """The calendar of someone who keeps a country's holidays and has closures of their own.

    A weekend worked by public notice stays closed where it falls within one of the `closures`; the
    days of `on` are worked whatever else is said. Days after the first provisional year begins are
    provisional, as are those beyond the years given.
    """
    known, closed = tuple(years), tuple(closures)
    public_on = [
        day for year in known for day in year.on if not any(_covers(span, day) for span in closed)
    ]
    reasons: dict[date | Span, str] = {day: name for year in known for day, name in year.off}
    return Calendar.build(
        week,
        [*reasons, *closed],
        [*public_on, *on],
        first=first,
        last=last,
        reasons=reasons,
        provisional_after=_settled_until(known),
    )


def _settled_until(years: tuple[HolidayYear, ...]) -> date | None:
    """The last day of the settled years; None where no holidays are kept at all."""
    if not years:
        return None
    open_years = [year.year for year in years if year.provisional]
    return date(min(open_years, default=max(year.year for year in years) + 1) - 1, 12, 31)


def _covers(span: Span, day: date) -> bool:
    return span.first <= day and (span.last is None or day <= span.last)


def _in_year(day: date, year: int) -> date:
    return date(year, day.month, min(day.day, monthrange(year, day.month)[1]))


def _place(country: str, subdivision: str | None, years: Iterable[int]) -> HolidayBase | Problem:
    """The holidays of a place in `years`, in English."""
    import holidays

    if country_name(country) is None or "/" in country:
        return Problem(f'I know no country with the code "{country[:10]}".', "DE")
    try:
        spoken = holidays.country_holidays(country).supported_languages
        language = next((tongue for tongue in ("en_GB", "en_US") if tongue in spoken), None)
        return holidays.country_holidays(country, subdivision, years=years, language=language)
    except NotImplementedError:
        problem = f'I know no part of {country_name(country)} with the code "{subdivision}".'
        return Problem(problem, country)


def _name(name: str) -> str:
    """A holiday's name as a reason: plain words, and a day in lieu says which day is worked."""
    found = _SUBSTITUTED.fullmatch(name)
    if found is None:
        return name.replace("; ", " and ")
    worked = date(int(found[3]), int(found[1]), int(found[2]))
    return f"day off for working on {worked.day} {MONTHS[worked.month - 1]} {worked.year}"


def _settled(place: HolidayBase, country: str, year: int) -> bool:
    """Whether the days of `year` are final; `place` also holds the two years after it."""
    if not place.start_year <= year <= place.end_year:
        return False
    if any("estimated" in name for day, name in place.items() if day.year == year):
        return False
    if country not in YEARLY_NOTICE:
        return True
    moved = [day for day, name in place.items() if _SUBSTITUTED.search(name)]
    return any(day.year >= year for day in (*moved, *place.weekend_workdays))

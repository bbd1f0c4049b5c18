"""How long date arithmetic takes: `python -m tests.bench.bench_dates`.

A made-up year plan: 36 boxes of 8 items from 12 invented suppliers, on 11 calendars of four years
(the shop's, and ten of suppliers, two of which share theirs and one keeps the shop's). Every item
is worked back through seven stages. The same dates are found by a walk from day to day (each day
asked: is it on, is it in the week, is it off?) and by numpy.busday_offset, one call a stage, and
must be the same. Times are the best of several runs.
"""

from collections.abc import Callable
from datetime import date, timedelta
from timeit import repeat
from typing import NamedTuple

import numpy as np

from assistant.scheduling.backward import Route, Stage, Unit, work_back
from assistant.scheduling.daysoff import (
    HolidayYear,
    festival_closure,
    public_holidays,
    working_calendar,
    yearly_closure,
)
from assistant.scheduling.shipdays import ShipRule, parse_rule, ship_date
from assistant.scheduling.workdays import Calendar, Span, Week

FIRST, LAST = date(2026, 1, 1), date(2029, 12, 31)
YEARS = range(2026, 2030)
DAY = timedelta(days=1)
ALL_DAYS = [FIRST + n * DAY for n in range((LAST - FIRST).days + 1)]
WEEK = Week.from_string("Mon-Fri")
BOXES, ITEMS, SUPPLIERS = 36, 8, 12

# Country, subdivision, first month of a three-week closure; the last also closes for the festival.
PARTIES = (
    ("GB", "ENG", 0),
    ("GB", "SCT", 8),
    ("DE", "BY", 8),
    ("DE", "NW", 7),
    ("FR", None, 8),
    ("IT", None, 8),
    ("NL", None, 7),
    ("PL", None, 0),
    ("US", None, 12),
    ("JP", None, 8),
    ("CN", None, 0),
)
Holidays = list[HolidayYear]
Jobs = list[tuple[date, list[Stage]]]


def holidays_of(country: str, subdivision: str | None) -> Holidays:
    found = [public_holidays(country, subdivision, year) for year in YEARS]
    return [year for year in found if isinstance(year, HolidayYear)]


def closures_of(country: str, month: int) -> tuple[Span, ...]:
    if country == "CN":
        return festival_closure(YEARS, 10, 10)
    if not month:
        return ()
    summer = Span(date(2026, month, 2), date(2026, month, 20), "closure")
    return yearly_closure(summer, YEARS)


def build(known: list[Holidays]) -> list[Calendar]:
    return [
        working_calendar(WEEK, years, closures_of(country, month), first=FIRST, last=LAST)
        for years, (country, _, month) in zip(known, PARTIES, strict=True)
    ]


def plan() -> Jobs:
    """One job for each item: its box's ship date and its stages, from last to first."""
    rule = parse_rule("the 15th or the working day before")
    shop = build([holidays_of(country, part) for country, part, _ in PARTIES])[0]
    jobs = []
    for box in range(BOXES):
        year, month = 2027 + box // 12, box % 12 + 1
        ships = ship_date(rule, year, month, shop) if isinstance(rule, ShipRule) else None
        for item in range(ITEMS):
            supplier = (box * ITEMS + item) % SUPPLIERS
            key = str(supplier % len(PARTIES))
            jobs.append((ships or date(year, month, 15), stages(key, 10 + 5 * (item % 4))))
    return jobs


def stages(supplier: str, making: int) -> list[Stage]:
    return [
        Stage("pack", "0", 2),
        Stage("stock", "0", 1),
        Stage("dispatch", "", 10, Unit.CALENDAR, land=supplier),
        Stage("start", supplier, making),
        Stage("order", supplier, 2),
        Stage("sample", "0", 5),
        Stage("source", "0", 10),
    ]


# --- the same dates by other means ------------------------------------------------------------


class Plain(NamedTuple):
    """A calendar as someone would first write it down."""

    off: set[date]
    on: set[date]

    def works(self, day: date) -> bool:
        return day in self.on or (day.weekday() in WEEK.days and day not in self.off)


def plainly(calendar: Calendar) -> Plain:
    in_week = [day for day in ALL_DAYS if day.weekday() in WEEK.days]
    return Plain(
        off={day for day in in_week if not calendar.is_working(day)},
        on={day for day in ALL_DAYS if calendar.is_working(day)} - set(in_week),
    )


def by_walking(jobs: Jobs, plain: dict[str, Plain]) -> list[list[date]]:
    return [walk(ships, chain, plain) for ships, chain in jobs]


def walk(ships: date, chain: list[Stage], plain: dict[str, Plain]) -> list[date]:
    at, found = ships, []
    for stage in chain:
        steps, works = stage.count, plain[stage.calendar or stage.land].works
        if stage.unit is Unit.CALENDAR:
            at, steps = at - stage.count * DAY, 0
        while not works(at):
            at -= DAY
        while steps:
            at -= DAY
            steps -= works(at)
        found.append(at)
    return found


def by_numpy(jobs: Jobs, calendars: dict[str, np.busdaycalendar]) -> list[list[np.datetime64]]:
    return [numpy_chain(np.datetime64(ships), chain, calendars) for ships, chain in jobs]


def numpy_chain(
    at: np.datetime64, chain: list[Stage], calendars: dict[str, np.busdaycalendar]
) -> list[np.datetime64]:
    found = []
    for stage in chain:
        steps = -stage.count
        if stage.unit is Unit.CALENDAR:
            at, steps = at + steps, 0
        calendar = calendars[stage.calendar or stage.land]
        at = np.busday_offset(at, steps, roll="preceding", busdaycal=calendar)
        found.append(at)
    return found


# --- figures ----------------------------------------------------------------------------------


def best(work: Callable[[], object], runs: int) -> float:
    """Milliseconds of one run, the best of many."""
    return min(repeat(work, number=runs, repeat=7)) / runs * 1000


def main() -> None:
    known = [holidays_of(country, part) for country, part, _ in PARTIES]
    jobs = plan()
    calendars = {str(place): calendar for place, calendar in enumerate(build(known))}
    routes = [(ships.toordinal(), Route(chain, calendars)) for ships, chain in jobs]
    plain = {key: plainly(calendar) for key, calendar in calendars.items()}
    in_numpy = {
        key: np.busdaycalendar("1111111", [day for day in ALL_DAYS if not calendar.is_working(day)])
        for key, calendar in calendars.items()
    }

    ours = [[date.fromordinal(d) for d in route.latest_days(at)] for at, route in routes]
    same = by_walking(jobs, plain) == ours
    same &= [[d.item() for d in chain] for chain in by_numpy(jobs, in_numpy)] == ours

    arithmetic = best(lambda: [route.latest_days(at) for at, route in routes], 50)
    chains = best(lambda: [work_back(ships, chain, calendars) for ships, chain in jobs], 10)
    walking = best(lambda: by_walking(jobs, plain), 5)
    scalar = best(lambda: by_numpy(jobs, in_numpy), 5)
    rebuilt = best(lambda: build(known), 20)

    steps = sum(map(len, ours))
    print(f"{len(jobs)} items, {steps} stages worked back; all three ways agree: {same}")
    print(f"{'':44}{'ms':>9}{'target':>9}")
    print(f"{'dates of the whole plan':44}{arithmetic:9.3f}{0.5:9.1f}")
    print(f"{'the same as chains with reasons at hand':44}{chains:9.3f}")
    print(f"{'the same by walking day by day':44}{walking:9.3f}")
    print(f"{'the same by scalar numpy.busday_offset':44}{scalar:9.3f}")
    print(f"{'eleven calendars of four years rebuilt':44}{rebuilt:9.3f}{2.0:9.1f}")
    print(f"{'':44}{'times':>9}{'target':>9}")
    print(f"{'faster than walking':44}{walking / arithmetic:9.1f}{8:9}")
    print(f"{'faster than numpy':44}{scalar / arithmetic:9.1f}{10:9}")


if __name__ == "__main__":
    main()

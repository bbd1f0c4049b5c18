"""Seasons by hemisphere, lunar feasts, and the ways to say a yearly day."""

from datetime import date, datetime, timedelta
from itertools import pairwise

import holidays
import pytest
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.occasions import (
    Occasion,
    day_of,
    fault,
    lunar_feasts,
    quarter_of,
    sky_days,
)
from assistant.scheduling.sky import full_moons

YEARS = range(2024, 2041)

# Source: Hong Kong Observatory, Gregorian-Lunar Calendar Conversion Tables, for 2026 to 2030; the
# earlier mid-autumn and dragon boat days are recomputed only.
LUNAR = {
    2024: "02-10 06-10 09-17",
    2025: "01-29 05-31 10-06",
    2026: "02-17 06-19 09-25",
    2027: "02-06 06-09 09-15",
    2028: "01-26 05-28 10-03",
    2029: "02-13 06-16 09-22",
    2030: "02-03 06-05 09-12",
}


@pytest.mark.parametrize("year", LUNAR)
def test_lunar_feasts(year: int) -> None:
    assert [f"{one.on:%m-%d}" for one in lunar_feasts(year)] == LUNAR[year].split()


def test_lunar_feasts_as_taiwan_keeps_them() -> None:
    """The other years, against the calendar data of `holidays`; the observed days left out."""
    kept = holidays.country_holidays("TW", years=range(2020, 2061), language="en_US")
    names = ("Chinese New Year", "Dragon Boat Festival", "Mid-Autumn Festival")
    for year in range(2020, 2061):
        days = [
            min(on for on, told in kept.items() if on.year == year and name in told.split("; "))
            for name in names
        ]
        assert [one.on for one in lunar_feasts(year)] == days


def test_mid_autumn_is_at_full_moon() -> None:
    """The fifteenth of a lunar month is within two days of the full moon of that month."""
    for year in range(2020, 2061):
        feast = lunar_feasts(year)[-1].on
        assert any(abs((moon.date() - feast).days) <= 2 for moon in full_moons(year)), year


def test_no_lunar_feasts_beyond_the_table() -> None:
    assert lunar_feasts(2019) == lunar_feasts(2061) == ()


# --- easter ---------------------------------------------------------------------------------

# Source: python-dateutil, test table of test_easter.py. (2026 is not 20 April, as one page has it.)
EASTER = {
    **{2024: "03-31", 2025: "04-20", 2026: "04-05", 2027: "03-28", 2028: "04-16", 2029: "04-01"},
    **{2030: "04-21", 2031: "04-13", 2032: "03-28", 2033: "04-17", 2034: "04-09", 2035: "03-25"},
}


@pytest.mark.parametrize("year", EASTER)
def test_easter_and_what_hangs_on_it(year: int) -> None:
    sunday = date.fromisoformat(f"{year}-{EASTER[year]}")
    assert day_of(year, easter=0) == sunday
    assert day_of(year, easter=-2) == sunday - timedelta(2)
    pancakes = day_of(year, easter=-47)
    assert pancakes.weekday() == 1  # a Tuesday
    assert pancakes == sunday - timedelta(47)


# --- yearly days ----------------------------------------------------------------------------

RULES = [
    ("FREQ=YEARLY;BYMONTH=5;BYDAY=2SU", 2012, date(2012, 5, 13)),  # NumPy manual, busday_offset
    ("FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU", 2027, date(2027, 3, 28)),
    ("FREQ=YEARLY;BYMONTH=1;BYDAY=MO;BYMONTHDAY=7,8,9,10,11,12,13", 2027, date(2027, 1, 11)),
]


@pytest.mark.parametrize(("rule", "year", "expected"), RULES)
def test_a_rule_names_its_day(rule: str, year: int, expected: date) -> None:
    assert fault("", rule, None) is None
    assert day_of(year, rule=rule) == expected


FAULTS = [
    ("02-29", "", None, "on", "no day that every year has"),
    ("13-01", "", None, "on", "no day"),
    ("1-5", "", None, "on", "no day"),
    ("", "", None, "name", "exactly one"),
    ("05-01", "", 3, "easter", "exactly one"),
    ("", "", 200, "easter", "more than 80 days"),
    ("", "every May", None, "rule", "does not name one weekday"),
    ("", "FREQ=YEARLY;BYMONTH=5;BYDAY=5SU", None, "rule", "fifth"),
    ("", "FREQ=YEARLY;BYMONTH=5;BYDAY=0SU", None, "rule", "does not name one weekday"),
    ("", "FREQ=YEARLY;BYMONTH=5;BYDAY=SU", None, "rule", "which of the month's"),
    ("", "FREQ=YEARLY;BYMONTH=2;BYDAY=SU;BYMONTHDAY=23,24,25,26,27,28,29", None, "rule", "seven"),
    ("", "FREQ=YEARLY;BYMONTH=5;BYDAY=SU;BYMONTHDAY=1,2,3,4,5,6,8", None, "rule", "seven days"),
    ("", "FREQ=YEARLY;BYMONTH=5;BYDAY=2SU;BYMONTHDAY=8,9,10,11,12,13,14", None, "rule", "which"),
]


@pytest.mark.parametrize(("on", "rule", "easter", "key", "why"), FAULTS)
def test_what_is_no_yearly_day_is_said(
    on: str, rule: str, easter: int | None, key: str, why: str
) -> None:
    found = fault(on, rule, easter)
    assert found is not None
    assert found[0] == key
    assert why in found[1]


WEEKDAYS = st.sampled_from(("MO", "TU", "WE", "TH", "FR", "SA", "SU"))
NTH = st.builds(lambda n, day: f"BYDAY={n}{day}", st.sampled_from(range(-6, 7)), WEEKDAYS)
IN_SEVEN = st.builds(
    lambda first, day: f"BYDAY={day};BYMONTHDAY={','.join(map(str, range(first, first + 7)))}",
    st.integers(1, 25),
    WEEKDAYS,
)


@given(st.integers(1, 12), NTH | IN_SEVEN)
def test_a_rule_is_let_through_only_with_one_day_every_year(month: int, by: str) -> None:
    rule = f"FREQ=YEARLY;BYMONTH={month};{by}"
    if fault("", rule, None) is None:
        for year in YEARS:
            assert occurrences_in(year, rule) == [day_of(year, rule=rule)]


def occurrences_in(year: int, rule: str) -> list[date]:
    """Every day of a year that a rule gives (RFC 5545, section 3.3.10), read by dateutil."""
    first, last = datetime(year, 1, 1), datetime(year, 12, 31)  # noqa: DTZ001 - days, no instants
    return [found.date() for found in rrulestr(rule, dtstart=first).between(first, last, inc=True)]


# --- seasons --------------------------------------------------------------------------------


def test_seasons_have_the_name_of_the_hemisphere() -> None:
    north = turns(sky_days(2027, "Europe/London", "GB"))
    south = turns(sky_days(2027, "Australia/Melbourne", "AU"))
    assert north == {
        "spring equinox": date(2027, 3, 20),
        "summer solstice": date(2027, 6, 21),
        "autumn equinox": date(2027, 9, 23),
        "winter solstice": date(2027, 12, 22),
    }
    assert [*south] == ["autumn equinox", "winter solstice", "spring equinox", "summer solstice"]


def turns(days: tuple[Occasion, ...]) -> dict[str, date]:
    return {one.name: one.on for one in days if one.source == "season"}


@pytest.mark.parametrize(
    ("month", "north", "south"),
    [
        (1, "winter", "summer"),
        (3, "spring", "autumn"),
        (8, "summer", "winter"),
        (11, "autumn", "spring"),
        (12, "winter", "summer"),
    ],
)
def test_quarters(month: int, north: str, south: str) -> None:
    assert (quarter_of(month, "GB"), quarter_of(month, "NZ")) == (north, south)


@given(st.integers(1997, 2090), st.sampled_from(("Pacific/Kiritimati", "Pacific/Pago_Pago")))
def test_every_sky_day_lies_in_one_year_of_the_zone(year: int, zone: str) -> None:
    """The ends of the earth: fourteen hours before and eleven behind UTC. (Kiritimati had no 31
    December 1994: a year later its moons are as far apart as anybody's.)"""
    days = [one for near in range(year - 1, year + 2) for one in sky_days(near, zone, "GB")]
    assert days == sorted(days, key=lambda one: one.on)
    assert len({(one.on, one.name) for one in days}) == len(days)
    moons = [one.on for one in days if one.source == "moon"]
    assert {(after - before).days for before, after in pairwise(moons)} <= {29, 30}
    assert len(turns(sky_days(year, zone, "GB"))) == 4

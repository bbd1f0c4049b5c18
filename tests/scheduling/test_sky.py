"""Equinoxes, solstices and full moons against published tables and an independent ephemeris."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta

import ephem
import pytest

from assistant.scheduling.sky import delta_t, full_moons, local_day, seasons

CENTURIES = range(1900, 2101)
MINUTE = 60.0  # seconds
TURNS = (
    ephem.next_vernal_equinox,
    ephem.next_summer_solstice,
    ephem.next_autumn_equinox,
    ephem.next_winter_solstice,
)

# Source: table of the article "Equinox", Simple English Wikipedia, within 60 s.
PUBLISHED = {
    2024: ("03-20 03:06:21", "06-20 20:50:56", "09-22 12:43:36", "12-21 09:20:30"),
    2025: ("03-20 09:01:25", "06-21 02:42:11", "09-22 18:19:16", "12-21 15:03:01"),
    2026: ("03-20 14:45:53", "06-21 08:24:26", "09-23 00:05:08", "12-21 20:50:09"),
    2027: ("03-20 20:24:36", "06-21 14:10:45", "09-23 06:01:38", "12-22 02:42:04"),
}


@pytest.mark.parametrize("year", PUBLISHED)
def test_published_equinoxes_and_solstices(year: int) -> None:
    for (name, found), written in zip(seasons(year), PUBLISHED[year], strict=True):
        expected = datetime.fromisoformat(f"{year}-{written}").replace(tzinfo=UTC)
        assert abs((found - expected).total_seconds()) <= MINUTE, name


@pytest.mark.parametrize(
    ("year", "nth", "zone", "expected"),
    [
        (2026, 2, "America/New_York", date(2026, 9, 22)),
        (2026, 2, "Europe/London", date(2026, 9, 23)),
        (2026, 2, "Asia/Shanghai", date(2026, 9, 23)),
        (2027, 3, "America/New_York", date(2027, 12, 21)),
        (2027, 3, "Europe/London", date(2027, 12, 22)),
    ],
)
def test_the_day_is_the_zones(year: int, nth: int, zone: str, expected: date) -> None:
    # Source: the instants of the article "Equinox", Simple English Wikipedia.
    assert local_day(seasons(year)[nth][1], zone) == expected


def test_a_zone_that_is_not_known_is_utc() -> None:
    assert local_day(datetime(2027, 3, 1, 23, 30, tzinfo=UTC), "Mars/Tharsis") == date(2027, 3, 1)


def test_seasons_of_two_centuries_to_a_minute() -> None:
    for year in CENTURIES:
        start = ephem.Date(f"{year}/1/1")
        for (name, found), turn in zip(seasons(year), TURNS, strict=True):
            assert seconds_apart(found, turn(start)) <= MINUTE, (year, name)


def test_full_moons_of_two_centuries_to_a_minute() -> None:
    for year in CENTURIES:
        expected = list(moons(year))
        assert len(full_moons(year)) == len(expected), year
        for found, moon in zip(full_moons(year), expected, strict=True):
            assert seconds_apart(found, moon) <= MINUTE, (year, found)


def test_full_moons_fall_on_the_oracles_days() -> None:
    """All of 25 years and three zones; none of these moons is within a minute of midnight there."""
    for year in range(2020, 2045):
        for found, moon in zip(full_moons(year), moons(year), strict=True):
            expected = moon.datetime().replace(tzinfo=UTC)
            for zone in ("Europe/London", "America/New_York", "Asia/Shanghai"):
                assert local_day(found, zone) == local_day(expected, zone), (found, zone)


def test_the_earths_turning_as_measured() -> None:
    """After 2020 the oracle and we guess, each in its own way."""
    for year in range(1900, 2021):
        assert abs(delta_t(year) - ephem.delta_t(f"{year}/1/1")) < 1.5, year  # seconds


def seconds_apart(found: datetime, oracle: ephem.Date) -> float:
    """The distance in terrestrial time, so that two guesses at the earth's turning in the years to
    come do not count."""
    expected = oracle.datetime().replace(tzinfo=UTC)
    ours = found + timedelta(seconds=delta_t(expected.year + expected.month / 12))
    theirs = expected + timedelta(seconds=ephem.delta_t(oracle))
    return abs((ours - theirs).total_seconds())


def moons(year: int) -> Iterator[ephem.Date]:
    """The oracle's full moons of a year of UTC."""
    moon = ephem.next_full_moon(ephem.Date(f"{year}/1/1"))
    while moon.datetime().year == year:
        yield moon
        moon = ephem.next_full_moon(ephem.Date(moon + 1))

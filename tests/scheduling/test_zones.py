"""Local times that do not exist or occur twice, and days of 23 and 25 hours."""

import zoneinfo
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from pkgutil import get_data

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.zones import local_instant, zone, zone_names

# Source of every row: IANA time zone database, rules US (from 2007: second Sunday of March and
# first Sunday of November, 02:00 local), EU (last Sunday of March and October, 01:00 UTC) and AN
# (New South Wales: first Sunday of October and April, 02:00 standard time).


@pytest.mark.parametrize(
    ("name", "local", "expected", "meaning"),
    [
        ("America/New_York", "2026-03-08 02:30", "2026-03-08 07:00", "does not exist"),
        ("America/New_York", "2026-03-08 01:59", "2026-03-08 06:59", "the minute before"),
        ("America/New_York", "2026-11-01 01:30", "2026-11-01 05:30", "occurs twice"),
        ("Europe/London", "2026-03-29 01:30", "2026-03-29 01:00", "does not exist"),
        ("Europe/London", "2026-03-29 08:00", "2026-03-29 07:00", "the morning after"),
        ("Europe/London", "2026-10-25 01:30", "2026-10-25 00:30", "occurs twice"),
        ("Europe/London", "2026-10-25 08:00", "2026-10-25 08:00", "the morning after"),
        ("Australia/Sydney", "2026-10-04 02:30", "2026-10-03 16:00", "does not exist"),
        ("Australia/Sydney", "2026-04-05 02:30", "2026-04-04 15:30", "occurs twice"),
        ("Asia/Shanghai", "2026-03-29 01:30", "2026-03-28 17:30", "no gap"),
        ("Pacific/Apia", "2011-12-30 08:00", "2011-12-30 10:00", "a day that was left out"),
    ],
)
def test_local_instants(name: str, local: str, expected: str, meaning: str) -> None:
    wanted = datetime.fromisoformat(local)
    found = local_instant(wanted.date(), wanted.time(), name)
    assert found == datetime.fromisoformat(expected).replace(tzinfo=UTC), meaning


@pytest.mark.parametrize(
    ("name", "day", "hours"),
    [
        ("America/New_York", "2026-03-08", 23),
        ("America/New_York", "2026-11-01", 25),
        ("Europe/London", "2026-03-29", 23),
        ("Europe/London", "2026-10-25", 25),
        ("Australia/Sydney", "2026-10-04", 23),
        ("Australia/Sydney", "2026-04-05", 25),
    ],
)
def test_days_are_as_long_as_they_are(name: str, day: str, hours: int) -> None:
    start = local_instant(date.fromisoformat(day), time(), name)
    end = local_instant(date.fromisoformat(day) + timedelta(1), time(), name)
    assert start is not None
    assert end is not None
    assert end - start == timedelta(hours=hours)


def test_shanghai_has_neither_gap_nor_repeat_in_2026() -> None:
    midnights = [
        local_instant(date(2026, 1, 1) + timedelta(n), time(), "Asia/Shanghai") for n in range(366)
    ]
    first = datetime(2025, 12, 31, 16, tzinfo=UTC)
    assert midnights == [first + timedelta(n) for n in range(366)]


@pytest.mark.parametrize("name", ["", "Nowhere/Town", "../../etc/passwd", "Europe", "Europe/"])
def test_an_unknown_zone_is_none(name: str) -> None:
    assert zone(name) is None
    assert local_instant(date(2026, 1, 1), time(8), name) is None


def test_case_does_not_matter() -> None:
    assert str(zone("europe/london")) == "Europe/London"


def test_an_aged_system_database_is_not_asked(tmp_path: Path) -> None:
    (tmp_path / "Africa").mkdir()
    (tmp_path / "Africa" / "Nairobi").write_bytes(get_data("tzdata", "zoneinfo/UTC") or b"")
    noon = datetime.fromisoformat("2026-06-01 12:00")
    zoneinfo.reset_tzpath([tmp_path])
    try:
        zone.cache_clear()
        aged = noon.replace(tzinfo=zoneinfo.ZoneInfo.no_cache("Africa/Nairobi"))
        ours = noon.replace(tzinfo=zone("Africa/Nairobi"))
    finally:
        zoneinfo.reset_tzpath()
    assert (aged.utcoffset(), ours.utcoffset()) == (timedelta(0), timedelta(hours=3))


START = datetime.fromisoformat("1995-01-01")
END = datetime.fromisoformat("2037-12-31")
names = st.sampled_from(sorted(zone_names().values()))


@given(names, st.datetimes(START, END, timezones=st.just(UTC)))
def test_each_moment_is_told_by_its_local_time(name: str, moment: datetime) -> None:
    """Any moment is found again from what clocks show, if they show it for the first time."""
    there = zone(name)
    assert there is not None
    shown = moment.astimezone(there)
    found = local_instant(shown.date(), shown.time(), name)
    assert found is not None
    assert found <= moment
    assert (found == moment) == (shown.fold == 0)


@given(names, st.datetimes(START, END))
def test_a_time_that_does_not_exist_is_the_end_of_its_gap(name: str, shown: datetime) -> None:
    found = local_instant(shown.date(), shown.time(), name)
    there = zone(name)
    assert found is not None
    assert there is not None
    told = found.astimezone(there).replace(tzinfo=None, fold=0)
    if told != shown.replace(fold=0):
        before = (found - timedelta(microseconds=1)).astimezone(there).replace(tzinfo=None)
        assert before < shown < told

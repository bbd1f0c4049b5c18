"""When a digest is due: hours, quiet times, nights on which clocks change, any moments at all.

All shops and people are invented.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.deadlines import deadlines
from assistant.planning.model import Person, Shop
from assistant.planning.nudges import (
    digest_for,
    local_day,
    next_due,
)
from tests.planning.plans import shops
from tests.planning.pretend_clock import (
    MINUTE,
    PACKING,
    WREN,
    ZONES,
    keys,
    peopled,
    tick,
    ticked,
    utc,
)
from tests.trade import shop

HOURS = (
    # digest hour, moment on a Thursday in London, whether one is due
    (None, (7, 59), False),
    (None, (8, 0), True),
    (None, (20, 59), True),
    (None, (21, 0), False),  # quiet
    (None, (3, 0), False),
    (time(11, 30), (11, 29), False),
    (time(11, 30), (11, 30), True),
    (time(6), (6, 30), False),  # an hour in the quiet time is moved to its end
    (time(6), (7, 0), True),
    (time(22, 30), (7, 0), True),
    (time(0), (7, 0), True),
)


@pytest.mark.parametrize(("hour", "at", "due"), HOURS)
def test_hours(hour: time | None, at: tuple[int, int], due: bool) -> None:
    made = peopled(PACKING, replace(WREN, digest_at=hour))
    assert (digest_for(made, made.people[0], utc("2026-12-10", *at)) is not None) is due


def test_quiet_hours_within_one_day() -> None:
    siesta = replace(PACKING.house, quiet_from=time(7), quiet_to=time(10))
    made = replace(PACKING, house=siesta)
    assert next_due(made, utc("2026-12-10", 5)) == utc("2026-12-10", 10)
    none = replace(PACKING, house=replace(siesta, quiet_to=time(7)))
    assert next_due(none, utc("2026-12-10", 5)) == utc("2026-12-10", 8)


def test_a_machine_that_wakes_in_a_quiet_hour_of_the_day_tells_at_its_end() -> None:
    made = replace(PACKING, house=replace(PACKING.house, quiet_from=time(13), quiet_to=time(15)))
    assert next_due(made, utc("2026-12-10", 14)) == utc("2026-12-10", 15)


def test_nobody_is_told_who_cannot_be_reached() -> None:
    made = peopled(PACKING, replace(WREN, reachable=False))
    assert digest_for(made, made.people[0], utc("2026-12-10")) is None
    assert next_due(made, utc("2026-12-10")) is None
    assert next_due(peopled(PACKING), utc("2026-12-10")) == utc("2026-12-10")


def test_helpers_are_told_too_each_at_their_own_hour() -> None:
    rowan = Person("rowan", "telegram:2", zone="Australia/Sydney", digest_at=time(9))
    made = peopled(PACKING, WREN, rowan)
    seen = list(ticked(made, (utc("2026-12-09", 22) + n * 30 * MINUTE for n in range(24))))
    assert [(found.person, now) for now, found in seen] == [
        ("rowan", utc("2026-12-09", 22)),  # 09:00 on the 10th in Sydney
        ("wren", utc("2026-12-10", 8)),
    ]
    assert [found.day for _, found in seen] == [date(2026, 12, 10)] * 2


def test_an_unknown_zone_is_the_shops() -> None:
    made = peopled(PACKING, replace(WREN, zone="Atlantis/Reef"))
    assert next_due(made, utc("2026-12-10", 5)) == utc("2026-12-10", 8)
    lost = replace(made, profile=shop(zone="Atlantis/Reef").profile)
    assert next_due(lost, utc("2026-12-10", 5)) == utc("2026-12-10", 8)
    assert local_day(lost, utc("2026-12-10", 5)) == date(2026, 12, 10)


# --- nights on which clocks change -----------------------------------------------------------

# Source: IANA time zone database, rules US (2026: 8 March, 1 November, 02:00 local) and EU
# (2026: 29 March, 25 October, 01:00 UTC); AN for Sydney (5 April, 4 October, 02:00 standard) and
# LH for Lord Howe (the same nights, by half an hour).
NIGHTS = (
    ("America/New_York", date(2026, 3, 8), time(2, 30), 23 * 60),
    ("America/New_York", date(2026, 11, 1), time(1, 30), 25 * 60),
    ("Europe/London", date(2026, 3, 29), time(1, 30), 23 * 60),
    ("Europe/London", date(2026, 10, 25), time(1, 30), 25 * 60),
    ("Australia/Sydney", date(2026, 4, 5), time(2, 30), 25 * 60),
    ("Australia/Sydney", date(2026, 10, 4), time(2, 30), 23 * 60),
    ("Australia/Lord_Howe", date(2026, 4, 5), time(1, 45), 24 * 60 + 30),
    ("Australia/Lord_Howe", date(2026, 10, 4), time(2, 15), 23 * 60 + 30),
)


@pytest.mark.parametrize(("zone", "night", "hour", "length"), NIGHTS)
def test_a_night_on_which_clocks_change_has_one_digest(
    zone: str, night: date, hour: time, length: int
) -> None:
    no_quiet = replace(PACKING.house, quiet_from=time(0), quiet_to=time(0))
    person = replace(WREN, zone=zone, digest_at=hour, weekends=True)
    made = peopled(replace(PACKING, house=no_quiet), person)
    start = datetime.combine(night, time(0), ZoneInfo(zone)).astimezone(UTC)
    moments = [start + n * 5 * MINUTE for n in range(length // 5)]
    assert moments[-1].astimezone(ZoneInfo(zone)).date() == night
    assert local_day(made, start + length * MINUTE, person) == night + timedelta(1)
    seen = list(ticked(made, moments))
    assert [found.day for _, found in seen] == [night]
    shown = seen[0][0].astimezone(ZoneInfo(zone))
    assert (
        timedelta(0)
        <= shown.replace(tzinfo=None) - datetime.combine(night, hour)
        <= timedelta(hours=1)
    )


# --- properties ------------------------------------------------------------------------------


def people() -> st.SearchStrategy[tuple[Person, ...]]:
    """Two people in zones of their own."""
    one = st.builds(
        Person,
        id=st.sampled_from(("wren", "rowan")),
        chat=st.just("terminal:"),
        zone=st.sampled_from(("", *ZONES)),
        digest_at=st.none() | st.times(),
        weekends=st.sampled_from((None, True, False)),
    )
    return st.lists(one, min_size=1, max_size=2, unique_by=lambda person: person.id).map(tuple)


MOMENTS = st.integers(0, 211 * 24 * 60).map(lambda n: utc("2026-10-01") + n * MINUTE)


@given(shops(), people(), st.lists(MOMENTS, min_size=1, max_size=25).map(sorted))
def test_nothing_is_told_twice_on_a_day_and_nothing_ahead_twice_for_a_date(
    made: Shop, folk: tuple[Person, ...], moments: list[datetime]
) -> None:
    days: set[tuple[str, date]] = set()
    ahead: set[tuple[str, str, date]] = set()
    again = [now for now in moments for _ in range(2)]  # every tick comes twice
    for now, found in ticked(replace(made, people=folk), again):
        assert (found.person, found.day) not in days
        days.add((found.person, found.day))
        person = next(one for one in folk if one.id == found.person)
        assert found.day == local_day(made, now, person)
        every = (*found.late, *found.today, *found.ahead)
        assert len(set(keys(every))) == len(every)
        assert all(one.state == "open" and one.nudge for one in every)
        assert all(not one.until or one.until <= found.day for one in every)
        assert all(one.on < found.day for one in found.late)
        for one in found.ahead:
            assert (found.person, one.key, one.on) not in ahead
            ahead.add((found.person, one.key, one.on))


@given(shops(), people(), MOMENTS, st.integers(1, 60 * 24 * 40))
def test_after_any_downtime_there_is_one_digest(
    made: Shop, folk: tuple[Person, ...], last: datetime, minutes: int
) -> None:
    made, _ = tick(replace(made, people=folk), last)
    back = last + minutes * MINUTE
    seen = list(ticked(made, [back, back, back + MINUTE]))
    assert len({found.person for _, found in seen}) == len(seen)


@given(shops(), people(), MOMENTS)
def test_the_next_moment_is_the_first_at_which_a_digest_is_due(
    made: Shop, folk: tuple[Person, ...], now: datetime
) -> None:
    made, _ = tick(replace(made, people=folk), now)
    moment = next_due(made, now)
    assert moment is not None
    assert now < moment <= now + timedelta(days=5)
    assert tick(made, moment)[1]
    before = [now + (moment - now) * n / 7 for n in range(7)] + [moment - timedelta(seconds=1)]
    for earlier in before:
        assert earlier < now or not tick(made, earlier)[1]
    assert next_due(made, moment) == moment


@settings(max_examples=30)
@given(shops(), st.sampled_from(ZONES), st.sampled_from((None, True, False)))
def test_every_open_deadline_is_told_by_its_day(
    made: Shop, zone: str, weekends: bool | None
) -> None:
    person = replace(WREN, zone=zone, weekends=weekends)
    made = replace(made, people=(person,), ledger=())
    start, days = datetime(2026, 11, 20, 20, tzinfo=UTC), 60
    first: dict[str, date] = {}
    began: date | None = None
    now, state = start, made
    while now < start + timedelta(days):
        now = next_due(state, now + timedelta(seconds=1)) or now
        state, [found] = tick(state, now)
        began = began or found.day
        for one in (*found.late, *found.today, *found.ahead):
            first.setdefault(one.key, found.day)
    assert began is not None
    for one in deadlines(made, began):
        if began <= one.on < local_day(made, now, person) and one.nudge and one.state == "open":
            assert first[one.key] <= one.on, one.key


@given(shops())
def test_a_quiet_morning_is_recorded_and_says_nothing(made: Shop) -> None:
    made = peopled(replace(made, boxes=(), items=()))
    made, [found] = tick(made, utc("2026-12-10"))
    assert found.empty
    assert tick(made, utc("2026-12-10", 13))[1] == []

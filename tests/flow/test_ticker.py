"""Mornings: one digest after any downtime, never a spin, never a lost one. All invented."""

import asyncio
from datetime import UTC, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from freezegun import freeze_time
from msgspec.structs import replace

from assistant.edges.clock import PretendClock, SystemClock
from assistant.flow import ticker
from assistant.flow.messages import IN
from assistant.planning.model import Person
from tests.flow.rig import MONDAY, WREN, Rig, at_work, story
from tests.trade import house, shop, with_holidays

OVERDUE = "2027-02 Rain: notebook@Aldermoor 450 x 3.10, lead 20d"
DAY = timedelta(days=1)


@story(OVERDUE)
async def test_each_working_morning_brings_one_digest_while_something_is_overdue(rig: Rig) -> None:
    await rig.move(MONDAY + timedelta(days=13, hours=12))
    assert len(rig.told(WREN)) == 10  # two weeks of five mornings, the first at once
    # 08:00 in London is 08:00 UTC in winter; the first morning was past when the machine began.
    assert {moment.time() for moment in rig.rings[1:]} == {time(8)}


@story(OVERDUE)
async def test_a_machine_that_was_off_for_days_sends_one_digest(rig: Rig) -> None:
    await rig.wait(hours=1)
    before = len(rig.told(WREN))
    assert isinstance(rig.clock, PretendClock)
    rig.clock.set(MONDAY + timedelta(days=9, hours=3))  # nobody rang on the way
    await rig.ticker.start((rig.id,))
    await rig.wait(hours=1)
    assert len(rig.told(WREN)) == before + 1
    await rig.ticker.start((rig.id,))
    await rig.wait(hours=1)
    assert len(rig.told(WREN)) == before + 1


@story()
async def test_a_shop_with_nothing_due_is_asked_once_a_morning(rig: Rig) -> None:
    await rig.move(MONDAY + timedelta(days=28))
    assert rig.told(WREN) == []
    assert len(rig.rings) <= 29


@story()
async def test_a_due_time_that_never_passes_rings_once_a_minute(rig: Rig) -> None:
    real = ticker.next_due
    ticker.next_due = lambda _, now: now
    try:
        await rig.ticker.start((rig.id,))
        await rig.wait(hours=1)
    finally:
        ticker.next_due = real
    assert 30 <= len(rig.rings) <= 61
    assert all(later - earlier >= ticker.AGAIN for earlier, later in pairwise(rig.rings))


@story(OVERDUE)
async def test_a_clock_set_back_between_ring_and_work_loses_no_morning(rig: Rig) -> None:
    await rig.wait(hours=1)
    before = len(rig.told(WREN))
    tuesday = datetime(2027, 1, 12, 8, tzinfo=UTC)
    assert isinstance(rig.clock, PretendClock)
    rig.clock.set(tuesday - timedelta(milliseconds=1))  # as seen after the setting back
    await rig.ticker.ring(rig.id, tuesday)
    await rig.settle()
    assert len(rig.told(WREN)) == before + 1
    await rig.wait(hours=2)
    assert len(rig.told(WREN)) == before + 1


@story(OVERDUE)
async def test_an_alarm_that_cannot_be_kept_rings_again(rig: Rig) -> None:
    rig.memory.full = "jobs"
    await rig.ticker.ring(rig.id, rig.clock.now())
    rig.memory.full = ""
    assert rig.told(WREN) == []
    await rig.wait(minutes=1)
    assert len(rig.told(WREN)) == 1


@story(OVERDUE)
async def test_a_tick_that_comes_twice_tells_once(rig: Rig) -> None:
    for _ in range(3):
        await rig.ticker.ring(rig.id, rig.clock.now())
    await rig.settle()
    assert len(rig.told(WREN)) == 1
    assert await rig.mailbox.dead(IN) == ()


# The nights on which clocks change in 2027, from the tz database (IANA, 2025b): New York 14 March
# and 7 November, London 28 March and 31 October, Sydney 4 April and 3 October.
NIGHTS = [
    ("America/New_York", "2027-03-14"),
    ("America/New_York", "2027-11-07"),
    ("Europe/London", "2027-03-28"),
    ("Europe/London", "2027-10-31"),
    ("Australia/Sydney", "2027-04-04"),
    ("Australia/Sydney", "2027-10-03"),
]


# freezegun's own kind of datetime cannot be written as JSON, so only the clock's edge is given it.
ELSEWHERE = ["assistant.flow", "assistant.planning", "assistant.scheduling", "tests", "msgspec"]


class Machine:
    """The machine's clock, as frozen, in plain datetimes."""

    def now(self) -> datetime:
        return datetime.fromisoformat(SystemClock().now().isoformat())


@pytest.mark.parametrize(("zone", "night"), NIGHTS)
@pytest.mark.parametrize("hour", [time(8), time(2, 30)])
def test_a_night_on_which_clocks_change_neither_skips_nor_repeats_a_morning(
    zone: str, night: str, hour: time
) -> None:
    """The machine's own clock, frozen and pushed on by a quarter of an hour for four days."""
    there = ZoneInfo(zone)
    noon = datetime.combine(datetime.fromisoformat(night), time(12), there).astimezone(UTC)
    start = noon - 2 * DAY
    never_quiet = replace(house(), quiet_from=time(0), quiet_to=time(0))
    wren = Person(id="wren", chat=WREN, role="owner", zone=zone, digest_at=hour, weekends=True)
    later = (noon + timedelta(days=40)).date().isoformat()[:7]
    made = shop(f"{later} Rain: notebook 450 x 3.10, lead 90d", house=never_quiet)
    made = with_holidays(replace(made, people=(wren,)), start.date())
    mornings: list[datetime] = []

    async def four_days(frozen: Any) -> None:
        async with at_work(made, Machine()) as rig:
            for quarter in range(1, 4 * 24 * 4 + 1):
                frozen.move_to(start + quarter * timedelta(minutes=15))
                while alarm := rig.ticks.take(rig.clock.now()):
                    await rig.ticker.ring(*alarm)
                    await rig.settle()
                new = len(rig.told(WREN)) - len(mornings)
                mornings.extend([rig.clock.now().astimezone(there)] * new)

    with freeze_time(start, real_asyncio=True, ignore=ELSEWHERE) as frozen:
        asyncio.run(four_days(frozen))
    days = [moment.date() for moment in mornings]
    first = mornings[0].date()
    assert days == [first + n * DAY for n in range(len(days))]
    assert len(days) in (4, 5)
    # 02:30 does not exist on a spring night: between three and half past is as near as it gets.
    odd = [moment for moment in mornings[1:] if moment.time() != hour]
    assert all(moment.date().isoformat() == night for moment in odd)
    assert all(time(3) <= moment.time() <= time(3, 30) for moment in odd)

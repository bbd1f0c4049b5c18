"""The alarm clock, with the real scheduler and no waiting: times that have passed ring at once."""

import asyncio
import warnings
from datetime import UTC, datetime, timedelta

with warnings.catch_warnings():
    from assistant.edges.apscheduler_ticks import SchedulerTicks
from assistant.edges.clock import SystemClock

LONG_AGO = datetime(2020, 1, 1, 8, tzinfo=UTC)


async def rung(*sets: tuple[str, datetime | None], wanted: int) -> list[tuple[str, datetime]]:
    ticks = SchedulerTicks()
    heard: list[tuple[str, datetime]] = []
    done = asyncio.Event()

    async def ring(shop: str, at: datetime) -> None:
        heard.append((shop, at))
        if len(heard) >= wanted:
            done.set()

    ticks.start(ring)
    for shop, at in sets:
        ticks.set(shop, at)
    if wanted:
        await asyncio.wait_for(done.wait(), 5)
    ticks.stop()
    return heard


def test_an_alarm_missed_by_years_still_rings_once() -> None:
    assert asyncio.run(rung(("a", LONG_AGO), wanted=1)) == [("a", LONG_AGO)]


def test_each_shop_has_one_alarm_and_the_last_set_counts() -> None:
    later = LONG_AGO + timedelta(days=1)
    never = SystemClock().now() + timedelta(days=9999)
    heard = asyncio.run(
        rung(("a", never), ("a", later), ("b", LONG_AGO), ("c", never), ("c", None), wanted=2)
    )
    assert sorted(heard) == [("a", later), ("b", LONG_AGO)]


def test_taking_away_an_alarm_that_was_never_set_is_no_error() -> None:
    assert asyncio.run(rung(("a", None), wanted=0)) == []

"""The clock's edge: aware, in UTC, never back; alarms of a pretended year."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from freezegun import freeze_time
from hypothesis import given
from hypothesis import strategies as st

from assistant.edges.clock import PretendClock, PretendTicks, SystemClock

NINE = datetime(2027, 3, 1, 9, tzinfo=UTC)
moments = st.datetimes(datetime(2000, 1, 1), datetime(2100, 1, 1), timezones=st.just(UTC))  # noqa: DTZ001

# Clocks change at 01:00 UTC in London on 28 March and 31 October 2027, at 07:00 and 06:00 UTC in
# New York on 14 March and 7 November, at 16:00 UTC in Sydney on 3 April and 2 October (IANA 2025b).
CHANGES = [
    "2027-03-28 01:00:00",
    "2027-10-31 01:00:00",
    "2027-03-14 07:00:00",
    "2027-11-07 06:00:00",
    "2027-04-03 16:00:00",
    "2027-10-02 16:00:00",
]


@pytest.mark.parametrize("change", CHANGES)
def test_time_passes_evenly_while_clocks_on_walls_change(change: str) -> None:
    with freeze_time(change) as frozen:
        seen = [SystemClock().now()]
        for _ in range(4):
            frozen.tick(timedelta(minutes=30))
            seen.append(SystemClock().now())
    assert [moment.utcoffset() for moment in seen] == [timedelta(0)] * 5
    assert seen[0].isoformat(" ") == f"{change}+00:00"
    assert seen[-1] - seen[0] == timedelta(hours=2)


@given(st.lists(moments, min_size=1))
def test_a_pretend_clock_never_goes_back(times: list[datetime]) -> None:
    clock = PretendClock(NINE)
    latest = NINE
    for moment in times:
        assert clock.set(moment) == (moment >= latest)
        latest = max(latest, moment)
        assert clock.now() == latest


def test_a_pretend_clock_stands_in_utc() -> None:
    clock = PretendClock(datetime(2027, 3, 1, 9, tzinfo=timezone(timedelta(hours=9))))
    assert clock.now() == datetime(2027, 3, 1, 0, tzinfo=UTC)
    assert clock.now().utcoffset() == timedelta(0)


@given(st.lists(st.tuples(st.sampled_from("abc"), moments | st.none())), moments)
def test_alarms_ring_in_order_each_shop_at_its_last_setting(
    sets: list[tuple[str, datetime | None]], until: datetime
) -> None:
    ticks, wanted = PretendTicks(), dict(sets)
    for shop, at in sets:
        ticks.set(shop, at)
    rung = []
    while alarm := ticks.take(until):
        rung.append(alarm)
    assert [at for _, at in rung] == sorted(at for at in wanted.values() if at and at <= until)
    assert all(wanted[shop] == at for shop, at in rung)

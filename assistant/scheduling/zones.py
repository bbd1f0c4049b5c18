"""Time zones: which moment a local day and time of day mean.

Knows zones by their IANA names. Must not know what time it is, or why anyone asks. Zones come from
the `tzdata` package whatever the system holds: system databases age, and laws change within a year.

Invariants: every local time means exactly one moment; an unknown zone is None, never an exception.
"""

from __future__ import annotations

from bisect import bisect_left
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from functools import cache
from io import BytesIO
from pkgutil import get_data
from zoneinfo import ZoneInfo


@cache
def zone(name: str) -> ZoneInfo | None:
    """The zone with this IANA name, in any case ("Europe/London"), or None if there is none."""
    key = zone_names().get(name.strip().casefold())
    if key is None:
        return None
    return ZoneInfo.from_file(BytesIO(get_data("tzdata", f"zoneinfo/{key}") or b""), key)


@cache
def zone_names() -> dict[str, str]:
    """Every IANA name, by the same name in lower case."""
    names = (get_data("tzdata", "zones") or b"").decode()
    return {name.casefold(): name for name in names.split()}


def local_instant(day: date, at: time, zone_name: str) -> datetime | None:
    """The moment, in UTC, at which clocks in a zone show `at` on `day`; None for an unknown zone.

    A time that occurs twice (clocks go back) means the first. A time that does not exist (clocks go
    forward) means the first moment after the gap. `at` is taken without a zone of its own; the
    first and last two days that `date` can hold are out of reach (OverflowError).
    """
    there = zone(zone_name)
    if there is None:
        return None
    shown = datetime.combine(day, at.replace(tzinfo=None, fold=0), there)
    moment = shown.astimezone(UTC)
    if moment.astimezone(there).replace(tzinfo=None) == shown.replace(tzinfo=None):
        return moment
    return _end_of_gap(shown.replace(fold=1).astimezone(UTC), moment, there)


def _end_of_gap(before: datetime, after: datetime, there: tzinfo) -> datetime:
    """The first second between two moments that has the offset of the later one."""
    new_offset = after.astimezone(there).utcoffset()
    start = before.replace(microsecond=0)

    def is_new(second: int) -> bool:
        return (start + timedelta(seconds=second)).astimezone(there).utcoffset() == new_offset

    seconds = range(int((after - start).total_seconds()) + 1)
    return start + timedelta(seconds=bisect_left(seconds, True, key=is_new))

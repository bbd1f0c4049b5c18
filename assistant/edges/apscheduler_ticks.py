"""Alarms by APScheduler: one date job for each shop.

Knows: when to ring. Must not know: what for. Invariants: the scheduler is an alarm clock, never
the keeper of due times (its memory store dies with the process; the ledger does not); a late
alarm still rings (`misfire_grace_time=None`) and rings once (`coalesce`).
"""

from collections.abc import Awaitable, Callable
from datetime import UTC, datetime

from apscheduler.jobstores.base import JobLookupError
from apscheduler.schedulers.asyncio import AsyncIOScheduler


class SchedulerTicks:
    """Implements `flow.ports.Ticks`. `ring(shop, at)` is awaited when an alarm goes off; give it
    before the first `set`."""

    def __init__(self) -> None:
        self._scheduler = AsyncIOScheduler(
            timezone=UTC, job_defaults={"misfire_grace_time": None, "coalesce": True}
        )
        self._ring: Callable[[str, datetime], Awaitable[None]] | None = None

    def start(self, ring: Callable[[str, datetime], Awaitable[None]]) -> None:
        """Start ringing, in the running event loop."""
        self._ring = ring
        self._scheduler.start()

    def stop(self) -> None:
        """Ring no more."""
        self._scheduler.shutdown(wait=False)

    def set(self, shop: str, at: datetime | None) -> None:
        """Set, move or (None) take away the shop's alarm."""
        if at is not None:
            self._scheduler.add_job(
                self._ring, "date", run_date=at, args=(shop, at), id=shop, replace_existing=True
            )
            return
        try:
            self._scheduler.remove_job(shop)
        except JobLookupError:
            return

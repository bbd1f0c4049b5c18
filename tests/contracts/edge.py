"""What the contract suites are run with: an opened edge, a pretend clock, one event loop a test."""

import asyncio
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from functools import wraps
from typing import Any

from assistant.edges.clock import PretendClock
from assistant.flow.ports import Burial, Handler, Job, Keep, Mailbox, Shelf
from assistant.planning.model import House

HOUSE = House(
    stages=(),
    digest_at=time(8),
    quiet_from=time(21),
    quiet_to=time(7),
    weekends=False,
    transit_home_days=2,
    transit_abroad_days=7,
    boxes_per_hour=30,
    crew=1,
    hours_per_day=6,
    horizon_days=14,
)


START = datetime(2027, 3, 1, 8, tzinfo=UTC)


@dataclass
class Edge:
    """One implementation of the ports, opened."""

    mailbox: Mailbox
    shelf: Shelf
    keep: Keep
    clock: PretendClock

    def move(self, **by: float) -> None:
        """Move the clock on and tell the lanes."""
        assert self.clock.set(self.clock.now() + timedelta(**by))
        self.mailbox.wake()

    async def put(self, lane: str, key: str, *bodies: str, **how: Any) -> list[bool]:
        """Put jobs, all in one transaction."""
        async with self.mailbox.begin() as tx:
            return [await self.mailbox.put(tx, lane, key, b.encode(), **how) for b in bodies]

    @asynccontextmanager
    async def serving(
        self, lane: str, handler: Handler, given_up: Burial | None = None
    ) -> AsyncIterator[None]:
        """Serve a lane for as long as the block lasts."""
        task = asyncio.create_task(self.mailbox.serve(lane, handler, given_up))
        try:
            yield
        finally:
            task.cancel()
            await asyncio.wait([task])
            if not task.cancelled():
                task.result()


Open = Callable[[], AbstractAsyncContextManager[Edge]]


def story(test: Callable[[Any, Edge], Awaitable[None]]) -> Callable[[Any, Open], None]:
    """Run an async test of a suite on a freshly opened edge. The time limit only ends a test
    that would hang for ever."""

    @wraps(test)
    def run(self: Any, edge: Open) -> None:
        async def whole() -> None:
            async with asyncio.timeout(60), edge() as opened:
                await test(self, opened)

        asyncio.run(whole())

    return run


class Recorder:
    """A handler that settles each job and remembers what it saw."""

    def __init__(self) -> None:
        self.bodies: list[str] = []
        self.tries: list[int] = []

    async def __call__(self, job: Job) -> None:
        self.tries.append(job.tries)
        async with job.settle():
            self.bodies.append(job.body.decode())

"""Help for tests of channels: a pretend way into the lane, and waiting without sleeping.

What is waited for must come; when it does not within LIMIT seconds, the test fails.
"""

import asyncio
import functools
from collections.abc import AsyncIterator, Callable, Coroutine
from contextlib import asynccontextmanager, suppress
from typing import Any, ParamSpec

from assistant.conversation.messages import Heard
from assistant.flow.messages import Incoming, Unreached
from assistant.flow.ports import NoRoom

LIMIT = 10.0  # seconds until a wait counts as failed

P = ParamSpec("P")


def in_loop(test: Callable[P, Coroutine[Any, Any, None]]) -> Callable[P, None]:
    """Let pytest run an asynchronous test in a loop of its own."""

    @functools.wraps(test)
    def run(*args: P.args, **kwargs: P.kwargs) -> None:
        asyncio.run(test(*args, **kwargs))

    return run


@asynccontextmanager
async def running(work: Coroutine[Any, Any, None]) -> AsyncIterator[asyncio.Task[None]]:
    """Run something beside the test until the block ends; what went wrong in it fails the test."""
    task = asyncio.create_task(work)
    try:
        yield task
    finally:
        task.cancel()
        with suppress(asyncio.CancelledError):
            async with asyncio.timeout(LIMIT):
                await task


class PretendKeep:
    """A `Keep` that forgets when the test ends."""

    def __init__(self) -> None:
        self.values: dict[str, str] = {}

    async def remember(self, name: str, value: str) -> None:
        self.values[name] = value

    async def recall(self, name: str) -> str | None:
        return self.values.get(name)


class Watched:
    """Something whose changes can be waited for."""

    def __init__(self) -> None:
        self._changed = asyncio.Condition()

    async def changed(self) -> None:
        """Wake who waits."""
        async with self._changed:
            self._changed.notify_all()

    async def wait(self, done: Callable[[], bool]) -> None:
        """Return when `done`; fail after LIMIT."""
        async with asyncio.timeout(LIMIT), self._changed:
            await self._changed.wait_for(done)


class Inbox(Watched):
    """The lane as a channel sees it: `take` keeps each message once, unless it has no room."""

    def __init__(self) -> None:
        super().__init__()
        self.bodies: list[Incoming | Unreached] = []
        self.repeats = 0
        self.no_room = 0  # how often to refuse yet
        self.gate = asyncio.Event()  # closed, `take` gets no further
        self.gate.set()
        self.waiting = 0
        self._ids: set[str] = set()

    async def take(self, body: Incoming | Unreached) -> bool:
        self.waiting += 1
        await self.changed()
        await self.gate.wait()
        self.waiting -= 1
        if self.no_room:
            self.no_room -= 1
            await self.changed()
            raise NoRoom
        new = self._keep(body)
        await self.changed()
        return new

    def _keep(self, body: Incoming | Unreached) -> bool:
        if isinstance(body, Incoming):
            if body.heard.id in self._ids:
                self.repeats += 1
                return False
            self._ids.add(body.heard.id)
        self.bodies.append(body)
        return True

    @property
    def heard(self) -> list[Heard]:
        return [body.heard for body in self.bodies if isinstance(body, Incoming)]

    @property
    def texts(self) -> list[str]:
        return [heard.text for heard in self.heard]

    async def until(self, count: int) -> list[Incoming | Unreached]:
        """Return what was kept, once it is so many."""
        await self.wait(lambda: len(self.bodies) >= count)
        return self.bodies

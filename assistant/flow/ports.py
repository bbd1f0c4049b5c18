"""What flow asks of the edges. Every implementation passes tests/contracts/."""

from collections.abc import Awaitable, Callable
from contextlib import AbstractAsyncContextManager
from datetime import datetime, timedelta
from typing import Any, Protocol

from assistant.conversation.messages import File
from assistant.flow.messages import Incoming, Outgoing, Unreached
from assistant.planning.model import Change, Entry, Record, Shop

NOW = timedelta(0)

Tx = Any  # an open transaction; only the edge that opened it looks inside


class NoRoom(Exception):
    """The store cannot write (disk full, folder read-only). The last commit stands."""


class Stale(Exception):
    """The shop was changed since it was loaded, or the job was handed on to another worker."""


class Later(Exception):
    """Try again after `seconds`; this does not count as a try."""

    def __init__(self, seconds: float) -> None:
        super().__init__(f"try again in {seconds} s")
        self.seconds = seconds


class Unreachable(Exception):
    """The chat will never take a message again until its person comes back."""


class Job(Protocol):
    """One job in hand. `settle()` opens the one transaction in which its effects and "done"
    stand or fall together; it raises Stale when the job is no longer this worker's."""

    id: int
    lane: str
    key: str
    body: bytes
    tries: int

    def settle(self) -> AbstractAsyncContextManager[Tx]: ...


class Dead(Record):
    """A job kept after its last try."""

    id: int
    lane: str
    key: str
    body: bytes
    tries: int
    error: str
    at: datetime


Handler = Callable[[Job], Awaitable[None]]


class Mailbox(Protocol):
    """Durable lanes. Jobs of one key run in order, one at a time, through retries too; keys do
    not wait for each other. A handler that returns must have settled its job; one that raises is
    rolled back and tried again after a growing wait, then kept as dead; Later waits without
    counting. `put` returns False when a job marked `once` was put before. `serve` runs until
    cancelled. `idle` returns when no job of these lanes is runnable or in hand."""

    def begin(self) -> AbstractAsyncContextManager[Tx]: ...
    async def put(
        self, tx: Tx, lane: str, key: str, body: bytes, *, once: str = "", after: timedelta = NOW
    ) -> bool: ...
    async def serve(self, lane: str, handler: Handler) -> None: ...
    async def idle(self, *lanes: str) -> None: ...
    async def dead(self, lane: str) -> tuple[Dead, ...]: ...
    async def revive(self, id: int) -> bool: ...


class Shelf(Protocol):
    """A shop's documents. `load` gives the whole frozen value; `save` writes only the changed
    documents and appends the entry, raising Stale unless `version` is still the shop's."""

    async def version(self, shop: str) -> int: ...
    async def load(self, shop: str) -> Shop: ...
    async def save(
        self, tx: Tx, shop: str, version: int, changes: tuple[Change, ...], entry: Entry | None
    ) -> int: ...
    async def keep(self, tx: Tx, shop: str, file: File) -> None: ...
    async def file(self, shop: str, id: str) -> File | None: ...


Take = Callable[[Incoming | Unreached], Awaitable[bool]]


class Channel(Protocol):
    """A way to and from people; `name` is the prefix of its addresses. `run` hands each message
    to `take`, which returns once it is durable (False: it had been taken before) and raises
    NoRoom when it cannot be. `send` raises Later or Unreachable. `fetch` gives the content behind
    a reference of this channel, None when it is gone for good."""

    name: str

    async def run(self, take: Take) -> None: ...
    async def send(self, out: Outgoing, file: File | None) -> None: ...
    async def fetch(self, ref: str) -> bytes | None: ...


class Ticks(Protocol):
    """Rings `flow.ticker` at one next time for each shop; None means never, a time that has passed
    means now. Setting it again replaces the alarm."""

    def set(self, shop: str, at: datetime | None) -> None: ...


class Clock(Protocol):
    """The time now, aware UTC."""

    def now(self) -> datetime: ...

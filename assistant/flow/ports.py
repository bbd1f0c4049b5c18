"""What flow asks of the edges. Every implementation passes tests/contracts/."""

from collections.abc import Awaitable, Callable
from contextlib import AbstractAsyncContextManager
from datetime import datetime, timedelta
from typing import Any, Protocol

from assistant.conversation.messages import BackedUp, File
from assistant.flow.messages import Incoming, Outgoing, Unreached
from assistant.planning.model import Change, Entry, Record, Shop

NOW = timedelta(0)
RECENT = 100  # how many of its newest history entries a loaded shop carries

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
Burial = Callable[[Tx, Dead], Awaitable[None]]


class Mailbox(Protocol):
    """Durable lanes. Jobs of one key run in order, one at a time, through retries too; keys do
    not wait for each other. A handler that returns must have settled its job; one that raises is
    rolled back and tried again after a growing wait, then kept as dead; Later waits without
    counting, and so does NoRoom.

    `put` returns False when a job marked `once` was put before in this lane (remembered for 7
    days after it was done); a job put with `after` takes its turn when its time has come and
    holds nobody back before. `serve` runs until cancelled, and then lets go of what is in hand.
    Its `given_up` is awaited in the transaction that keeps a job as dead, whether its handler
    failed or its process was killed in every try; should it fail itself, the job is kept as dead
    without it. `revive` gives a dead job its tries again in its old place. `idle` returns when
    no job of these lanes is runnable or in hand, or when nothing can be written of those that
    are. `wake` must be called by whoever moves a pretend clock."""

    def begin(self) -> AbstractAsyncContextManager[Tx]: ...
    async def put(
        self, tx: Tx, lane: str, key: str, body: bytes, *, once: str = "", after: timedelta = NOW
    ) -> bool: ...
    async def serve(self, lane: str, handler: Handler, given_up: Burial | None = None) -> None: ...
    async def idle(self, *lanes: str) -> None: ...
    async def dead(self, lane: str) -> tuple[Dead, ...]: ...
    async def revive(self, id: int) -> bool: ...
    def wake(self) -> None: ...


class Shelf(Protocol):
    """A shop's documents. `load` gives the whole frozen value, its RECENT newest entries with it;
    `save` writes only the changed documents, appends the entry (whose number is the version
    after it) and returns the new version, raising Stale unless `version` is still the shop's.
    Reading shows the last commit, never an open transaction, and never waits for one."""

    async def version(self, shop: str) -> int: ...
    async def load(self, shop: str) -> Shop: ...
    async def save(
        self, tx: Tx, shop: str, version: int, changes: tuple[Change, ...], entry: Entry | None
    ) -> int: ...
    async def keep(self, tx: Tx, shop: str, file: File) -> None: ...
    async def file(self, shop: str, id: str) -> File | None: ...


class Archive(Protocol):
    """The backups of shops. `write` makes one of a shop as of its last commit, without holding up
    the event loop; what went wrong is its `trouble`, never an exception. `file` gives one by the
    `file` it was told under, None when it is no backup's or is there no more."""

    async def write(self, shop: str, now: datetime) -> BackedUp: ...
    async def file(self, id: str) -> File | None: ...


class Keep(Protocol):
    """A few words that an edge keeps for itself, for 400 days."""

    async def remember(self, name: str, value: str) -> None: ...
    async def recall(self, name: str) -> str | None: ...


Take = Callable[[Incoming | Unreached], Awaitable[bool]]


class Channel(Protocol):
    """A way to people; `name` is the prefix of its addresses, `most` the bytes of the biggest file
    that it sends (0: any). `send` raises Later or Unreachable; a reply that is `live` may change
    the message of that name in its chat, or be a message like any other. `fetch` gives the content
    behind a reference of this channel, None when it is gone for good; it raises Later."""

    @property
    def name(self) -> str: ...
    @property
    def most(self) -> int: ...
    async def send(self, out: Outgoing, file: File | None) -> None: ...
    async def fetch(self, ref: str) -> bytes | None: ...


class Listener(Channel, Protocol):
    """A channel that hears by itself. `run` hands each message to `take`, which returns once it
    is durable (False: it had been taken before) and raises NoRoom when it cannot be."""

    async def run(self, take: Take) -> None: ...


class Ticks(Protocol):
    """Rings `flow.ticker` at one next time for each shop; None means never, a time that has passed
    means now. Setting it again replaces the alarm."""

    def set(self, shop: str, at: datetime | None) -> None: ...


class Clock(Protocol):
    """The time now, aware UTC."""

    def now(self) -> datetime: ...

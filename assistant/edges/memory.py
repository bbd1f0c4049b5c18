"""The ports of flow in memory: nothing outlives the process.

Knows: dicts. Must not know: disk, SQLite, TinyDB. It serves tests, rehearsals and a chat that is
not to be kept, and is a second reading of what the ports promise. Invariants are those of the
embedded edge: one transaction at a time, all of it or nothing; reading shows the last commit.

A transaction works on copies of the dicts it writes to; the commit puts them in place.
"""

import asyncio
from collections.abc import AsyncIterator, Callable, Hashable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import datetime, timedelta
from typing import Any

from msgspec.structs import replace

from assistant.conversation.messages import File
from assistant.edges.lanes import TRIES, Lanes, Slip
from assistant.flow.ports import RECENT, Clock, Stale
from assistant.planning.changes import apply
from assistant.planning.model import Change, Entry, House, Shop

Table = dict[Hashable, Any]

KEEP = timedelta(days=400)


class Transaction:
    """The open transaction: copies of the tables it writes to."""

    def __init__(self, tables: dict[str, Table]) -> None:
        self._tables = tables
        self._written: dict[str, Table] = {}
        self._after: list[Callable[[], None]] = []

    def read(self, table: str) -> Table:
        """Return a table as this transaction sees it; not to be written to."""
        return self._written.get(table, self._tables[table])

    def write(self, table: str) -> Table:
        """Return a table to be written to."""
        if table not in self._written:
            self._written[table] = dict(self._tables[table])
        return self._written[table]

    def then(self, step: Callable[[], None]) -> None:
        """Call `step` once the transaction is committed; not at all if it fails."""
        self._after.append(step)

    def commit(self) -> None:
        """Put the copies in place."""
        self._tables.update(self._written)

    def tell(self) -> None:
        """Call what was to follow the commit."""
        for step in self._after:
            step()


class Memory:
    """All that the ports below keep: the counterpart of a data folder."""

    def __init__(self) -> None:
        self.tables: dict[str, Table] = {"shops": {}, "files": {}, "jobs": {}, "once": {}}
        self.jobs_put = 0
        self._lock = asyncio.Lock()
        self._owner: asyncio.Task[Any] | None = None

    @asynccontextmanager
    async def begin(self) -> AsyncIterator[Transaction]:
        """Open the one transaction; committed when the block ends, gone when it raises."""
        task = asyncio.current_task()
        if self._owner is not None and self._owner is task:
            raise RuntimeError("this task has a transaction open already")
        async with self._lock:
            self._owner = task
            tx = Transaction(self.tables)
            try:
                yield tx
                tx.commit()
            finally:
                self._owner = None
        tx.tell()


class Shelf:
    """The shops in memory, each as its last frozen value."""

    def __init__(self, memory: Memory, house: House) -> None:
        self._memory = memory
        self._house = house

    async def version(self, shop: str) -> int:
        """Return the version of the last commit, 0 for a shop that has none."""
        return (await self.load(shop)).version

    async def load(self, shop: str) -> Shop:
        """Return the whole shop as of the last commit."""
        return self._of(self._memory.tables["shops"], shop)

    async def save(
        self,
        tx: Transaction,
        shop: str,
        version: int,
        changes: tuple[Change, ...],
        entry: Entry | None,
    ) -> int:
        """Make the changes, keep the entry, and return the new version.

        Raises Stale when the shop's version is not `version` any more, ValueError when the
        entry's number is not the new version.
        """
        before = self._of(tx.read("shops"), shop)
        if before.version != version:
            raise Stale(f"the shop has changed since version {version}")
        if entry is not None and entry.number != version + 1:
            raise ValueError(f"entry {entry.number} after version {version}")
        recent = before.recent if entry is None else (*before.recent, entry)[-RECENT:]
        after = replace(apply(before, changes), version=version + 1, recent=recent)
        tx.write("shops")[shop] = after
        return after.version

    async def keep(self, tx: Transaction, shop: str, file: File) -> None:
        """Keep a file under its id, in place of one of the same id."""
        tx.write("files")[shop, file.id] = file

    async def file(self, shop: str, id: str) -> File | None:
        """Return a kept file, None when there is none of this id."""
        file: File | None = self._memory.tables["files"].get((shop, id))
        return file

    def _of(self, shops: Table, shop: str) -> Shop:
        found: Shop = shops.get(shop) or Shop(id=shop, house=self._house)
        return found


class Jobs:
    """The slips of all lanes in memory, in the order in which they were put.

    What was done is kept apart, as nothing but its `once`: there are many of those.
    """

    def __init__(self, memory: Memory) -> None:
        self._memory = memory

    def begin(self) -> AbstractAsyncContextManager[Transaction]:
        """Open a transaction."""
        return self._memory.begin()

    def add(self, tx: Transaction, slip: Slip) -> None:
        """Write a new slip."""
        self._memory.jobs_put += 1
        tx.write("jobs")[self._memory.jobs_put] = replace(slip, id=self._memory.jobs_put)

    def get(self, tx: Transaction, id: int) -> Slip | None:
        """Read one slip."""
        slip: Slip | None = tx.read("jobs").get(id)
        return slip

    def write(self, tx: Transaction, slip: Slip) -> None:
        """Write a slip over the one of the same id."""
        if slip.state == "done":
            del tx.write("jobs")[slip.id]
            tx.write("once")[slip.lane, slip.once] = slip.ended
        else:
            tx.write("jobs")[slip.id] = slip

    def remove(self, tx: Transaction, id: int) -> None:
        """Remove one slip."""
        del tx.write("jobs")[id]

    def seen(self, tx: Transaction, lane: str, once: str) -> bool:
        """Say whether a slip of this lane bears this `once`."""
        return (lane, once) in tx.read("once") or any(
            (slip.lane, slip.once) == (lane, once) for slip in tx.read("jobs").values()
        )

    def forget(self, tx: Transaction, before: datetime) -> None:
        """Remove the names of what was done before this moment."""
        names = tx.read("once")
        oldest = next(iter(names.values()), before)  # they stand in the order of their end
        if oldest < before:
            for name in [name for name, ended in names.items() if ended < before]:
                del tx.write("once")[name]

    def heads(self, lane: str, now: datetime) -> list[Slip]:
        """Return the slips that are next, one of each key, oldest first."""
        first: dict[str, Slip] = {}
        for slip in self._slips(lane, "waiting"):
            if slip.due <= now or slip.claims:
                first.setdefault(slip.key, slip)
        return [slip for slip in first.values() if slip.due <= now]

    def next_due(self, lane: str, now: datetime) -> datetime | None:
        """Return the earliest `due` after now among the waiting slips."""
        dues = (slip.due for slip in self._slips(lane, "waiting"))
        return min((due for due in dues if due > now), default=None)

    def dead(self, lane: str) -> list[Slip]:
        """Return the dead slips, oldest first."""
        return self._slips(lane, "dead")

    def _slips(self, lane: str, state: str) -> list[Slip]:
        slips = self._memory.tables["jobs"].values()
        return [slip for slip in slips if (slip.lane, slip.state) == (lane, state)]


class Mailbox(Lanes):
    """The lanes in memory."""

    def __init__(self, memory: Memory, clock: Clock, tries: int = TRIES) -> None:
        super().__init__(Jobs(memory), clock, tries)


class Keep:
    """A few words that an edge keeps for itself, for 400 days."""

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._words: dict[str, tuple[str, datetime]] = {}

    async def remember(self, name: str, value: str) -> None:
        """Keep a value under its name, and let go of what is older than 400 days."""
        now = self._clock.now()
        self._words = {n: kept for n, kept in self._words.items() if kept[1] >= now - KEEP}
        self._words[name] = (value, now)

    async def recall(self, name: str) -> str | None:
        """Return the value that was kept under this name, or None."""
        kept = self._words.get(name)
        return None if kept is None else kept[0]

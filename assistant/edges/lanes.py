"""The rules of the lanes, for every mailbox whose jobs one process works off.

Knows: order, tries, waits, fences, when to wake. Must not know: where jobs are written down (a
`Store` does). Used by the edges that keep lanes themselves; names no vendor. Invariants:

- Of one key only the first waiting job is ever in hand; a job that waits for another try holds
  back the later ones of its key. A job put with `after` takes its turn when its time has come.
- A try is counted, durably, before the handler runs: a job that kills its process was tried.
- A job is in hand for as long as the `serve` that took it lives. There is no lease with a time
  limit: one process owns the store, so whoever stops working lets go of the job by stopping.
- Each time a job is taken or let go its `claims` go up by one; whoever settles must still hold
  the last claim.
- Nothing is asked again and again: a serving lane sleeps until something was put, a job came to
  its end, a wait is over, or `wake` said that the clock was moved.
"""

import asyncio
import logging
import traceback
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager, suppress
from datetime import UTC, datetime, timedelta
from typing import Any, Literal, Protocol

from msgspec.structs import replace

from assistant.flow.ports import NOW, Burial, Clock, Dead, Handler, Job, Later, NoRoom, Stale, Tx
from assistant.planning.model import Record

AT_ONCE = datetime(1970, 1, 1, tzinfo=UTC)  # due whatever the clock says, even if it is set back
TRIES = 5
WAITS = tuple(timedelta(seconds=s) for s in (1, 5, 25, 120))  # after each try but the last
PAUSE = timedelta(seconds=5)  # before asking again a store that could not write
LOOK_AGAIN = timedelta(minutes=1)  # a machine that slept tells nobody; so look at the clock
REMEMBER = timedelta(days=7)  # how long a name put `once` outlives its job

KILLED = "the process ended while this job was in hand"
UNSETTLED = "the handler returned without settling the job"

log = logging.getLogger(__name__)


class Slip(Record):
    """A job as it is written down. `id` 0: not yet written."""

    lane: str
    key: str
    body: bytes
    id: int = 0
    due: datetime = AT_ONCE
    once: str = ""
    tries: int = 0
    claims: int = 0
    state: Literal["waiting", "dead", "done"] = "waiting"
    error: str = ""
    ended: datetime | None = None


class Store(Protocol):
    """Where slips are written down. Methods with a `tx` work inside that open transaction,
    the others look at the last commit."""

    def begin(self) -> AbstractAsyncContextManager[Any]:
        """Open a transaction; its `then(step)` calls `step` once it is committed."""
        ...

    def add(self, tx: Tx, slip: Slip) -> None:
        """Write a new slip, last of its lane; give it an id that was never given before."""
        ...

    def get(self, tx: Tx, id: int) -> Slip | None:
        """Read one slip."""
        ...

    def write(self, tx: Tx, slip: Slip) -> None:
        """Write a slip over the one of the same id."""
        ...

    def remove(self, tx: Tx, id: int) -> None:
        """Remove one slip."""
        ...

    def seen(self, tx: Tx, lane: str, once: str) -> bool:
        """Say whether a slip of this lane bears this `once`, in whatever state."""
        ...

    def forget(self, tx: Tx, before: datetime) -> None:
        """Remove the slips that were done before this moment."""
        ...

    def heads(self, lane: str, now: datetime) -> list[Slip]:
        """Of each key the first waiting slip that is due or was taken before, if it is due."""
        ...

    def next_due(self, lane: str, now: datetime) -> datetime | None:
        """Return the earliest `due` after now among the waiting slips."""
        ...

    def dead(self, lane: str) -> list[Slip]:
        """Return the dead slips in the order in which they were put."""
        ...


def buried(slip: Slip, error: str, now: datetime) -> Slip:
    """Return the slip of a job that will not be tried again."""
    return replace(slip, state="dead", error=error, ended=now)


def waiting(slip: Slip, now: datetime) -> Slip:
    """Return the slip of a job that failed and waits for its next try."""
    return replace(slip, due=now + WAITS[min(slip.tries, len(WAITS)) - 1])


def uncounted(slip: Slip, due: datetime) -> Slip:
    """Return the slip of a job whose last try does not count, waiting until `due`."""
    return replace(slip, tries=slip.tries - 1, claims=slip.claims + 1, due=due)


class JobInHand:
    """The job that a handler is given."""

    def __init__(self, lanes: "Lanes", slip: Slip) -> None:
        self.id = slip.id
        self.lane = slip.lane
        self.key = slip.key
        self.body = slip.body
        self.tries = slip.tries
        self.slip = slip
        self.settled = False
        self._lanes = lanes

    @asynccontextmanager
    async def settle(self) -> AsyncIterator[Tx]:
        """Open the transaction in which the job's effects and "done" stand or fall together.

        Raises Stale when this job was settled already or is no longer this worker's.
        """
        async with self._lanes.begin() as tx:
            self._lanes.done(tx, self.slip)
            tx.then(self._mark)
            yield tx

    def _mark(self) -> None:
        self.settled = True


class Lanes:
    """A mailbox over a store. Public methods are those of the port `Mailbox`."""

    def __init__(self, store: Store, clock: Clock, tries: int = TRIES) -> None:
        self._store = store
        self._clock = clock
        self._tries = tries
        self._busy: set[tuple[str, str]] = set()
        self._stuck: set[tuple[str, str]] = set()  # busy, but only until there is room to write
        self._full: set[str] = set()  # lanes of which nothing can be taken until there is room
        self._bell = asyncio.Event()
        self._idle_bell = asyncio.Event()

    def begin(self) -> AbstractAsyncContextManager[Tx]:
        """Open a transaction without a job."""
        return self._store.begin()

    async def put(
        self, tx: Tx, lane: str, key: str, body: bytes, *, once: str = "", after: timedelta = NOW
    ) -> bool:
        """Put a job at the end of its lane, to be taken no sooner than `after` from now.

        False, and nothing is put, when a job of this lane bore the same `once` before: one that
        still waits, is dead, or was done in the last seven days.
        """
        if once and self._store.seen(tx, lane, once):
            return False
        due = self._clock.now() + after if after else AT_ONCE
        self._store.add(tx, Slip(lane=lane, key=key, body=body, once=once, due=due))
        tx.then(self.wake)
        return True

    async def serve(self, lane: str, handler: Handler, given_up: Burial | None = None) -> None:
        """Hand the lane's jobs to the handler until cancelled; then let go of those in hand.

        `given_up` is awaited in the transaction that keeps a job as dead.
        """
        async with asyncio.TaskGroup() as hands:
            while True:
                bell = self._bell  # before looking: what is put while we look rings this one
                try:
                    for job in await self._take(lane, given_up):
                        hands.create_task(self._work(job, handler, given_up))
                    self._full.discard(lane)
                    pause = self._until_due(lane)
                except NoRoom as error:
                    log.warning("no job of lane %s can be taken: %s", lane, error)
                    self._full.add(lane)
                    self._tell_idle()
                    pause = PAUSE
                await _ring(bell, pause)

    async def idle(self, *lanes: str) -> None:
        """Return when no job of these lanes is runnable or in hand. What nothing can be written
        of, because there is no room, is not waited for."""
        while any(self._moving(lane) for lane in lanes):
            await self._idle_bell.wait()

    async def dead(self, lane: str) -> tuple[Dead, ...]:
        """Return the jobs that were given up, in the order in which they were put."""
        return tuple(_as_dead(slip) for slip in self._store.dead(lane))

    async def revive(self, id: int) -> bool:
        """Give a dead job its tries again, in its old place; False when it is not dead."""
        async with self.begin() as tx:
            slip = self._store.get(tx, id)
            if slip is None or slip.state != "dead":
                return False
            again = replace(slip, state="waiting", tries=0, due=AT_ONCE, error="", ended=None)
            self._store.write(tx, again)
            tx.then(self.wake)
        return True

    def wake(self) -> None:
        """Look again: something changed that the lanes cannot see, such as a pretend clock."""
        self._full.clear()
        self._bell.set()
        self._bell = asyncio.Event()
        self._tell_idle()

    def done(self, tx: Tx, slip: Slip) -> None:
        """Write that the job is done, unless its claim is out of date (Stale)."""
        now = self._clock.now()
        if not self._holds(tx, slip):
            raise Stale(f"job {slip.id} was settled, or handed on to another worker")
        if slip.once:
            self._store.write(tx, replace(slip, state="done", body=b"", ended=now))
        else:
            self._store.remove(tx, slip.id)
        self._store.forget(tx, now - REMEMBER)

    def _holds(self, tx: Tx, slip: Slip) -> bool:
        current = self._store.get(tx, slip.id)
        return current is not None and (current.state, current.claims) == ("waiting", slip.claims)

    def _tell_idle(self) -> None:
        self._idle_bell.set()
        self._idle_bell = asyncio.Event()

    def _moving(self, lane: str) -> bool:
        """Whether a job of this lane is in hand or can be taken, and not for want of room."""
        if any(busy == lane for busy, _ in self._busy - self._stuck):
            return True
        heads = () if lane in self._full else self._store.heads(lane, self._clock.now())
        return any((lane, slip.key) not in self._stuck for slip in heads)

    def _free_heads(self, lane: str) -> list[Slip]:
        heads = self._store.heads(lane, self._clock.now())
        return [slip for slip in heads if (lane, slip.key) not in self._busy]

    async def _take(self, lane: str, given_up: Burial | None) -> list[JobInHand]:
        """Take the first job of each free key, and count the try."""
        for slip in self._free_heads(lane):
            if slip.tries >= self._tries:
                await self._bury(slip, KILLED, given_up)
        if not self._free_heads(lane):
            return []
        taken: list[Slip] = []
        async with self.begin() as tx:
            for slip in self._free_heads(lane):
                if slip.tries < self._tries:
                    taken.append(replace(slip, tries=slip.tries + 1, claims=slip.claims + 1))
                    self._store.write(tx, taken[-1])
        self._busy.update((lane, slip.key) for slip in taken)
        return [JobInHand(self, slip) for slip in taken]

    async def _work(self, job: JobInHand, handler: Handler, given_up: Burial | None) -> None:
        try:
            await self._handle(job, handler, given_up)
        finally:
            self._busy.discard((job.lane, job.key))
            self.wake()

    async def _handle(self, job: JobInHand, handler: Handler, given_up: Burial | None) -> None:
        try:
            await handler(job)
        except asyncio.CancelledError:
            with suppress(NoRoom):
                await self._write(job, uncounted(job.slip, job.slip.due))
            raise
        except Later as later:
            due = self._clock.now() + timedelta(seconds=later.seconds)
            await self._write_back(job, uncounted(job.slip, due))
        except NoRoom:
            await self._write_back(job, uncounted(job.slip, self._clock.now() + PAUSE))
        except Exception as error:
            _report(job, error)
            await self._failed(job, _text(error), given_up)
        else:
            if not job.settled:
                log.error("job %s of lane %s: %s", job.id, job.lane, UNSETTLED)
                await self._failed(job, UNSETTLED, given_up)

    async def _failed(self, job: JobInHand, error: str, given_up: Burial | None) -> None:
        if job.tries < self._tries:
            await self._write_back(job, waiting(job.slip, self._clock.now()))
        else:
            await self._when_room(job.slip, lambda: self._bury(job.slip, error, given_up))

    async def _bury(self, slip: Slip, error: str, given_up: Burial | None) -> None:
        """Keep a job as dead, and let `given_up` say so in the same commit. One that fails must
        not keep the lane from going on: then the log alone tells."""
        dead = buried(slip, error, self._clock.now())
        try:
            async with self.begin() as tx:
                if not self._holds(tx, slip):
                    return
                self._store.write(tx, dead)
                tx.then(self.wake)
                if given_up is not None:
                    await given_up(tx, _as_dead(dead))
        except NoRoom:
            raise
        except Exception as failure:
            if given_up is None:
                raise
            _report(dead, failure)
            await self._bury(slip, error, None)

    async def _write_back(self, job: JobInHand, slip: Slip) -> None:
        """Write what became of the job; where nothing can be written, as soon as it can."""
        await self._when_room(slip, lambda: self._write(job, slip))

    async def _when_room(self, slip: Slip, step: Callable[[], Awaitable[None]]) -> None:
        try:
            while True:
                bell = self._bell
                try:
                    return await step()
                except NoRoom:
                    self._stuck.add((slip.lane, slip.key))
                    self._tell_idle()
                    await _ring(bell, PAUSE)
        finally:
            self._stuck.discard((slip.lane, slip.key))

    async def _write(self, job: JobInHand, slip: Slip) -> None:
        async with self.begin() as tx:
            if self._holds(tx, job.slip):
                self._store.write(tx, slip)

    def _until_due(self, lane: str) -> timedelta | None:
        now = self._clock.now()
        due = self._store.next_due(lane, now)
        return None if due is None else min(due - now, LOOK_AGAIN)


async def _ring(bell: asyncio.Event, pause: timedelta | None) -> None:
    """Wait for the bell, at most so long; None is for ever."""
    with suppress(TimeoutError):
        async with asyncio.timeout(None if pause is None else pause.total_seconds()):
            await bell.wait()


def _text(error: Exception) -> str:
    """Return what is kept of an error beside a dead job: short, and no half characters."""
    text = f"{type(error).__name__}: {error}"[:500]
    return text.encode(errors="backslashreplace").decode()


def _as_dead(slip: Slip) -> Dead:
    return Dead(
        id=slip.id,
        lane=slip.lane,
        key=slip.key,
        body=slip.body,
        tries=slip.tries,
        error=slip.error,
        at=slip.ended or slip.due,
    )


def _report(job: Job | Slip, error: Exception) -> None:
    """Log what went wrong and where, without the words of a message."""
    frame = traceback.extract_tb(error.__traceback__)[-1]
    where = f"{frame.filename}:{frame.lineno}"
    log.error(
        "job %s of lane %s failed in try %s: %s at %s",
        job.id, job.lane, job.tries, type(error).__name__, where,
    )  # fmt: skip

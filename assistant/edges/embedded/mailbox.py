"""The mailbox of one machine: slips as rows of table `job`, and a few words kept for edges.

Knows: the statements. Must not know: the rules of the lanes (edges/lanes.py). Invariants: a
moment is kept as whole microseconds since 1970, UTC, so that it comes back as it went in; every
statement finds its rows through an index, however long a lane has grown.
"""

from contextlib import AbstractAsyncContextManager
from datetime import datetime, timedelta
from typing import Any

from assistant.edges.embedded.database import Database, Transaction
from assistant.edges.lanes import AT_ONCE, TRIES, Lanes, Slip
from assistant.flow.ports import Clock

KEEP = timedelta(days=400)

COLUMNS = "id, lane, key, body, once, due, tries, claims, state, error, ended"

# Walks from key to key (https://www.sqlite.org/lang_with.html), so that it costs what there are
# keys, not what there are jobs.
HEADS = f"""
WITH RECURSIVE keys (key) AS (
    SELECT min(key) FROM job WHERE state = 'waiting' AND lane = :lane
    UNION ALL
    SELECT (SELECT min(key) FROM job WHERE state = 'waiting' AND lane = :lane AND key > keys.key)
    FROM keys WHERE keys.key IS NOT NULL
)
SELECT {COLUMNS} FROM job WHERE due <= :now AND id IN (
    SELECT (
        SELECT id FROM job
        WHERE state = 'waiting' AND lane = :lane AND key = keys.key
        AND (due <= :now OR claims > 0) ORDER BY id LIMIT 1
    ) FROM keys
) ORDER BY id
"""


def micros(moment: datetime) -> int:
    """Return a moment as microseconds since 1970, UTC."""
    return (moment - AT_ONCE) // timedelta(microseconds=1)


def moment(micros: int) -> datetime:
    """Return the aware UTC moment so many microseconds after 1970."""
    return AT_ONCE + timedelta(microseconds=micros)


def _slip(row: tuple[Any, ...]) -> Slip:
    id, lane, key, body, once, due, tries, claims, state, error, ended = row
    return Slip(
        id=id,
        lane=lane,
        key=key,
        body=body,
        once=once,
        due=moment(due),
        tries=tries,
        claims=claims,
        state=state,
        error=error,
        ended=None if ended is None else moment(ended),
    )


def _row(slip: Slip) -> dict[str, Any]:
    return {
        "id": slip.id or None,
        "lane": slip.lane,
        "key": slip.key,
        "body": slip.body,
        "once": slip.once,
        "due": micros(slip.due),
        "tries": slip.tries,
        "claims": slip.claims,
        "state": slip.state,
        "error": slip.error,
        "ended": None if slip.ended is None else micros(slip.ended),
    }


class Jobs:
    """The slips of all lanes in one data folder."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def begin(self) -> AbstractAsyncContextManager[Transaction]:
        """Open a transaction."""
        return self._database.begin()

    def add(self, tx: Transaction, slip: Slip) -> None:
        """Write a new slip."""
        row = _row(slip)
        values = ", ".join(f":{name}" for name in row)
        tx.execute(f"INSERT INTO job ({', '.join(row)}) VALUES ({values})", row)

    def get(self, tx: Transaction, id: int) -> Slip | None:
        """Read one slip."""
        row = tx.execute(f"SELECT {COLUMNS} FROM job WHERE id = ?", (id,)).fetchone()
        return None if row is None else _slip(row)

    def write(self, tx: Transaction, slip: Slip) -> None:
        """Write what can change of a slip."""
        tx.execute(
            "UPDATE job SET body = :body, due = :due, tries = :tries, claims = :claims,"
            " state = :state, error = :error, ended = :ended WHERE id = :id",
            _row(slip),
        )

    def remove(self, tx: Transaction, id: int) -> None:
        """Remove one slip."""
        tx.execute("DELETE FROM job WHERE id = ?", (id,))

    def seen(self, tx: Transaction, lane: str, once: str) -> bool:
        """Say whether a slip of this lane bears this `once`."""
        row = tx.execute(
            "SELECT 1 FROM job WHERE lane = ? AND once = ? AND once <> ''", (lane, once)
        ).fetchone()
        return row is not None

    def forget(self, tx: Transaction, before: datetime) -> None:
        """Remove the slips that were done before this moment."""
        tx.execute("DELETE FROM job WHERE state = 'done' AND ended < ?", (micros(before),))

    def heads(self, lane: str, now: datetime) -> list[Slip]:
        """Return the slips that are next, one of each key, oldest first."""
        found = self._database.read(HEADS, {"lane": lane, "now": micros(now)})
        return [_slip(row) for row in found.fetchall()]

    def next_due(self, lane: str, now: datetime) -> datetime | None:
        """Return the earliest `due` after now among the waiting slips."""
        (due,) = self._database.read(
            "SELECT min(due) FROM job WHERE state = 'waiting' AND lane = ? AND due > ?",
            (lane, micros(now)),
        ).fetchone()
        return None if due is None else moment(due)

    def dead(self, lane: str) -> list[Slip]:
        """Return the dead slips, oldest first."""
        found = self._database.read(
            f"SELECT {COLUMNS} FROM job WHERE state = 'dead' AND ended IS NOT NULL AND lane = ?"
            " ORDER BY id",
            (lane,),
        )
        return [_slip(row) for row in found.fetchall()]


class Mailbox(Lanes):
    """The lanes of one data folder."""

    def __init__(self, database: Database, clock: Clock, tries: int = TRIES) -> None:
        super().__init__(Jobs(database), clock, tries)


class Keep:
    """A few words that an edge keeps for itself, for 400 days."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self._database = database
        self._clock = clock

    async def remember(self, name: str, value: str) -> None:
        """Keep a value under its name, and let go of what is older than 400 days.

        Raises NoRoom when it cannot be written.
        """
        now = self._clock.now()
        async with self._database.begin() as tx:
            tx.execute("DELETE FROM kept WHERE at < ?", (micros(now - KEEP),))
            tx.execute("INSERT OR REPLACE INTO kept VALUES (?, ?, ?)", (name, value, micros(now)))

    async def recall(self, name: str) -> str | None:
        """Return the value that was kept under this name, or None."""
        row = self._database.read("SELECT value FROM kept WHERE name = ?", (name,)).fetchone()
        return None if row is None else str(row[0])

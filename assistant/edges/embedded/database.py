"""One SQLite file in the data folder: opened, locked, written in whole transactions.

Knows: SQLite, the data folder, formats and their migration. Must not know: shops, documents,
lanes. Invariants:

- A commit is on the disk (fsync of the write-ahead log) before `begin` returns.
- Writes go through one connection, one transaction at a time. Reads go through a second
  connection: they see the last commit, never a transaction that is still open, and never wait.
- The commit runs on the event loop. It is one fsync long, and nothing can cancel it halfway.
- What cannot be written becomes `NoRoom`, in one place, and the last commit stands.
- One process at a time owns the folder.

Which process owns the folder is decided by a lock that SQLite takes on a file of its own beside
the database. Linux, macOS and Windows give such a lock back when its process ends, however it
ends. The folder must be on a local disk: network folders do not keep the promises of WAL
(https://www.sqlite.org/wal.html, "Disadvantages").
"""

import asyncio
import os
import sqlite3
from collections.abc import AsyncIterator, Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, asynccontextmanager, closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from assistant.flow.ports import NoRoom

FILE = "twelvefold.db"
LOCK = "twelvefold.lock"
APPLICATION_ID = 0x31326644  # "12fD", tells our file from any other SQLite file

Values = Sequence[Any] | Mapping[str, Any]
Step = tuple[str, ...]  # statements that lead from one format to the next

STEPS: tuple[Step, ...] = (
    (
        """CREATE TABLE shop (
            id TEXT PRIMARY KEY,
            version INTEGER NOT NULL
        ) WITHOUT ROWID""",
        """CREATE TABLE document (
            place INTEGER PRIMARY KEY,  -- order of arrival; a replaced document keeps its place
            shop TEXT NOT NULL,
            section TEXT NOT NULL,
            id TEXT NOT NULL,
            body TEXT NOT NULL,
            UNIQUE (shop, section, id)
        )""",
        "CREATE INDEX document_in_order ON document (shop, section, place)",
        """CREATE TABLE blob (
            shop TEXT NOT NULL,
            id TEXT NOT NULL,
            name TEXT NOT NULL,
            content BLOB NOT NULL,
            PRIMARY KEY (shop, id)
        )""",
        """CREATE TABLE job (
            id INTEGER PRIMARY KEY AUTOINCREMENT,  -- never given twice: it is half of the fence
            lane TEXT NOT NULL,
            key TEXT NOT NULL,
            body BLOB NOT NULL,
            once TEXT NOT NULL,
            due INTEGER NOT NULL,  -- microseconds since 1970, UTC
            tries INTEGER NOT NULL,
            claims INTEGER NOT NULL,
            state TEXT NOT NULL,
            error TEXT NOT NULL,
            ended INTEGER  -- microseconds since 1970, UTC
        )""",
        "CREATE INDEX job_in_order ON job (lane, key, id) WHERE state = 'waiting'",
        "CREATE INDEX job_by_due ON job (lane, due) WHERE state = 'waiting'",
        "CREATE INDEX job_by_end ON job (state, ended) WHERE ended IS NOT NULL",
        "CREATE UNIQUE INDEX job_once ON job (lane, once) WHERE once <> ''",
        """CREATE TABLE kept (
            name TEXT PRIMARY KEY,
            value TEXT NOT NULL,
            at INTEGER NOT NULL  -- microseconds since 1970, UTC
        )""",
        "CREATE INDEX kept_by_age ON kept (at)",
    ),
)

PRAGMAS = (
    "PRAGMA synchronous = FULL",
    "PRAGMA fullfsync = ON",  # macOS: through the drive's own cache; nothing elsewhere
    "PRAGMA checkpoint_fullfsync = ON",
)

CANNOT_WRITE = {
    sqlite3.SQLITE_FULL: "the disk is full",
    sqlite3.SQLITE_READONLY: "the data folder is read-only",
    sqlite3.SQLITE_IOERR: "the disk gave an error",
    sqlite3.SQLITE_CANTOPEN: "a file in the data folder cannot be opened",
    sqlite3.SQLITE_BUSY: "another program holds the data file",
    sqlite3.SQLITE_PERM: "the data folder may not be written to",
}


class Refused(Exception):
    """The data folder cannot be opened; the text says why and what to do, for the owner."""


class InUse(Refused):
    """Another process owns the data folder."""


class NewerFormat(Refused):
    """The file was written by a later version of the program."""


class NotOurs(Refused):
    """The file was not written by this program, or it is damaged."""


def _primary(error: sqlite3.Error) -> int:
    """Return SQLite's primary result code (https://www.sqlite.org/rescode.html), 0 if none."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


@contextmanager
def no_room() -> Iterator[None]:
    """Turn what means "cannot write" into NoRoom."""
    try:
        yield
    except sqlite3.Error as error:
        reason = CANNOT_WRITE.get(_primary(error))
        if reason is None:
            raise
        raise NoRoom(reason) from error
    except OSError as error:
        raise NoRoom(error.strerror or "the data folder cannot be written to") from error


class Transaction:
    """The open transaction. After one statement has failed each later one, the commit too,
    fails in the same way: SQLite may have rolled back by itself, and what follows would stand
    alone."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._over: Exception | None = None
        self._after: list[Callable[[], None]] = []

    def execute(self, sql: str, values: Values = ()) -> sqlite3.Cursor:
        """Run one statement. Raises NoRoom when it cannot be written."""
        if self._over is not None:
            raise self._over
        try:
            with no_room():
                return self._connection.execute(sql, values)
        except Exception as error:
            self._over = error
            raise

    def then(self, step: Callable[[], None]) -> None:
        """Call `step` once the transaction is on the disk; not at all if it fails."""
        self._after.append(step)

    def commit(self) -> None:
        """Put everything on the disk, or raise: NoRoom where it cannot be written."""
        self.execute("COMMIT")
        self._over = RuntimeError("this transaction was committed")

    def close(self) -> None:
        """Take back what was not committed."""
        self._over = self._over or RuntimeError("this transaction is over")
        if self._connection.in_transaction:
            with suppress(sqlite3.Error):  # the log is not read past the last commit anyway
                self._connection.execute("ROLLBACK")

    def tell(self) -> None:
        """Call what was to follow the commit."""
        for step in self._after:
            step()


class Database:
    """The data folder, owned by this process until `close`.

    Raises InUse, NewerFormat or NotOurs (all Refused), or NoRoom when the folder cannot be
    written to.
    """

    def __init__(self, folder: Path, steps: tuple[Step, ...] = STEPS) -> None:
        self._lock = asyncio.Lock()
        self._owner: asyncio.Task[Any] | None = None
        with ExitStack() as opened, no_room():
            _make_folder(folder)
            opened.enter_context(closing(_own(folder)))
            path = make_file(folder / FILE)
            self._writer = opened.enter_context(closing(_connect(path)))
            _prepare(self._writer, path, steps)
            self._reader = opened.enter_context(closing(_connect(path)))
            self._reader.execute("PRAGMA query_only = ON")
            self._opened = opened.pop_all()

    @asynccontextmanager
    async def begin(self) -> AsyncIterator[Transaction]:
        """Open the one transaction. It is committed when the block ends, rolled back when the
        block raises. Raises NoRoom when it cannot be written."""
        task = asyncio.current_task()
        if self._owner is not None and self._owner is task:
            raise RuntimeError("this task has a transaction open already")
        async with self._lock:
            self._owner = task
            tx = Transaction(self._writer)
            try:
                tx.execute("BEGIN IMMEDIATE")
                yield tx
                tx.commit()
            finally:
                tx.close()
                self._owner = None
        tx.tell()

    def read(self, sql: str, values: Values = ()) -> sqlite3.Cursor:
        """Run a query on the last commit. Fetch everything at once: an unfinished cursor would
        hold on to an old state."""
        return self._reader.execute(sql, values)

    @contextmanager
    def snapshot(self) -> Iterator[None]:
        """Let every `read` of the block see the same commit. The block must not await."""
        self._reader.execute("BEGIN")
        try:
            yield
        finally:
            self._reader.execute("COMMIT")

    def close(self) -> None:
        """Give the folder back. An open transaction is rolled back."""
        self._opened.close()


def _make_folder(folder: Path) -> None:
    """Create the folder for its owner alone, and make its name as durable as its content."""
    if folder.is_dir():
        return
    folder.mkdir(mode=0o700, parents=True)
    if os.name == "posix":
        parent = os.open(folder.parent, os.O_RDONLY)
        try:
            os.fsync(parent)
        finally:
            os.close(parent)


def make_file(path: Path) -> Path:
    """Create an empty file for its owner alone; SQLite gives its other files the same mode."""
    os.close(os.open(path, os.O_RDWR | os.O_CREAT, 0o600))
    return path


def _connect(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, timeout=1.0, isolation_level=None)


def _own(folder: Path) -> sqlite3.Connection:
    """Take the folder's lock for as long as the connection lives. Raises InUse."""
    lock = _connect(make_file(folder / LOCK))
    try:
        lock.execute("PRAGMA busy_timeout = 0")
        lock.execute("BEGIN EXCLUSIVE")
    except sqlite3.Error as error:
        lock.close()
        if _primary(error) != sqlite3.SQLITE_BUSY:
            raise
        raise InUse(
            f"Twelvefold is already running on {folder}. Stop it first, or start this one on"
            " another data folder."
        ) from None
    return lock


def _prepare(connection: sqlite3.Connection, path: Path, steps: tuple[Step, ...]) -> None:
    """Set the connection up and bring the file to the newest format."""
    try:
        _recognise(connection, path, len(steps))
        mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
    except sqlite3.DatabaseError as error:
        if _primary(error) not in (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT):
            raise
        raise NotOurs(
            f"{path} cannot be read: it is damaged, or no file of Twelvefold's. Nothing was"
            " changed. Put a copy that was kept in its place, or move it away to begin anew."
        ) from error
    if mode != "wal":
        raise NoRoom("the data folder must be on a local disk")
    for pragma in PRAGMAS:
        connection.execute(pragma)
    migrate(connection, steps)


def _recognise(connection: sqlite3.Connection, path: Path, newest: int) -> None:
    """Refuse a file that is not ours or newer than we are, before anything is written."""
    number = connection.execute("PRAGMA application_id").fetchone()[0]
    tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    if tables and number != APPLICATION_ID:
        raise NotOurs(f"{path} is no file of Twelvefold's. Nothing was changed.")
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    if version > newest:
        raise NewerFormat(
            f"{path} was written by a newer Twelvefold (format {version}; this one knows"
            f" {newest}). Nothing was changed. Install the newer version to open it."
        )


def migrate(connection: sqlite3.Connection, steps: tuple[Step, ...]) -> None:
    """Run the steps that the file has not had yet, each in a transaction of its own.

    The file's format is the number of steps it has had; it is kept in `user_version`, which
    SQLite commits together with the step (https://www.sqlite.org/pragma.html#pragma_user_version).
    """
    version = connection.execute("PRAGMA user_version").fetchone()[0]
    for number, statements in enumerate(steps[version:], start=version + 1):
        tx = Transaction(connection)
        try:
            tx.execute("BEGIN IMMEDIATE")
            for statement in statements:
                tx.execute(statement)
            tx.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            tx.execute(f"PRAGMA user_version = {number}")
            tx.commit()
        finally:
            tx.close()

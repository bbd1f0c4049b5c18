"""A backup made a data folder again.

Knows: rows, the data folder. Must not know: what a backup looks like (reading_back.py). Invariants:
the folder has its name only once all of it is on the disk, so a restore that is cut short leaves
nothing but `NAME.restoring`, which the next one clears away; nothing is written over; what was
still to be handled is handled, but what was still to be sent is not sent: it may have been, after
the backup was made. It is kept among what was given up (`python -m assistant dead`), from where
it can be sent after all.
"""

import os
import sqlite3
from collections.abc import Generator, Iterable
from contextlib import closing, suppress
from pathlib import Path
from typing import Any

import msgspec

from assistant.edges.embedded.backup import Damaged, Manifest, sync
from assistant.edges.embedded.database import (
    FILE,
    LOCK,
    STEPS,
    NewerFormat,
    Refused,
    make_file,
    migrate,
    no_room,
)
from assistant.edges.embedded.mailbox import micros
from assistant.edges.embedded.reading_back import Row, WholeBackup, whole_backup
from assistant.edges.embedded.shelf import HISTORY
from assistant.planning.model import TABLES, Entry, Record

RESTORING = ".restoring"
ADDRESSES = "feeds"  # the section of the calendar's addresses
MAYBE_SENT = "it was waiting when the backup was made, and may have been sent since"
OURS = tuple(f"{name}{end}" for name in (FILE, LOCK) for end in ("", "-wal", "-shm", "-journal"))

READERS: dict[str, msgspec.json.Decoder[Record]] = {
    HISTORY: msgspec.json.Decoder(Entry),
    **{table: msgspec.json.Decoder(kind) for table, kind in TABLES},
}


def restore(file: Path, folder: Path) -> tuple[Manifest, int]:
    """Make a data folder of a backup; return what the backup holds, and how many replies were
    waiting in it.

    Raises Refused (NotOurs, Damaged, NewerFormat, or a folder that is not empty) or NoRoom.
    """
    empty(folder)
    with whole_backup(file) as backup, closing(_checked(file, backup)) as rows:
        made = backup.manifest
        unsent = build(folder, made.format, rows, made.last_job)
    return made, unsent


def empty(folder: Path) -> None:
    """Refuse a folder in which there is something."""
    try:
        taken = folder.exists() and (not folder.is_dir() or any(folder.iterdir()))
    except OSError as error:
        raise Refused(f"{folder} cannot be read: {error.strerror}.") from error
    if taken:
        raise Refused(
            f"{folder} is not empty. Nothing was changed. Name a new folder, or an empty one."
        )


def build(folder: Path, format: int, rows: Iterable[Row], last_job: int) -> int:
    """Make a data folder of rows, all of it or nothing; return how many of the rows are replies
    that may have been sent. Raises Refused or NoRoom."""
    folder = folder.resolve()
    beside = folder.with_name(folder.name + RESTORING)
    with no_room():
        _clear(beside)
        beside.mkdir(mode=0o700, parents=True)
        try:
            with closing(sqlite3.connect(make_file(beside / FILE), isolation_level=None)) as made:
                unsent = _fill(made, format, rows, last_job)
            with (beside / FILE).open("rb") as file:
                os.fsync(file.fileno())
            sync(beside)
            if folder.exists():
                folder.rmdir()
            beside.rename(folder)
            sync(folder.parent)
        finally:
            with suppress(OSError):
                _clear(beside)
    return unsent


def _clear(beside: Path) -> None:
    """Take away what a restore that was cut short left; nothing that is not ours."""
    if beside.is_dir():
        for name in OURS:
            (beside / name).unlink(missing_ok=True)
        beside.rmdir()


def _fill(made: sqlite3.Connection, format: int, rows: Iterable[Row], last_job: int) -> int:
    made.execute("PRAGMA synchronous = OFF")  # all of it is made durable at once, before the name
    migrate(made, STEPS[:format])
    columns: dict[str, set[str]] = {}
    made.execute("BEGIN")
    for table, row in rows:
        if table not in columns:
            info = made.execute(f"PRAGMA table_info({table})").fetchall()
            columns[table] = {name for _, name, *_ in info}
        if not columns[table].issuperset(row):
            raise Damaged(f"A row of {table} in the backup has a column that is not known.")
        marks = ", ".join(f":{name}" for name in row)
        try:
            made.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})", row)
        except (sqlite3.IntegrityError, sqlite3.ProgrammingError, OverflowError) as error:
            raise Damaged(f"A row of {table} in the backup cannot be kept: {error}.") from error
    # An id of a job is never given twice, not even one whose row is gone.
    (highest,) = made.execute("SELECT coalesce(max(id), 0) FROM job").fetchone()
    made.execute("DELETE FROM sqlite_sequence WHERE name = 'job'")
    made.execute("INSERT INTO sqlite_sequence VALUES ('job', ?)", (max(highest, last_job),))
    made.execute("COMMIT")
    found = made.execute("SELECT count(*) FROM job WHERE error = ?", (MAYBE_SENT,))
    return int(found.fetchone()[0])


def _checked(file: Path, backup: WholeBackup) -> Generator[Row, None, None]:
    """The rows of a backup, each document one that this program knows."""
    for table, row in backup.rows():
        if table == "document" and not readable(row):
            raise NewerFormat(
                f'{file} holds a record of "{row.get("section")}" that this version of Twelvefold'
                " does not know. Install the version that made it to read it."
            )
        if table == "document" and row.get("section") == ADDRESSES:
            continue  # one may have been withdrawn since: a new one is made by asking
        yield table, as_kept(table, row, micros(backup.manifest.made))


def readable(row: dict[str, Any]) -> bool:
    """Whether a row of `document` is a record of a shop as this program knows it."""
    reader = READERS.get(row.get("section", ""))
    try:
        return reader is not None and bool(reader.decode(row["body"]))
    except (msgspec.MsgspecError, KeyError, TypeError, ValueError):
        return False


def as_kept(table: str, row: dict[str, Any], at: int) -> dict[str, Any]:
    """A row as it is kept: a reply that was waiting is not sent again by itself."""
    if table == "job" and (row.get("lane"), row.get("state")) == ("out", "waiting"):
        return {**row, "state": "dead", "error": MAYBE_SENT, "ended": at}
    return row

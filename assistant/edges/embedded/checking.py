"""Damage looked for, in a backup or in a data folder, and what can still be saved.

Knows: both formats, and how much of each survives damage. Must not know: arguments, the screen.
Invariants: what is checked is not changed; a record counts as saved only when this program can read
it; what cannot be read of one record takes no other with it.
"""

import mmap
import sqlite3
import struct
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import closing
from datetime import datetime
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

import msgspec

from assistant.edges.embedded.backup import MANIFEST, TABLES, Damaged, Manifest, reading
from assistant.edges.embedded.database import (
    APPLICATION_ID,
    FILE,
    STEPS,
    NewerFormat,
    NotOurs,
    migrate,
)
from assistant.edges.embedded.mailbox import micros
from assistant.edges.embedded.reading_back import MAGIC, Row, row_of, whole_backup
from assistant.edges.embedded.restoring import as_kept, build, empty, readable
from assistant.edges.embedded.shelf import HISTORY

# The head of a part (APPNOTE.TXT 6.3, section 4.3.7): signature, version, flags, method, time,
# date, CRC-32, packed size, size, length of the name, length of what else there is.
_HEAD = struct.Struct("<4s5H3I2H")
_AFTER = (MAGIC, b"PK\x01\x02")  # what stands behind a part: another, or the list of them
_LONGEST_NAME = 40
_LISTED = frozenset({"shop", "id", "name", "part", "sha256"})  # columns of a line of blob.jsonl
_ORDER = {**dict.fromkeys(TABLES, "rowid"), "shop": "id"}

RECORDS, FILES, CHANGES = "records", "files", "changes"
_WORDS = {
    "boxes": ("box", "boxes"),
    "items": ("item", "items"),
    "ideas": ("idea", "ideas"),
    CHANGES: ("change in the history", "changes in the history"),
    RECORDS: ("other record", "other records"),
    FILES: ("picture or file", "pictures and files"),
}
LOOK_IT_OVER = "Look over what is saved: a word or a number in it may be wrong."


class Found(NamedTuple):
    """What a check came to: `fault` is a sentence, "" when all is whole; `saved` counts what can be
    read, by kind, and `lost` what is known to be missing."""

    path: Path
    fault: str
    saved: Counter[str]
    lost: Counter[str]

    def told(self) -> tuple[str, ...]:
        """Say it, a line a fact."""
        if not self.fault:
            return (f"{self.path} is whole. It holds {_counted(self.saved)}.",)
        if not self.saved:
            return (self.fault, "Nothing in it can be saved.")
        lost = (f"Lost: {_counted(self.lost)}.",) if self.lost else ()
        return (self.fault, f"Can be saved: {_counted(self.saved)}.", *lost, LOOK_IT_OVER)


def check(path: Path) -> Found:
    """Look for damage in a backup (a file) or a data folder.

    Raises NotOurs for what is neither, NewerFormat for what a later version made.
    """
    look = _Look(path)
    for _ in look.rows():
        pass
    return look.found()


def save(path: Path, folder: Path, now: datetime) -> Found:
    """Make a new data folder of what can still be read of a backup or a data folder.

    Raises what `check` raises, Refused for a folder that is not empty, and NoRoom.
    """
    empty(folder)
    look = _Look(path)
    build(folder, len(STEPS), _once(look.rows(), micros(now)), 0)
    return look.found()


def _once(rows: Iterable[Row], now: int) -> Iterator[Row]:
    """Rows as they are kept, and for each shop the version that its history tells."""
    versions: dict[str, int] = {}
    for table, row in rows:
        if table == "shop":
            versions[row["id"]] = max(versions.get(row["id"], 0), int(row["version"]))
            continue
        if table == "document":
            entry = int(row["id"]) if row["section"] == HISTORY else 0
            versions[row["shop"]] = max(versions.get(row["shop"], 0), entry)
        yield table, as_kept(table, row, now)
    for shop, version in versions.items():
        yield "shop", {"id": shop, "version": version}


class _Look:
    """One look at a backup or a data folder."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._fault = ""
        self._saved: Counter[str] = Counter()
        self._lost: Counter[str] = Counter()
        self._rows: Counter[str] = Counter()  # of each table

    def found(self) -> Found:
        """What the rows came to, once all were seen."""
        return Found(self._path, self._fault, self._saved, self._lost)

    def rows(self) -> Iterator[Row]:
        """Every row that can be read, counted."""
        for table, row in self._folder() if self._path.is_dir() else self._file():
            self._rows[table] += 1
            kind = _kind(table, row)
            if table == "document" and not readable(row):
                self._lost[kind] += 1
                self._fault = self._fault or f"{self._path} holds records that cannot be read."
                continue
            self._saved.update((kind,) if kind else ())
            yield table, row

    # --- a backup ---------------------------------------------------------------------------

    def _file(self) -> Iterator[Row]:
        try:
            with whole_backup(self._path) as backup:
                yield from backup.rows()
        except Damaged as damage:
            self._fault = str(damage)
            yield from self._left_of_file()

    def _left_of_file(self) -> Iterator[Row]:
        """What stands in the parts of a backup, line by line, whatever its list of parts says."""
        manifest: Manifest | None = None
        listed = list[dict[str, Any]]()
        with (
            self._path.open("rb") as file,
            mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data,
        ):
            places = dict[str, tuple[int, int]]()
            for name, start, end in _parts(data):
                if data[start : start + 1] != b"{":
                    places[sha256(data[start:end]).hexdigest()] = (start, end)
                elif name == MANIFEST.encode():
                    manifest = _manifest(data[start:end])
                else:
                    for table, row in _lines(data[start:end]):
                        if table != "blob":
                            yield table, row
                        else:
                            listed.append(row)
            for row in listed:
                start, end = places.get(row.pop("sha256"), (0, 0))
                if end:
                    del row["part"]
                    yield "blob", {**row, "content": data[start:end]}
        self._count_lost(manifest)

    def _count_lost(self, manifest: Manifest | None) -> None:
        """Compare the rows that were found with those that were written."""
        rows = {part.name: part.rows for part in manifest.parts} if manifest else {}
        for table, kind in (("document", RECORDS), ("blob", FILES)):
            missing = rows.get(f"{table}.jsonl", 0) - self._rows[table]
            if missing > 0:
                self._lost[kind] += missing

    # --- a data folder ----------------------------------------------------------------------

    def _folder(self) -> Iterator[Row]:
        if not (self._path / FILE).is_file():
            raise NotOurs(f"{self._path} holds no data of Twelvefold's.")
        try:
            with reading(self._path) as connection:
                connection.text_factory = lambda raw: raw.decode(errors="replace")
                self._recognise(connection)
                for table in TABLES:
                    yield from self._both_ways(connection, table)
        except sqlite3.Error as error:
            self._fault = self._damage(error)

    def _recognise(self, connection: sqlite3.Connection) -> None:
        (format,) = connection.execute("PRAGMA user_version").fetchone()
        (number,) = connection.execute("PRAGMA application_id").fetchone()
        if number != APPLICATION_ID:
            raise NotOurs(f"{self._path / FILE} is no file of Twelvefold's.")
        if format > len(STEPS):
            raise NewerFormat(f"{self._path / FILE} was written by a newer Twelvefold.")
        faults = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if faults != "ok":
            self._fault = self._damage(faults.strip().splitlines()[-1])

    def _both_ways(self, connection: sqlite3.Connection, table: str) -> Iterator[Row]:
        """The rows of a table from its beginning and, where they break off, from its end."""
        keys = _columns()[table][0]
        seen = set[tuple[Any, ...]]()
        for way in ("", " DESC"):
            try:
                found = connection.execute(f"SELECT * FROM {table} ORDER BY {_ORDER[table]}{way}")
                names = [column[0] for column in found.description]
                for values in found:
                    row = dict(zip(names, values, strict=True))
                    key = tuple(row[name] for name in keys)
                    if key not in seen:
                        seen.add(key)
                        yield table, row
            except sqlite3.Error as error:
                self._fault = self._fault or self._damage(error)
            else:
                return

    def _damage(self, why: object) -> str:
        kept = self._path / "backups"
        hint = f" Its backups are in {kept}." if kept.is_dir() else ""
        return f"{self._path / FILE} is damaged: {why}.{hint}"


# --- pieces of a damaged backup -------------------------------------------------------------


def _parts(data: mmap.mmap) -> Iterator[tuple[bytes, int, int]]:
    """Where parts begin and end, by their own heads: the list at the file's end may be gone."""
    place = data.find(MAGIC)
    while 0 <= place <= len(data) - _HEAD.size:
        _, _, _, method, _, _, _, _, size, name, more = _HEAD.unpack_from(data, place)
        start = place + _HEAD.size + name + more
        if method or name > _LONGEST_NAME:
            place = data.find(MAGIC, place + 1)
            continue
        end = start + size
        if data[end : end + len(MAGIC)] not in _AFTER:
            following = data.find(MAGIC, start)
            end = len(data) if following < 0 else following
        yield data[place + _HEAD.size : place + _HEAD.size + name], start, end
        place = data.find(MAGIC, end)


def _lines(piece: bytes) -> Iterator[Row]:
    """The lines of a part that can be read, each of the table whose columns it has."""
    tables = {frozenset(columns): table for table, (_, columns) in _columns().items()}
    for line in piece.split(b"\n"):
        try:
            names = msgspec.json.decode(line, type=dict[str, msgspec.Raw]).keys()
            table = tables[frozenset(names)]
            yield table, row_of(table, line)
        except (msgspec.MsgspecError, KeyError, ValueError):
            continue


@cache
def _columns() -> dict[str, tuple[tuple[str, ...], frozenset[str]]]:
    """Of each table the columns that tell its rows apart, and all columns of its lines."""
    found = dict[str, tuple[tuple[str, ...], frozenset[str]]]()
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as plain:
        migrate(plain, STEPS)
        for table in TABLES:
            info = plain.execute(f"PRAGMA table_info({table})").fetchall()
            keys = tuple(name for _, name, *_, key in info if key)
            names = frozenset(name for _, name, *_ in info)
            found[table] = (keys, _LISTED if table == "blob" else names)
    return found


def _manifest(content: bytes) -> Manifest | None:
    try:
        return msgspec.json.decode(content, type=Manifest)
    except msgspec.MsgspecError:
        return None


# --- words ----------------------------------------------------------------------------------


def _kind(table: str, row: dict[str, Any]) -> str:
    """What a row is counted as, "" for what is none of the owner's."""
    if table == "document":
        section = str(row.get("section"))
        return CHANGES if section == HISTORY else section if section in _WORDS else RECORDS
    return FILES if table == "blob" else ""


def _counted(counts: Counter[str]) -> str:
    told = [
        f"{counts[kind]:,} {one if counts[kind] == 1 else many}"
        for kind, (one, many) in _WORDS.items()
        if counts[kind]
    ]
    return ", ".join(told) or "nothing"

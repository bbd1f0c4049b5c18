"""A backup: one file with all of a data folder in it, or all of one of its shops.

Knows: the tables, the format of a backup, how one is written. Must not know: when one is due, who
gets it; how it is read back (reading_back.py). Invariants:

- It is read from one commit, through a connection of its own: nobody waits for it, and it can be
  written while the assistant runs.
- It has its name only once it is whole and on the disk; until then the name ends in ".part".

The format is open. A backup is a ZIP file (APPNOTE.TXT 6.3, PKWARE) whose parts are stored as they
are, so that a damaged byte costs one line of one part, and so that no part can unfold into more
than the file holds:

    shop.jsonl, document.jsonl, job.jsonl, kept.jsonl, blob.jsonl
                      rows of the tables, a JSON object a line, a column a key; the body of a
                      document is JSON, the body of a job is in base64
    files/000001.jpg  what a row of blob.jsonl names as its `part`; `sha256` there is its digest
    manifest.json     the last part: the formats, when it was made, the shops, and of each part its
                      rows, bytes and SHA-256

The ZIP's comment is the seal: "twelvefold backup, sha256 " and, in 64 hex digits, the SHA-256 of
every byte of the file that stands before them.
"""

import os
import re
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from typing import Any
from zipfile import ZipFile, ZipInfo

import msgspec

from assistant.edges.embedded.database import FILE, Refused, no_room
from assistant.flow.messages import BACKUP
from assistant.planning.model import Profile, Record
from assistant.scheduling.zones import zone
from assistant.sheets.writing import file_name

LAYOUT = 1
SEAL = b"twelvefold backup, sha256 "
DIGITS = 64  # of a SHA-256 in hex
MANIFEST = "manifest.json"
ENDING = "zip"
PART = ".part"  # ends the name of a file that is not whole yet
BLOCK = 1 << 20  # bytes read at once

# table -> the order of its rows. What is waiting in the lane of backups is this backup itself.
TABLES = {"shop": "id", "document": "place", "job": "id", "kept": "name", "blob": "shop, id"}
_ALL = {**dict.fromkeys(TABLES, "TRUE"), "job": f"lane <> '{BACKUP}'"}
_OF_SHOP = {
    "shop": "id = :shop",
    "document": "shop = :shop",
    "blob": "shop = :shop",
    "job": f"lane <> '{BACKUP}' AND CASE WHEN lane = 'in' THEN key = :shop"
    " WHEN json_valid(CAST(body AS TEXT))"
    " THEN json_extract(CAST(body AS TEXT), '$.shop') = :shop ELSE FALSE END",
    "kept": "FALSE",  # an edge's own words are not parted by shop
}


class PartOf(Record):
    """A part of a backup as its manifest has it."""

    name: str
    rows: int
    bytes: int
    sha256: str


class ShopIn(Record):
    """A shop in a backup."""

    id: str
    name: str
    zone: str
    version: int


class Manifest(Record):
    """What a backup holds. `format` is that of the data folder, `last_job` the last id that was
    given to a job."""

    layout: int
    format: int
    made: datetime
    shops: tuple[ShopIn, ...]
    last_job: int
    parts: tuple[PartOf, ...]


class Damaged(Refused):
    """What was to be read is damaged."""


@contextmanager
def reading(folder: Path) -> Iterator[sqlite3.Connection]:
    """Read a data folder as of its last commit, whoever else is at work in it."""
    path = (folder / FILE).resolve().as_uri()
    connection = sqlite3.connect(f"{path}?mode=ro", uri=True, isolation_level=None, timeout=1.0)
    try:
        yield connection
    finally:
        connection.close()


def write_backup(folder: Path, to: Path, made: datetime, shop: str = "") -> tuple[Manifest, Path]:
    """Write a backup of a data folder, or of one shop in it where there are others: to a file, in
    place of whatever is there, or into a folder, where it is named by shop and local day.

    Raises NoRoom when it cannot be written, Damaged when the data folder cannot be read.
    """
    beside = to if to.is_dir() else to.parent
    partial = beside / f"backup-{os.getpid()}{PART}"
    try:
        with no_room():
            with reading(folder) as connection:
                manifest = _write(connection, partial, made, shop)
            path = to / name_of(manifest, shop) if to.is_dir() else to
            partial.replace(path)
            sync(beside)
    except sqlite3.DatabaseError as error:
        raise Damaged(
            f"The data in {folder} cannot be read whole ({error}). To see what can be saved: "
            f"python -m assistant check {folder}"
        ) from error
    finally:
        with suppress(OSError):
            partial.unlink(missing_ok=True)
    return manifest, path


def name_of(manifest: Manifest, shop: str = "") -> str:
    """Name a backup by shop and local day."""
    shops = [one for one in manifest.shops if one.id == shop] or manifest.shops
    name, there = (shops[0].name, zone(shops[0].zone)) if shops else ("", None)
    return file_name(name, "backup", manifest.made.astimezone(there or UTC).date(), ENDING)


def sync(folder: Path) -> None:
    """Make the names in a folder as durable as what they stand for."""
    if os.name == "posix":
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def digest_of(path: Path, size: int) -> str:
    """Return the SHA-256, in hex, of the first `size` bytes of a file."""
    digest = sha256()
    with path.open("rb") as file:
        while size > 0 and (block := file.read(min(size, BLOCK))):
            digest.update(block)
            size -= len(block)
    return digest.hexdigest()


# --- writing --------------------------------------------------------------------------------


def _write(connection: sqlite3.Connection, path: Path, made: datetime, shop: str) -> Manifest:
    connection.execute("BEGIN")  # every part is of the same commit
    others = connection.execute("SELECT count(*) FROM shop WHERE id <> ?", (shop,)).fetchone()[0]
    rules = _OF_SHOP if shop and others else _ALL
    with os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT | os.O_TRUNC, 0o600), "w+b") as file:
        with ZipFile(file, "w") as zip:
            zip.comment = SEAL + b"0" * DIGITS
            parts = list[PartOf]()
            for table, order in TABLES.items():
                where = f"{rules[table]} ORDER BY {order}"
                if table == "blob":
                    parts += _files(connection, zip, where, shop, made)
                else:
                    rows = _rows(connection, table, where, shop)
                    parts.append(_part(zip, f"{table}.jsonl", rows, made))
            manifest = Manifest(
                layout=LAYOUT,
                format=connection.execute("PRAGMA user_version").fetchone()[0],
                made=made,
                shops=_shops(connection, rules["shop"], shop),
                last_job=_last_job(connection),
                parts=tuple(parts),
            )
            content = msgspec.json.format(msgspec.json.encode(manifest))
            _part(zip, MANIFEST, (content,), made)
        file.flush()
        digits = digest_of(path, path.stat().st_size - DIGITS).encode()
        file.seek(-DIGITS, os.SEEK_END)
        file.write(digits)
        file.flush()
        os.fsync(file.fileno())
    return manifest


def _part(zip: ZipFile, name: str, pieces: Iterable[bytes], made: datetime) -> PartOf:
    digest, rows, size = sha256(), 0, 0
    with zip.open(ZipInfo(name, made.timetuple()[:6]), "w") as part:
        for piece in pieces:
            digest.update(piece)
            part.write(piece)
            rows, size = rows + 1, size + len(piece)
    return PartOf(name=name, rows=rows, bytes=size, sha256=digest.hexdigest())


def _rows(connection: sqlite3.Connection, table: str, where: str, shop: str) -> Iterator[bytes]:
    """The rows of a table, a line each."""
    found = connection.execute(f"SELECT * FROM {table} WHERE {where}", {"shop": shop})
    names = [column[0] for column in found.description]
    for values in found:
        row: dict[str, Any] = dict(zip(names, values, strict=True))
        if table == "document":
            row["body"] = msgspec.Raw(row["body"].encode())
        yield msgspec.json.encode(row) + b"\n"


def _files(
    connection: sqlite3.Connection, zip: ZipFile, where: str, shop: str, made: datetime
) -> Iterator[PartOf]:
    """The kept files, each a part, and then the part that lists them."""
    lines = list[bytes]()
    found = connection.execute(f"SELECT * FROM blob WHERE {where}", {"shop": shop})
    for number, (of, id, name, content) in enumerate(found, start=1):
        ending = re.search(r"\.[A-Za-z0-9]{1,5}$", name)
        part = f"files/{number:06}{ending[0].lower() if ending else ''}"
        written = _part(zip, part, (content,), made)
        yield written
        row = {"shop": of, "id": id, "name": name, "part": part, "sha256": written.sha256}
        lines.append(msgspec.json.encode(row) + b"\n")
    yield _part(zip, "blob.jsonl", lines, made)


def _shops(connection: sqlite3.Connection, rule: str, shop: str) -> tuple[ShopIn, ...]:
    found = connection.execute(
        "SELECT id, version, (SELECT body FROM document WHERE shop = shop.id"
        f" AND section = 'profile' LIMIT 1) FROM shop WHERE {rule} ORDER BY id",
        {"shop": shop},
    ).fetchall()
    told = [(id, version, _profile(body)) for id, version, body in found]
    return tuple(ShopIn(id, one.name, one.zone, version) for id, version, one in told)


def _profile(body: str | None) -> Profile:
    return Profile() if body is None else msgspec.json.decode(body, type=Profile)


def _last_job(connection: sqlite3.Connection) -> int:
    row = connection.execute("SELECT seq FROM sqlite_sequence WHERE name = 'job'").fetchone()
    return 0 if row is None else int(row[0])

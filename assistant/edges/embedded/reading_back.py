"""A backup read back: trusted only when every byte of it is as it was written.

Knows: the format of a backup (backup.py). Must not know: where its rows go. Invariants: nothing is
unpacked to a path, so a name in a file can lead nowhere; no part is read that is not stored as it
is and named as a backup's parts are, so nothing can unfold; what is wrong is one sentence for the
owner (Refused).
"""

import base64
import re
from collections.abc import Generator, Iterator
from contextlib import ExitStack, closing, contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any
from zipfile import ZIP_STORED, BadZipFile, ZipFile

import msgspec

from assistant.edges.embedded.backup import (
    DIGITS,
    LAYOUT,
    MANIFEST,
    SEAL,
    TABLES,
    Damaged,
    Manifest,
    digest_of,
)
from assistant.edges.embedded.database import STEPS, NewerFormat, NotOurs

Row = tuple[str, dict[str, Any]]  # a table, a value by the name of its column

NAMES = re.compile(rf"(?:{'|'.join(TABLES)})\.jsonl|manifest\.json|files/\d{{6,9}}(?:\.\w{{1,5}})?")
MAGIC = b"PK\x03\x04"
# What the readers of ZIP and JSON raise on files that nobody wrote for them.
_STRANGE = (BadZipFile, OSError, EOFError, KeyError, ValueError, RuntimeError, msgspec.MsgspecError)
_line = msgspec.json.Decoder(dict[str, msgspec.Raw])


class _Formats(msgspec.Struct):
    """What is read first of a manifest: whether this program knows the rest of it."""

    layout: int
    format: int


class WholeBackup:
    """A backup that was found whole."""

    def __init__(self, path: Path, zip: ZipFile, manifest: Manifest) -> None:
        self._path = path
        self._zip = zip
        self._parts = {part.name: part for part in manifest.parts}
        self.manifest = manifest

    def rows(self) -> Generator[Row, None, None]:
        """Return every row of every table. Raises Damaged."""
        with _told_as_damage(self._path):
            for table in TABLES:
                with closing(self._lines(f"{table}.jsonl")) as lines:
                    for line in lines:
                        row = row_of(table, line)
                        if table == "blob":
                            row["content"] = self._content(row.pop("part"))
                            del row["sha256"]
                        yield table, row

    def _lines(self, name: str) -> Generator[bytes, None, None]:
        digest = sha256()
        with self._zip.open(name) as part:
            for line in part:
                digest.update(line)
                yield line
        self._check(name, digest.hexdigest())

    def _content(self, name: str) -> bytes:
        content = self._zip.read(name)
        self._check(name, sha256(content).hexdigest())
        return content

    def _check(self, name: str, digest: str) -> None:
        if self._parts[name].sha256 != digest:
            raise Damaged(f"The part {name} of the backup is not as it was written.")


@contextmanager
def whole_backup(path: Path) -> Iterator[WholeBackup]:
    """Open a backup and check that it is whole.

    Raises NotOurs for what is no backup, Damaged for one that is cut or changed, NewerFormat for
    one that a later version of the program made.
    """
    _check_seal(path)
    with ExitStack() as opened:
        with _told_as_damage(path):
            zip = opened.enter_context(ZipFile(path))
            manifest = _manifest(path, zip)
            _check_parts(path, zip, manifest)
        yield WholeBackup(path, zip, manifest)


@contextmanager
def _told_as_damage(path: Path) -> Iterator[None]:
    """Turn what a strange file makes the readers of ZIP and JSON say into Damaged."""
    try:
        yield
    except _STRANGE as error:
        raise Damaged(f"{path} cannot be read as a backup: {error}.") from error


def manifest_of(path: Path) -> Manifest:
    """Return what a backup says of itself, without looking whether the rest is whole.

    Raises Refused for what is no backup, is cut short, or is of a later version.
    """
    with _told_as_damage(path), ZipFile(path) as zip:
        return _manifest(path, zip)


def row_of(table: str, line: bytes) -> dict[str, Any]:
    """Read one line of a table's part. Raises msgspec.MsgspecError or ValueError."""
    row = {name: _value(table, name, raw) for name, raw in _line.decode(line).items()}
    if not all(isinstance(name, str) and name.isidentifier() for name in row):
        raise ValueError("a column has no name")
    return row


def _value(table: str, name: str, raw: msgspec.Raw) -> Any:
    if (table, name) == ("document", "body"):
        return bytes(raw).decode()
    value = msgspec.json.decode(raw)
    return base64.b64decode(value) if (table, name) == ("job", "body") else value


def _check_seal(path: Path) -> None:
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            magic = file.read(len(MAGIC))
            file.seek(max(size - len(SEAL) - DIGITS, 0))
            seal, digits = file.read(len(SEAL)), file.read(DIGITS)
    except OSError as error:
        raise NotOurs(f"{path} cannot be read: {error.strerror}.") from error
    if magic != MAGIC:
        raise NotOurs(f"{path} is no backup of Twelvefold's.")
    if seal != SEAL:
        raise Damaged(f"{path} is cut short, or it is no backup of Twelvefold's.")
    if digest_of(path, size - DIGITS).encode() != digits:
        raise Damaged(f"{path} is damaged: it is not as it was written.")


def _manifest(path: Path, zip: ZipFile) -> Manifest:
    content = zip.read(MANIFEST)
    formats = msgspec.json.decode(content, type=_Formats)
    if formats.layout > LAYOUT or formats.format > len(STEPS):
        raise NewerFormat(
            f"{path} was made by a newer Twelvefold (format {formats.layout}.{formats.format}; this"
            f" one knows {LAYOUT}.{len(STEPS)}). Install the newer version to read it."
        )
    return msgspec.json.decode(content, type=Manifest)


def _check_parts(path: Path, zip: ZipFile, manifest: Manifest) -> None:
    """Refuse parts that no backup of ours has, whoever sealed the file."""
    sizes = {part.name: part.bytes for part in manifest.parts}
    infos = zip.infolist()
    named = [info.filename for info in infos]
    wrong = [
        info.filename
        for info in infos
        if not NAMES.fullmatch(info.filename)
        or info.compress_type != ZIP_STORED
        or info.file_size != info.compress_size
        or (info.filename != MANIFEST and info.file_size != sizes.get(info.filename))
    ]
    missing = {*sizes, *(f"{table}.jsonl" for table in TABLES)} - {*named}
    strange = sum(info.file_size for info in infos) > path.stat().st_size
    if wrong or missing or strange or len({*named}) != len(named):
        about = next(iter((*wrong, *sorted(missing), "the list of its parts")))
        raise Damaged(f"{path} is no backup of Twelvefold's as it stands: {about[:80]!r} is wrong.")

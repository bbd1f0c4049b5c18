"""The shelf of one machine: each shop's records as TinyDB documents, its history beside them.

Knows: which record is a document of which table, versions. Must not know: SQLite's statements
for documents (storage.py), what the records mean. Invariants: a shop's version goes up by one
with each save and tells whether a loaded value is still true; a save writes the documents that
changed, the entry and the version, nothing else; reading shows the last commit only.
"""

from collections.abc import Iterable
from typing import Any, TypeVar

import msgspec

from assistant.conversation.messages import File
from assistant.edges.embedded.database import Database, Transaction
from assistant.edges.embedded.storage import Content, Documents, Execute
from assistant.flow.ports import RECENT, Stale
from assistant.planning.changes import place
from assistant.planning.model import TABLES, Change, Entry, House, Put, Record, Shop

HISTORY = "history"


R = TypeVar("R", bound=Record)


def _written(record: Record) -> Content:
    content: Content = msgspec.to_builtins(record)
    return content


def _read(contents: Iterable[Content], kind: type[R]) -> tuple[R, ...]:
    return tuple(msgspec.convert(content, kind) for content in contents)


def _version(execute: Execute, shop: str) -> int:
    row = execute("SELECT version FROM shop WHERE id = ?", (shop,)).fetchone()
    return 0 if row is None else int(row[0])


class Shelf:
    """The shops in one data folder."""

    def __init__(self, database: Database, house: House) -> None:
        self._database = database
        self._house = house

    async def version(self, shop: str) -> int:
        """Return the version of the last commit, 0 for a shop that has none."""
        return _version(self._database.read, shop)

    async def load(self, shop: str) -> Shop:
        """Return the whole shop as of the last commit, its newest history with it."""
        documents = Documents(self._database.read, shop)
        with self._database.snapshot():
            tables: dict[str, Any] = {
                table: _read(documents.table(table).all(), kind) for table, kind in TABLES
            }
            recent = _read(documents.section(HISTORY).newest(RECENT), Entry)
            version = _version(self._database.read, shop)
        return Shop(id=shop, house=self._house, version=version, recent=recent, **tables)

    async def save(
        self,
        tx: Transaction,
        shop: str,
        version: int,
        changes: tuple[Change, ...],
        entry: Entry | None,
    ) -> int:
        """Write the changed documents and the entry, and return the new version.

        Raises Stale when the shop's version is not `version` any more, NoRoom when nothing can
        be written, ValueError when the entry's number is not the new version.
        """
        if _version(tx.execute, shop) != version:
            raise Stale(f"the shop has changed since version {version}")
        if entry is not None and entry.number != version + 1:
            raise ValueError(f"entry {entry.number} after version {version}")
        documents = Documents(tx.execute, shop)
        for change in changes:
            table, id = place(change)
            if isinstance(change, Put):
                documents.section(table).put(id, _written(change.record))
            else:
                documents.section(table).discard(id)
        if entry is not None:
            documents.section(HISTORY).put(str(entry.number), _written(entry))
        tx.execute("INSERT OR REPLACE INTO shop VALUES (?, ?)", (shop, version + 1))
        return version + 1

    async def keep(self, tx: Transaction, shop: str, file: File) -> None:
        """Keep a file under its id, in place of one of the same id."""
        tx.execute(
            "INSERT OR REPLACE INTO blob (shop, id, name, content) VALUES (?, ?, ?, ?)",
            (shop, file.id, file.name, file.content),
        )

    async def file(self, shop: str, id: str) -> File | None:
        """Return a kept file, None when there is none of this id."""
        row = self._database.read(
            "SELECT name, content FROM blob WHERE shop = ? AND id = ?", (shop, id)
        ).fetchone()
        return None if row is None else File(id=id, name=row[0], content=row[1])

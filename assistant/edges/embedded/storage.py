"""TinyDB over rows: a storage and a table that read and write only the documents in question.

Knows: TinyDB's two extension points (https://tinydb.readthedocs.io/en/latest/extend.html) and
the table `document`. Must not know: what the documents mean, transactions (a storage runs its
statements with the `execute` that it was given). Invariants:

- Ids are given, never counted, and are texts.
- Documents stand in the order in which they came; a replaced document keeps its place.
- Nothing is cached between calls: neither queries nor documents.
- A table without documents does not exist.

The stock `Table` works over `Rows` storage too, by reading and comparing whole tables; ours
hands TinyDB a mapping that fetches documents as they are asked for.
"""

import sqlite3
from collections.abc import Callable, Iterator, Mapping, MutableMapping, Sequence
from typing import Any

import msgspec
from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

Execute = Callable[[str, Sequence[Any]], sqlite3.Cursor]
Content = dict[str, Any]


class Rows(MutableMapping[str, Content]):
    """The documents of one table of one shop, fetched as they are asked for.

    `flush` writes what was set, removed or altered in place since; until then nothing is written.
    """

    def __init__(self, execute: Execute, shop: str, section: str) -> None:
        self._execute = execute
        self._table = (shop, section)
        self._stored: dict[str, str] = {}  # as last seen in the table
        self._now: dict[str, Content] = {}
        self._gone: dict[str, None] = {}
        self._whole = False

    def _fetch(self, id: str) -> bool:
        """Look for the document; True if there is one now."""
        if id in self._now or id in self._gone or self._whole:
            return id in self._now
        row = self._execute(
            "SELECT body FROM document WHERE shop = ? AND section = ? AND id = ?",
            (*self._table, id),
        ).fetchone()
        if row is None:
            return False
        self._stored[id] = row[0]
        self._now[id] = msgspec.json.decode(row[0])
        return True

    def _fetch_all(self) -> None:
        if self._whole:
            return
        rows = self._execute(
            "SELECT id, body FROM document WHERE shop = ? AND section = ? ORDER BY place",
            self._table,
        ).fetchall()
        now: dict[str, Content] = {}
        decode = msgspec.json.decode
        for id, body in rows:
            if id not in self._gone:
                self._stored[id] = body
                now[id] = self._now[id] if id in self._now else decode(body)
        self._now = now | self._now
        self._whole = True

    def __contains__(self, id: object) -> bool:
        return isinstance(id, str) and self._fetch(id)

    def __getitem__(self, id: str) -> Content:
        if not self._fetch(id):
            raise KeyError(id)
        return self._now[id]

    def __setitem__(self, id: str, document: Content) -> None:
        self._fetch(id)
        self._now[id] = document

    def __delitem__(self, id: str) -> None:
        if not self._fetch(id):
            raise KeyError(id)
        del self._now[id]
        if id in self._stored:
            self._gone[id] = None

    def __iter__(self) -> Iterator[str]:
        self._fetch_all()
        return iter(self._now)

    def __len__(self) -> int:
        self._fetch_all()
        return len(self._now)

    def flush(self) -> None:
        """Write the difference, and nothing else."""
        for id in self._gone:
            self._execute(
                "DELETE FROM document WHERE shop = ? AND section = ? AND id = ?",
                (*self._table, id),
            )
            del self._stored[id]
        self._gone.clear()
        for id, document in self._now.items():
            body = msgspec.json.encode(document).decode()
            if id not in self._stored:
                self._execute(
                    "INSERT INTO document (shop, section, id, body) VALUES (?, ?, ?, ?)",
                    (*self._table, id, body),
                )
            elif self._stored[id] != body:
                self._execute(
                    "UPDATE document SET body = ? WHERE shop = ? AND section = ? AND id = ?",
                    (body, *self._table, id),
                )
            self._stored[id] = body

    def newest(self, count: int) -> list[Content]:
        """Return the last `count` stored documents, oldest first."""
        rows = self._execute(
            "SELECT body FROM document WHERE shop = ? AND section = ? ORDER BY place DESC LIMIT ?",
            (*self._table, count),
        ).fetchall()
        return [msgspec.json.decode(body) for (body,) in reversed(rows)]


class RowStorage(Storage):
    """All tables of one shop."""

    def __init__(self, execute: Execute, shop: str) -> None:
        self._execute = execute
        self._shop = shop

    def rows(self, section: str) -> Rows:
        """Return the documents of one table."""
        return Rows(self._execute, self._shop, section)

    def read(self) -> dict[str, Any] | None:
        """Return every table that has documents, each fetched as it is asked for."""
        names = self._execute(
            "SELECT DISTINCT section FROM document WHERE shop = ?", (self._shop,)
        ).fetchall()
        return {name: self.rows(name) for (name,) in names} or None

    def write(self, data: Mapping[str, Mapping[str, Any]]) -> None:
        """Make the tables what `data` says, writing only the difference."""
        for name in (self.read() or {}).keys() - data.keys():
            self._execute("DELETE FROM document WHERE shop = ? AND section = ?", (self._shop, name))
        for name, documents in data.items():
            rows = self.rows(name)
            for id in [id for id in rows if id not in documents]:
                del rows[id]
            rows.update((id, dict(document)) for id, document in documents.items())
            rows.flush()


class RowTable(Table):
    """A TinyDB table that touches only the rows of the documents it is asked about.

    Overrides the reading and the writing of TinyDB 4.9.0's `Table`; everything that TinyDB
    offers works as documented, save that a document without an id is refused.
    """

    document_id_class = str  # type: ignore[assignment]  # TinyDB leaves this class to us
    _storage: RowStorage

    def __init__(self, storage: RowStorage, name: str) -> None:
        super().__init__(storage, name, cache_size=0)

    def put(self, id: str, content: Content) -> None:
        """Keep a document in place of the one of the same id, or last if there is none.

        TinyDB's `upsert` would leave fields standing that `content` does not have.
        """

        def change(rows: Rows) -> None:
            rows[id] = content

        self._update_table(change)

    def discard(self, id: str) -> None:
        """Let go of a document, if there is one."""

        def change(rows: Rows) -> None:
            rows.pop(id, None)

        self._update_table(change)

    def newest(self, count: int) -> list[Content]:
        """Return the content of the last `count` documents, oldest first."""
        return self._storage.rows(self.name).newest(count)

    def _read_table(self) -> Any:
        return self._storage.rows(self.name)

    def _update_table(self, updater: Callable[[Any], None]) -> None:
        rows = self._storage.rows(self.name)
        updater(rows)
        rows.flush()

    def _get_next_id(self) -> int:
        raise TypeError("ids are given, not counted: insert a Document with its doc_id")


class Documents(TinyDB):
    """The TinyDB of one shop."""

    table_class = RowTable  # type: ignore[assignment]
    default_storage_class = RowStorage  # type: ignore[assignment]

    def __init__(self, execute: Execute, shop: str) -> None:
        super().__init__(execute, shop)

    def section(self, name: str) -> RowTable:
        """Return the table of this name: the same as `table`, with its own type."""
        table = self.table(name)
        assert isinstance(table, RowTable)
        return table

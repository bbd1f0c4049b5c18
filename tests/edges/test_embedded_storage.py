"""TinyDB over rows answers as TinyDB over its own memory storage does, and writes less."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tinydb import TinyDB, where
from tinydb.storages import MemoryStorage
from tinydb.table import Document

from assistant.edges.embedded.database import STEPS, migrate
from assistant.edges.embedded.storage import Documents, RowStorage


@pytest.fixture
def connection() -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as opened:
        migrate(opened, STEPS)
        yield opened


def document(id: str, **content: Any) -> Document:
    return Document(content, id)  # type: ignore[arg-type]


ids = st.sampled_from(["1", "2", "3", "é", "2027-03"])
contents = st.dictionaries(st.sampled_from("xyz"), st.integers(0, 3), max_size=3)


def insert(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.insert(document(id, **content))


def insert_all(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.insert_multiple([document(id, **content), document("4", **content)])


def upsert(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.upsert(document(id, **content))


def update(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.update(content, doc_ids=[id])


def update_where(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.update({"z": len(id)}, where("x") == content.get("x", 1))


def update_in_place(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.update(lambda doc: doc.update(content, y=[1, {"deep": id}]), doc_ids=[id])


def update_many(table: Any, id: str, content: dict[str, int]) -> Any:
    return table.update_multiple([(content, where("x") == 1), ({"y": id}, where("y") == 2)])


def remove(table: Any, id: str, _content: dict[str, int]) -> Any:
    return table.remove(doc_ids=[id, "none"])


def remove_where(table: Any, _id: str, content: dict[str, int]) -> Any:
    return table.remove(where("x") == content.get("x", 0))


def truncate(table: Any, _id: str, _content: dict[str, int]) -> Any:
    return table.truncate()


def look(table: Any, id: str, _content: dict[str, int]) -> Any:
    found = table.get(doc_id=id), table.get(where("x") == 1), table.search(where("y") > 0)
    many = table.get(doc_ids=[id, "1"]), table.count(where("x") == 2), table.contains(doc_id=id)
    return found, many, len(table), [doc.doc_id for doc in table]


Act = Callable[[Any, str, dict[str, int]], Any]
ACTS: tuple[Act, ...] = (
    insert,
    insert_all,
    upsert,
    update,
    update_where,
    update_in_place,
    update_many,
    remove,
    remove_where,
    truncate,
    look,
)


def outcome(act: Act, table: Any, id: str, content: dict[str, int]) -> Any:
    try:
        return act(table, id, content)
    except (KeyError, ValueError, TypeError) as error:
        return type(error)


class TextIds(TinyDB):
    """The stock TinyDB, told that ids are texts, as its documentation shows."""


TextIds.table_class = type("TextTable", (TinyDB.table_class,), {"document_id_class": str})


def stock_over_rows(connection: sqlite3.Connection) -> TinyDB:
    return TextIds(connection.execute, "moss", storage=RowStorage)


def ours(connection: sqlite3.Connection) -> TinyDB:
    return Documents(connection.execute, "moss")


@pytest.mark.parametrize("opened", [ours, stock_over_rows])
@given(steps=st.lists(st.tuples(st.sampled_from(ACTS), ids, contents), max_size=12))
@settings(max_examples=150, deadline=None)
def test_it_answers_as_tinydb_does(
    opened: Callable[[sqlite3.Connection], TinyDB],
    steps: list[tuple[Act, str, dict[str, int]]],
) -> None:
    # Source: TinyDB 4.9.0 with its own MemoryStorage is the reference.
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
        migrate(connection, STEPS)
        rows = opened(connection).table("ideas")
        reference = TextIds(storage=MemoryStorage).table("ideas")
        for act, id, content in steps:
            expected = outcome(act, reference, id, content)
            assert outcome(act, rows, id, content) == expected
            assert [(d.doc_id, d) for d in rows] == [(d.doc_id, d) for d in reference]


class TestDocuments:
    def test_only_the_changed_document_is_read_and_written(
        self, connection: sqlite3.Connection
    ) -> None:
        statements: list[str] = []

        def execute(sql: str, values: Any) -> sqlite3.Cursor:
            statements.append(sql.split()[0])
            return connection.execute(sql, values)

        ideas = Documents(execute, "moss").section("ideas")
        ideas.insert_multiple([document(str(n), text="tea") for n in range(100)])
        statements.clear()
        before = connection.total_changes
        ideas.put("50", {"text": "lantern walk"})
        assert statements == ["SELECT", "UPDATE"]
        assert connection.total_changes == before + 1
        ideas.put("50", {"text": "lantern walk"})
        assert connection.total_changes == before + 1

    def test_put_replaces_the_whole_document(self, connection: sqlite3.Connection) -> None:
        ideas = Documents(connection.execute, "moss").section("ideas")
        ideas.put("1", {"text": "tea", "months": [3]})
        ideas.put("1", {"text": "tea"})
        assert ideas.all() == [{"text": "tea"}]
        ideas.discard("1")
        ideas.discard("1")
        assert len(ideas) == 0

    def test_a_document_without_an_id_is_refused(self, connection: sqlite3.Connection) -> None:
        with pytest.raises(TypeError, match="ids are given"):
            Documents(connection.execute, "moss").table("ideas").insert({"text": "tea"})

    def test_nothing_is_remembered_between_calls(self, connection: sqlite3.Connection) -> None:
        one = Documents(connection.execute, "moss").table("ideas")
        two = Documents(connection.execute, "moss").table("ideas")
        tea = where("text") == "tea"
        assert one.search(tea) == []
        two.insert(document("1", text="tea"))
        assert one.search(tea) == [{"text": "tea"}]
        one.remove(tea)
        assert two.search(tea) == []

    def test_an_update_that_fails_halfway_writes_nothing(
        self, connection: sqlite3.Connection
    ) -> None:
        ideas = Documents(connection.execute, "moss").table("ideas")
        ideas.insert(document("1", text="tea"))
        with pytest.raises(ValueError, match="already exists"):
            ideas.insert_multiple([document("2", text="pin"), document("1", text="print")])
        assert [doc.doc_id for doc in ideas] == ["1"]

    def test_tables_come_and_go(self, connection: sqlite3.Connection) -> None:
        moss, gate = (Documents(connection.execute, shop) for shop in ("moss", "gate"))
        moss.table("ideas").insert(document("1", text="tea"))
        moss.table("boxes").insert(document("1", theme="Rain & Roots"))
        gate.table("ideas").insert(document("1", text="pin"))
        assert moss.tables() == {"ideas", "boxes"}
        moss.drop_table("ideas")
        assert (moss.tables(), len(moss.table("ideas"))) == ({"boxes"}, 0)
        moss.drop_tables()
        assert (moss.tables(), gate.tables()) == (set(), {"ideas"})

    def test_the_newest_come_oldest_first(self, connection: sqlite3.Connection) -> None:
        history = Documents(connection.execute, "moss").section("history")
        for number in range(12):
            history.put(str(number), {"number": number})
        assert [doc["number"] for doc in history.newest(3)] == [9, 10, 11]
        assert len(history.newest(100)) == 12

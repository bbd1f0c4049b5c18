"""The data folder: who owns it, which formats are opened, what a transaction is."""

import asyncio
import os
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from assistant.edges.embedded import Database, InUse, NewerFormat, NotOurs
from assistant.edges.embedded.database import FILE, STEPS, migrate
from assistant.flow.ports import NoRoom

HOLD = """
import sys, time
from pathlib import Path
from assistant.edges.embedded import Database
database = Database(Path(sys.argv[1]))
print("open", flush=True)
sys.stdin.read()
"""

posix = pytest.mark.skipif(os.name != "posix", reason="modes and signals of POSIX")


def format_of(folder: Path) -> int:
    with closing(sqlite3.connect(folder / FILE)) as connection:
        version: int = connection.execute("PRAGMA user_version").fetchone()[0]
        return version


class TestOwner:
    def test_a_second_one_in_this_process_is_refused(self, tmp_path: Path) -> None:
        with closing(Database(tmp_path)), pytest.raises(InUse, match="already running on"):
            Database(tmp_path)
        Database(tmp_path).close()

    @posix
    def test_a_second_process_is_refused_until_the_first_is_killed(self, tmp_path: Path) -> None:
        command = [sys.executable, "-c", HOLD, str(tmp_path)]
        pipe = subprocess.PIPE
        with subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True) as first:
            assert first.stdout is not None
            assert first.stdout.readline() == "open\n"
            with pytest.raises(InUse, match=str(tmp_path)):
                Database(tmp_path)
            refused = subprocess.run(command, capture_output=True, text=True, check=False)
            assert refused.returncode != 0
            assert "InUse: Twelvefold is already running on" in refused.stderr
            first.kill()
            first.wait()
            Database(tmp_path).close()

    @posix
    def test_folder_and_files_are_their_owners_alone(self, tmp_path: Path) -> None:
        folder = tmp_path / "data"
        with closing(Database(folder)) as database:
            asyncio.run(_insert(database, "a"))
            modes = {path.name: stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()}
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
        assert {"twelvefold.db", "twelvefold.db-wal", "twelvefold.lock"} <= modes.keys()
        assert set(modes.values()) == {0o600}

    def test_a_folder_that_cannot_be_made_is_no_room(self, tmp_path: Path) -> None:
        (tmp_path / "file").write_text("in the way")
        with pytest.raises(NoRoom):
            Database(tmp_path / "file" / "data")


class TestFormat:
    def test_a_new_file_is_of_the_newest_format(self, tmp_path: Path) -> None:
        Database(tmp_path).close()
        assert format_of(tmp_path) == len(STEPS)

    def test_steps_that_a_file_has_not_had_are_run_once_and_in_order(self, tmp_path: Path) -> None:
        with closing(Database(tmp_path)) as database:
            asyncio.run(_insert(database, "a"))
        more = (
            *STEPS,
            ("ALTER TABLE kept ADD COLUMN note TEXT NOT NULL DEFAULT ''",),
            ("UPDATE kept SET note = name", "UPDATE kept SET note = note || '!'"),
        )
        for _ in range(2):
            with closing(Database(tmp_path, more)) as database:
                assert database.read("SELECT note FROM kept").fetchall() == [("a!",)]
        assert format_of(tmp_path) == len(STEPS) + 2

    def test_a_step_that_fails_leaves_the_format_before_it(self, tmp_path: Path) -> None:
        bad = (*STEPS, ("UPDATE kept SET value = 'gone'", "UPDATE absent SET x = 1"))
        with closing(Database(tmp_path)) as database:
            asyncio.run(_insert(database, "a"))
        with pytest.raises(sqlite3.OperationalError, match="no such table: absent"):
            Database(tmp_path, bad)
        with closing(Database(tmp_path)) as database:
            assert database.read("SELECT value FROM kept").fetchall() == [("kept a",)]

    def test_a_newer_format_is_refused_and_left_alone(self, tmp_path: Path) -> None:
        Database(tmp_path, (*STEPS, ("CREATE TABLE more (x)",))).close()
        before = (tmp_path / FILE).read_bytes()
        with pytest.raises(NewerFormat, match="Install the newer version") as refused:
            Database(tmp_path)
        assert f"format {len(STEPS) + 1}; this one knows {len(STEPS)}" in str(refused.value)
        assert (tmp_path / FILE).read_bytes() == before

    def test_another_programs_file_is_refused_and_left_alone(self, tmp_path: Path) -> None:
        with closing(sqlite3.connect(tmp_path / FILE)) as connection:
            connection.execute("CREATE TABLE recipes (x)")
        before = (tmp_path / FILE).read_bytes()
        with pytest.raises(NotOurs, match="no file of Twelvefold's"):
            Database(tmp_path)
        assert (tmp_path / FILE).read_bytes() == before

    @pytest.mark.parametrize(
        "damage",
        [
            lambda whole: b"Dear diary, " * len(whole),
            lambda whole: whole[:100] + b"\xff" * 4000 + whole[4100:],
        ],
    )
    def test_a_damaged_file_is_refused_and_left_alone(
        self, tmp_path: Path, damage: Callable[[bytes], bytes]
    ) -> None:
        Database(tmp_path).close()
        path = tmp_path / FILE
        damaged = damage(path.read_bytes())
        path.write_bytes(damaged)
        with pytest.raises(NotOurs, match="Nothing was changed"):
            Database(tmp_path)
        assert path.read_bytes() == damaged

    def test_an_empty_file_is_a_new_one(self, tmp_path: Path) -> None:
        # As a kill between creating the file and writing its first page leaves it.
        (tmp_path / FILE).touch()
        Database(tmp_path).close()
        assert format_of(tmp_path) == len(STEPS)

    def test_migrating_a_migrated_file_does_nothing(self) -> None:
        with closing(sqlite3.connect(":memory:", isolation_level=None)) as connection:
            migrate(connection, STEPS)
            migrate(connection, STEPS)
            assert connection.total_changes == 0


async def _insert(database: Database, *names: str) -> None:
    async with database.begin() as tx:
        for name in names:
            tx.execute("INSERT INTO kept VALUES (?, ?, 0)", (name, f"kept {name}"))


class TestTransaction:
    def names(self, database: Database) -> list[str]:
        return [name for (name,) in database.read("SELECT name FROM kept ORDER BY name")]

    def test_it_is_all_or_nothing(self, tmp_path: Path) -> None:
        with closing(Database(tmp_path)) as database:
            asyncio.run(_insert(database, "a", "b"))
            with pytest.raises(sqlite3.IntegrityError):
                asyncio.run(_insert(database, "c", "a"))
            assert self.names(database) == ["a", "b"]

    def test_what_follows_the_commit_is_called_after_it_only(self, tmp_path: Path) -> None:
        seen: list[list[str]] = []

        async def insert(database: Database, name: str) -> None:
            async with database.begin() as tx:
                tx.then(lambda: seen.append(self.names(database)))
                tx.execute("INSERT INTO kept VALUES (?, '', 0)", (name,))
                assert name not in self.names(database)

        with closing(Database(tmp_path)) as database:
            asyncio.run(insert(database, "a"))
            with pytest.raises(sqlite3.IntegrityError):
                asyncio.run(insert(database, "a"))
        assert seen == [["a"]]

    def test_after_a_failed_statement_nothing_more_is_written(self, tmp_path: Path) -> None:
        async def stubborn(database: Database) -> None:
            async with database.begin() as tx:
                tx.execute("INSERT INTO kept VALUES ('b', '', 0)")
                for name in "ac":
                    with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
                        tx.execute("INSERT INTO kept VALUES (?, '', 0)", (name,))

        with closing(Database(tmp_path)) as database:
            asyncio.run(_insert(database, "a"))
            with pytest.raises(sqlite3.IntegrityError, match="UNIQUE"):
                asyncio.run(stubborn(database))
            assert self.names(database) == ["a"]

    def test_a_transaction_that_is_over_writes_nothing(self, tmp_path: Path) -> None:
        async def late(database: Database) -> None:
            async with database.begin() as tx:
                pass
            tx.execute("INSERT INTO kept VALUES ('a', '', 0)")

        with closing(Database(tmp_path)) as database:
            with pytest.raises(RuntimeError, match="was committed"):
                asyncio.run(late(database))
            assert self.names(database) == []

    def test_one_inside_another_is_an_error_and_not_a_hang(self, tmp_path: Path) -> None:
        async def nested(database: Database) -> None:
            async with database.begin():
                await _insert(database, "a")

        with closing(Database(tmp_path)) as database:
            with pytest.raises(RuntimeError, match="open already"):
                asyncio.run(nested(database))
            asyncio.run(_insert(database, "b"))
            assert self.names(database) == ["b"]

    def test_transactions_of_other_tasks_wait_their_turn(self, tmp_path: Path) -> None:
        async def slowly(database: Database, name: str) -> None:
            async with database.begin() as tx:
                for n in range(3):
                    tx.execute("INSERT INTO kept VALUES (?, '', 0)", (f"{name}{n}",))
                    await asyncio.sleep(0)
                    assert len(self.names(database)) % 3 == 0

        async def both(database: Database) -> None:
            async with asyncio.TaskGroup() as tasks:
                for name in "abc":
                    tasks.create_task(slowly(database, name))

        with closing(Database(tmp_path)) as database:
            asyncio.run(both(database))
            assert len(self.names(database)) == 9

    def test_a_cancelled_transaction_leaves_nothing(self, tmp_path: Path) -> None:
        async def story(database: Database) -> None:
            begun = asyncio.Event()

            async def endless() -> None:
                async with database.begin() as tx:
                    tx.execute("INSERT INTO kept VALUES ('a', '', 0)")
                    begun.set()
                    await asyncio.Event().wait()

            task = asyncio.create_task(endless())
            await begun.wait()
            task.cancel()
            await asyncio.wait([task])
            await _insert(database, "b")

        with closing(Database(tmp_path)) as database:
            asyncio.run(story(database))
            assert self.names(database) == ["b"]

    def test_a_commit_is_synced_to_the_disk(self, tmp_path: Path) -> None:
        # Source: https://www.sqlite.org/pragma.html#pragma_synchronous, 2 is FULL, and
        # https://www.sqlite.org/wal.html: with FULL every commit syncs the log.
        with closing(Database(tmp_path)) as database:
            writer = database._writer
            assert writer.execute("PRAGMA synchronous").fetchone() == (2,)
            assert writer.execute("PRAGMA journal_mode").fetchone() == ("wal",)

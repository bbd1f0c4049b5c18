"""No room to write: the owner can be told, the last commit stays, work goes on afterwards."""

import asyncio
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from assistant.conversation.messages import File
from assistant.edges.clock import PretendClock
from assistant.edges.embedded import Database, Keep, Mailbox, Shelf
from assistant.flow.ports import Job, NoRoom
from assistant.planning.model import Box, Put
from tests.contracts.edge import HOUSE, START, Edge, Recorder
from tests.contracts.shelf_suite import save

NOBODY = 65534  # the user id that owns nothing, by convention
BIG = File("p", "lantern.jpg", bytes(200_000))


class Disk:
    """Takes the room away from an open database, and gives it back."""

    def __init__(self, database: Database) -> None:
        self._writer = database._writer

    def full(self) -> None:
        """No page can be added: SQLite answers SQLITE_FULL, as on a full disk."""
        (pages,) = self._writer.execute("PRAGMA page_count").fetchone()
        self._writer.execute(f"PRAGMA max_page_count = {pages}")

    def read_only(self) -> None:
        """Nothing can be written: SQLite answers SQLITE_READONLY."""
        self._writer.execute("PRAGMA query_only = ON")

    def room(self) -> None:
        self._writer.execute("PRAGMA max_page_count = 1000000")
        self._writer.execute("PRAGMA query_only = OFF")


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    with closing(Database(tmp_path)) as opened:
        yield opened


@pytest.fixture
def edge(database: Database) -> Edge:
    clock = PretendClock(START)
    mailbox, shelf = Mailbox(database, clock), Shelf(database, HOUSE)
    return Edge(mailbox, shelf, Keep(database, clock), clock)


async def keep(edge: Edge, file: File) -> None:
    async with edge.mailbox.begin() as tx:
        await edge.shelf.keep(tx, "moss", file)


@pytest.mark.parametrize("fault", [Disk.full, Disk.read_only])
def test_a_commit_without_room_leaves_the_last_one(
    database: Database, edge: Edge, fault: Callable[[Disk], None]
) -> None:
    async def attempt() -> None:
        async with edge.mailbox.begin() as tx:
            await edge.shelf.save(tx, "moss", 1, (Put(Box("2027-04")),), None)
            await edge.mailbox.put(tx, "out", "chat", b"saved")
            await edge.shelf.keep(tx, "moss", BIG)

    async def whole() -> None:
        before = await save(edge, Put(Box("2027-03")))
        disk = Disk(database)
        for _ in range(3):
            fault(disk)
            with pytest.raises(NoRoom):
                await attempt()
            assert await edge.shelf.load("moss") == before
            assert await edge.shelf.file("moss", BIG.id) is None
            disk.room()
        await attempt()
        after = await edge.shelf.load("moss")
        assert [box.id for box in after.boxes] == ["2027-03", "2027-04"]
        assert await edge.shelf.file("moss", BIG.id) == BIG
        sent = Recorder()
        async with edge.serving("out", sent):
            await edge.mailbox.idle("out")
        assert sent.bodies == ["saved"]

    asyncio.run(whole())


def test_each_way_to_write_says_no_room(database: Database, edge: Edge) -> None:
    attempts: tuple[Callable[[], object], ...] = (
        lambda: edge.put("in", "moss", "hello"),
        lambda: save(edge, Put(Box("2027-03"))),
        lambda: keep(edge, BIG),
        lambda: edge.keep.remember("#1", "done"),
        lambda: edge.mailbox.revive(1),
    )

    async def whole() -> None:
        Disk(database).read_only()
        for attempt in attempts:
            with pytest.raises(NoRoom, match="read-only"):
                await attempt()  # type: ignore[misc]

    asyncio.run(whole())


def test_a_job_without_room_to_settle_waits_without_counting(
    database: Database, edge: Edge
) -> None:
    disk = Disk(database)
    tries = []

    async def handler(job: Job) -> None:
        tries.append(job.tries)
        async with job.settle() as tx:
            await edge.shelf.keep(tx, "moss", BIG)

    async def whole() -> None:
        await edge.put("in", "moss", "a photo")
        disk.full()
        async with edge.serving("in", handler):
            for _ in range(9):
                await edge.mailbox.idle("in")
                edge.move(minutes=1)
            disk.room()
            edge.move(minutes=1)
            await edge.mailbox.idle("in")
        assert await edge.shelf.file("moss", BIG.id) == BIG

    asyncio.run(whole())
    assert tries == [1] * 10


def test_no_job_is_handed_over_while_its_try_cannot_be_counted(
    database: Database, edge: Edge
) -> None:
    disk, seen = Disk(database), Recorder()

    async def whole() -> None:
        await edge.put("in", "moss", "one", "two")
        disk.read_only()
        async with edge.serving("in", seen):
            await asyncio.sleep(0)
            for _ in range(5):
                edge.mailbox.wake()
                await asyncio.sleep(0)
            assert seen.bodies == []
            disk.room()
            edge.mailbox.wake()
            await edge.mailbox.idle("in")
        assert (seen.bodies, seen.tries) == (["one", "two"], [1, 1])

    asyncio.run(whole())


def test_a_failure_that_cannot_be_written_down_is_written_when_it_can(
    database: Database, edge: Edge
) -> None:
    disk, failed = Disk(database), asyncio.Event()

    async def handler(job: Job) -> None:
        disk.read_only()
        failed.set()
        raise ValueError(job.id)

    async def whole() -> None:
        seen = Recorder()
        await edge.put("in", "moss", "one", "two")
        async with edge.serving("in", handler):
            await failed.wait()
            edge.mailbox.wake()
            await asyncio.sleep(0)
            disk.room()
            edge.mailbox.wake()
            await edge.mailbox.idle("in")
        edge.move(hours=1)
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert (seen.bodies, seen.tries) == (["one", "two"], [2, 1])

    asyncio.run(whole())


# Runs in a process of its own, because the limit is the whole process's. The limit makes real
# writes fail in the middle of the log (write(2): EFBIG when a file would pass RLIMIT_FSIZE).
LIMITED = """
import asyncio, resource, sys
from contextlib import closing, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from assistant.edges.embedded import Database, Shelf
from assistant.flow.ports import NoRoom
from assistant.planning.model import Box, Put
from tests.contracts.edge import HOUSE

async def save(database, version, theme):
    async with database.begin() as tx:
        await shelf.save(tx, "moss", version, (Put(Box("2027-03", theme=theme)),), None)

folder, past = Path(sys.argv[1]), int(sys.argv[2])
with closing(Database(folder)) as database:
    shelf = Shelf(database, HOUSE)
    asyncio.run(save(database, 0, "Rain & Roots"))
    log = (folder / "twelvefold.db-wal").stat().st_size
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    for _ in range(2):
        resource.setrlimit(resource.RLIMIT_FSIZE, (log + past, hard))
        try:
            asyncio.run(save(database, 1, "Lanterns" * 5000))
        except NoRoom as error:
            print(error)
        assert asyncio.run(shelf.load("moss")).boxes[0].theme == "Rain & Roots"
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    asyncio.run(save(database, 1, "Lanterns"))
with closing(Database(folder)) as database:
    shop = asyncio.run(Shelf(database, HOUSE).load("moss"))
    assert (shop.version, shop.boxes[0].theme) == (2, "Lanterns")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no limit on file size")
@pytest.mark.parametrize("past", [0, 1, 24, 1000, 4120, 10_000, 30_000])
def test_a_write_that_fails_halfway_leaves_the_last_commit(tmp_path: Path, past: int) -> None:
    command = [sys.executable, "-c", LIMITED, str(tmp_path), str(past)]
    root = Path(__file__).parents[2]
    done = subprocess.run(command, capture_output=True, text=True, cwd=root, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines() in (
        ["the disk gave an error"] * 2,
        ["the disk is full"] * 2,
    )


@contextmanager
def somebody() -> Iterator[Path]:
    """A folder of somebody who, unlike root, may not write just anywhere."""
    with TemporaryDirectory() as name:
        if os.geteuid() != 0:
            yield Path(name)
            return
        os.chown(name, NOBODY, NOBODY)
        os.seteuid(NOBODY)
        try:
            yield Path(name)
        finally:
            os.seteuid(0)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such modes")
def test_a_read_only_folder_is_said_when_it_is_opened() -> None:
    with somebody() as folder:
        Database(folder).close()
        for path in (*folder.iterdir(), folder):
            path.chmod(0o500)
        with pytest.raises(NoRoom):
            Database(folder)
        folder.chmod(0o700)

"""A full disk and a read-only folder, met by the whole assistant in the middle of things.

What follows from a full disk at the storage alone is in test_storage_full.py. Everything said is
invented.
"""

import asyncio
import resource
import sqlite3
from collections.abc import AsyncIterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, closing
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.edges.clock import PretendClock
from assistant.edges.embedded import Database, Mailbox, Shelf
from assistant.edges.embedded.database import FILE
from assistant.flow.messages import IN, OUT
from assistant.flow.ports import NoRoom
from assistant.planning.model import Put, Shop
from tests.flow.rig import LIMIT, MONDAY, PEOPLE, WREN, Rig
from tests.program import read_until, run, say, started
from tests.trade import house

SECOND = timedelta(seconds=1)
PHOTO = b"\xff\xd8\xff" + bytes(200_000)


class DiskRig(Rig):
    """The assistant over a data folder whose room can be taken away."""

    def __init__(self, database: Database) -> None:
        self.writer = database._writer
        clock = PretendClock(MONDAY)
        ports = Mailbox(database, clock), Shelf(database, house())
        super().__init__(Shop(id="moss", house=house()), clock, ports)

    def leave_pages(self, pages: int) -> None:
        """Let the file grow by so many pages and no more."""
        (used,) = self.writer.execute("PRAGMA page_count").fetchone()
        self.writer.execute(f"PRAGMA max_page_count = {used + pages}")

    def read_only(self) -> None:
        self.writer.execute("PRAGMA query_only = ON")

    def make_room(self) -> None:
        self.writer.execute("PRAGMA max_page_count = 1000000")
        self.writer.execute("PRAGMA query_only = OFF")

    async def look_around(self) -> None:
        """Let everybody do what they can; nothing that waits for room is waited for."""
        for _ in range(20):
            await asyncio.to_thread(int)  # the one thread is done with what it had before
            for _ in range(10):
                await asyncio.sleep(0)


@asynccontextmanager
async def at_work(folder: Path) -> AsyncIterator[DiskRig]:
    with closing(Database(folder)) as database, ThreadPoolExecutor(max_workers=1) as one_thread:
        asyncio.get_running_loop().set_default_executor(one_thread)
        rig = DiskRig(database)
        async with rig.mailbox.begin() as tx:
            await rig.shelf.save(tx, rig.id, 0, tuple(Put(one) for one in PEOPLE), None)
        async with asyncio.timeout(LIMIT), asyncio.TaskGroup() as tasks:
            at_work = [tasks.create_task(rig.worker.run()), tasks.create_task(rig.sender.run())]
            try:
                yield rig
            finally:
                for task in at_work:
                    task.cancel()


async def trouble(folder: Path, pages: int | None) -> None:
    async with at_work(folder) as rig:
        await rig.say("Idea: before the trouble")
        before = await rig.shelf.load(rig.id)
        rig.channel.contents["ref"] = [PHOTO] * 100
        message = rig.incoming("lantern walk", photo_ref="ref")
        if pages is None:
            rig.read_only()
        else:
            rig.leave_pages(pages)
        taken = await offered(rig, message)
        for _ in range(3):
            await rig.look_around()
            rig.clock.set(rig.clock.now() + 6 * SECOND)  # type: ignore[attr-defined]
            rig.mailbox.wake()
        assert await rig.shelf.load(rig.id) == before
        assert not [text for text in rig.told(WREN) if "lantern" in text]
        [told] = [text for text in rig.told(WREN) if "disk is full" in text]
        assert "make some room" in told
        rig.make_room()
        if not taken:
            assert await offered(rig, message)
        for _ in range(3):
            rig.mailbox.wake()
            await rig.settle()
            rig.clock.set(rig.clock.now() + 6 * SECOND)  # type: ignore[attr-defined]
        after = await rig.shelf.load(rig.id)
        assert [idea.text for idea in after.ideas] == ["before the trouble", "lantern walk"]
        file = await rig.shelf.file(rig.id, after.ideas[1].photo)
        assert file is not None
        assert file.content == PHOTO
        assert len([text for text in rig.told(WREN) if "lantern" in text]) == 1
        assert await rig.mailbox.dead(IN) == await rig.mailbox.dead(OUT) == ()
        await rig.say("Idea: after the trouble")
        assert "after the trouble" in rig.told(WREN)[-1]


async def offered(rig: Rig, message: object) -> bool:
    try:
        return await rig.take(message)  # type: ignore[arg-type]
    except NoRoom:
        return False


@pytest.mark.parametrize("pages", [0, 1, 2, 5, 20, 40, None])
def test_the_owner_is_told_and_work_goes_on_when_there_is_room(
    tmp_path: Path, pages: int | None
) -> None:
    asyncio.run(trouble(tmp_path, pages))
    with closing(sqlite3.connect(tmp_path / FILE)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]


@pytest.mark.skipif(not hasattr(resource, "prlimit"), reason="Linux sets limits from outside")
def test_a_process_whose_disk_fills_up_says_so_and_goes_on(tmp_path: Path) -> None:
    with started("chat", "--data", tmp_path, "--now", "2027-01-11 09:00") as program:
        say(program, "Idea: before the trouble")
        read_until(program, "[a] Undo")
        _, hard = resource.prlimit(program.pid, resource.RLIMIT_FSIZE)
        # No file may grow beyond so many bytes: writing fails with EFBIG, for root too.
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (1024, hard))
        say(program, "Idea: lantern walk")
        read_until(program, "the disk is full")
        say(program, "Idea: lantern walk")
        read_until(program, "the disk is full")
        resource.prlimit(program.pid, resource.RLIMIT_FSIZE, (hard, hard))
        say(program, "Idea: beeswax wrap")
        assert "Kept as an idea: beeswax wrap" in read_until(program, "[a] Undo")
        out, err = program.communicate(timeout=LIMIT)
    assert (program.returncode, err) == (0, b""), out
    done = run("chat", "--data", tmp_path, lines="ideas\n")
    assert "before the trouble" in done.stdout
    assert "beeswax wrap" in done.stdout
    assert "lantern walk" not in done.stdout

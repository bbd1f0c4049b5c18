"""The embedded lanes across restarts: tries that survive, names that are forgotten in time."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

from assistant.conversation.messages import File
from assistant.edges.clock import PretendClock
from assistant.edges.embedded import Database, Keep, Mailbox, Shelf
from assistant.edges.embedded.mailbox import Jobs
from assistant.edges.lanes import KILLED
from assistant.flow.ports import Job
from assistant.planning.model import Box, Put, Remove
from tests.contracts.edge import HOUSE, START, Edge, Recorder
from tests.contracts.shelf_suite import save


@contextmanager
def opened(folder: Path, clock: PretendClock) -> Iterator[tuple[Database, Edge]]:
    database = Database(folder)
    try:
        mailbox, shelf = Mailbox(database, clock), Shelf(database, HOUSE)
        yield database, Edge(mailbox, shelf, Keep(database, clock), clock)
    finally:
        database.close()


async def _die_in_hand(database: Database, edge: Edge) -> None:
    """Leave a job in hand as a killed process does: the folder is gone before it is let go."""
    begun = asyncio.Event()

    async def handler(job: Job) -> None:
        begun.set()
        await asyncio.Event().wait()
        raise AssertionError(job.id)

    task = asyncio.create_task(edge.mailbox.serve("in", handler))
    await begun.wait()
    database.close()
    task.cancel()
    await asyncio.wait([task])


def test_a_job_that_kills_its_process_is_buried_after_its_tries(tmp_path: Path) -> None:
    clock = PretendClock(START)
    with opened(tmp_path, clock) as (_, edge):
        asyncio.run(edge.put("in", "moss", "deadly", "harmless"))
    for _ in range(5):
        with opened(tmp_path, clock) as (database, edge):
            asyncio.run(_die_in_hand(database, edge))

    async def after(edge: Edge) -> None:
        seen = Recorder()
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert (seen.bodies, seen.tries) == (["harmless"], [1])
        [dead] = await edge.mailbox.dead("in")
        assert (dead.body, dead.tries, dead.error) == (b"deadly", 5, KILLED)

    with opened(tmp_path, clock) as (_, edge):
        asyncio.run(after(edge))


def test_a_job_in_hand_when_the_process_died_is_runnable_at_once(tmp_path: Path) -> None:
    clock = PretendClock(START)

    async def after(edge: Edge) -> None:
        seen = Recorder()
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert (seen.bodies, seen.tries) == (["first", "second"], [2, 1])

    with opened(tmp_path, clock) as (database, edge):
        asyncio.run(edge.put("in", "moss", "first", "second"))
        asyncio.run(_die_in_hand(database, edge))
    with opened(tmp_path, clock) as (_, edge):
        asyncio.run(after(edge))


def test_waits_and_order_survive_a_restart(tmp_path: Path) -> None:
    clock = PretendClock(START)

    async def failing(job: Job) -> None:
        raise ValueError(job.id)

    async def before(edge: Edge) -> None:
        await edge.put("in", "moss", "first", "second")
        async with edge.serving("in", failing):
            await edge.mailbox.idle("in")

    async def after(edge: Edge) -> None:
        seen = Recorder()
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
            assert seen.bodies == []
            edge.move(minutes=10)
            await edge.mailbox.idle("in")
        assert (seen.bodies, seen.tries) == (["first", "second"], [2, 1])

    with opened(tmp_path, clock) as (_, edge):
        asyncio.run(before(edge))
    with opened(tmp_path, clock) as (_, edge):
        asyncio.run(after(edge))


def test_done_jobs_leave_only_the_names_of_the_last_seven_days(tmp_path: Path) -> None:
    clock = PretendClock(START)

    async def story(edge: Edge) -> None:
        async with edge.serving("in", Recorder()):
            for day in range(30):
                await edge.put("in", "moss", "x" * 1000, once=f"message {day}")
                await edge.put("in", "moss", "plain")
                await edge.mailbox.idle("in")
                edge.move(days=1)

    with opened(tmp_path, clock) as (database, edge):
        asyncio.run(story(edge))
        rows = database.read("SELECT once, body FROM job ORDER BY id").fetchall()
        assert rows == [(f"message {day}", b"") for day in range(22, 30)]
        asyncio.run(edge.put("in", "moss", "again", once="message 3"))
        assert len(database.read("SELECT id FROM job").fetchall()) == 9


def test_ids_are_never_given_twice(tmp_path: Path) -> None:
    clock = PretendClock(START)
    ids = []

    async def handler(job: Job) -> None:
        ids.append(job.id)
        async with job.settle():
            pass

    async def story(edge: Edge) -> None:
        async with edge.serving("in", handler):
            for _ in range(3):
                await edge.put("in", "moss", "x")
                await edge.mailbox.idle("in")

    for _ in range(2):
        with opened(tmp_path, clock) as (_, edge):
            asyncio.run(story(edge))
    assert ids == [1, 2, 3, 4, 5, 6]


async def _use_everything(edge: Edge) -> None:
    async def failing(job: Job) -> None:
        raise ValueError(job.id)

    await edge.put("in", "moss", "x", "y", once="")
    await edge.put("in", "moss", "z", once="7", after=timedelta(hours=1))
    async with edge.serving("in", failing):
        while not (dead := await edge.mailbox.dead("in")):
            edge.move(hours=1)
            await edge.mailbox.idle("in")
    await edge.mailbox.revive(dead[0].id)
    await save(edge, Put(Box(id="2027-03")), Put(Box(id="2027-04")))
    await save(edge, Put(Box(id="2027-03", theme="Rain & Roots")), Remove("boxes", "2027-04"))
    async with edge.serving("in", Recorder()):
        edge.move(hours=1)
        await edge.mailbox.idle("in")
    async with edge.mailbox.begin() as tx:
        await edge.shelf.keep(tx, "moss", File("p", "p.jpg", b"x"))
    await edge.shelf.file("moss", "p")
    await edge.keep.remember("#1", "done")
    await edge.keep.recall("#1")


def test_every_statement_finds_its_rows_through_an_index(tmp_path: Path) -> None:
    with opened(tmp_path, PretendClock(START)) as (database, edge):
        said: list[str] = []
        for connection in (database._reader, database._writer):
            connection.set_trace_callback(said.append)
        asyncio.run(_use_everything(edge))
        for connection in (database._reader, database._writer):
            connection.set_trace_callback(None)
        work = {s for s in said if s.split()[0] in ("SELECT", "WITH", "INSERT", "UPDATE", "DELETE")}
        plans = {sql: database.read(f"EXPLAIN QUERY PLAN {sql}").fetchall() for sql in work}
    tables = {"job", "document", "blob", "kept", "shop"}
    assert len(work) > 30
    for sql, plan in plans.items():
        for step in (row[3] for row in plan):
            assert not (step.startswith("SCAN") and tables & set(step.split())), (sql, step)
            assert not ("TEMP B-TREE" in step and "document" in sql), (sql, step)


def test_the_next_job_of_a_long_lane_is_found_without_reading_the_lane(tmp_path: Path) -> None:
    clock = PretendClock(START)
    with opened(tmp_path, clock) as (database, edge):
        for key in ("moss", "gate", "fell"):
            asyncio.run(edge.put("in", key, *map(str, range(2000))))
        steps = 0

        def count() -> int:
            nonlocal steps
            steps += 1
            return 0

        database._reader.set_progress_handler(count, 1)  # called at each step of the machine
        heads = Jobs(database).heads("in", clock.now() + timedelta(days=1))
        assert Jobs(database).next_due("in", clock.now()) is None
        database._reader.set_progress_handler(None, 1)
    assert [(slip.key, slip.body) for slip in heads] == [
        ("moss", b"0"),
        ("gate", b"0"),
        ("fell", b"0"),
    ]
    assert steps < 1000

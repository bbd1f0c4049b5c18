"""What is tried too often is set aside, and those whom it concerns are told. All invented."""

import asyncio
from contextlib import closing
from pathlib import Path

import pytest

from assistant.conversation.messages import Moment, Outcome
from assistant.edges.clock import PretendClock
from assistant.edges.embedded import Database, Mailbox
from assistant.edges.embedded import Shelf as EmbeddedShelf
from assistant.flow import worker
from assistant.flow.messages import IN, OUT
from assistant.flow.ports import Job
from assistant.planning.model import Put, Shop
from tests.flow.rig import MONDAY, PEOPLE, ROWAN, WREN, Rig, at_work, story
from tests.trade import house, shop

POISON = "Idea: poison"
OVERDUE = "2027-02 Rain: notebook@Aldermoor 450 x 3.10, lead 20d"


@pytest.fixture
def poisoned(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let handling fail for one text."""
    real = worker.converse

    def converse(made: Shop, heard: object, moment: Moment) -> Outcome:
        if getattr(heard, "text", "") == POISON:
            raise ZeroDivisionError("a bug")
        return real(made, heard, moment)  # type: ignore[arg-type]

    monkeypatch.setattr(worker, "converse", converse)


@pytest.fixture
def gloomy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let every morning's digest fail."""
    monkeypatch.setattr(worker, "morning", lambda _, now: now / 0)


async def tried_out(rig: Rig) -> None:
    for _ in range(8):
        await rig.wait(minutes=3)


@pytest.mark.usefixtures("poisoned")
@story()
async def test_the_sender_of_a_message_and_the_owner_are_told(rig: Rig) -> None:
    before = rig.shop
    await rig.say(POISON, ROWAN)
    await rig.say("Idea: after it", ROWAN)
    assert rig.told(ROWAN) == []
    await tried_out(rig)
    first, second = rig.told(ROWAN)
    assert "poison" in first
    assert "nothing" in first
    assert second == "Kept as an idea: after it."
    [told] = rig.told(WREN)
    assert "Rowan" in told
    assert "poison" not in told
    assert [idea.text for idea in rig.shop.ideas] == ["after it"]
    assert rig.shop.items == before.items
    [dead] = await rig.mailbox.dead(IN)
    assert dead.tries == 5


@pytest.mark.usefixtures("poisoned")
@story()
async def test_a_stranger_is_told_nothing(rig: Rig) -> None:
    await rig.say(POISON, "pretend:stranger")
    await tried_out(rig)
    assert rig.told("pretend:stranger") == []
    [told] = rig.told(WREN)
    assert "poison" not in told


@pytest.mark.usefixtures("gloomy")
@story(OVERDUE)
async def test_a_digest_that_cannot_be_made_is_told_once_a_day(rig: Rig) -> None:
    for _ in range(7 * 24 * 4):
        await rig.wait(minutes=15)
    told = rig.told(WREN)
    assert 5 <= len(told) <= 8
    assert all("what is due" in text for text in told)
    assert len(await rig.mailbox.dead(IN)) == len(told)


@story()
async def test_a_reply_that_cannot_be_sent_is_told(rig: Rig) -> None:
    rig.channel.faults[ROWAN].extend([ValueError("bad request")] * 5)
    await rig.say("hello", ROWAN)
    await tried_out(rig)
    [here] = rig.told(ROWAN)
    assert "ask again" in here
    [told] = rig.told(WREN)
    assert "Rowan" in told


@story()
async def test_a_notice_that_cannot_be_sent_either_is_the_end_of_it(rig: Rig) -> None:
    rig.channel.faults[WREN].extend([ValueError("bad request")] * 1000)
    await rig.say("hello")
    for _ in range(50):
        await rig.wait(minutes=3)
    assert rig.told(WREN) == []
    assert len(await rig.mailbox.dead(OUT)) == 2


@story()
async def test_a_body_that_cannot_be_read_is_told(rig: Rig) -> None:
    async with rig.mailbox.begin() as tx:
        await rig.mailbox.put(tx, IN, rig.id, b'{"kind": "from another time"}')
    await rig.settle()
    await tried_out(rig)
    [told] = rig.told(WREN)
    assert "something" in told


@story()
async def test_what_was_set_aside_can_be_tried_again(rig: Rig) -> None:
    real, worker.converse = worker.converse, lambda *_: 1 / 0  # type: ignore[assignment]
    try:
        await rig.say("Idea: lantern walk")
        await tried_out(rig)
    finally:
        worker.converse = real
    [dead] = await rig.mailbox.dead(IN)
    assert await rig.mailbox.revive(dead.id)
    await rig.settle()
    assert [idea.text for idea in rig.shop.ideas] == ["lantern walk"]
    assert rig.told(WREN)[-1] == "Kept as an idea: lantern walk."


def test_a_message_that_kills_its_process_is_told_in_the_end(tmp_path: Path) -> None:
    """Six processes in a row, each on the same folder, the first five gone with it in hand."""

    async def die_in_hand(database: Database) -> None:
        begun = asyncio.Event()

        async def handler(job: Job) -> None:
            del job
            begun.set()
            await asyncio.Event().wait()

        task = asyncio.create_task(Mailbox(database, clock).serve(IN, handler))
        await begun.wait()
        database.close()
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)

    async def begin(database: Database, rig: Rig) -> None:
        mailbox, shelf = Mailbox(database, clock), EmbeddedShelf(database, house())
        async with mailbox.begin() as tx:
            await shelf.save(tx, rig.id, 0, tuple(Put(one) for one in PEOPLE), None)
            body = worker.encode(rig.incoming("Idea: lantern walk"))
            await mailbox.put(tx, IN, rig.id, body, once="update/1")

    async def whole() -> None:
        async with at_work(shop()) as rig:
            with closing(Database(tmp_path)) as database:
                await begin(database, rig)
            for _ in range(5):
                await die_in_hand(Database(tmp_path))
            with closing(Database(tmp_path)) as database:
                rig.worker._mailbox = Mailbox(database, clock)
                rig.worker._shelf = EmbeddedShelf(database, house())
                task = asyncio.create_task(rig.worker.run())
                await rig.worker._mailbox.idle(IN)
                task.cancel()
                await asyncio.wait([task])
                [(body,)] = database.read("SELECT body FROM job WHERE lane = 'out'").fetchall()
        assert b"lantern walk" in body
        assert b"failed 5 times" in body

    clock = PretendClock(MONDAY)
    asyncio.run(whole())

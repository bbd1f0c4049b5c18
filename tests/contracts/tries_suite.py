"""What every mailbox promises of jobs that fail: tried again, given up, revived."""

import asyncio
from datetime import timedelta
from itertools import pairwise

import pytest

from assistant.flow.ports import Dead, Job, Later, NoRoom, Tx
from tests.contracts.edge import Edge, Open, Recorder, story


class TriesSuite:
    @story
    async def test_a_failing_job_holds_back_its_key_until_it_is_dead(self, edge: Edge) -> None:
        tried, done = [], []

        async def handler(job: Job) -> None:
            if job.body == b"bad":
                tried.append(job.tries)
                raise ValueError("no good")
            async with job.settle():
                done.append(job.body)

        await edge.put("in", "shop", "bad", "good")
        async with edge.serving("in", handler):
            await edge.mailbox.idle("in")
            while not done:
                assert tried == list(range(1, len(tried) + 1))
                edge.move(hours=1)
                await edge.mailbox.idle("in")
        assert (tried, done) == ([1, 2, 3, 4, 5], [b"good"])
        [dead] = await edge.mailbox.dead("in")
        assert (dead.lane, dead.key, dead.body, dead.tries) == ("in", "shop", b"bad", 5)
        assert "no good" in dead.error
        assert dead.at == edge.clock.now()
        assert await edge.mailbox.dead("out") == ()

    @story
    async def test_a_failed_job_is_not_tried_again_before_its_time(self, edge: Edge) -> None:
        tried = []

        async def handler(job: Job) -> None:
            tried.append(edge.clock.now())
            raise ValueError(job.id)

        await edge.put("in", "shop", "bad")
        async with edge.serving("in", handler):
            await edge.mailbox.idle("in")
            while not await edge.mailbox.dead("in"):
                before = len(tried)
                edge.mailbox.wake()
                await edge.mailbox.idle("in")
                assert len(tried) == before
                while len(tried) == before:
                    edge.move(seconds=1)
                    await edge.mailbox.idle("in")
        waits = [later - earlier for earlier, later in pairwise(tried)]
        assert waits == sorted(waits)
        assert waits[0] >= timedelta(seconds=1)
        assert waits[-1] <= timedelta(minutes=10)

    @story
    async def test_giving_a_job_up_is_told_in_the_commit_that_keeps_it_as_dead(
        self, edge: Edge
    ) -> None:
        told: list[Dead] = []
        seen = Recorder()

        async def failing(job: Job) -> None:
            raise ValueError(job.id)

        async def given_up(tx: Tx, dead: Dead) -> None:
            assert await edge.mailbox.dead("in") == ()  # not committed yet
            told.append(dead)
            await edge.mailbox.put(tx, "out", dead.key, b"given up: " + dead.body)

        await edge.put("in", "shop", "bad")
        async with edge.serving("in", failing, given_up), edge.serving("out", seen):
            while not await edge.mailbox.dead("in"):
                assert told == []
                edge.move(hours=1)
                await edge.mailbox.idle("in", "out")
        assert tuple(told) == await edge.mailbox.dead("in")
        assert seen.bodies == ["given up: bad"]

    @story
    async def test_telling_that_fails_leaves_nothing_half_said_and_the_lane_going(
        self, edge: Edge
    ) -> None:
        done = []

        async def handler(job: Job) -> None:
            if job.body == b"bad":
                raise ValueError("no good")
            async with job.settle():
                done.append(job.body)

        async def given_up(tx: Tx, dead: Dead) -> None:
            await edge.mailbox.put(tx, "out", dead.key, b"half said")
            raise KeyError(dead.id)

        await edge.put("in", "shop", "bad", "good")
        async with edge.serving("in", handler, given_up):
            while not done:
                edge.move(hours=1)
                await edge.mailbox.idle("in")
        assert [dead.body for dead in await edge.mailbox.dead("in")] == [b"bad"]
        seen = Recorder()
        async with edge.serving("out", seen):
            await edge.mailbox.idle("out")
        assert seen.bodies == []

    @pytest.mark.parametrize("error", [Later(30), NoRoom("the disk is full")])
    def test_waiting_does_not_count_as_a_try(self, edge: Open, error: Exception) -> None:
        async def whole() -> None:
            async with asyncio.timeout(60), edge() as opened:
                await self._wait_often(opened, error)

        asyncio.run(whole())

    async def _wait_often(self, edge: Edge, error: Exception) -> None:
        tries = []

        async def handler(job: Job) -> None:
            tries.append(job.tries)
            if len(tries) < 12:
                raise error
            async with job.settle():
                pass

        await edge.put("in", "shop", "wait")
        async with edge.serving("in", handler):
            for _ in range(12):
                await edge.mailbox.idle("in")
                edge.move(seconds=30)
            await edge.mailbox.idle("in")
        assert tries == [1] * 12
        assert await edge.mailbox.dead("in") == ()

    @story
    async def test_a_handler_that_does_not_settle_has_failed(self, edge: Edge) -> None:
        tried = []

        async def handler(job: Job) -> None:
            tried.append(job.tries)

        await edge.put("in", "shop", "forgotten")
        async with edge.serving("in", handler):
            for _ in range(9):
                await edge.mailbox.idle("in")
                edge.move(hours=1)
        assert tried == [1, 2, 3, 4, 5]
        assert len(await edge.mailbox.dead("in")) == 1

    @story
    async def test_a_dead_job_marked_once_is_not_put_again(self, edge: Edge) -> None:
        async def handler(job: Job) -> None:
            raise ValueError(job.id)

        await edge.put("in", "shop", "bad", once="7")
        async with edge.serving("in", handler):
            while not await edge.mailbox.dead("in"):
                edge.move(hours=1)
                await edge.mailbox.idle("in")
        assert await edge.put("in", "shop", "bad", once="7") == [False]

    @story
    async def test_a_revived_job_comes_before_the_later_ones_of_its_key(self, edge: Edge) -> None:
        async def failing(job: Job) -> None:
            raise ValueError(job.id)

        await edge.put("in", "shop", "first", "second")
        async with edge.serving("in", failing):
            while not (dead := await edge.mailbox.dead("in")):
                edge.move(hours=1)
                await edge.mailbox.idle("in")
        await edge.put("in", "shop", "third")
        assert await edge.mailbox.revive(dead[0].id)
        assert not await edge.mailbox.revive(dead[0].id)
        assert not await edge.mailbox.revive(dead[0].id + 1000)
        assert await edge.mailbox.dead("in") == ()
        edge.move(hours=1)
        seen = Recorder()
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert seen.bodies == ["first", "second", "third"]
        assert seen.tries[0] == 1

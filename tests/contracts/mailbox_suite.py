"""What every mailbox promises. A test class of an implementation derives from `MailboxSuite` and
gives it the fixture `edge`."""

import asyncio
from collections import defaultdict
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.flow.ports import Job, Later, Stale
from tests.contracts.edge import Edge, Open, Recorder, story
from tests.contracts.tries_suite import TriesSuite

FAIL, LATER, FORGET, DONE = "fail", "later", "forget", "done"
outcomes = st.lists(st.sampled_from([FAIL, LATER, FORGET]), max_size=7)
scripts = st.lists(st.tuples(st.sampled_from("abc"), outcomes), max_size=9)


class MailboxSuite(TriesSuite):
    @story
    async def test_a_job_is_handed_over_as_it_was_put_and_is_gone_when_settled(
        self, edge: Edge
    ) -> None:
        seen = []

        async def handler(job: Job) -> None:
            seen.append((job.lane, job.key, job.body, job.tries))
            async with job.settle():
                pass

        body = bytes(range(256))
        async with edge.mailbox.begin() as tx:
            assert await edge.mailbox.put(tx, "in", "shop", body)
        for _ in range(2):
            async with edge.serving("in", handler):
                await edge.mailbox.idle("in")
        assert seen == [("in", "shop", body, 1)]

    @story
    async def test_a_serving_lane_wakes_when_something_is_put(self, edge: Edge) -> None:
        seen = Recorder()
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
            for body in "abc":
                await edge.put("in", "shop", body)
                await edge.mailbox.idle("in")
        assert seen.bodies == ["a", "b", "c"]

    @story
    async def test_lanes_are_apart(self, edge: Edge) -> None:
        seen = Recorder()
        await edge.put("out", "shop", "not this")
        await edge.put("in", "shop", "this")
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert seen.bodies == ["this"]

    @story
    async def test_jobs_of_a_key_run_one_at_a_time_and_keys_do_not_wait(self, edge: Edge) -> None:
        begun, done, gate = [], [], asyncio.Event()

        async def handler(job: Job) -> None:
            begun.append(job.body)
            if job.key == "slow":
                await gate.wait()
            async with job.settle():
                done.append(job.body)
            if job.body == b"f2":
                gate.set()

        await edge.put("in", "slow", "s1", "s2")
        await edge.put("in", "fast", "f1", "f2")
        async with edge.serving("in", handler):
            await gate.wait()
            assert begun.count(b"s1") == 1
            assert b"s2" not in begun
            assert done == [b"f1", b"f2"]
            await edge.mailbox.idle("in")
        assert done == [b"f1", b"f2", b"s1", b"s2"]

    @story
    async def test_two_workers_on_a_lane_never_take_the_same_job(self, edge: Edge) -> None:
        one, two = Recorder(), Recorder()
        await edge.put("in", "a", *"123")
        await edge.put("in", "b", *"456")
        async with edge.serving("in", one), edge.serving("in", two):
            await edge.mailbox.idle("in")
        assert sorted(one.bodies + two.bodies) == list("123456")

    @story
    async def test_what_is_put_while_settling_stands_or_falls_with_it(self, edge: Edge) -> None:
        async def handler(job: Job) -> None:
            async with job.settle() as tx:
                await edge.mailbox.put(tx, "out", "chat", b"%d" % job.tries)
                if job.tries < 3:
                    raise ValueError

        sent = Recorder()
        await edge.put("in", "shop", "hello")
        async with edge.serving("in", handler), edge.serving("out", sent):
            for _ in range(4):
                await edge.mailbox.idle("in", "out")
                edge.move(hours=1)
        assert sent.bodies == ["3"]

    @story
    async def test_what_is_put_in_a_transaction_that_fails_is_not_there(self, edge: Edge) -> None:
        async def fail() -> None:
            async with edge.mailbox.begin() as tx:
                assert await edge.mailbox.put(tx, "in", "shop", b"lost", once="1")
                assert not await edge.mailbox.put(tx, "in", "shop", b"lost", once="1")
                raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            await fail()
        seen = Recorder()
        assert await edge.put("in", "shop", "kept", once="1") == [True]
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert seen.bodies == ["kept"]

    @story
    async def test_a_job_marked_once_is_put_once(self, edge: Edge) -> None:
        seen = Recorder()
        assert await edge.put("in", "shop", "first", once="7") == [True]
        assert await edge.put("in", "other", "again", once="7") == [False]
        assert await edge.put("in", "shop", "second", once="8") == [True]
        assert await edge.put("out", "shop", "elsewhere", once="7") == [True]
        assert await edge.put("in", "shop", "plain", "plain") == [True, True]
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
            edge.move(days=6, hours=23)
            assert await edge.put("in", "shop", "third") == [True]
            await edge.mailbox.idle("in")
            assert await edge.put("in", "shop", "again", once="7") == [False]
        assert seen.bodies == ["first", "second", "plain", "plain", "third"]

    @story
    async def test_a_job_settles_once(self, edge: Edge) -> None:
        refused = []

        async def handler(job: Job) -> None:
            async with job.settle():
                pass
            try:
                async with job.settle() as tx:
                    await edge.mailbox.put(tx, "out", "chat", b"twice")
            except Stale:
                refused.append(job.body)

        await edge.put("in", "shop", "x")
        async with edge.serving("in", handler):
            await edge.mailbox.idle("in")
        assert refused == [b"x"]
        seen = Recorder()
        async with edge.serving("out", seen):
            await edge.mailbox.idle("out")
        assert seen.bodies == []

    @story
    async def test_who_stops_serving_lets_go_and_cannot_settle_late(self, edge: Edge) -> None:
        held: list[Job] = []
        begun = asyncio.Event()

        async def handler(job: Job) -> None:
            held.append(job)
            begun.set()
            await asyncio.Event().wait()

        await edge.put("in", "shop", "x", "y")
        async with edge.serving("in", handler):
            await begun.wait()
        with pytest.raises(Stale):
            async with held[0].settle():
                pytest.fail("a job that was let go could be settled")
        seen = Recorder()
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
        assert (seen.bodies, seen.tries) == (["x", "y"], [1, 1])
        with pytest.raises(Stale):
            async with held[0].settle():
                pytest.fail("a job that another worker did could be settled")

    @story
    async def test_a_job_put_for_later_holds_nobody_back(self, edge: Edge) -> None:
        seen = Recorder()
        await edge.put("in", "shop", "tomorrow", after=timedelta(days=1))
        await edge.put("in", "shop", "now", "next")
        async with edge.serving("in", seen):
            await edge.mailbox.idle("in")
            assert seen.bodies == ["now", "next"]
            edge.move(hours=23)
            await edge.mailbox.idle("in")
            assert seen.bodies == ["now", "next"]
            edge.move(hours=1)
            await edge.mailbox.idle("in")
        assert seen.bodies == ["now", "next", "tomorrow"]

    @story
    async def test_idle_waits_for_what_is_in_hand_and_not_for_what_waits(self, edge: Edge) -> None:
        gate, begun = asyncio.Event(), asyncio.Event()

        async def handler(job: Job) -> None:
            begun.set()
            await gate.wait()
            raise Later(60 * job.tries)

        await edge.mailbox.idle("in", "out")
        await edge.put("in", "shop", "x")
        async with edge.serving("in", handler):
            await begun.wait()
            idle = asyncio.create_task(edge.mailbox.idle("in", "out"))
            await edge.mailbox.idle("out")
            assert not idle.done()
            gate.set()
            await idle

    @given(scripts)
    @settings(
        max_examples=30,
        deadline=None,
        suppress_health_check=[
            HealthCheck.function_scoped_fixture,
            HealthCheck.differing_executors,
        ],
    )
    def test_whatever_handlers_do_order_holds_and_nothing_is_done_twice(
        self, edge: Open, script: list[tuple[str, list[str]]]
    ) -> None:
        asyncio.run(self._play(edge, script))

    async def _play(self, edge: Open, script: list[tuple[str, list[str]]]) -> None:
        plans = {number: list(plan) for number, (_, plan) in enumerate(script)}
        done: dict[str, list[int]] = defaultdict(list)

        async def handler(job: Job) -> None:
            number = int(job.body)
            step = plans[number].pop(0) if plans[number] else DONE
            if step == LATER:
                raise Later(1)
            if step == FORGET:
                return
            async with job.settle():
                done[job.key].append(number)
                if step == FAIL:
                    done[job.key].pop()
                    raise ValueError

        async with asyncio.timeout(60), edge() as opened:
            for number, (key, _) in enumerate(script):
                await opened.put("in", key, str(number))
            async with opened.serving("in", handler):
                for _ in range(9 * len(script) + 1):
                    await opened.mailbox.idle("in")
                    opened.move(hours=1)
            dead = {int(job.body) for job in await opened.mailbox.dead("in")}
        doomed = {n for n, (_, plan) in enumerate(script) if len(plan) - plan.count(LATER) >= 5}
        assert dead == doomed
        for key in "abc":
            put = [number for number, (k, _) in enumerate(script) if k == key]
            assert done[key] == [number for number in put if number not in doomed]

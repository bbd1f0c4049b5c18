"""What every shelf promises. A test class of an implementation derives from `ShelfSuite` and
gives it the fixture `edge`."""

import asyncio

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.messages import File
from assistant.flow.ports import RECENT, Job, Stale
from assistant.planning.changes import apply, invert
from assistant.planning.model import Box, Change, Entry, Idea, Put, Remove, Shop
from tests.contracts.edge import HOUSE, Edge, Open, story
from tests.contracts.records import changes as some_changes

NEW = Shop(id="moss", house=HOUSE)


def box(id: str, theme: str = "") -> Put:
    return Put(Box(id=id, theme=theme))


async def save(edge: Edge, *changes: Change, shop: str = "moss", why: str = "") -> Shop:
    """Save as flow does, and return the shop as it must be from now on."""
    before = await edge.shelf.load(shop)
    entry = Entry(
        number=before.version + 1,
        at=edge.clock.now(),
        by="her",
        why=why,
        changes=changes,
        inverse=invert(before, changes),
    )
    async with edge.mailbox.begin() as tx:
        version = await edge.shelf.save(tx, shop, before.version, changes, entry)
    recent = (*before.recent, entry)[-RECENT:]
    return replace(apply(before, changes), version=version, recent=recent)


class ShelfSuite:
    @story
    async def test_a_shop_that_was_never_saved_is_empty(self, edge: Edge) -> None:
        assert await edge.shelf.version("moss") == 0
        assert await edge.shelf.load("moss") == NEW

    @story
    async def test_a_saved_shop_is_loaded_as_it_was_saved(self, edge: Edge) -> None:
        await save(edge, box("2027-03", "Rain & Roots"), box("2027-04"), why="two boxes")
        after = await save(edge, box("2027-05"), Remove("boxes", "2027-04"), why="May, not April")
        assert await edge.shelf.load("moss") == after
        assert await edge.shelf.version("moss") == after.version == 2
        assert [entry.why for entry in after.recent] == ["two boxes", "May, not April"]

    @story
    async def test_new_records_go_last_and_replaced_ones_keep_their_place(self, edge: Edge) -> None:
        await save(edge, box("c"), box("a"), box("b"))
        await save(edge, box("a", "again"), box("0"))
        await save(edge, Remove("boxes", "c"), Remove("boxes", "none"), box("c"))
        shop = await edge.shelf.load("moss")
        assert [(b.id, b.theme) for b in shop.boxes] == [
            ("a", "again"),
            ("b", ""),
            ("0", ""),
            ("c", ""),
        ]

    @story
    async def test_a_replaced_record_keeps_nothing_of_the_old_one(self, edge: Edge) -> None:
        await save(edge, box("a", "Rain & Roots"))
        await save(edge, box("a"))
        assert (await edge.shelf.load("moss")).boxes == (Box(id="a"),)

    @given(st.lists(some_changes, max_size=5))
    @settings(
        max_examples=40,
        deadline=None,
        suppress_health_check=[
            HealthCheck.function_scoped_fixture,
            HealthCheck.differing_executors,
            HealthCheck.too_slow,
        ],
    )
    def test_every_record_comes_back_as_it_went_in(
        self, edge: Open, saves: list[tuple[Change, ...]]
    ) -> None:
        async def whole() -> None:
            async with edge() as opened:
                for changes in saves:
                    expected = await save(opened, *changes)
                    assert await opened.shelf.load("moss") == expected

        asyncio.run(whole())

    @story
    async def test_a_stale_version_is_refused_and_changes_nothing(self, edge: Edge) -> None:
        after = await save(edge, box("a"))
        for version in (0, 2):
            with pytest.raises(Stale):
                async with edge.mailbox.begin() as tx:
                    await edge.shelf.save(tx, "moss", version, (box("b"),), None)
        assert await edge.shelf.load("moss") == after

    @story
    async def test_an_entry_bears_the_version_after_it(self, edge: Edge) -> None:
        entry = Entry(2, edge.clock.now(), "her", "", (), ())
        with pytest.raises(ValueError, match="entry 2 after version 0"):
            async with edge.mailbox.begin() as tx:
                await edge.shelf.save(tx, "moss", 0, (), entry)

    @story
    async def test_a_save_without_an_entry_counts_too(self, edge: Edge) -> None:
        async with edge.mailbox.begin() as tx:
            assert await edge.shelf.save(tx, "moss", 0, (box("a"),), None) == 1
        after = await save(edge, box("b"))
        assert (after.version, [entry.number for entry in after.recent]) == (2, [2])
        assert await edge.shelf.load("moss") == after

    @story
    async def test_two_saves_can_share_a_transaction(self, edge: Edge) -> None:
        async with edge.mailbox.begin() as tx:
            version = await edge.shelf.save(tx, "moss", 0, (box("a"),), None)
            await edge.shelf.save(tx, "moss", version, (box("b"), box("a", "x")), None)
        shop = await edge.shelf.load("moss")
        assert (shop.version, shop.boxes) == (2, (Box(id="a", theme="x"), Box(id="b")))

    @story
    async def test_the_newest_history_is_loaded_oldest_first(self, edge: Edge) -> None:
        for number in range(RECENT + 3):
            edge.move(minutes=1)
            after = await save(edge, box("a", str(number)), why=str(number))
        loaded = await edge.shelf.load("moss")
        assert loaded == after
        assert [entry.why for entry in loaded.recent] == [str(n) for n in range(3, RECENT + 3)]

    @story
    async def test_shops_are_apart(self, edge: Edge) -> None:
        moss = await save(edge, box("a", "moss"))
        gate = await save(edge, box("a", "gate"), box("b"), shop="gate")
        await save(edge, Remove("boxes", "b"), shop="fell")
        assert await edge.shelf.load("moss") == moss
        assert await edge.shelf.load("gate") == gate
        assert await edge.shelf.version("fell") == 1

    @story
    async def test_reading_shows_the_last_commit_and_does_not_wait(self, edge: Edge) -> None:
        before = await save(edge, box("a"))

        async def fail() -> None:
            async with edge.mailbox.begin() as tx:
                await edge.shelf.save(tx, "moss", 1, (box("b"),), None)
                await edge.shelf.keep(tx, "moss", File("f", "f.jpg", b"x"))
                assert await edge.shelf.load("moss") == before
                assert await edge.shelf.version("moss") == 1
                assert await edge.shelf.file("moss", "f") is None
                raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            await fail()
        assert await edge.shelf.load("moss") == before
        assert await edge.shelf.file("moss", "f") is None

    @story
    async def test_plan_replies_and_done_stand_or_fall_together(self, edge: Edge) -> None:
        async def handler(job: Job) -> None:
            idea = Idea(id=job.body.decode(), text="lantern walk", at=edge.clock.now())
            version = await edge.shelf.version("moss")
            async with job.settle() as tx:
                await edge.shelf.save(tx, "moss", version, (Put(idea),), None)
                await edge.mailbox.put(tx, "out", "chat", job.body)
                if job.tries < 3:
                    raise ValueError

        sent: list[bytes] = []

        async def sender(job: Job) -> None:
            async with job.settle():
                sent.append(job.body)

        await edge.put("in", "moss", "1", "2")
        async with edge.serving("in", handler), edge.serving("out", sender):
            for _ in range(9):
                await edge.mailbox.idle("in", "out")
                edge.move(hours=1)
        shop = await edge.shelf.load("moss")
        assert (shop.version, [idea.id for idea in shop.ideas]) == (2, ["1", "2"])
        assert sent == [b"1", b"2"]

    @story
    async def test_files_are_kept_by_shop_and_id(self, edge: Edge) -> None:
        first = File("p", "lantern.jpg", b"\xff\xd8" * 500_000)
        second = File("p", "lantern 2.jpg", b"")
        async with edge.mailbox.begin() as tx:
            await edge.shelf.keep(tx, "moss", first)
            await edge.shelf.keep(tx, "gate", second)
        assert await edge.shelf.file("moss", "p") == first
        assert await edge.shelf.file("gate", "p") == second
        assert await edge.shelf.file("moss", "q") is None
        async with edge.mailbox.begin() as tx:
            await edge.shelf.keep(tx, "moss", second)
        assert await edge.shelf.file("moss", "p") == second

    @story
    async def test_words_are_remembered_for_400_days(self, edge: Edge) -> None:
        await edge.keep.remember("#1", "move the notebook to May")
        edge.move(days=399)
        await edge.keep.remember("#2", "swap March and May")
        assert await edge.keep.recall("#1") == "move the notebook to May"
        await edge.keep.remember("#1", "move the tea to May")
        edge.move(days=2)
        await edge.keep.remember("#3", "done")
        assert await edge.keep.recall("#1") == "move the tea to May"
        edge.move(days=399)
        await edge.keep.remember("#4", "done")
        assert await edge.keep.recall("#2") is None
        assert await edge.keep.recall("#3") == "done"
        assert await edge.keep.recall("never") is None

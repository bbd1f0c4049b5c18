"""The embedded shelf, step by step beside plain values and `changes.apply`."""

import asyncio
from collections.abc import Awaitable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule
from msgspec.structs import replace

from assistant.conversation.messages import File
from assistant.edges.embedded import Database, Shelf
from assistant.flow.ports import RECENT, Stale
from assistant.planning.changes import apply, invert
from assistant.planning.model import Change, Entry, Shop
from tests.contracts.edge import HOUSE, START
from tests.contracts.records import changes as some_changes

SHOPS = ("moss", "gate")
shops = st.sampled_from(SHOPS)
T = TypeVar("T")


class Shelves(RuleBasedStateMachine):
    """Saves, failures and restarts in any order."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = TemporaryDirectory()
        self.loop = asyncio.Runner()
        self.expected = {shop: Shop(id=shop, house=HOUSE) for shop in SHOPS}
        self.files: dict[tuple[str, str], File] = {}
        self.open()

    def run(self, story: Awaitable[T]) -> T:
        async def whole() -> T:
            return await story

        return self.loop.run(whole())

    def open(self) -> None:
        self.database = Database(Path(self.folder.name))
        self.shelf = Shelf(self.database, HOUSE)

    async def save_both(self, saves: list[tuple[Shop, tuple[Change, ...], Entry]]) -> None:
        async with self.database.begin() as tx:
            for shop, changes, entry in saves:
                await self.shelf.save(tx, shop.id, shop.version, changes, entry)

    def entry(self, shop: Shop, changes: tuple[Change, ...]) -> Entry:
        inverse = invert(shop, changes)
        return Entry(shop.version + 1, START, "her", "said so", changes, inverse)

    @rule(ids=st.lists(shops, unique=True, min_size=1), changes=some_changes)
    def save(self, ids: list[str], changes: tuple[Change, ...]) -> None:
        before = [self.expected[id] for id in ids]
        entries = [self.entry(shop, changes) for shop in before]
        self.run(self.save_both([(s, changes, e) for s, e in zip(before, entries, strict=True)]))
        for shop, entry in zip(before, entries, strict=True):
            recent = (*shop.recent, entry)[-RECENT:]
            after = apply(shop, changes)
            self.expected[shop.id] = replace(after, version=entry.number, recent=recent)

    @rule(id=shops, changes=some_changes, off=st.sampled_from([-1, 1]))
    def save_a_stale_version(self, id: str, changes: tuple[Change, ...], off: int) -> None:
        shop = self.expected[id]
        stale = replace(shop, version=shop.version + off)
        other = self.expected[SHOPS[1 - SHOPS.index(id)]]
        good = (other, changes, self.entry(other, changes))
        with pytest.raises(Stale):
            self.run(self.save_both([good, (stale, changes, self.entry(stale, changes))]))

    @rule(id=shops, name=st.sampled_from(["p", "q"]), content=st.binary(max_size=9))
    def keep(self, id: str, name: str, content: bytes) -> None:
        async def keep() -> None:
            async with self.database.begin() as tx:
                await self.shelf.keep(tx, id, file)

        file = File(name, f"{name}.jpg", content)
        self.run(keep())
        self.files[id, name] = file

    @rule()
    def restart(self) -> None:
        self.database.close()
        self.open()

    @invariant()
    def everything_is_as_it_should_be(self) -> None:
        for id in SHOPS:
            assert self.run(self.shelf.load(id)) == self.expected[id]
            assert self.run(self.shelf.version(id)) == self.expected[id].version
            for name in ("p", "q"):
                assert self.run(self.shelf.file(id, name)) == self.files.get((id, name))

    def teardown(self) -> None:
        self.database.close()
        self.loop.close()
        self.folder.cleanup()


TestShelves = Shelves.TestCase
TestShelves.settings = settings(max_examples=30, stateful_step_count=15, deadline=None)

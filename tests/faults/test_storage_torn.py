"""The write-ahead log torn anywhere: the file opens at a whole commit, and work goes on.

A killed process leaves the log whole up to what the system had taken; a power cut may leave it
shorter, or with blocks that never held what was written.
"""

import asyncio
import random
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from assistant.edges.clock import PretendClock
from assistant.edges.embedded import Database, Mailbox, Shelf
from assistant.edges.embedded.database import FILE
from assistant.planning.changes import apply
from assistant.planning.model import Change, Idea, Put, Remove, Shop
from tests.contracts.edge import HOUSE, START

COMMITS = 60
CUTS = 200


def step(number: int) -> tuple[Change, ...]:
    text = f"thought {number} " * (7 * number % 50)
    new = Put(Idea(id=str(number), text=text, at=START))
    if number % 5:
        return (new, Put(Idea(id="latest", text=str(number), at=START)))
    return (new, Remove("ideas", str(number - 2)), Remove("ideas", "latest"))


async def commit(database: Database, number: int) -> None:
    """Save a change and put a job, in one transaction."""
    mailbox, shelf = Mailbox(database, PretendClock(START)), Shelf(database, HOUSE)
    async with database.begin() as tx:
        await shelf.save(tx, "moss", number - 1, step(number), None)
        await mailbox.put(tx, "out", "chat", str(number).encode())


def expected() -> list[Shop]:
    shops = [Shop(id="moss", house=HOUSE)]
    for number in range(1, COMMITS + 1):
        shops.append(apply(shops[-1], step(number)))
    return shops


def nothing(_rest: bytes, _chance: random.Random) -> bytes:
    return b""


def zeros(rest: bytes, chance: random.Random) -> bytes:
    return bytes(chance.randint(0, len(rest)))


def noise(rest: bytes, chance: random.Random) -> bytes:
    return chance.randbytes(chance.randint(0, len(rest)))


def one_bad_block(rest: bytes, chance: random.Random) -> bytes:
    bad = chance.randbytes(min(512, len(rest)))
    return bad + rest[len(bad) :]


@pytest.mark.parametrize(
    ("after", "cuts"), [(nothing, CUTS), (zeros, 30), (noise, 30), (one_bad_block, 60)]
)
def test_a_torn_log_opens_at_a_whole_commit(
    tmp_path: Path, after: Callable[[bytes, random.Random], bytes], cuts: int
) -> None:
    with closing(Database(tmp_path / "whole")) as database:
        for number in range(1, COMMITS + 1):
            asyncio.run(commit(database, number))
        main = (tmp_path / "whole" / FILE).read_bytes()
        log = (tmp_path / "whole" / f"{FILE}-wal").read_bytes()
    shops, chance = expected(), random.Random(COMMITS)
    versions = []
    cuts_at = sorted(chance.randint(0, len(log)) for _ in range(cuts))
    for cut in (0, *cuts_at, len(log)):
        folder = tmp_path / f"{len(versions)}"
        folder.mkdir()
        (folder / FILE).write_bytes(main)
        (folder / f"{FILE}-wal").write_bytes(log[:cut] + after(log[cut:], chance))
        versions.append(_open(folder, shops))
    assert versions == sorted(versions)
    assert len(set(versions)) > 15
    assert (versions[0], versions[-1]) == (0, COMMITS)


def _open(folder: Path, shops: list[Shop]) -> int:
    """Open a torn folder, check it, go on working in it, and return the version it was at."""
    with closing(Database(folder)) as database:
        shop = asyncio.run(Shelf(database, HOUSE).load("moss"))
        assert shop.ideas == shops[shop.version].ideas
        jobs = database.read("SELECT body FROM job ORDER BY id").fetchall()
        assert [int(body) for (body,) in jobs] == list(range(1, shop.version + 1))
        assert database.read("PRAGMA integrity_check").fetchall() == [("ok",)]
        asyncio.run(commit(database, shop.version + 1))
    with closing(Database(folder)) as database:
        again = asyncio.run(Shelf(database, HOUSE).load("moss"))
        assert again.version == shop.version + 1
        assert again.ideas == apply(shop, step(again.version)).ideas
    return shop.version

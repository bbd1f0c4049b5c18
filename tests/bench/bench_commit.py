"""What a durable commit of one changed idea costs, however many ideas the shop holds.

    python -m tests.bench.bench_commit

Side by side in one run: a bare write and fsync on this disk, our commit (idea, history entry and
version in one transaction), and TinyDB's own JSON storage updating the same document. Then how
long it takes to open a folder and load a shop of 10,000 ideas. Prints medians in milliseconds.
"""

import asyncio
import os
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

import msgspec
from msgspec.structs import replace
from tinydb import TinyDB
from tinydb.table import Document

from assistant.edges.embedded import Database, Shelf
from assistant.planning.model import Entry, Idea, Put
from tests.contracts.edge import HOUSE

SIZES = (100, 1_000, 10_000, 100_000)
REPEATS = 200
STOCK_REPEATS = {100: 50, 1_000: 30, 10_000: 5, 100_000: 2}
START = datetime(2027, 3, 1, 8, tzinfo=UTC)
FRAMES = 3 * 4120  # bytes: about what a commit adds to the log


def ideas(count: int) -> Iterator[Idea]:
    """Yield invented ideas."""
    for n in range(count):
        text = f"lantern walk number {n}, with a beeswax wrap and a pressed fern"
        yield Idea(id=f"telegram:{n}", text=text, at=START, by="her", months=(n % 12 + 1,))


def timed(step: Callable[[int], object], n: int) -> float:
    """Return how long a step takes, in milliseconds."""
    start = time.perf_counter()
    step(n)
    return (time.perf_counter() - start) * 1000


@contextmanager
def bare_fsync(folder: Path) -> Iterator[Callable[[int], object]]:
    """Give the append and the fsync that no durable commit can do without."""
    with (folder / "bare").open("wb", buffering=0) as file:
        block = os.urandom(FRAMES)

        def step(_: int) -> None:
            file.write(block)
            os.fsync(file.fileno())

        yield step


async def _fill(database: Database, count: int) -> Idea:
    shelf, filled = Shelf(database, HOUSE), list(ideas(count))
    async with database.begin() as tx:
        await shelf.save(tx, "moss", 0, tuple(map(Put, filled)), None)
    return filled[count // 2]


@contextmanager
def our_commit(folder: Path, count: int) -> Iterator[Callable[[int], object]]:
    """Give our commit of one changed idea among `count`."""
    with closing(Database(folder)) as database, asyncio.Runner() as loop:
        shelf = Shelf(database, HOUSE)
        idea = loop.run(_fill(database, count))

        async def commit(version: int) -> None:
            changes = (Put(replace(idea, text=f"changed {version}")),)
            entry = Entry(version + 1, START, "her", "said so", changes, (Put(idea),))
            async with database.begin() as tx:
                await shelf.save(tx, "moss", version, changes, entry)

        yield lambda n: loop.run(commit(n + 1))


@contextmanager
def stock_commit(folder: Path, count: int) -> Iterator[Callable[[int], object]]:
    """Give the same change with TinyDB's JSON storage."""
    with TinyDB(folder / "stock.json") as stock:
        table = stock.table("ideas", cache_size=0)
        table.insert_multiple(
            Document(msgspec.to_builtins(idea), n) for n, idea in enumerate(ideas(count), 1)
        )
        yield lambda n: table.update({"text": f"changed {n}"}, doc_ids=[count // 2])


def side_by_side(folder: Path, count: int) -> tuple[float, float, float, float]:
    """Return the medians of fsync, our commit, the difference of the two, and stock TinyDB.

    The two are timed in turn, so that whatever else keeps the disk busy meets both.
    """
    with bare_fsync(folder) as bare, our_commit(folder / "ours", count) as commit:
        pairs = [(timed(bare, n), timed(commit, n)) for n in range(REPEATS)]
    with stock_commit(folder, count) as commit:
        stock = median(timed(commit, n) for n in range(STOCK_REPEATS[count]))
    over = median(ours - fsync for fsync, ours in pairs)
    return median(p[0] for p in pairs), median(p[1] for p in pairs), over, stock


async def opening(folder: Path, count: int) -> tuple[float, float]:
    """Time opening a folder, and loading a shop of `count` ideas from it."""
    with closing(Database(folder)) as database:
        await _fill(database, count)
    opens, loads = [], []
    for _ in range(15):
        start = time.perf_counter()
        with closing(Database(folder)) as database:
            opened = time.perf_counter()
            shop = await Shelf(database, HOUSE).load("moss")
            loaded = time.perf_counter()
        assert len(shop.ideas) == count
        opens.append(opened - start)
        loads.append(loaded - opened)
    return median(opens) * 1000, median(loads) * 1000


def main() -> None:
    """Measure and print."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        print(f"{'ideas':>8} {'fsync ms':>9} {'ours ms':>9} {'over fsync':>11} ", end="")
        print(f"{'stock ms':>9} {'stock/ours':>11}")
        all_ours = []
        for count in SIZES:
            part = folder / str(count)
            part.mkdir()
            fsync, ours, over, stock = side_by_side(part, count)
            all_ours.append(ours)
            print(f"{count:>8} {fsync:>9.2f} {ours:>9.2f} {over:>+11.2f} ", end="")
            print(f"{stock:>9.1f} {stock / ours:>10.0f}x")
        print(f"largest shop over smallest: {all_ours[-1] / all_ours[0]:.2f}x (1 is flat)")
        print("target: at most one fsync and 1 ms, whatever the size")
        opens, loads = asyncio.run(opening(folder / "opening", 10_000))
        print(f"opening a folder {opens:.1f} ms, loading 10,000 ideas {loads:.1f} ms")


if __name__ == "__main__":
    main()

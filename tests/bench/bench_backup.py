"""How long a backup takes: `python -m tests.bench backup`.

An invented shop of 36 boxes with 8 items each, 10,000 ideas, a history entry for every tenth, and
200 pictures of 100 KB. Beside each figure stands what only the bytes cost: as many written to a
file in one go and put on the disk. The memory is what a process of its own grows by at most.
"""

import asyncio
import os
import random
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from subprocess import run
from time import perf_counter

from assistant.conversation.messages import File
from assistant.edges.embedded import Database, Shelf
from assistant.edges.embedded.backup import write_backup
from assistant.edges.embedded.checking import check
from assistant.edges.embedded.restoring import restore
from assistant.planning.model import Box, Entry, Idea, Item, Put
from tests.trade import house

NOW = datetime(2027, 1, 11, 9, tzinfo=UTC)
BOXES, ITEMS, IDEAS, PICTURES, SIZE = 36, 8, 10_000, 200, 100_000
AGAIN = 7
TARGET = 1000.0  # ms, beside the bytes of the pictures


async def fill(database: Database) -> None:
    """Put the invented shop into a data folder."""
    shelf, chance = Shelf(database, house()), random.Random(1)
    months = [f"{2027 + n // 12}-{n % 12 + 1:02}" for n in range(BOXES)]
    plan = [Put(Box(id=month, theme=f"theme of {month}")) for month in months]
    items = [
        Put(Item(f"{m}.{n}", m, f"item {n}", quantity=450)) for m in months for n in range(ITEMS)
    ]
    ideas = [Put(Idea(id=f"i/{n}", text=f"thought number {n} " * 5, at=NOW)) for n in range(IDEAS)]
    async with database.begin() as tx:
        version = await shelf.save(tx, "shop", 0, (*plan, *items, *ideas), None)
        for idea in ideas[::10]:
            entry = Entry(version + 1, NOW, "her", idea.record.id, (idea,), (idea,))
            version = await shelf.save(tx, "shop", version, (idea,), entry)
        for n in range(PICTURES):
            await shelf.keep(tx, "shop", File(f"p/{n}", f"{n}.jpg", chance.randbytes(SIZE)))


def bytes_alone(file: Path, to: Path) -> None:
    """Write as many bytes as a file has, and put them on the disk."""
    content = file.read_bytes()
    with to.open("wb") as out:
        out.write(content)
        out.flush()
        os.fsync(out.fileno())


def timed(act: Callable[[], object]) -> float:
    begun = perf_counter()
    act()
    return (perf_counter() - begun) * 1000


def peak() -> float:
    """Megabytes that this process has had at most, 0 where the system does not tell."""
    status = Path("/proc/self/status")
    lines = status.read_text().splitlines() if status.exists() else []
    sizes = dict(line.split(":") for line in lines)
    return int(sizes.get("VmHWM", "0").split()[0]) / 1024


def growth(verb: str, *paths: Path) -> float:
    """Megabytes that a process of its own needs more for one of the verbs than for nothing."""
    code = "import sys; from tests.bench.bench_backup import main_of; main_of(*sys.argv[1:])"
    command = [sys.executable, "-c", code]
    sizes = [
        float(run([*command, one, *map(str, paths)], capture_output=True, check=True).stdout)
        for one in ("nothing", verb)
    ]
    return sizes[1] - sizes[0]


def main_of(verb: str, first: str, second: str) -> None:
    """Do one thing and print the peak."""
    if verb == "write":
        write_backup(Path(first), Path(second), NOW)
    elif verb == "restore":
        restore(Path(first), Path(second))
    print(peak())


def main() -> None:
    """Print the table."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        data, file = folder / "data", folder / "b.zip"
        with closing(Database(data)) as database:
            asyncio.run(fill(database))
        write_backup(data, file, NOW)
        acts: dict[str, Callable[[int], object]] = {
            "the bytes alone": lambda n: bytes_alone(file, folder / f"x{n}"),
            "a backup written": lambda n: write_backup(data, folder / f"w{n}.zip", NOW),
            "a backup checked": lambda _: check(file),
            "a backup restored": lambda n: restore(file, folder / f"new{n}"),
            "a folder checked": lambda _: check(data),
        }
        print(f"{file.stat().st_size / 1e6:.1f} MB     target {TARGET:.0f} ms beside the bytes")
        for what, act in acts.items():
            times = [timed(lambda n=n, act=act: act(n)) for n in range(AGAIN)]
            print(f"{what:24}{median(times):8.0f} ms   worst {max(times):.0f}")
        for verb, paths in (
            ("write", (data, folder / "m.zip")),
            ("restore", (file, folder / "m")),
        ):
            print(f"memory to {verb:14}{growth(verb, *paths):8.1f} MB")


if __name__ == "__main__":
    main()

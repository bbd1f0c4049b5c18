"""A process killed at any moment loses nothing that it accepted and applies nothing twice."""

import asyncio
import random
import signal
import subprocess
import sys
from collections import Counter
from contextlib import closing
from pathlib import Path

import pytest

from assistant.edges.clock import SystemClock
from assistant.edges.embedded import Database, Mailbox, Shelf
from assistant.edges.embedded.shelf import HISTORY
from assistant.edges.embedded.storage import Documents
from assistant.planning.changes import apply
from assistant.planning.model import Entry, Shop
from tests.contracts.edge import HOUSE
from tests.faults.storage_child import SHOPS, shop_of

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill -9")

ROOT = Path(__file__).parents[2]


def run_and_kill(folder: Path, first: int, total: int, after: int | None) -> Counter[str]:
    """Run the child, kill it once it has handled so many, and return every line it said."""
    command = [sys.executable, "-m", "tests.faults.storage_child"]
    command += [str(folder), str(first), str(total)]
    lines: Counter[str] = Counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, cwd=ROOT) as child:
        assert child.stdout is not None
        for line in child.stdout:
            lines[line.strip()] += 1
            if line.startswith("handled") and after is not None:
                after -= 1
                if not after:
                    child.kill()
    assert child.returncode in (0, -signal.SIGKILL)
    return lines


def numbers(lines: Counter[str], word: str) -> set[int]:
    return {int(line.split()[1]) for line in lines if line.startswith(word + " ")}


async def check(folder: Path, total: int) -> None:
    with closing(Database(folder)) as database:
        shelf, mailbox = Shelf(database, HOUSE), Mailbox(database, SystemClock())
        assert (await mailbox.dead("in"), await mailbox.dead("out")) == ((), ())
        for id in SHOPS:
            shop = await shelf.load(id)
            expected = [str(number) for number in range(total) if shop_of(number) == id]
            assert [idea.id for idea in shop.ideas] == expected
            history = Documents(database.read, id).section(HISTORY).newest(total)
            assert [entry["why"] for entry in history] == expected
            assert [entry["number"] for entry in history] == list(range(1, shop.version + 1))
            assert _replayed(shop).ideas == shop.ideas[-len(shop.recent) :]
        sent = database.read("SELECT once FROM job WHERE lane = 'out' AND state = 'done'")
        assert sorted(int(name) for (name,) in sent.fetchall()) == list(range(total))


def _replayed(shop: Shop) -> Shop:
    replayed = Shop(id=shop.id, house=shop.house)
    for entry in shop.recent:
        assert isinstance(entry, Entry)
        replayed = apply(replayed, entry.changes)
    return replayed


@pytest.mark.parametrize("kills", [25, pytest.param(100, marks=pytest.mark.slow)])
def test_nothing_accepted_is_lost_and_nothing_is_applied_twice(tmp_path: Path, kills: int) -> None:
    chance = random.Random(kills)
    accepted: set[int] = set()
    handled: Counter[str] = Counter()
    killed = 0
    total = 0
    for _ in range(kills):
        total += 8
        first = max(len(accepted) - 3, 0)  # the last few are delivered again
        lines = run_and_kill(tmp_path, first, total, chance.randint(1, 8))
        accepted |= numbers(lines, "accepted")
        handled.update(line for line in lines.elements() if line.startswith("handled"))
        killed += "finished" not in lines
    assert killed > kills // 2
    last = run_and_kill(tmp_path, len(accepted), total, None)
    assert "finished" in last
    handled.update(line for line in last.elements() if line.startswith("handled"))
    assert accepted | numbers(last, "accepted") == set(range(total))
    assert max(handled.values()) == 1
    asyncio.run(check(tmp_path, total))

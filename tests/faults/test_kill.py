"""One conversation of 300 messages over a pretended year, its process killed again and again.

The owner sees what is printed and nothing else: a line that was not echoed she says again, but an
idea only if its acknowledgement has not come either by the time the next process has caught up.
Everything said is invented.
"""

import asyncio
import os
import random
import re
import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path

import msgspec
import pytest

from assistant.edges.embedded import Database, Shelf
from assistant.edges.embedded.database import FILE
from assistant.planning.changes import apply
from assistant.planning.model import Entry, Idea, Put, Shop
from tests.program import started
from tests.trade import house

MESSAGES = 300
START = datetime.fromisoformat("2027-01-11 09:00")  # a Monday
FIRST_LATE = date(2027, 1, 25)  # by then the first anchor is late, and from then on always one is
MONTHS = ("March", "April", "May", "June", "July", "August", "September", "October", "November")
PLAN = ("profile", "suppliers", "boxes", "items", "ideas", "ledger")
SHOP = "shop"


def script(rng: random.Random) -> list[str]:
    """What the owner says in most of a year. The anchors are never dealt with, so that each
    morning has something late to tell."""
    anchor = "anchor stone from Aldermoor, 3.10, 20 working days"
    lines = [f"add to {month}: {anchor}" for month in (*MONTHS, "December")]
    clock, items = START, [0]
    while len(lines) < MESSAGES:
        n, month, known = len(lines), rng.choice(MONTHS), rng.choice(items)
        if n % 8 == 0:
            clock += timedelta(days=rng.randint(4, 12), hours=rng.randint(-1, 1))
            lines.append(f"@{clock:%Y-%m-%d %H:%M}")
            continue
        said = rng.choices(
            [
                f"Idea: thought number {n}.",
                f"Idea: thought number {n}. for {month}",
                f"{month} theme story {n}",
                f"add to {month}: gadget{n} from Brackenfold, 2.10, 10 working days",
                f"move gadget{known} to {month}",
                f"done: order gadget{known} for 2027-{rng.randint(3, 10):02}",
                "undo",
                "what is due",
                f"how is {month}",
            ],
            weights=[25, 25, 10, 12, 8, 8, 4, 4, 4],
        )[0]
        if said.startswith("add"):
            items.append(n)
        lines.append(said)
    return lines


class Owner:
    """Who talks, and remembers what she was shown."""

    def __init__(self, data: Path, lines: list[str], rng: random.Random) -> None:
        self.data, self.rng = data, rng
        self.left = list(lines)
        self.clock = START  # of the last move that came to its end
        self.seen = ""
        self.said: list[str] = []

    @property
    def done(self) -> bool:
        return not self.left

    def talk(self, patience: int | None) -> bool:
        """Start a process and talk until it is killed, after so many bytes (None: to the end)."""
        now = f"{self.clock:%Y-%m-%d %H:%M}"
        with started("chat", "--data", self.data, "--now", now) as program:
            shown = Shown(program, patience)
            caught_up = f"@{now}"
            # The second of these is echoed when all that was left over has been answered.
            program.stdin.write(f"{caught_up}\n{caught_up}\n".encode())  # type: ignore[union-attr]
            if shown.until(lambda text: text.count(f"> {caught_up}\n") == 2):
                self._note_caught_up(shown.text)
                before = len(shown.text)
                self._go_on(program, shown)
                self._note(shown.text[before:])
            self.seen += shown.text
            return shown.killed

    def _go_on(self, program: subprocess.Popen[bytes], shown: "Shown") -> None:
        assert program.stdin is not None
        program.stdin.write("".join(f"{line}\n" for line in self.left).encode())
        program.stdin.close()
        shown.until(lambda _: False)
        for _ in range(self.rng.randrange(20_000)):  # not always just after something was printed
            pass

    def _note_caught_up(self, text: str) -> None:
        """Leave out the idea that was kept without an echo and is acknowledged by now."""
        if self.left and self.left[0].startswith("Idea") and acknowledged(self.left[0], text):
            self.said.append(self.left.pop(0))

    def _note(self, text: str) -> None:
        """Leave out what was echoed. A move of the clock counts once the next line is echoed."""
        echoed = [line.removeprefix("> ") for line in text.splitlines() if line.startswith("> ")]
        assert echoed == self.left[: len(echoed)]
        if echoed and echoed[-1].startswith("@") and len(echoed) < len(self.left):
            echoed.pop()
        self.said += echoed
        del self.left[: len(echoed)]
        moves = [line for line in echoed if line.startswith("@")]
        if moves:
            self.clock = datetime.fromisoformat(moves[-1][1:])


class Shown:
    """What a process prints, and its end after so many bytes."""

    def __init__(self, program: subprocess.Popen[bytes], patience: int | None) -> None:
        self._program, self._patience = program, patience
        self._bytes = b""
        self.killed = False

    @property
    def text(self) -> str:
        return self._bytes.decode(errors="replace")

    def until(self, enough: Callable[[str], bool]) -> bool:
        """Read until it is enough or the process has ended; whether it was enough."""
        assert self._program.stdout is not None
        while not enough(self.text):
            most = 4096
            if self._patience is not None:
                most = max(1, self._patience - len(self._bytes))
            piece = self._program.stdout.read(most)
            if not piece:
                return False
            self._bytes += piece
            if self._patience is not None and len(self._bytes) >= self._patience:
                self._kill()
                return False
        return True

    def _kill(self) -> None:
        assert self._program.stdout is not None
        self._program.kill()
        self._bytes += self._program.stdout.read()  # what it had printed by then
        self.killed = True
        self._patience = None


def thought_of(text: str) -> str:
    [thought] = re.findall(r"thought number \d+", text)
    return str(thought)


def acknowledged(line: str, text: str) -> bool:
    return re.search(rf"^Kept .*{thought_of(line)}\b", text, re.MULTILINE) is not None


def kept(data: Path) -> tuple[Shop, list[Entry]]:
    """The shop and all of its history, after the file was found whole."""
    with closing(sqlite3.connect(data / FILE)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        rows = connection.execute(
            "SELECT body FROM document WHERE shop = ? AND section = 'history' ORDER BY place",
            (SHOP,),
        ).fetchall()
    entries = [msgspec.json.decode(body, type=Entry) for (body,) in rows]
    with closing(Database(data)) as database:
        return asyncio.run(Shelf(database, house()).load(SHOP)), entries


def mornings(first: date, last: date) -> list[str]:
    """The titles of the digests of all working mornings, as they are printed."""
    days = (first + timedelta(days=n) for n in range((last - first).days + 1))
    return [f"{day:%A} {day.day} {day:%B}" for day in days if day.weekday() < 5]


def check(owner: Owner, lines: list[str]) -> None:
    shop, entries = kept(owner.data)
    assert owner.said == lines
    for line in lines:
        assert not line.startswith("Idea") or acknowledged(line, owner.seen), line
    numbers = [entry.number for entry in entries]
    assert numbers == sorted(set(numbers))
    ideas = [
        change.record
        for entry in entries
        if not entry.undoes
        for change in entry.changes
        if isinstance(change, Put) and isinstance(change.record, Idea)
    ]
    thoughts = [thought_of(line) for line in lines if line.startswith("Idea")]
    assert sorted(thought_of(idea.text) for idea in ideas) == sorted(thoughts)
    assert len({idea.id for idea in ideas}) == len(ideas)  # made of the ids of their messages
    replayed = Shop(id=SHOP, house=house())
    for entry in entries:
        replayed = apply(replayed, entry.changes)
    assert {table: getattr(replayed, table) for table in PLAN} == {
        table: getattr(shop, table) for table in PLAN
    }
    titles = re.findall(r"^(\w+day \d+ \w+)(?: \d{4})?$", owner.seen, re.MULTILINE)
    due = mornings(FIRST_LATE, owner.clock.date() - timedelta(days=1))
    assert len(due) > 150
    assert set(due) <= set(titles)


@pytest.mark.skipif(os.name != "posix", reason="SIGKILL")
@pytest.mark.parametrize(
    ("kills", "bytes_each"), [(8, 9000), pytest.param(100, 1800, marks=pytest.mark.slow)]
)
def test_a_process_killed_at_any_moment_loses_and_doubles_nothing(
    tmp_path: Path, kills: int, bytes_each: int
) -> None:
    rng = random.Random(f"seed of {kills} kills")
    lines = script(rng)
    owner = Owner(tmp_path, lines, rng)
    for number in range(kills):
        assert not owner.done, f"all was said after {number} kills"
        owner.talk(rng.randint(1, bytes_each))
        if (tmp_path / FILE).exists():
            kept(tmp_path)
    while not owner.done:
        owner.talk(None)
    check(owner, lines)

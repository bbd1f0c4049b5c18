"""A process killed while it makes or restores a backup: the store is whole, and what is not whole
is never taken for a good one. A full disk. Everything said is invented."""

import asyncio
import random
import resource
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from assistant.conversation.messages import File
from assistant.edges.embedded.archive import Archive
from assistant.edges.embedded.backup import write_backup
from assistant.edges.embedded.checking import check
from assistant.edges.embedded.restoring import restore
from assistant.flow.ports import NoRoom
from tests.edges.backups import NOW, Folder, contents, filled, in_folder
from tests.program import LIMIT, read_until, run, say, started

pytestmark = pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="this system cannot kill -9")

ROOT = Path(__file__).parents[2]
KILLS = 20
PICTURES, SIZE = 60, 50_000


async def with_pictures(opened: Folder) -> None:
    chance = random.Random(1)
    async with opened.mailbox.begin() as tx:
        for number in range(PICTURES):
            picture = File(f"q/{number}", f"{number}.jpg", chance.randbytes(SIZE))
            await opened.shelf.keep(tx, "shop", picture)


@pytest.fixture
def data(tmp_path: Path) -> Path:
    folder = filled(tmp_path / "data")
    in_folder(folder, with_pictures)
    return folder


def child(event: int, *arguments: str | Path) -> int:
    """Run the child, to be killed at an event; return how many there were, 0 if it was killed."""
    command = [sys.executable, "-m", "tests.faults.backup_child", str(event), *map(str, arguments)]
    done = subprocess.run(command, stdout=subprocess.PIPE, cwd=ROOT, check=False)
    assert done.returncode in (0, -signal.SIGKILL)
    return int(done.stdout or 0)


def events(count: int) -> list[int]:
    """When to kill: anywhere in the middle, and near the end, where things get their names."""
    chance = random.Random(count)
    middle = (chance.randint(1, count) for _ in range(KILLS // 2))
    return [*middle, *(count - chance.randint(0, 60) for _ in range(KILLS // 2))]


def test_a_backup_that_was_killed_is_never_taken_for_a_good_one(tmp_path: Path, data: Path) -> None:
    backups, before = data / "backups", contents(data)
    count = child(0, "write", data)
    [good] = backups.iterdir()
    torn = 0
    for event in events(count):
        good.unlink(missing_ok=True)
        assert child(event, "write", data) == 0
        torn += bool(list(backups.glob("*.part")))
        assert contents(data) == before
        assert all(check(file).fault == "" for file in backups.glob("*.zip"))
        Archive(data, keep=7)
        assert not list(backups.glob("*.part"))
    assert torn > KILLS // 4
    made = asyncio.run(Archive(data, keep=7).write("shop", NOW))
    restore(backups / made.name, tmp_path / "new")
    assert contents(tmp_path / "new")["blob"] == before["blob"]


def test_a_restore_that_was_killed_leaves_all_or_nothing(tmp_path: Path, data: Path) -> None:
    file, new = tmp_path / "b.zip", tmp_path / "new"
    write_backup(data, file, NOW)
    before, torn = contents(data), 0
    count = child(0, "restore", file, new)
    for event in events(count):
        shutil.rmtree(new, ignore_errors=True)
        assert child(event, "restore", file, new) == 0
        if new.exists():
            assert contents(new)["document"] == before["document"]
            assert contents(new)["blob"] == before["blob"]
        else:
            torn += 1
    assert torn > KILLS // 4
    shutil.rmtree(new, ignore_errors=True)
    restore(file, new)
    assert contents(new)["blob"] == before["blob"]
    assert {path.name for path in tmp_path.iterdir()} == {"data", "b.zip", "new"}


@contextmanager
def no_file_beyond(size: int) -> Iterator[None]:
    """Let no file of this process grow beyond so many bytes: writing fails as on a full disk."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    old = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, old)


@pytest.mark.parametrize("room", [0, 1, 5_000, 100_000, 2_000_000])
def test_a_full_disk_leaves_nothing_half_done(tmp_path: Path, data: Path, room: int) -> None:
    file, new, archive = tmp_path / "b.zip", tmp_path / "new", Archive(data, keep=7)
    write_backup(data, file, NOW)
    asyncio.run(archive.write("shop", NOW))
    [kept] = (data / "backups").iterdir()
    before = contents(data), file.read_bytes(), kept.read_bytes()
    with no_file_beyond(room):
        made = asyncio.run(archive.write("shop", NOW))
        with pytest.raises(NoRoom):
            write_backup(data, file, NOW)
        with pytest.raises(NoRoom):
            restore(file, new)
    assert "disk" in made.trouble.lower() or "too large" in made.trouble
    assert (contents(data), file.read_bytes(), kept.read_bytes()) == before
    assert {path.name for path in tmp_path.iterdir()} == {"data", "b.zip"}
    assert list((data / "backups").iterdir()) == [kept]


def test_whoever_asks_for_a_backup_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    with started("chat", "--data", tmp_path, "--now", "2027-01-11 09:00") as program:
        say(program, "Idea: before the trouble")
        read_until(program, "[a] Undo")
        (tmp_path / "backups").write_text("no folder")
        say(program, "back up")
        read_until(program, "I could not make a backup")
        (tmp_path / "backups").unlink()
        say(program, "back up")
        assert "All of My shop" in read_until(program, "How to restore")
        out, err = program.communicate(timeout=LIMIT)
    assert (program.returncode, err) == (0, b""), out
    assert run("check", tmp_path).returncode == 0

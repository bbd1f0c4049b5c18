"""A backup holds everything, and gives the same shop again. Everything in it is invented."""

import asyncio
import sqlite3
import zipfile
from contextlib import closing
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import msgspec
import pytest
from msgspec.structs import replace

from assistant.edges.embedded import Database, InUse
from assistant.edges.embedded.archive import Archive
from assistant.edges.embedded.backup import SEAL, TABLES, write_backup
from assistant.edges.embedded.checking import check, save
from assistant.edges.embedded.database import FILE, Refused
from assistant.edges.embedded.reading_back import manifest_of
from assistant.edges.embedded.restoring import MAYBE_SENT, restore
from assistant.flow.messages import IN, OUT
from assistant.flow.ports import NoRoom
from assistant.planning.issued import Feed, hashed
from assistant.planning.model import Put
from tests.edges.backups import NOW, PHOTO, Folder, contents, filled, in_folder


def test_every_table_of_a_data_folder_is_in_a_backup(tmp_path: Path) -> None:
    filled(tmp_path / "data")
    with closing(sqlite3.connect(tmp_path / "data" / FILE)) as connection:
        found = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    assert {name for (name,) in found if not name.startswith("sqlite_")} == set(TABLES)


def test_a_restored_folder_is_the_same_shop(tmp_path: Path) -> None:
    data, file, new = filled(tmp_path / "data"), tmp_path / "b.zip", tmp_path / "new"
    before = in_folder(data, lambda one: one.shelf.load("shop"))
    write_backup(data, file, NOW)
    made, unsent = restore(file, new)
    assert (made.made, [shop.name for shop in made.shops], unsent) == (
        NOW,
        ["Mossgate Field Club"],
        1,
    )
    after, photo, kept = in_folder(
        new,
        lambda one: one.shelf.load("shop"),
        lambda one: one.shelf.file("shop", "p/1"),
        lambda one: one.keep.recall("telegram/button/1"),
    )
    assert [after] == before
    assert (photo.name, photo.content) == ("../lantern.JPG", PHOTO)
    assert kept == "move the notebook to May"
    was, now = contents(data), contents(new)
    for table in ("shop", "document", "blob", "kept"):
        assert now[table] == was[table]


def test_an_address_of_the_calendar_does_not_come_back(tmp_path: Path) -> None:
    """It may have been withdrawn since the backup was made."""

    async def give_out(one: Folder) -> None:
        async with one.mailbox.begin() as tx:
            feed = Put(Feed(id=hashed("token"), person="p1", at=NOW))
            await one.shelf.save(tx, "shop", await one.shelf.version("shop"), (feed,), None)

    data, file, new = filled(tmp_path / "data"), tmp_path / "b.zip", tmp_path / "new"
    in_folder(data, give_out)
    write_backup(data, file, NOW)
    restore(file, new)
    (before,) = in_folder(data, lambda one: one.shelf.load("shop"))
    (after,) = in_folder(new, lambda one: one.shelf.load("shop"))
    assert len(before.feeds) == 1
    assert after == replace(before, feeds=())


def test_what_was_to_be_handled_is_handled_and_what_was_to_be_sent_is_not_sent_again(
    tmp_path: Path,
) -> None:
    data, file, new = filled(tmp_path / "data"), tmp_path / "b.zip", tmp_path / "new"
    write_backup(data, file, NOW)
    restore(file, new)
    [(first, *_), (second, *_), _] = contents(data)["job"]
    (inward, outward) = contents(new)["job"]
    assert (inward[0], inward[1], inward[8]) == (first, IN, "waiting")
    assert (outward[0], outward[1], outward[8], outward[9]) == (second, OUT, "dead", MAYBE_SENT)
    revived, put = in_folder(
        new,
        lambda one: one.mailbox.revive(second),
        lambda one: again(one),
    )
    assert (revived, put) == (True, False)
    ids = [row[0] for row in contents(new)["job"]]
    assert max(ids) == 4, "an id was given twice"


async def again(one: object) -> bool:
    """Deliver the same message once more, and another one."""
    async with one.mailbox.begin() as tx:  # type: ignore[attr-defined]
        same = await one.mailbox.put(tx, IN, "shop", b"", once="shop/u/1")  # type: ignore[attr-defined]
        await one.mailbox.put(tx, IN, "shop", b"other")  # type: ignore[attr-defined]
    return bool(same)


def test_a_backup_is_open_to_other_programs(tmp_path: Path) -> None:
    file = tmp_path / "b.zip"
    write_backup(filled(tmp_path / "data"), file, NOW)
    raw = file.read_bytes()
    assert raw[-64:].decode() == sha256(raw[:-64]).hexdigest()
    assert raw[:-64].endswith(SEAL)
    with zipfile.ZipFile(file) as zip:
        assert zip.testzip() is None
        manifest = msgspec.json.decode(zip.read("manifest.json"))
        for part in manifest["parts"]:
            assert sha256(zip.read(part["name"])).hexdigest() == part["sha256"]
        documents = [msgspec.json.decode(row) for row in zip.open("document.jsonl")]
    assert any(one["body"].get("text", "").startswith("lantern walk") for one in documents)
    assert not [one for one in documents if one["shop"] != "shop"]


def test_one_shop_of_several_is_alone_in_its_backup(tmp_path: Path) -> None:
    data, file, new = filled(tmp_path / "data", "moss", "gate"), tmp_path / "b.zip", tmp_path / "n"
    write_backup(data, file, NOW, "gate")
    restore(file, new)
    rows, all_rows = contents(new), contents(data)
    assert rows["document"] == [row for row in all_rows["document"] if row[1] == "gate"]
    assert rows["blob"] == [row for row in all_rows["blob"] if row[0] == "gate"]
    assert [row[0] for row in rows["shop"]] == ["gate"]
    assert [(row[1], row[2]) for row in rows["job"]] == [(IN, "gate"), (OUT, "gate/t:1")]
    assert rows["kept"] == []


def test_a_backup_is_written_while_the_assistant_runs(tmp_path: Path) -> None:
    data, file = filled(tmp_path / "data"), tmp_path / "b.zip"
    with closing(Database(data)) as database:
        with pytest.raises(InUse):
            Database(data)

        async def busy() -> None:
            async with database.begin() as tx:
                tx.execute("DELETE FROM document")
                write_backup(data, file, NOW)  # sees the last commit, and does not wait
                raise ZeroDivisionError

        with pytest.raises(ZeroDivisionError):
            asyncio.run(busy())
    assert check(file).saved["boxes"] == check(data).saved["boxes"] > 0


def test_a_folder_that_is_not_empty_is_left_as_it_is(tmp_path: Path) -> None:
    data, file = filled(tmp_path / "data"), tmp_path / "b.zip"
    write_backup(data, file, NOW)
    before = contents(data)
    for act in (lambda: restore(file, data), lambda: save(file, data, NOW)):
        with pytest.raises(Refused, match="not empty"):
            act()
    assert contents(data) == before
    (tmp_path / "empty").mkdir()
    restore(file, tmp_path / "empty")
    assert contents(tmp_path / "empty")["document"] == before["document"]


def test_a_backup_that_cannot_be_written_leaves_the_one_before(tmp_path: Path) -> None:
    data, file = filled(tmp_path / "data"), tmp_path / "b.zip"
    write_backup(data, file, NOW)
    before = file.read_bytes()
    with pytest.raises(NoRoom):
        write_backup(data, tmp_path / "no such folder" / "b.zip", NOW)
    with pytest.raises(NoRoom):
        write_backup(tmp_path / "no data", file, NOW)
    assert file.read_bytes() == before
    assert {path.name for path in tmp_path.iterdir()} == {"data", "b.zip"}


# --- the archive ----------------------------------------------------------------------------


def test_one_a_day_is_kept_and_so_many_days(tmp_path: Path) -> None:
    data = filled(tmp_path / "data")
    archive = Archive(data, keep=3)
    for hours in range(0, 24 * 6, 8):
        made = asyncio.run(archive.write("shop", NOW + timedelta(hours=hours)))
        assert (made.trouble, made.name[:19]) == ("", "Mossgate Field Club")
    kept = sorted((data / "backups").iterdir())
    days = [path.name.partition("(")[2] for path in kept]
    assert days == ["2027-01-15).zip", "2027-01-16).zip", "2027-01-17).zip"]
    last = datetime(2027, 1, 17, 1, tzinfo=UTC)  # the last of these moments
    assert manifest_of(kept[-1]).made == last
    sent = asyncio.run(archive.file(made.file))
    assert sent is not None
    assert (sent.name, sent.content) == (kept[-1].name, kept[-1].read_bytes())


def test_what_is_no_backup_is_neither_counted_nor_removed(tmp_path: Path) -> None:
    data = filled(tmp_path / "data", "moss", "gate")
    archive = Archive(data, keep=1)
    folder = data / "backups"
    asyncio.run(archive.write("gate", NOW))
    others = folder / "of gate.zip"
    next(folder.glob("Moss*")).rename(others)
    (folder / "holiday pictures.zip").write_bytes(b"PK\x03\x04 and so on")
    for day in range(3):
        asyncio.run(archive.write("moss", NOW + timedelta(days=day)))
    names = sorted(path.name for path in folder.iterdir())
    assert names == [
        "Mossgate Field Club backup (2027-01-13).zip",
        "holiday pictures.zip",
        "of gate.zip",
    ]


def test_what_a_killed_process_left_is_cleared_away(tmp_path: Path) -> None:
    data = filled(tmp_path / "data")
    (data / "backups").mkdir()
    (data / "backups" / "backup-1.part").write_bytes(b"half")
    Archive(data, keep=3)
    assert list((data / "backups").iterdir()) == []


def test_no_name_leads_out_of_the_folder_of_backups(tmp_path: Path) -> None:
    archive = Archive(filled(tmp_path / "data"), keep=3)
    for id in ("backup/../twelvefold.db", f"backup/{tmp_path}/data/{FILE}", "backup/", "p/1"):
        assert asyncio.run(archive.file(id)) is None

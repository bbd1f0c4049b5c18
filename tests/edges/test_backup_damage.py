"""Damaged and hostile backups and folders: told in a sentence, nothing half-applied, what can be
saved is. Everything in them is invented."""

import random
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest

from assistant.edges.embedded import Database, NewerFormat, NotOurs
from assistant.edges.embedded.backup import SEAL, Damaged, write_backup
from assistant.edges.embedded.checking import check, save
from assistant.edges.embedded.database import FILE, Refused
from assistant.edges.embedded.restoring import restore
from tests.edges.backups import NOW, PHOTO, contents, filled, in_folder

Parts = dict[str, bytes]


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("backup")
    write_backup(filled(folder / "data"), folder / "b.zip", NOW)
    return folder / "b.zip"


@pytest.fixture(scope="module")
def whole(file: Path) -> bytes:
    return file.read_bytes()


def refused(tmp_path: Path, raw: bytes, kind: type[Refused] = Refused) -> str:
    """What is said of a file that is to be restored and is not; nothing is left behind."""
    bad, new = tmp_path / "bad.zip", tmp_path / "new"
    bad.write_bytes(raw)
    with pytest.raises(kind) as error:
        restore(bad, new)
    assert {path.name for path in tmp_path.iterdir()} == {"bad.zip"}
    assert str(error.value).count("\n") == 0
    return str(error.value)


def test_a_cut_file_is_never_taken_for_a_good_one(tmp_path: Path, whole: bytes) -> None:
    chance = random.Random(1)
    for cut in (4, 30, *sorted(chance.sample(range(len(whole)), 100)), len(whole) - 1):
        assert "cut short" in refused(tmp_path, whole[:cut], Damaged) or cut < 4
    assert "no backup" in refused(tmp_path, b"", NotOurs)


def test_a_flipped_bit_anywhere_is_found(tmp_path: Path, whole: bytes) -> None:
    chance = random.Random(2)
    places = (*range(4, 40), *chance.sample(range(len(whole)), 300), *range(-140, 0))
    for place in places:
        raw = bytearray(whole)
        raw[place] ^= 1 << chance.randrange(8)
        refused(tmp_path, bytes(raw))


def test_whatever_is_damaged_costs_little_of_what_is_saved(tmp_path: Path, whole: bytes) -> None:
    bad, chance = tmp_path / "bad.zip", random.Random(3)
    bad.write_bytes(whole)
    all_of_it = check(bad).saved
    for turn, place in enumerate(chance.sample(range(4, len(whole)), 60)):
        raw = bytearray(whole)
        raw[place] ^= 1 << chance.randrange(8)
        bad.write_bytes(raw)
        found = save(bad, tmp_path / f"saved{turn}", NOW)
        assert "damaged" in found.fault or "cut short" in found.fault
        assert sum((all_of_it - found.saved).values()) <= 2, place
        shop, *_ = in_folder(tmp_path / f"saved{turn}", lambda one: one.shelf.load("shop"))
        assert shop.version == 2


def test_the_beginning_of_a_cut_file_is_saved(tmp_path: Path, whole: bytes) -> None:
    bad = tmp_path / "bad.zip"
    saved = []
    for turn, cut in enumerate(range(200, len(whole), len(whole) // 20)):
        bad.write_bytes(whole[:cut])
        found = save(bad, tmp_path / f"saved{turn}", NOW)
        saved.append(sum(found.saved.values()))
        with closing(Database(tmp_path / f"saved{turn}")):
            pass
    assert saved == sorted(saved)
    assert saved[-1] > 100 > saved[0]


def test_lost_records_are_counted(tmp_path: Path, whole: bytes) -> None:
    bad = tmp_path / "bad.zip"
    bad.write_bytes(whole.replace(b'"section":"ideas"', b'"section":"idea\xff"', 2))
    found = check(bad)
    assert found.lost == {"records": 2}
    first, saved, lost, care = found.told()
    assert "damaged" in first
    assert saved.startswith("Can be saved: 12 boxes, ")
    assert lost == "Lost: 2 other records."
    assert "may be wrong" in care


# --- files that somebody made ---------------------------------------------------------------


def sealed(path: Path, parts: Parts, **how: Any) -> bytes:
    """A ZIP file with these parts and a seal that is right."""
    with zipfile.ZipFile(path, "w", **how) as zip:
        zip.comment = SEAL + b"0" * 64
        for name, content in parts.items():
            zip.writestr(name, content)
    raw = path.read_bytes()
    path.unlink()
    return raw[:-64] + sha256(raw[:-64]).hexdigest().encode()


def parts_of(path: Path) -> Parts:
    with zipfile.ZipFile(path) as zip:
        return {name: zip.read(name) for name in zip.namelist()}


def listed(parts: Parts, **more: Any) -> Parts:
    """The parts with a manifest that has them as they are now."""
    manifest = msgspec.json.decode(parts["manifest.json"]) | more
    manifest["parts"] = [
        {"name": name, "rows": 1, "bytes": len(content), "sha256": sha256(content).hexdigest()}
        for name, content in parts.items()
        if name != "manifest.json"
    ]
    return {**parts, "manifest.json": msgspec.json.encode(manifest)}


def with_line(parts: Parts, table: str, **row: Any) -> Parts:
    line = msgspec.json.encode(row) + b"\n"
    return listed({**parts, f"{table}.jsonl": parts[f"{table}.jsonl"] + line})


BAD: dict[str, tuple[Callable[[Parts], Parts], str]] = {
    "a path that climbs out": (lambda p: listed({**p, "../../x": b"x"}), "../../x"),
    "an absolute path": (lambda p: listed({**p, "/etc/x": b"x"}), "/etc/x"),
    "a part that is not listed": (lambda p: {**p, "files/000009": b"x"}, "files/000009"),
    "a part that is missing": (
        lambda p: {name: part for name, part in p.items() if name != "job.jsonl"},
        "job.jsonl",
    ),
    "a part that is not as listed": (lambda p: {**p, "kept.jsonl": b" " * 99}, "kept.jsonl"),
    "no manifest": (lambda p: {n: c for n, c in p.items() if n != "manifest.json"}, "manifest"),
    "a manifest of something else": (lambda p: {**p, "manifest.json": b"[]"}, "cannot be read"),
    "a line that is no JSON": (
        lambda p: listed({**p, "kept.jsonl": b"name, value\n"}),
        "cannot be read",
    ),
    "a row twice": (
        lambda p: listed({**p, "shop.jsonl": p["shop.jsonl"] * 2}),
        "a row of shop",
    ),
    "a column that leads elsewhere": (
        lambda p: with_line(p, "shop", **{"id) SELECT (1": "x"}),
        "no name",
    ),
    "a column that is not known": (lambda p: with_line(p, "shop", colour="red"), "not known"),
    "a value that is none": (lambda p: with_line(p, "shop", id=[1], version=1), "a row of shop"),
    "a file that is not there": (
        lambda p: with_line(p, "blob", shop="s", id="i", name="n", part="files/9", sha256=""),
        "files/9",
    ),
}


@pytest.mark.parametrize(("make", "words"), BAD.values(), ids=BAD)
def test_a_backup_that_somebody_made_up_is_refused(
    tmp_path: Path, file: Path, make: Callable[[Parts], Parts], words: str
) -> None:
    raw = sealed(tmp_path / "x", make(parts_of(file)))
    assert words.lower() in refused(tmp_path, raw, Damaged).lower()


def test_parts_that_would_unfold_are_refused(tmp_path: Path, file: Path) -> None:
    parts = listed({**parts_of(file), "files/000003": bytes(50_000_000)})
    raw = sealed(tmp_path / "x", parts, compression=zipfile.ZIP_DEFLATED)
    assert len(raw) < 1_000_000
    refused(tmp_path, raw, Damaged)
    (tmp_path / "bad.zip").write_bytes(raw)
    assert not check(tmp_path / "bad.zip").saved  # nor are they unfolded to be saved


@pytest.mark.parametrize("more", [{"format": 99}, {"layout": 2}, {"layout": 2, "parts": "new"}])
def test_a_backup_of_a_newer_version_is_told(
    tmp_path: Path, file: Path, more: dict[str, Any]
) -> None:
    parts = parts_of(file)
    manifest = msgspec.json.decode(parts["manifest.json"]) | more
    raw = sealed(tmp_path / "x", {**parts, "manifest.json": msgspec.json.encode(manifest)})
    assert "newer Twelvefold" in refused(tmp_path, raw, NewerFormat)
    (tmp_path / "bad.zip").write_bytes(raw)
    with pytest.raises(NewerFormat):
        check(tmp_path / "bad.zip")


def test_a_record_of_a_newer_version_is_told(tmp_path: Path, file: Path) -> None:
    row = {"place": 9999, "shop": "shop", "section": "ferries", "id": "1", "body": {"id": "1"}}
    raw = sealed(tmp_path / "x", with_line(parts_of(file), "document", **row))
    assert '"ferries"' in refused(tmp_path, raw, NewerFormat)
    (tmp_path / "bad.zip").write_bytes(raw)
    found = check(tmp_path / "bad.zip")
    assert (found.lost["records"], "cannot be read" in found.fault) == (1, True)


@pytest.mark.parametrize("raw", [b"", b"PK", b"hello", PHOTO, b"SQLite format 3\x00" + bytes(99)])
def test_what_is_no_backup_is_told(tmp_path: Path, raw: bytes) -> None:
    assert "is no backup of Twelvefold's" in refused(tmp_path, raw, NotOurs)
    with pytest.raises(NotOurs):
        check(tmp_path / "bad.zip")


def test_another_zip_is_told(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "x", "w") as zip:
        zip.writestr("holiday.txt", "by the sea")
    raw = (tmp_path / "x").read_bytes()
    (tmp_path / "x").unlink()
    assert "no backup of Twelvefold's" in refused(tmp_path, raw, Damaged)


def test_what_is_not_there_is_told(tmp_path: Path) -> None:
    for act in (lambda: restore(tmp_path / "b.zip", tmp_path / "new"), lambda: check(tmp_path)):
        with pytest.raises(NotOurs):
            act()


# --- a damaged folder -----------------------------------------------------------------------


def test_what_can_be_read_of_a_damaged_folder_is_saved(tmp_path: Path) -> None:
    data, chance = filled(tmp_path / "data"), random.Random(5)
    with closing(sqlite3.connect(data / FILE)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = (data / FILE).read_bytes()
    all_of_it, found_damaged, saved = sum(check(data).saved.values()), 0, list[int]()
    for turn in range(30):
        page = chance.randrange(1, len(whole) // 4096)
        raw = bytearray(whole)
        raw[page * 4096 : page * 4096 + 512] = chance.randbytes(512)
        (data / FILE).write_bytes(raw)
        found = save(data, tmp_path / f"saved{turn}", NOW)
        found_damaged += bool(found.fault)
        saved.append(sum(found.saved.values()))
        rows = contents(tmp_path / f"saved{turn}")
        assert len(rows["document"]) >= sum(found.saved.values()) - 2
        assert (data / FILE).read_bytes() == raw
        in_folder(tmp_path / f"saved{turn}", lambda one: one.shelf.load("shop"))
    assert found_damaged >= 25  # the others hit a page that holds nothing
    # A page that leads to others takes them with it; most lead nowhere.
    assert sorted(saved)[10] > all_of_it * 0.8


@pytest.mark.parametrize("raw", [b"", b"hello", bytes(8192)])
def test_a_folder_with_something_else_in_it_is_told(tmp_path: Path, raw: bytes) -> None:
    (tmp_path / FILE).write_bytes(raw)
    (tmp_path / "backups").mkdir()
    try:
        told = check(tmp_path).told()
    except NotOurs as error:
        told = (str(error),)
    assert FILE in told[0]

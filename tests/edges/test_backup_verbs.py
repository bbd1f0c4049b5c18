"""The verbs of backups, as their owner types them. Everything said is invented."""

from pathlib import Path

import pytest

from tests.program import chat, run

SAID = ("March theme rain and roots", "Idea: lantern walk")


def test_from_one_machine_to_another(tmp_path: Path) -> None:
    old, file, new = tmp_path / "old", tmp_path / "shop.zip", tmp_path / "new"
    chat(old, *SAID)
    done = run("backup", "--data", old, "--to", file)
    assert (done.returncode, done.stderr) == (0, "")
    assert f"Written: {file}" in done.stdout
    done = run("check", file)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith(f"{file} is whole. It holds 1 box, 1 idea, 2 changes")
    done = run("restore", file, "--data", new)
    assert (done.returncode, done.stderr) == (0, "")
    assert "holds My shop as of" in done.stdout
    assert "lantern walk" in chat(new, "ideas", "undo")
    assert run("check", new).returncode == 0


def test_without_a_name_it_is_put_beside_the_data(tmp_path: Path) -> None:
    chat(tmp_path / "data", *SAID)
    done = run("backup", "--data", tmp_path / "data")
    [file] = (tmp_path / "data" / "backups").iterdir()
    assert str(file) in done.stdout
    assert file.name.startswith("My shop backup (")


def test_what_is_asked_for_in_the_chat_can_be_restored(tmp_path: Path) -> None:
    printed = chat(tmp_path / "data", *SAID, "back up")
    assert "All of My shop as of Mon 11 Jan, 09:00" in printed
    [file] = (tmp_path / "data" / "files").glob("*.zip")
    assert run("restore", file, "--data", tmp_path / "new").returncode == 0
    assert "lantern walk" in chat(tmp_path / "new", "ideas")


def test_what_is_damaged_is_told_and_saved(tmp_path: Path) -> None:
    data, file, new = tmp_path / "data", tmp_path / "shop.zip", tmp_path / "new"
    chat(data, *SAID)
    run("backup", "--data", data, "--to", file)
    file.write_bytes(file.read_bytes()[:-2000])
    done = run("restore", file, "--data", new)
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{file} is cut short, or it is no backup of Twelvefold's.\n"
    done = run("check", file, "--save-to", new)
    assert (done.returncode, done.stderr) == (1, "")
    assert "Can be saved: 1 box, 1 idea, 2 changes in the history" in done.stdout
    assert "lantern walk" in chat(new, "ideas")


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("backup", "--data", "nowhere"), "nowhere holds no data of Twelvefold's."),
        (("backup", "--data", "data", "--to", "no/such/b.zip"), "I cannot write to no/such/b.zip"),
        (("restore", "missing.zip", "--data", "new"), "missing.zip cannot be read"),
        (("restore", "notes.txt", "--data", "new"), "notes.txt is no backup of Twelvefold's."),
        (("restore", "b.zip", "--data", "data"), "data is not empty. Nothing was changed."),
        (("restore", "b.zip", "--data", "notes.txt"), "notes.txt is not empty."),
        (("check", "missing.zip"), "missing.zip cannot be read"),
        (("check", "empty"), "empty holds no data of Twelvefold's."),
        (("check", "b.zip", "--save-to", "data"), "data is not empty. Nothing was changed."),
    ],
)
def test_a_mistake_is_one_sentence(tmp_path: Path, arguments: tuple[str, ...], words: str) -> None:
    chat(tmp_path / "data", *SAID)
    run("backup", "--data", tmp_path / "data", "--to", tmp_path / "b.zip")
    (tmp_path / "notes.txt").write_text("by the sea")
    (tmp_path / "empty").mkdir()
    before = {path.name for path in tmp_path.iterdir()}
    done = run(*arguments, folder=tmp_path)
    assert (done.returncode, done.stdout) == (2, "")
    assert words in done.stderr
    assert done.stderr.count("\n") == 1
    assert {path.name for path in tmp_path.iterdir()} == before

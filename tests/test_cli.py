"""The command line, as other processes: what is said, which status it ends with. All invented."""

import os
import re
import select
import shutil
import signal
import sqlite3
import subprocess
from contextlib import closing, suppress
from pathlib import Path

import pytest

from tests.program import (
    LIMIT,
    NOW,
    ROOT,
    chat,
    command,
    environment,
    read_until,
    run,
    say,
    started,
)

posix = pytest.mark.skipif(os.name != "posix", reason="signals and pseudo-terminals of POSIX")

YEAR = """month,theme,item,supplier,unit cost,lead time,made in
March,Rain and roots,field notebook,Aldermoor,3.10,20 working days,Germany
April,First swifts,nest book,Brackenfold,4.20,15 working days,
"""


def answers(printed: str) -> list[str]:
    """What was answered to each line of a script."""
    return [part.partition("\n")[2].strip() for part in f"\n{printed}".split("\n> ")[1:]]


# --- a conversation -------------------------------------------------------------------------


def test_the_demo_opens_with_a_welcome_that_fits_a_phone() -> None:
    done = run("demo", "--now", "2027-03-01 08:00")
    assert (done.returncode, done.stderr) == (0, "")
    lines = done.stdout.splitlines()
    assert "Mossgate Field Club" in lines[0]
    assert "Rain and roots" in done.stdout
    assert "Due by" in done.stdout
    assert "[a]" in done.stdout
    assert len(lines) <= 24
    assert max(map(len, lines)) <= 64


def test_a_year_is_scripted_with_the_pretend_clock(tmp_path: Path) -> None:
    printed = chat(
        tmp_path / "data",
        "March theme rain and roots",
        "add to March: field notebook from Aldermoor, 3.10, 20 working days, made in Germany",
        "when must I order the field notebook",
        "@2027-01-19 08:00",
        "done 1",
        "@2027-02-10 08:00",
        "@2028-01-11 08:00",
        "history",
    )
    assert re.search(r"(Mon|Tues|Wednes|Thurs|Fri)day \d+ \w+", printed)
    mornings = re.findall(r"^\w+day \d+ \w+(?: \d{4})?$", printed, re.MULTILINE)
    assert len(mornings) == len(set(mornings))
    assert not any(morning.startswith(("Saturday", "Sunday")) for morning in mornings)
    assert printed.rindex("Order") < printed.rindex("> history")


def test_what_was_said_is_there_the_next_time(tmp_path: Path) -> None:
    chat(tmp_path / "data", "Idea: lantern walk for November")
    assert "lantern walk" in chat(tmp_path / "data", "ideas for November", now="2027-02-01")


def test_letters_press_the_buttons_of_the_newest_reply(tmp_path: Path) -> None:
    _, taken, back, again = answers(
        chat(tmp_path / "data", "March theme rain and roots", "a", "A", "hello")
    )
    assert taken.startswith("Taken back")
    assert "[a]" in taken
    assert "March" in back
    assert "rain and roots" in again.lower()


def test_a_year_is_brought_in_from_a_file(tmp_path: Path) -> None:
    (tmp_path / "my year.csv").write_text(YEAR)
    data = tmp_path / "data"
    read, brought, again, missing = answers(
        chat(data, '"my year.csv"', "a", "my year.csv", "~/no such.csv", folder=tmp_path)
    )
    assert "2 boxes, 2 items" in read
    assert "Brought in" in brought
    assert "Nothing in it is new" in again
    assert "I see no file" in missing


def test_a_workbook_is_brought_in(tmp_path: Path) -> None:
    from openpyxl import Workbook

    book = Workbook()
    for row in YEAR.splitlines():
        book.active.append(row.split(","))  # type: ignore[union-attr]
    book.save(tmp_path / "year.xlsx")
    read, brought = answers(chat(tmp_path / "data", f"bring in {tmp_path / 'year.xlsx'}", "a"))
    assert "2 boxes, 2 items" in read
    assert "Brought in" in brought


def test_hostile_lines_get_a_sentence_each_and_steer_nothing(tmp_path: Path) -> None:
    lines = [
        "x" * 100_000,
        "Idea: \x1b[31mred\x07 \x9b2J",
        "Idea: \u202egnp.exe\u2066",
        "\u200f\u200e",
        "\x00",
        "=HYPERLINK(1)",
    ]
    printed = chat(tmp_path / "data", *lines)
    assert len(answers(printed)) == len(lines)
    assert all(answers(printed))
    assert not re.search("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]", printed)


def test_bytes_that_are_no_text_do_no_harm(tmp_path: Path) -> None:
    script = b"\xef\xbb\xbfIdea: caf\xe9\r\n\xff\xfe\r\nideas"
    done = run("chat", "--data", tmp_path, "--now", NOW, lines=script)
    assert (done.returncode, done.stderr) == (0, "")
    assert "caf\ufffd" in answers(done.stdout)[2]


def test_a_terminal_that_lacks_characters_is_no_error(tmp_path: Path) -> None:
    done = run("chat", "--data", tmp_path, lines="Idea: 🌱 für später\n", PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Kept as an idea" in done.stdout


# --- refusals -------------------------------------------------------------------------------


def refused(done: subprocess.CompletedProcess[str]) -> str:
    """The sentence of a refusal."""
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    return done.stderr.strip()


def test_a_folder_that_is_in_use_is_refused_in_one_sentence(tmp_path: Path) -> None:
    with started("chat", "--data", tmp_path) as first:
        say(first, "hello")
        read_until(first, "> hello")
        said = refused(run("chat", "--data", tmp_path, lines="hello\n"))
    assert "already running" in said
    assert len(said.splitlines()) == 1
    assert "hello" in chat(tmp_path, "hello").lower()


def test_a_newer_format_is_refused_and_left_alone(tmp_path: Path) -> None:
    chat(tmp_path, "hello")
    [file] = tmp_path.glob("*.db")
    with sqlite3.connect(file) as connection:
        connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = file.read_bytes()
    assert "newer" in refused(run("chat", "--data", tmp_path))
    assert file.read_bytes() == before


def test_a_file_where_the_folder_should_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("not a folder")
    assert "cannot write" in refused(run("chat", "--data", tmp_path / "data"))


@pytest.mark.skipif(not Path("/proc/self").is_dir(), reason="a folder not even root may write to")
def test_a_folder_that_cannot_be_written_to_is_refused() -> None:
    assert "cannot write" in refused(run("chat", "--data", "/proc/self"))


@pytest.mark.parametrize("now", ["tomorrow", "2027-02-30", "2027-03-01T08:00Z", ""])
def test_a_moment_that_is_none_is_refused_in_words(now: str) -> None:
    said = refused(run("demo", "--now", now))
    assert "local time without a zone" in said
    assert "_moment" not in said


def test_no_verb_shows_the_verbs() -> None:
    assert "chat" in refused(run())
    assert run("--help").returncode == 0


def test_a_broken_configuration_is_named_with_its_line(tmp_path: Path) -> None:
    for part in ("assistant", "config"):
        shutil.copytree(ROOT / part, tmp_path / part, ignore=shutil.ignore_patterns("__pycache__"))
    defaults = tmp_path / "config" / "defaults.toml"
    text = defaults.read_text()
    defaults.write_text(text.replace("crew = ", "crew = -"))
    line = next(n for n, one in enumerate(text.splitlines(), 1) if one.startswith("crew = "))
    said = refused(run("demo", folder=tmp_path, PYTHONPATH=str(tmp_path)))
    assert said.startswith(f"defaults.toml, line {line}, crew:")


def test_a_bot_without_a_token_is_refused(tmp_path: Path) -> None:
    said = refused(run("telegram", "--data", tmp_path, TWELVEFOLD_TELEGRAM_TOKEN=""))
    assert "No token" in said


# --- what was given up ----------------------------------------------------------------------


def test_what_was_given_up_is_listed_and_revived(tmp_path: Path) -> None:
    chat(tmp_path, "hello")
    assert run("dead", "--data", tmp_path).stdout == "Nothing was given up.\n"
    [file] = tmp_path.glob("*.db")
    with sqlite3.connect(file) as connection:
        connection.execute(
            "INSERT INTO job (lane, key, body, once, due, tries, claims, state, error, ended)"
            " VALUES ('out', 'terminal:you', ?, '', 0, 5, 5, 'dead', 'TimeoutError: slow', 0)",
            (b'{"kind":"outgoing","shop":"shop","chat":"terminal:you","reply":{"text":"late"}}',),
        )
        [(number,)] = connection.execute("SELECT max(id) FROM job").fetchall()
    connection.close()
    listed = run("dead", "--data", tmp_path)
    assert listed.stdout.startswith(f"{number}: a reply of 1970-01-01")
    assert "tried 5 times: TimeoutError: slow" in listed.stdout
    assert "no message 999" in refused(run("dead", "--data", tmp_path, "--revive", "999"))
    assert run("dead", "--data", tmp_path, "--revive", str(number)).returncode == 0
    assert run("dead", "--data", tmp_path).stdout == "Nothing was given up.\n"
    assert "late" in chat(tmp_path, "hello")


# --- the end --------------------------------------------------------------------------------


@posix
@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_ends_it_as_the_end_of_input_would(tmp_path: Path, how: signal.Signals) -> None:
    with started("chat", "--data", tmp_path) as program:
        say(program, "Idea: lantern walk")
        read_until(program, "[a] Undo")
        program.send_signal(how)  # while it waits for a line that does not come
        _, err = program.communicate(timeout=LIMIT)
    assert (program.returncode, err) == (0, b"")
    assert "lantern walk" in chat(tmp_path, "ideas")


def test_a_reader_who_has_read_enough_is_no_error(tmp_path: Path) -> None:
    with started("chat", "--data", tmp_path) as program:
        assert program.stdout is not None
        assert program.stderr is not None
        say(program, "Idea: lantern walk")
        program.stdout.read(1)
        program.stdout.close()
        with suppress(BrokenPipeError):  # it may have gone already
            for _ in range(3):
                say(program, "Idea: beeswax wrap")
        assert program.wait(timeout=LIMIT) == 0
        assert program.stderr.read() == b""
    later = chat(tmp_path, "ideas")
    assert "lantern walk" in later
    assert later.index("Kept as an idea") < later.index("> ideas")  # what nobody read comes first


# --- typed at a terminal --------------------------------------------------------------------


class Phone:
    """A pseudo-terminal of a phone's width, with somebody who types and reads."""

    def __init__(self, *arguments: str | Path) -> None:
        import fcntl
        import pty
        import struct
        import termios

        self.leader, follower = pty.openpty()
        fcntl.ioctl(self.leader, termios.TIOCSWINSZ, struct.pack("HHHH", 40, 60, 0, 0))
        self.program = subprocess.Popen(
            command(*arguments),
            stdin=follower,
            stdout=follower,
            stderr=follower,
            env=environment(TERM="xterm"),
            start_new_session=True,
        )
        os.close(follower)

    def type(self, text: str) -> None:
        os.write(self.leader, text.encode())

    def seen_until(self, words: str) -> str:
        """What is shown until these words are; fails when they do not come."""
        seen = b""
        while words.encode() not in seen:
            ready, _, _ = select.select([self.leader], [], [], LIMIT)
            assert ready, f"waited for {words!r} and saw {seen!r}"
            seen += os.read(self.leader, 65_536)
            if b"\x1b[6n" in seen:  # it asks where the cursor is
                seen = seen.replace(b"\x1b[6n", b"")
                self.type("\x1b[1;1R")
        return seen.decode(errors="replace")

    def end(self) -> int:
        """Read to the end; the status."""
        with suppress(OSError):  # what the reader of a terminal gets when the writer has gone
            while select.select([self.leader], [], [], LIMIT)[0]:
                if not os.read(self.leader, 65_536):
                    break
        return self.program.wait(timeout=LIMIT)

    def close(self) -> None:
        self.program.kill()
        self.program.wait()
        os.close(self.leader)


@posix
def test_typed_at_a_terminal(tmp_path: Path) -> None:
    with closing(Phone("chat", "--data", tmp_path)) as phone:
        assert "Nothing is planned yet" in phone.seen_until(">")
        phone.type("Idea: lantern walk\r")
        assert "Kept as an idea" in phone.seen_until("Undo")
        phone.seen_until(">")
        phone.type("\x04")
        assert phone.end() == 0
    assert "lantern walk" in chat(tmp_path, "ideas")
    history = tmp_path / "typed-lines"
    assert "lantern walk" in history.read_text()
    assert history.stat().st_mode & 0o077 == 0

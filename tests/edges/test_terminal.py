"""The terminal's channel and its lines, without a terminal. Everything said is invented."""

import asyncio
import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.messages import Button, File, Reply
from assistant.edges.clock import PretendClock
from assistant.edges.terminal.channel import YOU, TerminalChannel, render, split_path
from assistant.edges.terminal.lines import BACK, NO_MOMENT, REAL_CLOCK, Conversation, piped, play
from assistant.flow.messages import Incoming, Outgoing, Unreached, encode
from assistant.flow.ports import NoRoom

NINE = datetime(2027, 3, 1, 9, tzinfo=UTC)


def channel(said: list[str] | None = None) -> TerminalChannel:
    lines = said if said is not None else []
    return TerminalChannel(lines.append, PretendClock(NINE), bold=False)


def out(text: str, *labels: str) -> Outgoing:
    buttons = tuple(Button(label, f"say {label}") for label in labels)
    return Outgoing(shop="moss", chat=YOU, reply=Reply(text=text, buttons=(buttons,)))


# --- what is heard --------------------------------------------------------------------------


def test_a_letter_is_the_button_of_the_newest_reply() -> None:
    door = channel()
    asyncio.run(door.send(out("one", "Undo", "Due"), None))
    asyncio.run(door.send(out("two", "Year"), None))

    def heard(line: str) -> tuple[str, bool]:
        incoming = door.heard(line, "1")
        assert isinstance(incoming, Incoming)
        return incoming.heard.text, incoming.heard.pressed

    assert heard("a") == ("say Year", True)
    assert heard(" A ") == ("say Year", True)
    assert heard("b") == ("b", False)
    asyncio.run(door.send(out("three"), None))
    assert heard("a") == ("a", False)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder to be in, that is home too."""
    for name in ("year.csv", "my year.xlsx", "it's.csv", "walk.JPG"):
        (tmp_path / name).write_bytes(b"x")
    (tmp_path / "plans").mkdir()
    (tmp_path / "plans" / "spring plan.csv").write_bytes(b"x")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    return tmp_path


PATHS = [
    # line, words before it, file
    ("year.csv", "", "year.csv"),
    ("bring in year.csv", "bring in", "year.csv"),
    ("my year.xlsx", "", "my year.xlsx"),
    ("here is my year.xlsx", "here is", "my year.xlsx"),
    ("my\\ year.xlsx", "", "my year.xlsx"),
    ('"my year.xlsx"', "", "my year.xlsx"),
    ("'my year.xlsx'", "", "my year.xlsx"),
    ('a plan "plans/spring plan.csv"', "a plan", "plans/spring plan.csv"),
    ("plans/spring plan.csv", "", "plans/spring plan.csv"),
    ("~/year.csv", "", "year.csv"),
    ("it's.csv", "", "it's.csv"),
    ("Wren's walk.JPG", "Wren's", "walk.JPG"),
]


@pytest.mark.parametrize(("line", "words", "name"), PATHS)
def test_a_line_may_end_in_a_file(folder: Path, line: str, words: str, name: str) -> None:
    said, path = split_path(line)
    assert said == words
    assert path is not None
    assert path.samefile(folder / name)


@pytest.mark.parametrize(
    "line",
    [
        "Idea: tidy up notes.txt",
        "see https://example.org/year.csv",
        "year.csv and more",
        "ship day the 15th",
        'Idea: a 12" ruler',
        "",
    ],
)
def test_other_lines_are_words(folder: Path, line: str) -> None:
    assert (split_path(line), folder.is_dir()) == ((line, None), True)


@pytest.mark.parametrize(
    "line",
    [
        "nothing.csv",
        "bring in nothing.csv",
        "~/nothing.csv",
        "~nobody-at-all/x.csv",
        '"no file.csv"',
        "no/thing.csv",
    ],
)
def test_a_file_that_is_missing_is_said_with_an_example(folder: Path, line: str) -> None:
    said = channel().heard(line, "1")
    assert isinstance(said, str), folder
    assert "I see no file" in said
    assert "For example" in said


@given(st.text(max_size=60).map(lambda text: text + ".csv") | st.just("x/" * 3000 + "a.csv"))
def test_any_line_becomes_a_message_or_a_sentence(line: str) -> None:
    heard = channel().heard(line, "1")
    assert isinstance(heard, str) or encode(heard)


def test_half_characters_from_a_terminal_can_be_kept() -> None:
    heard = channel().heard("Idea: caf\udce9", "1")
    assert isinstance(heard, Incoming)
    assert heard.heard.text == "Idea: caf?"
    assert encode(heard)


def test_a_picture_and_a_sheet_are_told_apart(folder: Path) -> None:
    picture, sheet = channel().heard("walk.JPG", "1"), channel().heard("year.csv", "2")
    assert isinstance(picture, Incoming)
    assert isinstance(sheet, Incoming)
    assert (picture.photo_ref, picture.document_ref) == (str(folder / "walk.JPG"), "")
    assert (sheet.photo_ref, sheet.document_ref) == ("", str(folder / "year.csv"))
    assert asyncio.run(channel().fetch(sheet.document_ref)) == b"x"
    assert asyncio.run(channel().fetch(str(folder))) is None


# --- what is shown --------------------------------------------------------------------------

texts = st.text(st.sampled_from("aé中🌱 \n\t") | st.characters(codec="utf-8"), max_size=200)


@given(texts, st.lists(texts, max_size=30), st.integers(20, 64))
def test_nothing_from_outside_steers_the_terminal(
    text: str, labels: list[str], columns: int
) -> None:
    buttons = tuple(Button(label, "x") for label in labels)
    shown = render(Reply(text=text, title=text, buttons=(buttons,)), columns, bold=False)
    steering = {chr(code) for code in (*range(10), *range(11, 32), *range(127, 160))}
    steering |= {chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))}
    assert not steering & set(shown) - {"\t"}


@given(st.lists(st.text("abcdef ghi", min_size=1), max_size=26), st.integers(20, 64))
def test_no_line_is_wider_than_the_phone_and_no_label_is_torn(
    labels: list[str], columns: int
) -> None:
    labels = [" ".join(label.split())[:12] or "x" for label in labels]
    buttons = tuple(Button(label, "x") for label in labels)
    shown = render(Reply(text="word " * 40, buttons=(buttons,)), columns, bold=False)
    assert max(len(line) for line in shown.splitlines()) <= columns
    for letter, label in zip("abcdefghijklmnopqrstuvwxyz", labels, strict=False):
        assert f"[{letter}] {label}" in shown


def test_a_list_hangs_under_its_number_and_a_file_is_named() -> None:
    file = File(id="f", name="year\x1b.txt", content=b"x" * 1234)
    shown = render(Reply(text="10. " + "word " * 9), 24, bold=False, file=file)
    assert shown.splitlines()[1].startswith("    word")
    assert "(file: year .txt, 1,234 bytes)" in shown


def test_a_reply_that_nobody_reads_waits() -> None:
    def hang_up(text: str) -> None:
        raise BrokenPipeError(text)

    async def send() -> None:
        door = TerminalChannel(hang_up, PretendClock(NINE), bold=False)
        task = asyncio.create_task(door.send(out("hello", "Undo"), None))
        for _ in range(10):
            await asyncio.sleep(0)
        assert not task.done()
        task.cancel()

    asyncio.run(send())


# --- lines ----------------------------------------------------------------------------------


class Listener:
    """What a conversation is connected to."""

    def __init__(self, *, pretend: bool = True) -> None:
        self.taken: list[str] = []
        self.moved: list[datetime] = []
        self.said: list[str] = []
        self.full = False
        self.conversation = Conversation(
            channel(self.said),
            self.take,
            self.settle,
            self.move if pretend else None,
            self.said.append,
            "run",
        )

    async def take(self, body: Incoming | Unreached) -> bool:
        if self.full:
            raise NoRoom
        assert isinstance(body, Incoming)
        self.taken.append(f"{body.heard.id} {body.heard.text}")
        return True

    async def settle(self) -> None:
        self.said.append("settled")

    async def move(self, moment: datetime) -> bool:
        self.moved.append(moment)
        return moment.year > 2026

    def hear(self, line: str) -> str:
        self.said.clear()
        asyncio.run(self.conversation.say(line))
        return "".join(self.said)


def test_each_line_has_an_id_of_its_own_and_is_answered_before_the_next() -> None:
    listener = Listener()
    assert [listener.hear(line) for line in ("one", "", "  ", "two")] == [
        "settled",
        "",
        "",
        "settled",
    ]
    assert listener.taken == ["terminal:run/1 one", "terminal:run/2 two"]


def test_the_pretend_clock_is_moved_by_a_line() -> None:
    listener = Listener()
    assert listener.hear("@2027-03-02 08:00") == ""
    assert listener.hear("@ 2027-03-03") == ""
    assert [str(moment) for moment in listener.moved] == [
        "2027-03-02 08:00:00",
        "2027-03-03 00:00:00",
    ]
    assert listener.hear("@2026-01-01") == BACK + "\n"
    for nonsense in ("@", "@tomorrow", "@2027-02-30", "@2027-03-02T08:00+01:00", "@" + "9" * 5000):
        assert " ".join(listener.hear(nonsense).split()) == NO_MOMENT
    assert " ".join(Listener(pretend=False).hear("@2027-03-02").split()) == REAL_CLOCK


def test_a_full_disk_is_said_at_once() -> None:
    listener = Listener()
    listener.full = True
    assert "disk is full" in listener.hear("Idea: lantern walk")


async def lines_of(data: bytes, piece: int) -> list[str]:
    source, sink = os.pipe()

    async def feed() -> None:
        for start in range(0, len(data), piece):
            await asyncio.to_thread(os.write, sink, data[start : start + piece])
        os.close(sink)

    try:
        task = asyncio.create_task(feed())
        found = [line async for line in piped(source)]
        await task
        return found
    finally:
        os.close(source)


@pytest.mark.parametrize("piece", [1, 3, 1000])
def test_lines_come_whole_however_the_pipe_cuts_them(piece: int) -> None:
    data = "\ufeffcafé 🌱\r\n\n二\nlast".encode() + b"\xff"
    assert asyncio.run(lines_of(data, piece)) == ["café 🌱", "", "二", "last\ufffd"]


def test_a_pipe_in_which_nothing_comes_can_be_left() -> None:
    async def wait() -> None:
        source, sink = os.pipe()
        task = asyncio.create_task(anext(piped(source)))  # type: ignore[arg-type]
        for _ in range(3):
            await asyncio.sleep(0)
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)
        assert task.cancelled()
        os.close(sink)

    asyncio.run(wait())


def test_a_script_is_echoed_without_its_remarks() -> None:
    listener = Listener()

    async def script() -> None:
        async def lines():  # type: ignore[no-untyped-def]
            for line in ("# a remark", "", "one", "x" * 600, "\x1b[2J"):
                yield line

        await play(lines(), listener.conversation, listener.said.append)

    asyncio.run(script())
    echoed = [line for line in listener.said if line.startswith("> ")]
    assert echoed == ["> one\n", "> " + "x" * 499 + "…\n", ">  [2J\n"]
    assert len(listener.taken) == 3


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("nudges 2026-11-25.txt", "nudges 2026-11-25.txt"),
        ("../../etc/passwd", "_.._etc_passwd"),
        ("\x1b[31m\u202e.csv", "__31m_.csv"),
        ("...", "file"),
        ("x" * 300 + ".txt", "x" * 96 + ".txt"),
    ],
)
def test_a_file_that_is_sent_can_be_opened_and_stays_in_its_folder(
    tmp_path: Path, name: str, kept: str
) -> None:
    lines: list[str] = []
    door = TerminalChannel(lines.append, PretendClock(NINE), bold=False, files=tmp_path / "files")
    out = Outgoing(shop="shop", chat="terminal:you", reply=Reply(text="The whole of it."))
    asyncio.run(door.send(out, File(id="f", name=name, content=b"every morning")))
    (path,) = (tmp_path / "files").iterdir()
    assert path.name == kept
    assert path.read_bytes() == b"every morning"
    assert f"(file: {path})" in lines[0]


def test_a_file_that_cannot_be_written_is_named_all_the_same(tmp_path: Path) -> None:
    lines: list[str] = []
    (tmp_path / "files").write_text("in the way")
    door = TerminalChannel(lines.append, PretendClock(NINE), bold=False, files=tmp_path / "files")
    out = Outgoing(shop="shop", chat="terminal:you", reply=Reply(text="The whole of it."))
    asyncio.run(door.send(out, File(id="f", name="year.txt", content=b"12")))
    assert "(file: year.txt, 2 bytes)" in lines[0]

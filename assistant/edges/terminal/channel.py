"""The terminal as a channel: a line is a message, a letter touches a button.

Knows: lines in, lines out. Must not know: what they mean. Invariants: the person at this machine
has one address, `YOU`; buttons are lettered, because numbers belong to the lists in replies; a
line that begins with "@" moves a pretend clock (see lines.py), every other speaks to the assistant;
what is printed stays, so a reply that is `live` is printed anew.
"""

import asyncio
import re
import shutil
import textwrap
from collections.abc import Callable
from pathlib import Path

from assistant.conversation.messages import File, Heard, Reply
from assistant.flow.messages import Incoming, Outgoing
from assistant.flow.ports import Clock

YOU = "terminal:you"
WIDTH = 64  # columns at most, so that it reads like a phone
LONGEST_PATH = 1000  # characters
MOST_SPACES = 8  # within a path without quotes
# What a line ends in: a quoted text, or one without spaces but for those behind a backslash.
_LAST = re.compile(
    r"""(?:^|(?<=\s))(?:"(?P<double>[^"]+)"|'(?P<single>[^']+)'|(?P<bare>(?:\\ |\S)+))$"""
)
UNSAFE = re.compile(r"[^\w .()-]")  # in the name of a file, whoever gave it
LONGEST_NAME = 100  # characters
ONLY_TO_BRING = ("", "bring in", "bring in the file", "read", "read in", "import", "load")
LETTERS = "abcdefghijklmnopqrstuvwxyz"
PICTURES = {".jpg", ".jpeg", ".png", ".webp", ".gif"}
SHEETS = {".csv", ".tsv", ".xlsx", ".xlsm", ".xls", ".ods", ".txt", ".pdf"}
# C0, C1 and DEL steer a terminal; bidirectional overrides can make a line read backwards.
STEERING = ((0, 9), (11, 32), (127, 160), (0x202A, 0x202F), (0x2066, 0x206A))
CONTROLS = {code: " " for first, after in STEERING for code in range(first, after)}
UNTORN = "\x00"  # a space at which no line may end; `clean` lets none through from outside


class TerminalChannel:
    """Implements `flow.ports.Channel`, but for `run`: lines.py gives it the typed lines
    through `heard`."""

    name = "terminal"
    most = 0  # any

    def __init__(
        self,
        write: Callable[[str], None],
        clock: Clock,
        *,
        bold: bool,
        files: Path | None = None,
    ) -> None:
        self._write = write
        self._clock = clock
        self._bold = bold
        self._files = files  # where files that were sent are put, so that they can be opened
        self._says: tuple[str, ...] = ()

    def heard(self, line: str, ref: str) -> Incoming | str:
        """Turn a typed line into a message, or a sentence saying why it cannot be one.

        A letter alone is the button of that letter in the last reply. A line that ends in the
        path of a picture or a spreadsheet brings that file, the words before it its caption.
        """
        # A terminal hands on bytes that are no text as half characters; nobody could keep those.
        text, pressed = line.encode(errors="replace").decode().strip(), False
        if len(text) == 1 and text.lower() in LETTERS[: len(self._says)]:
            text, pressed = self._says[LETTERS.index(text.lower())], True
        words, path = split_path(text) if not pressed else (text, None)
        if path is not None and not _is_file(path):
            return (
                f"I see no file {path}. Check where it is and how it is spelt. "
                'For example: "my plans/year.csv"'
            )
        heard = Heard(
            id=ref,
            message=ref,
            chat=YOU,
            sender=YOU,
            at=self._clock.now(),
            text=words if path else text,
            pressed=pressed,
            document_name=path.name if path and path.suffix.lower() not in PICTURES else "",
        )
        if path is None:
            return Incoming(heard=heard)
        if path.suffix.lower() in PICTURES:
            return Incoming(heard=heard, photo_ref=str(path.resolve()))
        return Incoming(heard=heard, document_ref=str(path.resolve()))

    async def send(self, out: Outgoing, file: File | None) -> None:
        """Print a reply, its buttons lettered, its file named. When whoever read has hung up this
        never returns: the program is ending, and the reply waits for the next time."""
        try:
            put = self._put(file) if file is not None else None
            self._write(render(out.reply, width(), bold=self._bold, file=file, put=put))
        except BrokenPipeError:
            await asyncio.Event().wait()
        self._says = tuple(button.says for row in out.reply.buttons for button in row)

    def _put(self, file: File) -> Path | None:
        """Write a file where it can be opened; None where that cannot be done."""
        if self._files is None:
            return None
        path = self._files / (UNSAFE.sub("_", file.name).lstrip(". ")[-LONGEST_NAME:] or "file")
        try:
            self._files.mkdir(mode=0o700, parents=True, exist_ok=True)
            path.write_bytes(file.content)
        except OSError:
            return None
        return path

    async def fetch(self, ref: str) -> bytes | None:
        """Read the file at a path; None when it is gone."""
        try:
            return Path(ref).read_bytes()
        except OSError:
            return None


def split_path(text: str) -> tuple[str, Path | None]:
    """Split a line into its words and the path that it ends in, if it ends in one.

    A path ends in .csv, .xlsx, .jpg or the like. It is taken for one when there is such a file,
    when nothing is said but to bring it in, or when it is quoted or names a folder; "Idea: tidy up
    notes.txt" stays a thought. Spaces within an unquoted path are found by looking for the file.
    """
    found = _LAST.search(text[-LONGEST_PATH:]) if _looks_like_file(text) else None
    if found is None or "://" in found.group():
        return text, None
    words = text[: len(text) - len(found.group())].split()
    quoted = found["single"] or found["double"]
    named = (quoted or found["bare"]).replace("\\ ", " ")
    for taken in range(1 if quoted else min(len(words), MOST_SPACES) + 1):
        kept = words[: len(words) - taken]
        path = _path(" ".join([*words[len(kept) :], named]))
        if _is_file(path):
            return " ".join(kept), path
    if re.match(r"[~/\\.]|\w:\\", text):  # the whole line is the path of a file that is missing
        return "", _path(text)
    said = " ".join(words).lower()
    plain = said not in ONLY_TO_BRING and not quoted and not re.search(r"[/\\]", named)
    return (text, None) if plain else (" ".join(words), _path(named))


def _looks_like_file(text: str) -> bool:
    return text.rstrip("\"'").lower().endswith((*PICTURES, *SHEETS))


def _path(text: str) -> Path:
    path = Path(text)
    try:
        return path.expanduser()
    except RuntimeError:  # there is nobody of that name
        return path


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # too long, or behind a folder that may not be read
        return False


def width() -> int:
    """Return the columns to write in: the terminal's, at most a phone's line or two."""
    return max(20, min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns))


def render(
    reply: Reply, columns: int, *, bold: bool, file: File | None = None, put: Path | None = None
) -> str:
    """Write a reply as terminal text, wrapped, without control characters from outside. `put` is
    where its file can be opened."""
    lines: list[str] = []
    if reply.title:
        title = clean(reply.title)
        lines.append(f"\033[1m{title}\033[0m" if bold else title)
    for line in clean(reply.text).splitlines():
        lines += textwrap.wrap(line, columns, subsequent_indent=_indent(line)) or [""]
    if file is not None:
        what = put or f"{clean(file.name)}, {len(file.content):,} bytes"
        lines.append(f"(file: {what})")
    labels = [button.label for row in reply.buttons for button in row]
    touches = (f"[{letter}] {clean(label)}" for letter, label in zip(LETTERS, labels, strict=False))
    whole = "   ".join(touch.replace(" ", UNTORN) for touch in touches)
    lines += (line.replace(UNTORN, " ") for line in textwrap.wrap(whole, columns))
    return "\n".join(lines) + "\n"


def _indent(line: str) -> str:
    """Return the hanging indent of a list's line."""
    mark = re.match(r"\s*(?:\d+\.|[-\u2022])\s+", line)
    return " " * len(mark.group()) if mark else ""


def clean(text: str) -> str:
    """Take out control characters: outside text must not steer the terminal."""
    return text.translate(CONTROLS)

"""The terminal as a channel: a line is a message, a letter touches a button.

Knows: lines in, lines out. Must not know: what they mean. Invariants: the person at this machine
has one address, `YOU`; buttons are lettered, because numbers belong to the lists in replies; a
line that begins with "@" moves a pretend clock (see lines.py), every other speaks to the assistant.
"""

import re
import shlex
import shutil
import textwrap
from collections.abc import Callable
from pathlib import Path

from assistant.conversation.messages import File, Heard, Reply
from assistant.flow.messages import Incoming, Outgoing
from assistant.flow.ports import Clock, Later

YOU = "terminal:you"
WIDTH = 64  # columns at most, so that it reads like a phone
HUNG_UP_WAIT = 1.0  # seconds
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

    def __init__(self, write: Callable[[str], None], clock: Clock, *, bold: bool) -> None:
        self._write = write
        self._clock = clock
        self._bold = bold
        self._says: tuple[str, ...] = ()
        self._files: dict[str, Path] = {}

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
        if path is not None and not path.is_file():
            return f"I see no file {path}. Check the path; quotes help when it holds spaces."
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
        """Print a reply, its buttons lettered, its file named. Raises Later when whoever read
        has hung up: the reply waits for the next time."""
        try:
            self._write(render(out.reply, width(), bold=self._bold, file=file))
        except BrokenPipeError:
            raise Later(HUNG_UP_WAIT) from None
        self._says = tuple(button.says for row in out.reply.buttons for button in row)

    async def fetch(self, ref: str) -> bytes | None:
        """Read the file at a path; None when it is gone."""
        try:
            return Path(ref).read_bytes()
        except OSError:
            return None


def split_path(text: str) -> tuple[str, Path | None]:
    """Split a line into its words and the path that it ends in, if it ends in one.

    A path is recognised by its ending (.csv, .xlsx, .jpg ...) and by naming a folder, a quoted
    text or a file that exists; "bring in year.csv" needs no quotes.
    """
    try:
        parts = shlex.split(text[:2000]) if len(text) <= 2000 else []
    except ValueError:
        parts = text.split()
    if not parts or Path(parts[-1]).suffix.lower() not in PICTURES | SHEETS:
        return text, None
    path = Path(parts[-1]).expanduser()
    if re.match(r"\w+://", parts[-1]):
        return text, None
    return " ".join(parts[:-1]), path


def width() -> int:
    """Return the columns to write in: the terminal's, at most a phone's line or two."""
    return max(20, min(WIDTH, shutil.get_terminal_size((WIDTH, 24)).columns))


def render(reply: Reply, columns: int, *, bold: bool, file: File | None = None) -> str:
    """Write a reply as terminal text, wrapped, without control characters from outside."""
    lines: list[str] = []
    if reply.title:
        title = clean(reply.title)
        lines.append(f"\033[1m{title}\033[0m" if bold else title)
    for line in clean(reply.text).splitlines():
        lines += textwrap.wrap(line, columns, subsequent_indent=_indent(line)) or [""]
    if file is not None:
        lines.append(f"(file: {clean(file.name)}, {len(file.content):,} bytes)")
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

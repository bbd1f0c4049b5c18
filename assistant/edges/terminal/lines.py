"""Lines typed or played: each is a message, or moves the pretend clock.

Knows: where lines come from (a prompt, a pipe). Must not know: what a message means. Invariants:
the next line is read when the last has been answered; the end of the lines is a normal end.
"""

import asyncio
import codecs
import os
import re
import threading
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import suppress
from datetime import datetime
from functools import partial
from pathlib import Path

from assistant.conversation.messages import Reply
from assistant.edges.terminal.channel import TerminalChannel, clean, render, width
from assistant.flow.messages import Incoming
from assistant.flow.ports import NoRoom, Take

CHUNK = 65_536  # bytes read at once
MOST_ECHOED = 500  # characters

NOT_KEPT = "I could not keep that: the disk is full or cannot be written to. Please say it again."
NO_MOMENT = 'I could not read a time there. For example: "@2027-03-01 08:00".'
REAL_CLOCK = 'The clock is the real one here. Start with --now "2027-03-01 08:00" to pretend.'
BACK = "The pretend clock does not go back."


class Conversation:
    """Hands lines on and waits for the answers.

    `settle` returns when everything taken has been answered; `move` takes a naive local time and
    delivers what falls due on the way (False: that would be going back), None when the clock is
    real.
    """

    def __init__(
        self,
        channel: TerminalChannel,
        take: Take,
        settle: Callable[[], Awaitable[None]],
        move: Callable[[datetime], Awaitable[bool]] | None,
        write: Callable[[str], None],
        run: str,
    ) -> None:
        self._channel = channel
        self._take = take
        self._settle = settle
        self._move = move
        self._write = write
        self._run = run  # unique to this run, so that messages of two runs are never taken for one
        self._count = 0

    async def say(self, line: str, echo: Callable[[], None] = lambda: None) -> None:
        """Deal with one line and everything that follows from it. `echo` is called once a message
        is durable, before it is answered."""
        if not line.strip():
            return
        self._count += 1
        heard = self._channel.heard(line, f"terminal:{self._run}/{self._count}")
        if line.startswith("@"):
            echo()
            await self._move_clock(line[1:])
        elif isinstance(heard, str):
            echo()
            self._say(heard)
        elif await self._kept(heard, echo):
            await self._settle()

    async def _kept(self, heard: Incoming, echo: Callable[[], None]) -> bool:
        try:
            await self._take(heard)
        except NoRoom:
            echo()
            self._say(NOT_KEPT)
            return False
        echo()
        return True

    async def _move_clock(self, text: str) -> None:
        if self._move is None:
            self._say(REAL_CLOCK)
            return
        try:
            moment = datetime.fromisoformat(text.strip())
        except ValueError:
            self._say(NO_MOMENT)
            return
        if moment.tzinfo is not None:
            self._say(NO_MOMENT)
        elif not await self._move(moment):
            self._say(BACK)

    def _say(self, sentence: str) -> None:
        self._write(render(Reply(text=sentence), width(), bold=False))


async def play(
    lines: AsyncIterator[str], conversation: Conversation, write: Callable[[str], None]
) -> None:
    """Say the lines of a script one after another, each echoed: a line that is seen was kept. A
    line that begins with "#" is a remark."""
    async for text in lines:
        if text.strip() and not text.startswith("#"):
            seen = text if len(text) <= MOST_ECHOED else f"{text[: MOST_ECHOED - 1]}\u2026"
            await conversation.say(text, partial(write, f"> {clean(seen)}\n"))


async def piped(source: int) -> AsyncIterator[str]:
    """Yield the lines of an open file or pipe, until it ends. What is not UTF-8 is replaced.

    It is read in threads that nobody waits for, so that a pipe in which nothing comes keeps no
    signal from ending the program; bare `os.read` holds no lock that such a thread would die
    with.
    """
    decoder = codecs.getincrementaldecoder("utf-8-sig")(errors="replace")
    rest = ""
    while chunk := await _in_thread(lambda: os.read(source, CHUNK)):
        *lines, rest = (rest + decoder.decode(chunk)).split("\n")
        for line in lines:
            yield line.rstrip("\r")
    if rest := rest + decoder.decode(b"", final=True):
        yield rest.rstrip("\r")


async def _in_thread(read: Callable[[], bytes]) -> bytes:
    loop = asyncio.get_running_loop()
    answer: asyncio.Future[bytes] = loop.create_future()

    def settle(result: bytes | OSError) -> None:
        if answer.done():
            return
        if isinstance(result, OSError):
            answer.set_exception(result)
        else:
            answer.set_result(result)

    def work() -> None:
        try:
            result: bytes | OSError = read()
        except OSError as error:
            result = error
        with suppress(RuntimeError):  # the loop is closed when the program ended meanwhile
            loop.call_soon_threadsafe(settle, result)

    threading.Thread(target=work, daemon=True).start()
    return await answer


async def typed(history: Path) -> AsyncIterator[str]:
    """Yield the lines typed at a prompt with editing and history, until end of input."""
    from prompt_toolkit import PromptSession
    from prompt_toolkit.history import FileHistory
    from prompt_toolkit.patch_stdout import patch_stdout

    history.touch(mode=0o600)
    session: PromptSession[str] = PromptSession(history=FileHistory(str(history)))
    with patch_stdout(raw=True):
        while True:
            try:
                line = await session.prompt_async("> ")
            except (EOFError, KeyboardInterrupt):
                return
            if re.fullmatch(r"\s*(quit|exit|bye)\s*", line, re.IGNORECASE):
                return
            yield line

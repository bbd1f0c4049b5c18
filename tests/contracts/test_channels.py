"""Every channel keeps what the port promises."""

import re
from collections.abc import AsyncIterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from assistant.edges.clock import SystemClock
from assistant.edges.terminal.channel import YOU, TerminalChannel
from assistant.edges.terminal.lines import Conversation
from assistant.flow.ports import Take
from tests.contracts.channel_suite import ChannelSuite, Open, Rig
from tests.edges.bot_api import WREN, BotApi
from tests.edges.inbox import running


class Telegram:
    """Telegram, with a person in a chat alone with the bot."""

    chat = f"telegram:{WREN}"

    def __init__(self, api: BotApi) -> None:
        self._api = api
        self.channel = api.channel()

    def running(self, take: Take) -> AbstractAsyncContextManager[object]:
        return running(self.channel.run(take))

    async def say(self, text: str) -> None:
        await self._api.say(WREN, text)

    async def press(self, label: str) -> None:
        await self._api.press(WREN, label)

    async def attach(self, content: bytes, name: str) -> None:
        await self._api.document(WREN, content, name)

    def shown(self) -> str:
        return "\n".join(sent.text for sent in self._api.out if sent.chat == WREN)


class Terminal:
    """The terminal, with a person typing at it."""

    chat = YOU

    def __init__(self, folder: Path) -> None:
        self._lines: list[str] = []
        self._folder = folder
        self.channel = TerminalChannel(self._lines.append, SystemClock(), bold=True)

    @asynccontextmanager
    async def running(self, take: Take) -> AsyncIterator[object]:
        async def settle() -> None:
            return None

        write = self._lines.append
        self._conversation = Conversation(self.channel, take, settle, None, write, "run")
        yield

    async def say(self, text: str) -> None:
        await self._conversation.say(text)

    async def press(self, label: str) -> None:
        [letter] = re.findall(rf"\[(\w)\] {label}", self._lines[-1])
        await self.say(letter)

    async def attach(self, content: bytes, name: str) -> None:
        (self._folder / name).write_bytes(content)
        await self.say(f'"{self._folder / name}"')

    def shown(self) -> str:
        return "\n".join(self._lines)


@asynccontextmanager
async def terminal() -> AsyncIterator[Rig]:
    with TemporaryDirectory() as folder:
        yield Terminal(Path(folder))


@asynccontextmanager
async def telegram() -> AsyncIterator[Rig]:
    async with BotApi() as api:
        yield Telegram(api)


RIGS: tuple[Open, ...] = (telegram, terminal)


@pytest.fixture(params=RIGS, ids=lambda rig: rig.__name__)
def rig(request: pytest.FixtureRequest) -> Open:
    opened: Open = request.param
    return opened


class TestChannels(ChannelSuite):
    pass

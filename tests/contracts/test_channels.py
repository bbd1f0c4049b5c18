"""Every channel keeps what the port promises."""

from collections.abc import AsyncIterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager

import pytest

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


@asynccontextmanager
async def telegram() -> AsyncIterator[Rig]:
    async with BotApi() as api:
        yield Telegram(api)


RIGS: tuple[Open, ...] = (telegram,)


@pytest.fixture(params=RIGS, ids=lambda rig: rig.__name__)
def rig(request: pytest.FixtureRequest) -> Open:
    opened: Open = request.param
    return opened


class TestChannels(ChannelSuite):
    pass

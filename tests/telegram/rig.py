"""The whole assistant behind a pretend Telegram: the real store, flow, conversation and channel.

    async with whole(tmp_path) as bot:
        await bot.api.say(WREN, "Idea: lantern walk for November")
        [kept] = await bot.answers()
        assert kept.text == "Kept for November: lantern walk."

The server was not written for this project (see tests/edges/bot_api.py). The clock is pretended,
the lanes' too, so that no wait takes time. Everyone and everything said is invented.
"""

import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from unittest.mock import patch

from assistant import wiring
from assistant.edges.clock import PretendClock, PretendTicks
from assistant.edges.telegram.channel import TelegramChannel
from assistant.edges.telegram.receiving import Webhook
from assistant.planning.model import Shop
from tests.edges.bot_api import NOW, WREN, BotApi, Sent
from tests.edges.inbox import running
from tests.trade import house

DAY = timedelta(days=1)
CODE = re.compile(r"[A-Z2-9]{4}-[A-Z2-9]{4}-[A-Z2-9]{4}")


class Bot:
    """An assistant at work, the server it talks with, and what was printed when it started."""

    def __init__(
        self, api: BotApi, at_work: "wiring.Running[TelegramChannel]", ticks: PretendTicks
    ) -> None:
        self.api = api
        self.at_work = at_work
        self.printed: list[str] = []
        self._ticks = ticks
        self._read = len(api.out)

    async def answers(self) -> list[Sent]:
        """Return what was sent since this was asked last, once all that came is dealt with as far
        as it can be now."""
        await self.api.confirmed()
        await self.at_work.settle()
        new = self.api.out[self._read :]
        self._read = len(self.api.out)
        return new

    async def answer(self) -> Sent:
        """Return the one message that was sent since this or `answers` was asked last."""
        [sent] = await self.answers()
        return sent

    async def says(self, text: str, chat: int = WREN, **more: Any) -> str:
        """Say something; the text of the one answer."""
        await self.api.say(chat, text, **more)
        return (await self.answer()).text

    async def shop(self) -> Shop:
        """The shop as last committed."""
        return await self.at_work.worker.shop(wiring.SHOP)

    async def waits(self, **by: float) -> None:
        """Let time pass; what falls due on the way happens at its time."""
        clock = self.at_work.clock
        assert isinstance(clock, PretendClock)
        target = clock.now() + timedelta(**by)
        while alarm := self._ticks.take(target):
            shop, due = alarm
            clock.set(max(due, clock.now()))
            self.at_work.mailbox.wake()
            await self.at_work.ticker.ring(shop, due)
            await self.at_work.settle()
        clock.set(target)
        self.at_work.mailbox.wake()
        await self.at_work.settle()


def labels(sent: Sent) -> list[str]:
    """The buttons under a message."""
    return [label for row in sent.keys for label, _ in row]


def code_in(text: str) -> str:
    """The code in a text."""
    [code] = CODE.findall(text)
    return str(code)


@asynccontextmanager
async def at_work(
    folder: Path, api: BotApi, at: datetime = NOW, webhook: Webhook | None = None
) -> AsyncIterator[Bot]:
    """Let the assistant work on a data folder until the block ends, its clock beginning at `at`."""
    clock, ticks = PretendClock(at), PretendTicks()
    with patch.object(wiring, "SystemClock", lambda: clock):
        async with wiring.running(
            folder, house(), clock, ticks, lambda keep: api.channel(keep, clock, webhook=webhook)
        ) as open_shop:
            bot = Bot(api, open_shop, ticks)
            await wiring.show_first_code(open_shop, bot.printed.append)
            await open_shop.ticker.start((wiring.SHOP,))
            async with running(open_shop.channel.run(open_shop.take)):
                yield bot


@asynccontextmanager
async def whole(folder: Path, webhook: Webhook | None = None) -> AsyncIterator[Bot]:
    """A new shop at work, Wren paired as its owner by the code that was shown."""
    async with BotApi() as api, at_work(folder, api, webhook=webhook) as bot:
        await pair(bot)
        yield bot


async def pair(bot: Bot, chat: int = WREN) -> None:
    """Become the owner by the code shown on the machine."""
    assert "You are in" in await bot.says(code_in(bot.printed[0]), chat)


async def let_in(bot: Bot, chat: int) -> None:
    """The owner lets a helper in by a code of hers."""
    await bot.api.say(chat, code_in(await bot.says("let a helper in")))
    assert len(await bot.answers()) == 2  # the helper is greeted, the owner told

"""Updates from Telegram, by long polling or by webhook, to the lane.

Knows: how updates come and when Telegram counts them as delivered. Must not know: what they say,
where they are kept. Invariants: an update is confirmed only after `take` has returned, so that a
stop at any moment loses none; a store that cannot write is waited for; nothing that an update or
the network can do ends the receiving, only a token or an address that Telegram refuses.
"""

import asyncio
import logging
import re
from collections.abc import Awaitable, Callable
from contextlib import suppress
from datetime import timedelta
from functools import partial
from typing import TypeVar
from urllib.parse import urlsplit

from msgspec.structs import replace
from telegram import Bot, CallbackQuery, Update
from telegram.error import BadRequest, Conflict, InvalidToken, RetryAfter, TelegramError
from telegram.ext import Updater

from assistant.edges.telegram.faults import CannotStart, asked_wait, pauses
from assistant.edges.telegram.hearing import KINDS, Moved, Said, hear, number
from assistant.edges.telegram.keeping import Buttons, Moves
from assistant.flow.messages import Incoming, Unreached
from assistant.flow.ports import Clock, Take
from assistant.planning.model import Record

T = TypeVar("T")
Sleep = Callable[[float], Awaitable[None]]
Ready = Callable[[str], object]

log = logging.getLogger(__name__)

POLL = timedelta(seconds=30)
# Source: Bot API, "setWebhook".
SECRET = re.compile(r"[A-Za-z0-9_-]{1,256}")

CANNOT_KEEP = (
    "I cannot keep messages just now: the machine I run on cannot write them down. "
    "Yours waits, and I will answer it as soon as that is put right."
)


class Webhook(Record):
    """Where Telegram is to bring updates: `url` as the world sees it (https), `listen` and `port`
    where this machine waits behind it, `secret` what Telegram must show each time."""

    listen: str
    port: int
    url: str
    secret: str


class Receiver:
    """Receives until cancelled."""

    def __init__(
        self,
        bot: Bot,
        clock: Clock,
        buttons: Buttons,
        moves: Moves,
        sleep: Sleep,
        ready: Ready | None,
    ) -> None:
        self._bot = bot
        self._clock = clock
        self._buttons = buttons
        self._moves = moves
        self._sleep = sleep
        self._ready = ready
        self._told: set[str] = set()
        self._answers: set[asyncio.Task[None]] = set()

    async def run(self, take: Take, webhook: Webhook | None) -> None:
        """Hand every update to `take`. Raises CannotStart."""
        try:
            await self._insist(self._bot.initialize)
            if self._ready is not None:
                self._ready(self._bot.username)
            if webhook is None:
                await self._poll(take)
            else:
                await self._serve(take, webhook)
        finally:
            for answer in self._answers:
                answer.cancel()
            await asyncio.gather(*self._answers, return_exceptions=True)
            await self._bot.shutdown()

    async def _poll(self, take: Take) -> None:
        await self._insist(self._bot.delete_webhook)
        log.info("receiving by polling")
        offset = 0
        while True:
            get = partial(self._bot.get_updates, offset=offset, timeout=POLL, allowed_updates=KINDS)
            for update in sorted(await self._insist(get), key=lambda update: update.update_id):
                await self._take_at_last(update, take)
                # Asking for the next one is what confirms this one.
                offset = update.update_id + 1

    async def _serve(self, take: Take, webhook: Webhook) -> None:
        if not SECRET.fullmatch(webhook.secret):
            raise CannotStart(
                "The webhook needs a secret of 1 to 256 letters A-Z or a-z, digits, _ or -."
            )
        async with Updater(self._bot, _Door(partial(self._take, take=take))) as updater:
            start = partial(
                updater.start_webhook,
                listen=webhook.listen,
                port=webhook.port,
                url_path=re.escape(urlsplit(webhook.url).path),
                webhook_url=webhook.url,
                secret_token=webhook.secret,
                allowed_updates=KINDS,
                max_connections=1,  # one after the other, or they would overtake each other
            )
            await self._insist(start)
            log.info("receiving by webhook")
            try:
                await asyncio.Event().wait()
            finally:
                await updater.stop()

    async def _insist(self, call: Callable[[], Awaitable[T]]) -> T:
        """Make a call until it is answered. Raises CannotStart when it never will be."""
        waits = pauses()
        while True:
            pause = next(waits)
            try:
                return await call()
            except InvalidToken:
                # The library's own text would show the token.
                raise CannotStart(
                    "Telegram does not accept the bot token. Ask BotFather for the current one."
                ) from None
            except BadRequest as error:
                raise CannotStart(f"Telegram refuses the settings: {error.message}") from None
            except OSError as error:
                raise CannotStart(f"The webhook cannot listen: {error.strerror}") from None
            except RetryAfter as error:
                pause = asked_wait(error)
            except Conflict:
                log.warning("another program receives for this bot: stop one of the two")
            except Exception as error:
                log.warning("no answer from Telegram (%s)", type(error).__name__)
            await self._sleep(pause)

    async def _take_at_last(self, update: Update, take: Take) -> None:
        for pause in pauses():
            try:
                await self._take(update, take)
                return
            except Exception as error:
                log.warning("a message cannot be kept (%s)", type(error).__name__)
            await self._sleep(pause)

    async def _take(self, update: Update, take: Take) -> None:
        """Return once what the update says is durable; raise when it cannot be kept."""
        said = self._heard(update)
        match said:
            case Moved():
                await self._moves.note(said)
            case Unreached():
                await take(Unreached(chat=await self._moves.known(said.chat)))
            case Incoming():
                try:
                    await take(await self._resolved(said))
                except Exception:
                    await self._tell(said.heard.chat)
                    raise
                self._told.clear()
        if update.callback_query is not None:
            self._answer(update.callback_query)

    def _heard(self, update: Update) -> Said:
        try:
            return hear(update, self._bot.username, self._clock.now())
        except Exception as error:
            # A bug, but one that must not keep everything behind it from being heard.
            log.error("an update was not understood (%s)", type(error).__name__)
            return None

    async def _resolved(self, body: Incoming) -> Incoming:
        heard = body.heard
        chat = await self._moves.known(heard.chat)
        text = await self._buttons.sentence(heard.text) if heard.pressed else heard.text
        return replace(body, heard=replace(heard, chat=chat, text=text))

    async def _tell(self, chat: str) -> None:
        """Say once to a chat that its messages wait."""
        if chat not in self._told:
            self._told.add(chat)
            with suppress(TelegramError):
                await self._bot.send_message(number(chat), CANNOT_KEEP)

    def _answer(self, query: CallbackQuery) -> None:
        """Put out the light of a pressed button, without waiting for it: it is only a courtesy."""

        async def answer() -> None:
            with suppress(TelegramError):
                await query.answer()

        task = asyncio.create_task(answer())
        self._answers.add(task)
        task.add_done_callback(self._answers.discard)


class _Door(asyncio.Queue[object]):
    """The queue into which the library puts what a webhook brings: `put` returns, and Telegram
    gets its 200, once the update is durable; when it raises, Telegram gets 500 and comes again."""

    def __init__(self, take: Callable[[Update], Awaitable[None]]) -> None:
        super().__init__()
        self._take = take
        self._turn = asyncio.Lock()

    async def put(self, item: object) -> None:
        assert isinstance(item, Update)
        async with self._turn:
            await self._take(item)

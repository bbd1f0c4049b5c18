"""Telegram as a channel: receives, sends, fetches.

Knows: the Bot API through python-telegram-bot. Must not know: shops, lanes, what a message means.
Invariants: an update is confirmed only after it is durable (see receiving); a post that was taken
is not sent again because a later one of the same reply has to wait; what cannot be changed in place
is sent anew; the token is in no log and in no exception that leaves here.
"""

import asyncio
import logging
import os
import re
from types import NoneType

from msgspec.structs import replace
from telegram import (
    Bot,
    InlineKeyboardButton,
    InlineKeyboardMarkup,
    InputFile,
    LinkPreviewOptions,
    MessageEntity,
)
from telegram.error import BadRequest, ChatMigrated, InvalidToken, RetryAfter, TelegramError
from telegram.request import HTTPXRequest

from assistant.conversation.messages import File
from assistant.edges.telegram.faults import (
    UNCHANGED,
    WAIT,
    CannotStart,
    Refused,
    asked_wait,
    delivery,
)
from assistant.edges.telegram.hearing import Moved, address, number
from assistant.edges.telegram.keeping import Buttons, Lives, Moves
from assistant.edges.telegram.receiving import Ready, Receiver, Sleep, Webhook
from assistant.edges.telegram.saying import Attached, Key, Post, compose, fingerprint
from assistant.flow.messages import Outgoing
from assistant.flow.ports import Clock, Keep, Later, NoRoom, Take

# The library's switch for durations as `timedelta`, without which it warns of their coming.
os.environ.setdefault("PTB_TIMEDELTA", "true")

TALKATIVE = ("telegram", "httpx", "httpcore")  # they log addresses with the token, and texts

TOKEN = re.compile(r"\d+:[A-Za-z0-9_-]+")  # source: Bot API, "Authorizing your bot"
DOWNLOAD_BYTES = 20 * 1024 * 1024  # source: Bot API, "getFile"
UPLOAD_BYTES = 50 * 1024 * 1024  # source: Bot API, "sendDocument"
FETCH_TRIES = 20  # answers of a server in trouble, WAIT apart, before a file counts as gone
ANSWER_WAIT = 30.0  # seconds; a big picture is looked at before it is answered
NO_PREVIEW = LinkPreviewOptions(is_disabled=True)


class TelegramChannel:
    """The channel of "telegram:" addresses.

    `base_url` is the root of another Bot API server, without a slash at its end. `ready` is told
    the bot's user name when Telegram has accepted the token. Raises CannotStart for a token that
    cannot be one.
    """

    name = "telegram"
    most = UPLOAD_BYTES

    def __init__(
        self,
        token: str,
        keep: Keep,
        clock: Clock,
        *,
        base_url: str = "https://api.telegram.org",
        webhook: Webhook | None = None,
        ready: Ready | None = None,
        sleep: Sleep = asyncio.sleep,
    ) -> None:
        if not TOKEN.fullmatch(token):
            raise CannotStart(
                "This is no bot token. One looks like 123456:ABC-DEF1234, given by BotFather."
            )
        for name in TALKATIVE:
            logging.getLogger(name).setLevel(logging.CRITICAL + 1)
        self._bot = Bot(
            token,
            base_url=f"{base_url}/bot",
            base_file_url=f"{base_url}/file/bot",
            request=HTTPXRequest(read_timeout=ANSWER_WAIT),
        )
        self._buttons = Buttons(keep)
        self._moves = Moves(keep)
        self._lives = Lives(keep)
        self._webhook = webhook
        self._receiver = Receiver(self._bot, clock, self._buttons, self._moves, sleep, ready)
        self._begun: dict[bytes, int] = {}  # replies that had to wait -> their first post to send
        self._fetched: dict[str, int] = {}  # files that did not come -> how often

    async def run(self, take: Take) -> None:
        """Hand each message to `take` until cancelled. Raises CannotStart."""
        await self._receiver.run(take, self._webhook)

    async def send(self, out: Outgoing, file: File | None) -> None:
        """Send a reply. Raises Later, Unreachable, and Refused for one that is never taken."""
        try:
            await self._buttons.remember(out.reply)
        except NoRoom:
            raise Later(WAIT) from None
        posts = compose(out.reply, file.name, file.content) if file else compose(out.reply)
        if out.reply.live and len(posts) == 1 and posts[0].attached is None:
            await self._show(out.chat, out.reply.live, posts[0])
            return
        mark = fingerprint(out)
        for place in range(self._begun.pop(mark, 0), len(posts)):
            try:
                await self._deliver(out.chat, posts[place])
            except Later:
                self._begun[mark] = place
                raise

    async def fetch(self, ref: str) -> bytes | None:
        """Return the content of a file that was received; None when it is too big for a bot (over
        20 MB) or gone. Raises Later."""
        try:
            return await self._download(ref)
        except RetryAfter as error:
            raise Later(asked_wait(error)) from None
        except TelegramError as error:
            # A server that answers, but never with the file, must not hold up the chat for good.
            answered = isinstance(error.__cause__, NoneType | TelegramError)
            self._fetched[ref] = self._fetched.get(ref, 0) + answered
            if self._fetched[ref] < FETCH_TRIES:
                raise Later(WAIT) from None
            del self._fetched[ref]
            return None

    async def _download(self, ref: str) -> bytes | None:
        try:
            file = await self._bot.get_file(ref)
        except BadRequest:
            return None
        if not file.file_path or (file.file_size or 0) > DOWNLOAD_BYTES:
            return None
        try:
            content = bytes(await file.download_as_bytearray())
        except (BadRequest, InvalidToken):  # the library's reading of 400 and of 404
            return None
        self._fetched.pop(ref, None)
        return content if len(content) <= DOWNLOAD_BYTES else None

    async def _show(self, chat: str, live: str, post: Post) -> None:
        """Change the message that tells this; send a new one where there is none, or none that can
        be changed any more."""
        old = await self._lives.message(chat, live)
        if old is None or not await self._change(chat, old, post):
            await self._lives.note(chat, live, await self._deliver(chat, post))

    async def _change(self, chat: str, message: int, post: Post) -> bool:
        """Change a message that was sent; whether it now reads so. A group that has moved took
        none of its old messages' numbers with it."""
        try:
            with delivery():
                await self._bot.edit_message_text(
                    post.text,
                    number(await self._moves.current(chat)),
                    message,
                    entities=_bold(post),
                    reply_markup=_keyboard(post.keys),
                    link_preview_options=NO_PREVIEW,
                )
        except ChatMigrated:
            return False
        except Refused as refused:
            return UNCHANGED in str(refused).lower()
        return True

    async def _deliver(self, chat: str, post: Post) -> int:
        """Send one post, wherever its chat is now; return the number of the message."""
        try:
            return await self._post(await self._moves.current(chat), post)
        except ChatMigrated as moved:
            await self._moves.note(Moved(old=chat, new=address(moved.new_chat_id)))
            return await self._post(await self._moves.current(chat), post)

    async def _post(self, chat: str, post: Post) -> int:
        """Send one post; once more, simpler, when Telegram does not like the look of it."""
        try:
            with delivery():
                return await self._put(number(chat), post)
        except Refused:
            with delivery():
                return await self._put(number(chat), _simpler(post))

    async def _put(self, chat: int, post: Post) -> int:
        bold, keys = _bold(post), _keyboard(post.keys)
        if post.attached is None:
            sent = await self._bot.send_message(
                chat,
                post.text,
                entities=bold,
                reply_markup=keys,
                link_preview_options=NO_PREVIEW,
            )
            return sent.message_id
        file = _upload(post.attached)
        caption = post.text or None
        if post.attached.picture:
            sent = await self._bot.send_photo(
                chat, file, caption=caption, caption_entities=bold, reply_markup=keys
            )
        else:
            sent = await self._bot.send_document(
                chat, file, caption=caption, caption_entities=bold, reply_markup=keys
            )
        return sent.message_id


def _simpler(post: Post) -> Post:
    """Return a picture as a document; anything else without bold type and buttons."""
    if post.attached is not None and post.attached.picture:
        return replace(post, attached=replace(post.attached, picture=False))
    return replace(post, bold=0, keys=())


def _bold(post: Post) -> list[MessageEntity] | None:
    return [MessageEntity(MessageEntity.BOLD, 0, post.bold)] if post.bold else None


def _keyboard(keys: tuple[tuple[Key, ...], ...]) -> InlineKeyboardMarkup | None:
    if not keys:
        return None
    return InlineKeyboardMarkup(
        [[InlineKeyboardButton(label, callback_data=data) for label, data in row] for row in keys]
    )


def _upload(attached: Attached) -> InputFile:
    if len(attached.content) > UPLOAD_BYTES:
        raise Refused("the file is too big for Telegram (over 50 MB)")
    return InputFile(attached.content, filename=attached.name)

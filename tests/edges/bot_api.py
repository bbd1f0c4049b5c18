"""A pretend Telegram for tests: people who write and press, a server that delivers and fails.

Underneath is lo-bot-api-emulator, a stand-in for the Bot API that was not written for this
project; it refuses requests that the Bot API would refuse. Added here: a user name for the bot,
kinds of update that it does not queue, updates in any order, a record of what was sent, and
faults. Everyone in it is invented.

    async with BotApi() as api:
        channel = api.channel()
        async with running(channel.run(inbox.take)):
            await api.say(WREN, "Idea: lantern walk for November")
            await inbox.until(1)
            await channel.send(reply_to(WREN, "Kept."), None)
            assert (await api.sent(1))[0].text == "Kept."

Nothing here waits for a fixed time: `sent` and `called` wait for what must come, and fail when it
does not (see tests/edges/inbox.py).
"""

import asyncio
import json
from collections import defaultdict, deque
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from types import TracebackType
from typing import Any, Self

from aiohttp import web
from lo_bot_api_emulator import LoBotApiEmulator  # type: ignore[import-untyped]

from assistant.edges.telegram.channel import TelegramChannel
from assistant.edges.telegram.receiving import Webhook
from assistant.flow.ports import Clock, Keep
from tests.edges.inbox import LIMIT, Watched
from tests.edges.inbox import PretendKeep as PretendKeep

TOKEN = "123456:pretend-token_for-tests"
BOT = "mossgate_bot"
NOW = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)
WREN = 1001  # an invented person, and the number of a chat with her alone
ROWAN = 1002
GROUP = -2001
NAMES = {WREN: "Wren Ashby", ROWAN: "Rowan Teasel"}

Json = dict[str, Any]


class FixedClock:
    """A clock that stands at NOW."""

    def now(self) -> datetime:
        return NOW


@dataclass(frozen=True)
class Sent:
    """A message that the bot sent and the server took, as it was changed last."""

    method: str
    chat: int
    text: str
    bold: str = ""
    keys: tuple[tuple[tuple[str, str], ...], ...] = ()
    file: bytes | None = None
    file_name: str = ""
    fields: Json = field(default_factory=dict)
    id: int = 0


@dataclass(frozen=True)
class Fault:
    """An answer instead of the proper one; status 0 closes the connection without one."""

    status: int
    description: str = ""
    parameters: Json = field(default_factory=dict)
    after: bool = False  # the server had done its work by then

    def answer(self, request: web.Request) -> web.Response:
        if self.status == 0:
            assert request.transport is not None
            request.transport.close()
            return web.Response()
        if self.status >= 500:
            return web.Response(status=self.status, text="<html>trouble</html>")
        body: Json = {"ok": False, "error_code": self.status, "description": self.description}
        if self.parameters:
            body["parameters"] = self.parameters
        return web.json_response(body, status=self.status)


class Emulator(LoBotApiEmulator):  # type: ignore[misc]
    """The stand-in, with what it lacks for us."""

    def __init__(self, api: "BotApi") -> None:
        super().__init__(allow_insecure_loopback_webhooks=True)
        self._api = api

    async def handle(self, request: web.Request) -> web.StreamResponse:
        method = request.match_info["method"]
        if request.match_info["token"] != self._api.token:
            return Fault(401, "Unauthorized").answer(request)
        self._api.calls.append(method)
        await self._api.changed()
        if method in self._api.hung:
            await asyncio.Event().wait()  # until the bot hangs up
        fault = self._api.next_fault(method)
        answer: web.StreamResponse | None = None
        if fault is None or fault.after:
            answer = await super().handle(request)
            await self._api.changed()
        if fault is not None:
            return fault.answer(request)
        assert answer is not None
        return answer

    async def download(self, request: web.Request) -> web.StreamResponse:
        fault = self._api.next_fault("download")
        if fault is not None:
            return fault.answer(request)
        answer: web.StreamResponse = await super().download(request)
        return answer

    def validate(self, method: str, fields: Json, uploads: Json) -> Any:
        preview = fields.pop("link_preview_options", "{}")
        result = super().validate(method, fields, uploads)
        if method == "getMe":
            return {**result, "username": BOT}
        if method == "getFile":
            asset = self.assets[fields["file_id"]]
            return {**result, "file_size": asset.get("size", len(asset["data"]))}
        if method.startswith(("send", "editMessageText")):
            seen = {**fields, "preview": json.loads(preview), "id": result["message_id"]}
            self._api.record(method, seen, uploads)
        if method == "setWebhook":
            self._api.webhook = dict(fields)
        return result


class BotApi(Watched):
    """The server and the people on it."""

    def __init__(self, token: str = TOKEN) -> None:
        super().__init__()
        self.token = token
        self.url = ""
        self.out: list[Sent] = []
        self.calls: list[str] = []  # names of the methods that the bot called
        self.faults: dict[str, deque[Fault | None]] = defaultdict(deque)
        self.hung: set[str] = set()  # methods that take calls and never answer
        self.webhook: Json = {}  # what the bot last asked for
        self.emulator = Emulator(self)
        self._next_update = 501
        self._next_message = 11
        self._runner = web.AppRunner(
            self.emulator.app(), access_log=None, shutdown_timeout=0.1, handler_cancellation=True
        )

    async def __aenter__(self) -> Self:
        await self._runner.setup()
        site = web.TCPSite(self._runner, "127.0.0.1", 0)
        await site.start()
        self.url = f"http://127.0.0.1:{self._runner.addresses[0][1]}"
        return self

    async def __aexit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        await self._runner.cleanup()

    def channel(
        self,
        keep: Keep | None = None,
        clock: Clock | None = None,
        *,
        webhook: Webhook | None = None,
        ready: Callable[[str], object] | None = None,
        sleep: Callable[[float], Awaitable[None]] | None = None,
    ) -> TelegramChannel:
        """Return a channel of this server; its pauses take no time unless `sleep` is given."""
        return TelegramChannel(
            self.token,
            keep or PretendKeep(),
            clock or FixedClock(),
            base_url=self.url,
            webhook=webhook,
            ready=ready,
            sleep=sleep or (lambda _seconds: asyncio.sleep(0)),
        )

    # --- what people do -----------------------------------------------------------------------

    async def say(self, chat: int, text: str = "", *, sender: int = 0, **more: Any) -> int:
        """Somebody writes; returns the number of the message. `more` are further fields of it."""
        body = self.message(chat, sender=sender, **more)
        if text:
            body["text"] = text
        await self.push("message", body)
        return int(body["message_id"])

    async def edit(self, chat: int, message: int, text: str, *, sender: int = 0) -> None:
        """Somebody changes what they wrote."""
        body = self.message(chat, sender=sender, message_id=message, text=text)
        await self.push("edited_message", {**body, "edit_date": body["date"] + 60})

    async def photo(self, chat: int, content: bytes, caption: str = "", **more: Any) -> int:
        """Somebody sends a picture."""
        ref = self.upload(content)
        sizes = [
            {"file_id": f"{ref}-small", "file_unique_id": "s", "width": 90, "height": 60},
            {"file_id": ref, "file_unique_id": "l", "width": 900, "height": 600},
        ]
        if caption:
            more["caption"] = caption
        return await self.say(chat, photo=sizes, **more)

    async def document(
        self, chat: int, content: bytes, name: str, caption: str = "", **more: Any
    ) -> int:
        """Somebody sends a file."""
        ref = self.upload(content)
        document = {"file_id": ref, "file_unique_id": "d", "file_name": name}
        if caption:
            more["caption"] = caption
        return await self.say(chat, document=document, **more)

    async def press(self, chat: int, label: str, *, sender: int = 0) -> None:
        """Somebody presses the newest button of this label in the chat."""
        keys = (
            data
            for sent in reversed(self.out)
            if sent.chat == chat
            for row in sent.keys
            for shown, data in row
            if shown == label
        )
        await self.press_data(chat, next(keys), sender=sender)

    async def press_data(self, chat: int, data: str, *, sender: int = 0) -> None:
        """Somebody presses a button that sends back `data`."""
        query = {
            "id": f"query-{self._next_update}",
            "from": self.person(sender or chat),
            "message": self.message(chat),
            "chat_instance": "x",
            "data": data,
        }
        await self.push("callback_query", query)

    async def leave(self, chat: int, status: str = "kicked") -> None:
        """Somebody blocks the bot, or a group removes it ("member": it is let in again)."""
        bot = {"id": 7, "is_bot": True, "first_name": "Bot"}
        there = {"user": bot, "status": "member"}
        gone = {"user": bot, "status": status} | ({"until_date": 0} if status == "kicked" else {})
        change = {
            "chat": self.chat(chat),
            "from": self.person(chat if chat > 0 else WREN),
            "date": int(NOW.timestamp()),
            "old_chat_member": there,
            "new_chat_member": gone,
        }
        await self.push("my_chat_member", change)

    async def push(self, kind: str, body: Json, *, id: int = 0) -> int:
        """Put an update in the bot's queue, under any number; returns the number."""
        id = id or self._next_update
        self._next_update = max(self._next_update, id + 1)
        queue = self.emulator._update_queues._state(self.token)
        async with queue.condition:
            queue.updates.append({"update_id": id, kind: body})
            queue.condition.notify_all()
        await self.deliver()
        return id

    # --- what the server does -----------------------------------------------------------------

    async def deliver(self) -> None:
        """Bring what is queued to the webhook, if there is one."""
        await self.emulator.deliver_updates(token=self.token)

    @property
    def unconfirmed(self) -> list[int]:
        """The numbers of the updates that the server would deliver again."""
        queue = self.emulator._update_queues._state(self.token)
        return [update["update_id"] for update in queue.updates]

    async def confirmed(self) -> None:
        """Return once the bot has confirmed all updates."""
        async with asyncio.timeout(LIMIT):
            while self.unconfirmed:
                await asyncio.sleep(0)

    def fail(
        self,
        method: str,
        status: int,
        description: str = "",
        *,
        times: int = 1,
        skip: int = 0,
        **parameters: Any,
    ) -> None:
        """Answer the next calls of a method ("download" for files) with an error, after letting
        `skip` of them through."""
        fault = Fault(status, description or f"status {status}", parameters)
        self.faults[method].extend([None] * skip)
        self.faults[method].extend([fault] * times)

    def drop(self, method: str, *, times: int = 1, after: bool = False) -> None:
        """Close the connection on the next calls of a method, before or after serving them."""
        self.faults[method].extend([Fault(0, after=after)] * times)

    def next_fault(self, method: str) -> Fault | None:
        faults = self.faults[method]
        return faults.popleft() if faults else None

    async def sent(self, count: int) -> list[Sent]:
        """Return what the bot sent, once it is so many messages."""
        await self.wait(lambda: len(self.out) >= count)
        return self.out

    async def called(self, method: str, count: int = 1) -> None:
        """Return once the bot has begun to call a method so many times."""
        await self.wait(lambda: self.calls.count(method) >= count)

    def upload(self, content: bytes, *, size: int | None = None) -> str:
        """Put a file on the server; returns its reference. `size` is what the server says of it."""
        ref = f"pretend-file-{len(self.emulator.assets)}"
        self.emulator.assets[ref] = {
            "data": content,
            "size": len(content) if size is None else size,
        }
        return ref

    def record(self, method: str, fields: Json, uploads: Json) -> None:
        text = fields.get("text") or fields.get("caption") or ""
        marks = json.loads(fields.get("entities") or fields.get("caption_entities") or "[]")
        wide = text.encode("utf-16-le")
        bold = "".join(
            wide[2 * mark["offset"] : 2 * (mark["offset"] + mark["length"])].decode("utf-16-le")
            for mark in marks
            if mark["type"] == "bold"
        )
        markup = json.loads(fields.get("reply_markup") or "{}")
        file = next(iter(uploads.values()), None)
        sent = Sent(
            method=method,
            chat=int(fields["chat_id"]),
            text=text,
            bold=bold,
            keys=tuple(
                tuple((key["text"], key["callback_data"]) for key in row)
                for row in markup.get("inline_keyboard", ())
            ),
            file=file["data"] if file else None,
            file_name=file["filename"] if file else "",
            fields=fields,
            id=fields["id"],
        )
        same = [n for n, one in enumerate(self.out) if (one.chat, one.id) == (sent.chat, sent.id)]
        if method.startswith("edit"):
            self.out[same[-1]] = sent
        else:
            self.out.append(sent)

    # --- shapes of the Bot API ------------------------------------------------------------------

    def message(self, chat: int, *, sender: int = 0, **more: Any) -> Json:
        """Return a message as the Bot API writes it."""
        self._next_message += 1
        return {
            "message_id": self._next_message,
            "date": int(NOW.timestamp()),
            "chat": self.chat(chat),
            "from": self.person(sender or (chat if chat > 0 else WREN)),
            **more,
        }

    @staticmethod
    def chat(id: int) -> Json:
        if id > 0:
            return {"id": id, "type": "private", "first_name": NAMES.get(id, "Somebody")}
        return {"id": id, "type": "supergroup", "title": "Mossgate packing table"}

    @staticmethod
    def person(id: int) -> Json:
        first, _, last = NAMES.get(id, "Somebody").partition(" ")
        return {"id": id, "is_bot": False, "first_name": first} | (
            {"last_name": last} if last else {}
        )

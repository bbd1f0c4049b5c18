"""Receiving by webhook: an update is answered 200 only once it is durable, and only with the
secret. The server that brings the updates was not written by us."""

import asyncio
import socket
from contextlib import suppress

import aiohttp
import pytest

from assistant.edges.telegram.faults import CannotStart
from assistant.edges.telegram.receiving import CANNOT_KEEP, Webhook
from tests.edges.bot_api import WREN, BotApi
from tests.edges.inbox import LIMIT, Inbox, in_loop, running

SECRET = "pretend_secret-1"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def webhook(secret: str = SECRET, port: int = 0) -> Webhook:
    port = port or free_port()
    return Webhook(
        listen="127.0.0.1", port=port, url=f"http://127.0.0.1:{port}/telegram", secret=secret
    )


async def post(hook: Webhook, update: object, headers: dict[str, str]) -> int:
    async with (
        aiohttp.ClientSession() as client,
        client.post(hook.url, json=update, headers=headers) as answer,
    ):
        return answer.status


async def ready(api: BotApi, hook: Webhook) -> None:
    """Return once the webhook listens."""
    await api.called("setWebhook")
    async with asyncio.timeout(LIMIT):
        while True:
            with suppress(aiohttp.ClientError):
                await post(hook, {}, {})
                return


def update(id: int, text: str) -> object:
    return {"update_id": id, "message": BotApi().message(WREN, text=text)}


@in_loop
async def test_a_webhook_takes_what_telegram_brings() -> None:
    inbox, hook = Inbox(), webhook()
    async with BotApi() as api, running(api.channel(webhook=hook).run(inbox.take)):
        await ready(api, hook)
        await api.say(WREN, "oat biscuits")
        await api.photo(WREN, b"png", "lino print")
        await api.press_data(WREN, "done 3")
        assert inbox.texts == ["oat biscuits", "lino print", "done 3"]
        assert api.unconfirmed == []
        await api.called("answerCallbackQuery")
        assert "getUpdates" not in api.calls


@pytest.mark.parametrize(
    ("headers", "status", "texts"),
    [
        ({"X-Telegram-Bot-Api-Secret-Token": SECRET}, 200, ["oat biscuits"]),
        ({"X-Telegram-Bot-Api-Secret-Token": SECRET + "x"}, 403, []),
        ({"X-Telegram-Bot-Api-Secret-Token": ""}, 403, []),
        ({}, 403, []),
    ],
)
@in_loop
async def test_a_webhook_asks_for_its_secret(
    headers: dict[str, str], status: int, texts: list[str]
) -> None:
    # Source: Bot API, "setWebhook": header X-Telegram-Bot-Api-Secret-Token.
    inbox, hook = Inbox(), webhook()
    async with BotApi() as api, running(api.channel(webhook=hook).run(inbox.take)):
        await ready(api, hook)
        assert await post(hook, update(900, "oat biscuits"), headers) == status
        assert inbox.texts == texts


@in_loop
async def test_a_webhook_answers_only_once_the_message_is_kept() -> None:
    inbox, hook = Inbox(), webhook()
    headers = {"X-Telegram-Bot-Api-Secret-Token": SECRET}
    async with BotApi() as api, running(api.channel(webhook=hook).run(inbox.take)):
        await ready(api, hook)
        inbox.gate.clear()
        answer = asyncio.create_task(post(hook, update(900, "oat biscuits"), headers))
        await inbox.wait(lambda: inbox.waiting == 1)
        assert not answer.done()
        inbox.gate.set()
        assert await answer == 200


@in_loop
async def test_messages_at_one_time_are_kept_one_after_the_other() -> None:
    inbox, hook = Inbox(), webhook()
    headers = {"X-Telegram-Bot-Api-Secret-Token": SECRET}
    async with BotApi() as api, running(api.channel(webhook=hook).run(inbox.take)):
        await ready(api, hook)
        inbox.gate.clear()
        first = asyncio.create_task(post(hook, update(900, "first"), headers))
        await inbox.wait(lambda: inbox.waiting == 1)
        # Answered by the same server while the first one waits: the second must wait behind it.
        second = asyncio.create_task(post(hook, update(901, "second"), headers))
        assert await post(hook, update(902, "no secret"), {}) == 403
        assert inbox.waiting == 1
        inbox.gate.set()
        assert (await first, await second) == (200, 200)
        assert inbox.texts == ["first", "second"]
        # And Telegram is asked not to bring them side by side. Source: Bot API, "setWebhook".
        assert api.webhook["max_connections"] == "1"


@in_loop
async def test_a_webhook_without_room_is_brought_the_message_again() -> None:
    inbox, hook = Inbox(), webhook()
    async with BotApi() as api, running(api.channel(webhook=hook).run(inbox.take)):
        await ready(api, hook)
        inbox.no_room = 1
        await api.say(WREN, "oat biscuits")
        assert (inbox.texts, len(api.unconfirmed)) == ([], 1)
        assert [sent.text for sent in api.out] == [CANNOT_KEEP]
        await api.deliver()
        assert (inbox.texts, api.unconfirmed) == (["oat biscuits"], [])


@in_loop
async def test_a_webhook_knows_repeats_and_takes_late_ones() -> None:
    inbox, hook = Inbox(), webhook()
    headers = {"X-Telegram-Bot-Api-Secret-Token": SECRET}
    async with BotApi() as api, running(api.channel(webhook=hook).run(inbox.take)):
        await ready(api, hook)
        for id in 902, 901, 902:
            assert await post(hook, update(id, str(id)), headers) == 200
        assert (inbox.texts, inbox.repeats) == (["902", "901"], 1)


@pytest.mark.parametrize("secret", ["", "a b", "é", "a" * 257])
@in_loop
async def test_a_webhook_secret_that_telegram_does_not_take_is_refused(secret: str) -> None:
    async with BotApi() as api:
        with pytest.raises(CannotStart, match="needs a secret"):
            await api.channel(webhook=webhook(secret)).run(Inbox().take)


@in_loop
async def test_a_webhook_address_that_telegram_does_not_take_is_refused() -> None:
    async with BotApi() as api:
        api.fail("setWebhook", 400, "Bad Request: bad webhook: HTTPS url must be provided")
        with pytest.raises(CannotStart, match="https url must be provided"):
            await api.channel(webhook=webhook()).run(Inbox().take)


# tornado leaves a socket that it could not bind to the garbage collector.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
@in_loop
async def test_a_webhook_port_in_use_is_told() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        hook = webhook(port=taken.getsockname()[1])
        async with BotApi() as api:
            with pytest.raises(CannotStart, match="cannot listen"):
                await api.channel(webhook=hook).run(Inbox().take)

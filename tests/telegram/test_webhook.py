"""The whole application behind a webhook: only with its secret, and only once a message is kept.
All invented."""

from pathlib import Path

import pytest

from tests.edges.bot_api import WREN, BotApi
from tests.edges.inbox import in_loop
from tests.edges.test_telegram_webhook import SECRET, post, ready, update, webhook
from tests.telegram.rig import at_work, pair

HEADER = "X-Telegram-Bot-Api-Secret-Token"  # source: Bot API, "setWebhook"


@in_loop
async def test_a_conversation_by_webhook(tmp_path: Path) -> None:
    hook = webhook()
    async with BotApi() as api, at_work(tmp_path, api, webhook=hook) as bot:
        await ready(api, hook)
        await pair(bot)
        assert await bot.says("Idea: tea") == "Kept as an idea: tea."
        await api.press(WREN, "Undo")
        assert "Taken back" in (await bot.answer()).text
        assert "getUpdates" not in api.calls


@pytest.mark.parametrize("headers", [{}, {HEADER: ""}, {HEADER: "wrong"}, {HEADER: SECRET + "x"}])
@in_loop
async def test_without_the_secret_nothing_is_heard(tmp_path: Path, headers: dict[str, str]) -> None:
    hook = webhook()
    async with BotApi() as api, at_work(tmp_path, api, webhook=hook) as bot:
        await ready(api, hook)
        await pair(bot)
        assert await post(hook, update(900, "Idea: tea"), headers) == 403
        assert await bot.answers() == []
        assert (await bot.shop()).ideas == ()
        assert await post(hook, update(900, "Idea: tea"), {HEADER: SECRET}) == 200
        assert (await bot.answer()).text == "Kept as an idea: tea."


@pytest.mark.parametrize("body", [{}, [], "text", {"update_id": "x"}, {"update_id": 5}])
@in_loop
async def test_what_is_no_update_does_no_harm(tmp_path: Path, body: object) -> None:
    hook = webhook()
    async with BotApi() as api, at_work(tmp_path, api, webhook=hook) as bot:
        await ready(api, hook)
        await post(hook, body, {HEADER: SECRET})
        await pair(bot)


@in_loop
async def test_a_change_from_webhook_to_polling_and_back_loses_nothing(tmp_path: Path) -> None:
    hook = webhook()
    async with BotApi() as api:
        async with at_work(tmp_path, api) as bot:
            await pair(bot)
        async with at_work(tmp_path, api, webhook=hook) as bot:
            await ready(api, hook)
            assert await bot.says("Idea: tea") == "Kept as an idea: tea."
        async with at_work(tmp_path, api) as bot:
            assert await bot.says("Idea: oats") == "Kept as an idea: oats."

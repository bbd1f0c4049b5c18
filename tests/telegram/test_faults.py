"""What goes wrong between us and Telegram loses nothing and doubles nothing. All invented."""

import logging
from pathlib import Path
from unittest.mock import patch

import pytest

from assistant.conversation.replies.doors import REFUSAL
from assistant.edges.lanes import TRIES
from assistant.edges.telegram.faults import WAIT
from assistant.flow.ports import NoRoom
from assistant.flow.worker import NO_ROOM, NO_ROOM_WAIT
from tests.edges.bot_api import ROWAN, TOKEN, WREN, BotApi
from tests.edges.inbox import in_loop
from tests.telegram.rig import Bot, at_work, let_in, pair, whole

STRANGER = 1003


async def kept(bot: Bot) -> list[str]:
    return [idea.text for idea in (await bot.shop()).ideas]


async def texts(bot: Bot, chat: int) -> list[str]:
    return [sent.text for sent in await bot.answers() if sent.chat == chat]


@in_loop
async def test_a_wait_that_is_asked_for_is_kept_and_the_order_too(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        # Source: Bot API, "ResponseParameters": retry_after, in seconds.
        bot.api.fail("sendMessage", 429, "Too Many Requests: retry after 30", retry_after=30)
        await bot.api.say(WREN, "Idea: tea")
        assert await bot.answers() == []
        calls = bot.api.calls.count("sendMessage")
        await bot.api.say(WREN, "Idea: oat biscuits")
        assert "beeswax wrap" in await bot.says("Idea: beeswax wrap", ROWAN)
        await bot.waits(seconds=29)
        assert await bot.answers() == []
        assert bot.api.calls.count("sendMessage") == calls + 1  # Rowan's, which was his alone
        await bot.waits(seconds=1)
        assert await texts(bot, WREN) == [
            "Kept as an idea: tea.",
            "Kept as an idea: oat biscuits.",
        ]


@pytest.mark.parametrize("times", [1, 20])
@pytest.mark.parametrize("status", [500, 502, 0])
@in_loop
async def test_a_server_in_trouble_delays_replies_and_loses_none(
    tmp_path: Path, status: int, times: int
) -> None:
    async with whole(tmp_path) as bot:
        bot.api.fail("sendMessage", status, times=times)
        await bot.api.say(WREN, "Idea: tea")
        await bot.api.say(WREN, "Idea: oat biscuits")
        for _ in range(times):
            assert await bot.answers() == []
            await bot.waits(seconds=WAIT)
        assert len(await texts(bot, WREN)) == 2
        assert await kept(bot) == ["tea", "oat biscuits"]
        assert await bot.at_work.mailbox.dead("out") == ()


@in_loop
async def test_a_reply_that_may_have_come_through_is_sent_again_but_done_once(
    tmp_path: Path,
) -> None:
    async with whole(tmp_path) as bot:
        bot.api.drop("sendMessage", after=True)
        await bot.api.say(WREN, "Idea: tea")
        await bot.answers()
        await bot.waits(seconds=WAIT)
        assert await texts(bot, WREN) == ["Kept as an idea: tea."]  # for the second time
        assert await kept(bot) == ["tea"]


@pytest.mark.parametrize(("status", "after"), [(502, False), (0, False), (0, True), (429, False)])
@in_loop
async def test_trouble_with_receiving_loses_and_doubles_nothing(
    tmp_path: Path, status: int, after: bool
) -> None:
    async with whole(tmp_path) as bot:
        if status:
            bot.api.fail("getUpdates", status, times=3, retry_after=1)
        else:
            bot.api.drop("getUpdates", times=3, after=after)
        for text in "tea", "oat biscuits", "beeswax wrap":
            await bot.api.say(WREN, f"Idea: {text}")
        assert len(await bot.answers()) == 3
        assert await kept(bot) == ["tea", "oat biscuits", "beeswax wrap"]


@in_loop
async def test_a_file_that_does_not_come_at_once_is_fetched_later(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        bot.api.fail("getFile", 502)
        bot.api.drop("download")
        await bot.api.photo(WREN, b"\xff\xd8\xff lino", "lino print")
        await bot.api.say(WREN, "Idea: tea")
        assert await bot.answers() == []  # the later one waits its turn
        for _ in range(2):
            await bot.waits(seconds=WAIT)
        picture, tea = await texts(bot, WREN)
        assert "lino print" in picture
        assert "tea" in tea
        assert (await bot.shop()).ideas[0].photo


@in_loop
async def test_who_has_blocked_the_bot_is_found_out_when_told_something(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        bot.api.fail("sendMessage", 403, "Forbidden: bot was blocked by the user")
        await bot.api.say(ROWAN, "Idea: tea")
        [told] = await bot.answers()
        assert (told.chat, "can no longer write to Rowan Teasel" in told.text) == (WREN, True)
        assert [one.reachable for one in (await bot.shop()).people] == [True, False]
        assert await kept(bot) == ["tea"]


@in_loop
async def test_a_reply_that_telegram_never_takes_is_given_up_and_told(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        bot.api.fail("sendMessage", 400, "Bad Request: message is odd", times=10)
        await bot.api.say(WREN, "Idea: tea")
        for _ in range(TRIES - 1):
            assert await bot.answers() == []
            await bot.waits(minutes=3)
        assert "could not" in (await bot.answer()).text
        assert await kept(bot) == ["tea"]
        assert len(await bot.at_work.mailbox.dead("out")) == 1


@in_loop
async def test_what_was_taken_but_not_answered_is_answered_after_a_restart(tmp_path: Path) -> None:
    async with BotApi() as api:
        async with at_work(tmp_path, api) as bot:
            await pair(bot)
            api.hung.add("sendMessage")
            await api.say(WREN, "Idea: tea")
            await api.confirmed()
        api.hung.clear()
        async with at_work(tmp_path, api) as bot:
            await bot.waits(seconds=WAIT)  # the call that was broken off counted as no answer
            assert await texts(bot, WREN) == ["Kept as an idea: tea."]
            assert await kept(bot) == ["tea"]


@in_loop
async def test_a_store_without_room_is_told_to_who_was_let_in_and_work_goes_on(
    tmp_path: Path,
) -> None:
    async with whole(tmp_path) as bot:
        with patch.object(bot.at_work.shelf, "save", side_effect=NoRoom):
            await bot.api.say(STRANGER, "hello")
            assert await bot.answers() == []
            await bot.waits(seconds=NO_ROOM_WAIT)
            assert await bot.answers() == []
        await bot.waits(seconds=NO_ROOM_WAIT)
        assert (await bot.answer()).text == REFUSAL
        with patch.object(bot.at_work.shelf, "save", side_effect=NoRoom):
            assert await bot.says("Idea: tea") == NO_ROOM.text
            await bot.waits(seconds=NO_ROOM_WAIT)
            assert await bot.answers() == []
        await bot.waits(seconds=NO_ROOM_WAIT)
        assert (await bot.answer()).text == "Kept as an idea: tea."
        assert await kept(bot) == ["tea"]


@in_loop
async def test_logs_hold_no_texts_names_or_tokens(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        bot.api.fail("sendMessage", 502)
        bot.api.fail("getUpdates", 502)
        await bot.api.photo(WREN, b"\xff\xd8\xff", "lino print")
        await bot.api.document(WREN, b"Month,Item\nMay 2027,tin mug\n", "secret year.csv")
        await bot.api.say(ROWAN, "Idea: lantern walk")
        await bot.api.press(WREN, "What you can say")
        await bot.answers()
        await bot.waits(days=1)
        await bot.api.leave(ROWAN)
        bot.api.fail("sendMessage", 400, "Bad Request: lantern walk is odd", times=10)
        await bot.api.say(WREN, "Idea: lantern walk")
        for _ in range(TRIES):
            await bot.answers()
            await bot.waits(minutes=3)
    log = "\n".join(f"{one.name} {one.getMessage()} {one.exc_text}" for one in caplog.records)
    assert "handled Incoming" in log
    hidden = (TOKEN, TOKEN.partition(":")[2], "lino", "mug", "year.csv", "lantern", "Idea")
    people = ("Wren", "Ashby", "Rowan", "Teasel", str(WREN), str(ROWAN))
    assert [word for word in (*hidden, *people) if word in log] == []

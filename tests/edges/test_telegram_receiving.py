"""Receiving from a Bot API server that we did not write: polling and all ways to fail."""

import asyncio
import logging
import traceback
from contextlib import suppress

import pytest

from assistant.edges.telegram.channel import TelegramChannel
from assistant.edges.telegram.faults import LONGEST, CannotStart, pauses
from assistant.edges.telegram.keeping import GONE
from assistant.edges.telegram.receiving import CANNOT_KEEP
from assistant.flow.messages import Incoming, Unreached
from assistant.flow.ports import Channel
from tests.edges.bot_api import (
    GROUP,
    ROWAN,
    TOKEN,
    WREN,
    BotApi,
    FixedClock,
    PretendKeep,
)
from tests.edges.inbox import Inbox, in_loop, running


@in_loop
async def test_messages_come_in_order_and_are_confirmed() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        for text in "lantern walk", "beeswax wrap", "/help@mossgate_bot":
            await api.say(WREN, text)
        await api.say(GROUP, "what is due", sender=ROWAN)
        await inbox.until(4)
        assert inbox.texts == ["lantern walk", "beeswax wrap", "/help", "what is due"]
        assert [heard.sender for heard in inbox.heard][-1] == "telegram:1002"
        await api.confirmed()


@in_loop
async def test_photos_and_documents_are_fetched() -> None:
    inbox = Inbox()
    async with BotApi() as api:
        channel = api.channel()
        async with running(channel.run(inbox.take)):
            await api.photo(WREN, b"a lino print", "for May")
            await api.document(WREN, b"month,theme", "2027.csv")
            photo, document = await inbox.until(2)
            assert isinstance(photo, Incoming)
            assert isinstance(document, Incoming)
            assert photo.heard.text == "for May"
            assert document.heard.document_name == "2027.csv"
            assert await channel.fetch(photo.photo_ref) == b"a lino print"
            assert await channel.fetch(document.document_ref) == b"month,theme"


@in_loop
async def test_an_edit_names_the_message_it_changes() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        number = await api.say(WREN, "lantern walk")
        await api.edit(WREN, number, "lantern walk, December")
        await inbox.until(2)
        first, second = inbox.heard
        assert (first.edited, second.edited) == (False, True)
        assert first.message == second.message
        assert first.id != second.id


@in_loop
async def test_an_update_that_comes_twice_has_one_id() -> None:
    inbox = Inbox()
    async with BotApi() as api:
        body = api.message(WREN, text="oat biscuits")
        await api.push("message", body, id=900)
        await api.push("message", body, id=900)
        await api.push("message", api.message(WREN, text="tea"), id=901)
        async with running(api.channel().run(inbox.take)):
            await inbox.until(2)
        assert inbox.texts == ["oat biscuits", "tea"]
        assert inbox.repeats == 1


@in_loop
async def test_updates_of_one_answer_are_put_back_in_order() -> None:
    # Source: Bot API, "Update": update_id restores the sequence, should updates get out of order.
    inbox = Inbox()
    async with BotApi() as api:
        for id in 903, 901, 902:
            await api.push("message", api.message(WREN, text=str(id)), id=id)
        async with running(api.channel().run(inbox.take)):
            await inbox.until(3)
            await api.confirmed()
        assert inbox.texts == ["901", "902", "903"]


@in_loop
async def test_lower_numbers_after_higher_ones_are_still_heard() -> None:
    # Source: Bot API, "Update": after a quiet week the next number is chosen at random.
    inbox = Inbox()
    async with BotApi() as api:
        for id in 90000, 17:
            await api.push("message", api.message(WREN, text=str(id)), id=id)
            async with running(api.channel().run(inbox.take)):
                await api.confirmed()
    assert inbox.texts == ["90000", "17"]


@in_loop
async def test_a_press_is_answered_once_it_is_kept() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        inbox.gate.clear()
        await api.press_data(WREN, "done 3")
        await inbox.wait(lambda: inbox.waiting == 1)
        assert "answerCallbackQuery" not in api.calls
        inbox.gate.set()
        await api.called("answerCallbackQuery")
        assert [(heard.text, heard.pressed) for heard in inbox.heard] == [("done 3", True)]


@in_loop
async def test_a_press_too_old_to_be_answered_is_heard() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        api.fail("answerCallbackQuery", 400, "Bad Request: query is too old")
        await api.press_data(WREN, "done 3")
        await api.called("answerCallbackQuery")
        await api.say(WREN, "and next")
        await inbox.until(2)
        assert inbox.texts == ["done 3", "and next"]


@in_loop
async def test_a_press_that_is_never_answered_delays_nobody() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        api.hung.add("answerCallbackQuery")
        await api.press_data(WREN, "done 3")
        await api.called("answerCallbackQuery")
        await api.say(ROWAN, "and next")
        await inbox.until(2)


@in_loop
async def test_a_kept_sentence_that_is_gone_is_an_old_button() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        await api.press_data(WREN, "#3f2a")
        await inbox.until(1)
        assert (inbox.heard[0].text, inbox.heard[0].pressed) == (GONE, True)


@in_loop
async def test_who_blocks_the_bot_is_unreached() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        await api.leave(ROWAN)
        await api.leave(GROUP, "left")
        await api.leave(ROWAN, "member")  # come back: nothing to say
        await api.say(ROWAN, "I am back")
        await inbox.until(3)
        assert inbox.bodies[:2] == [Unreached("telegram:1002"), Unreached("telegram:-2001")]
        assert inbox.texts == ["I am back"]


@in_loop
async def test_a_group_that_moved_keeps_its_address() -> None:
    keep, inbox, new = PretendKeep(), Inbox(), -1002001
    async with BotApi() as api:
        async with running(api.channel(keep).run(inbox.take)):
            await api.say(GROUP, "before", sender=ROWAN)
            await api.say(GROUP, migrate_to_chat_id=new)
            await api.say(new, migrate_from_chat_id=GROUP)
            await api.say(new, "after", sender=ROWAN)
            await inbox.until(2)
        async with running(api.channel(keep).run(inbox.take)):  # and after a restart
            await api.say(new, "later", sender=ROWAN)
            await api.leave(new, "left")
            await inbox.until(4)
    assert [heard.chat for heard in inbox.heard] == ["telegram:-2001"] * 3
    assert inbox.bodies[-1] == Unreached("telegram:-2001")


# --- nothing is lost ----------------------------------------------------------------------------


@in_loop
async def test_what_was_not_kept_before_a_stop_comes_again() -> None:
    inbox = Inbox()
    async with BotApi() as api:
        for text in "one", "two", "three":
            await api.say(WREN, text)
        async with running(api.channel().run(inbox.take)):
            inbox.gate.clear()
            await inbox.wait(lambda: inbox.waiting == 1)  # in the middle of keeping "one"
        assert (inbox.texts, len(api.unconfirmed)) == ([], 3)
        inbox.gate.set()
        async with running(api.channel().run(inbox.take)):
            await inbox.until(3)
        assert inbox.texts == ["one", "two", "three"]


@in_loop
async def test_what_was_kept_but_not_confirmed_comes_again_and_is_known() -> None:
    inbox = Inbox()

    async def take(body: Incoming | Unreached) -> bool:
        await inbox.take(body)
        raise asyncio.CancelledError  # stopped after the commit, before anything else

    async with BotApi() as api:
        await api.say(WREN, "one")
        with pytest.raises(asyncio.CancelledError):
            await api.channel().run(take)
        assert (inbox.texts, len(api.unconfirmed)) == (["one"], 1)
        await api.say(WREN, "two")
        async with running(api.channel().run(inbox.take)):
            await inbox.until(2)
        assert inbox.texts == ["one", "two"]
        assert inbox.repeats == 1


@in_loop
async def test_an_answer_lost_on_its_way_loses_no_message() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        api.drop("getUpdates", after=True)
        await api.say(WREN, "one")
        await api.say(WREN, "two")
        await inbox.until(2)
        assert inbox.texts == ["one", "two"]


@in_loop
async def test_no_room_is_waited_for_and_told_once() -> None:
    inbox, waits = Inbox(), list[float]()

    async def sleep(seconds: float) -> None:
        waits.append(seconds)

    async with BotApi() as api, running(api.channel(sleep=sleep).run(inbox.take)):
        inbox.no_room = 8
        await api.say(WREN, "oat biscuits")
        await inbox.until(1)
        assert [(sent.chat, sent.text) for sent in api.out] == [(WREN, CANNOT_KEEP)]
        assert waits == [1, 2, 4, 8, 16, 32, 60, 60]
        inbox.no_room = 1
        await api.say(WREN, "tea")
        await inbox.until(2)
        assert inbox.texts == ["oat biscuits", "tea"]
        assert len(api.out) == 2  # a new trouble is told anew


@in_loop
async def test_no_room_is_waited_for_though_it_cannot_be_told() -> None:
    inbox = Inbox()
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        inbox.no_room = 1
        api.fail("sendMessage", 403, "Forbidden: bot was blocked by the user")
        await api.say(WREN, "oat biscuits")
        await inbox.until(1)


def test_pauses_grow_to_a_minute() -> None:
    waits = pauses()
    assert [next(waits) for _ in range(8)] == [1, 2, 4, 8, 16, 32, LONGEST, LONGEST]


@pytest.mark.parametrize("status", [0, 409, 429, 500, 502, 503])
@pytest.mark.parametrize("method", ["getMe", "deleteWebhook", "getUpdates"])
@in_loop
async def test_trouble_with_the_server_passes(method: str, status: int) -> None:
    inbox = Inbox()
    async with BotApi() as api:
        if status == 0:
            api.drop(method, times=3)
        elif status == 429:
            api.fail(method, 429, "Too Many Requests: retry after 3", times=3, retry_after=3)
        else:
            api.fail(method, status, times=3)
        await api.say(WREN, "still there")
        async with running(api.channel().run(inbox.take)):
            await inbox.until(1)
        assert inbox.texts == ["still there"]


@in_loop
async def test_a_wait_that_telegram_asks_for_is_kept() -> None:
    inbox, waits = Inbox(), list[float]()

    async def sleep(seconds: float) -> None:
        waits.append(seconds)

    async with BotApi() as api:
        api.fail("getMe", 429, "Too Many Requests: retry after 17", retry_after=17)
        async with running(api.channel(sleep=sleep).run(inbox.take)):
            await api.called("getUpdates")
        assert waits == [17]


@in_loop
async def test_an_update_of_a_strange_shape_holds_nothing_up(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def unable(*_args: object) -> None:
        monkeypatch.undo()
        raise KeyError("oat biscuits")

    inbox = Inbox()
    monkeypatch.setattr("assistant.edges.telegram.receiving.hear", unable)
    async with BotApi() as api, running(api.channel().run(inbox.take)):
        await api.say(WREN, "strange")
        await api.say(WREN, "plain")
        await inbox.until(1)
        assert inbox.texts == ["plain"]


# --- the token ----------------------------------------------------------------------------------


@pytest.mark.parametrize("token", ["", "mossgate", "123456", "123456:a b", "123456:ab\n"])
def test_what_cannot_be_a_token_is_refused_at_once(token: str) -> None:
    with pytest.raises(CannotStart, match="This is no bot token"):
        TelegramChannel(token, PretendKeep(), FixedClock())


@in_loop
async def test_a_token_that_telegram_does_not_know_ends_the_run_clearly() -> None:
    async with BotApi(token="123456:another") as api:
        channel = TelegramChannel(TOKEN, PretendKeep(), FixedClock(), base_url=api.url)
        with pytest.raises(CannotStart, match="does not accept the bot token") as caught:
            await channel.run(Inbox().take)
        assert TOKEN not in "".join(traceback.format_exception(caught.value))


@in_loop
async def test_a_token_that_is_withdrawn_ends_the_run_clearly() -> None:
    inbox = Inbox()
    async with BotApi() as api:
        api.fail("getUpdates", 401, "Unauthorized")
        with pytest.raises(CannotStart, match="does not accept the bot token"):
            await api.channel().run(inbox.take)


@in_loop
async def test_logs_hold_no_token_no_text_and_no_name(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    inbox = Inbox()
    async with BotApi() as api:
        api.fail("getMe", 502)
        api.drop("getUpdates")
        async with running(api.channel().run(inbox.take)):
            inbox.no_room = 1
            await api.say(WREN, "oat biscuits")
            await api.press_data(WREN, "oat biscuits again")
            await inbox.until(2)
            await api.called("answerCallbackQuery")
        api.fail("getUpdates", 401, "Unauthorized")
        with suppress(CannotStart):
            await api.channel().run(inbox.take)
    said = caplog.text
    assert "no answer from Telegram (NetworkError)" in said
    assert "a message cannot be kept (NoRoom)" in said
    for secret in TOKEN, TOKEN.split(":")[1], "oat biscuits", "Wren", "1001":
        assert secret not in said


def test_it_is_a_channel() -> None:
    channel: Channel = TelegramChannel(TOKEN, PretendKeep(), FixedClock())
    assert channel.name == "telegram"

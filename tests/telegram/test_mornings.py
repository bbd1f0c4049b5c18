"""The morning's digest in Telegram: once, whatever the machine was through. All invented."""

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager, contextmanager
from datetime import date, datetime, tzinfo
from pathlib import Path
from typing import Any
from unittest.mock import patch

from assistant import wiring
from assistant.edges.clock import PretendClock
from tests.edges.bot_api import NOW, ROWAN, TOKEN, WREN, BotApi, Sent
from tests.edges.inbox import in_loop, running
from tests.telegram.rig import DAY, Bot, at_work, code_in, labels, let_in, pair, whole
from tests.trade import house

# Packing for Friday 12 March 2027 and all before it is late, or due within days, on Monday 1 March.
NEAR = "add to March: field notebook from Aldermoor, 3.10, 20 working days"


def digests(sent: list[Sent], chat: int = WREN) -> list[str]:
    """The titles of the digests among what was sent: "Tuesday 2 March"."""
    return [one.bold for one in sent if one.chat == chat and one.bold[-5:] == "March"]


async def with_something_late(bot: Bot) -> None:
    await pair(bot)
    await bot.says(NEAR)
    await bot.waits(minutes=5)
    await bot.answers()


@in_loop
async def test_each_working_morning_brings_one_digest(tmp_path: Path) -> None:
    async with BotApi() as api, at_work(tmp_path, api) as bot:
        await with_something_late(bot)
        await bot.waits(days=7)
        assert digests(await bot.answers()) == [
            "Tuesday 2 March",
            "Wednesday 3 March",
            "Thursday 4 March",
            "Friday 5 March",
            "Monday 8 March",
        ]


@in_loop
async def test_three_days_off_bring_one_digest_and_a_restart_none(tmp_path: Path) -> None:
    async with BotApi() as api:
        async with at_work(tmp_path, api) as bot:
            await with_something_late(bot)
        for start, wanted in ((3 * DAY, ["Thursday 4 March"]), (3 * DAY + DAY / 24, [])):
            async with at_work(tmp_path, api, NOW + start) as bot:
                await bot.waits(minutes=2)
                assert digests(await bot.answers()) == wanted


@in_loop
async def test_a_nudge_is_done_put_off_or_not_needed_by_a_button(tmp_path: Path) -> None:
    async with BotApi() as api, at_work(tmp_path, api) as bot:
        await with_something_late(bot)
        await bot.waits(days=1)
        [digest] = await bot.answers()
        assert {"Done 1", "Put off 1"} <= set(labels(digest))
        await api.press(WREN, "Done 1")
        assert (await bot.answer()).text.startswith("Done: ")
        await api.press(WREN, "Put off 2")
        assert (await bot.answer()).text.startswith("Put off")
        marks = [(mark.state, mark.until) for mark in (await bot.shop()).ledger]
        assert marks == [("done", None), ("open", date(2027, 3, 5))]  # three working days on
        await bot.waits(days=1)
        [second] = await bot.answers()
        assert second.text != digest.text


@in_loop
async def test_everyone_is_told_in_a_chat_of_their_own(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        await bot.says(NEAR)
        await bot.waits(days=1)
        sent = await bot.answers()
        assert digests(sent, WREN)[-1:] == digests(sent, ROWAN)[-1:] == ["Tuesday 2 March"]


@in_loop
async def test_whoever_cannot_be_reached_costs_the_others_nothing(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        await bot.says(NEAR)
        await bot.api.leave(ROWAN)
        await bot.answers()
        await bot.waits(days=1)
        sent = await bot.answers()
        assert {one.chat for one in sent} == {WREN}


# --- the real alarm clock -------------------------------------------------------------------


@contextmanager
def machine_time(clock: PretendClock) -> Iterator[None]:
    """Let the whole program and the library that rings go by one pretended clock. (freezegun does
    as much, but its own kind of datetime cannot be written as JSON.)"""

    class Frozen(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> Any:
            return clock.now().astimezone(tz)

    with (
        patch.object(wiring, "SystemClock", lambda: clock),
        patch("apscheduler.schedulers.base.datetime", Frozen),
    ):
        yield


@asynccontextmanager
async def verb(folder: Path, api: BotApi) -> AsyncIterator[list[str]]:
    """Run what the verb `telegram` runs; the block is given what it prints."""
    printed: list[str] = []
    work = wiring.telegram(folder, house(), TOKEN, printed.append, bot_api=api.url)
    polls = api.calls.count("getUpdates")
    async with running(work):
        await api.called("getUpdates", polls + 1)
        yield printed


@in_loop
async def test_the_alarm_clock_rings_once_after_days_and_goes_on_ringing(tmp_path: Path) -> None:
    clock = PretendClock(NOW)
    async with BotApi() as api:
        with machine_time(clock):
            async with verb(tmp_path, api) as printed:
                await api.say(WREN, code_in(printed[0]))
                await api.say(WREN, NEAR)
                await api.sent(3)
            clock.set(NOW + 3 * DAY)
            async with verb(tmp_path, api):
                await api.sent(4)
                await api.say(WREN, "hello")
                await api.sent(5)
                clock.set(NOW + 4 * DAY)
                await api.say(WREN, "hello")  # what is said sets the alarm anew
                await api.sent(7)
            assert digests(api.out) == ["Monday 1 March", "Thursday 4 March", "Friday 5 March"]
            assert len(api.out) == 7

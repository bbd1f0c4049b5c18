"""The verb `telegram` as its owner runs it: a process of its own, what it prints, its status, and
what becomes of a conversation when it is killed. All invented."""

import asyncio
import os
import random
import signal
import sqlite3
from asyncio.subprocess import PIPE, Process
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing, suppress
from functools import partial
from pathlib import Path

import pytest

from assistant.edges.embedded import Database, Shelf
from assistant.edges.embedded.database import FILE
from tests.edges.bot_api import BOT, NAMES, TOKEN, WREN, BotApi
from tests.edges.inbox import LIMIT, in_loop
from tests.program import command, environment, run
from tests.telegram.rig import code_in
from tests.trade import house

posix = pytest.mark.skipif(os.name != "posix", reason="signals and modes of POSIX")
kills = pytest.mark.parametrize("kills", [3, pytest.param(40, marks=pytest.mark.slow)])
MESSAGES = 5  # before each kill


class Verb:
    """A running bot."""

    def __init__(self, process: Process) -> None:
        self.process = process

    async def line(self) -> str:
        """The next line that it prints."""
        assert self.process.stdout is not None
        async with asyncio.timeout(LIMIT):
            return (await self.process.stdout.readline()).decode().rstrip("\n")

    async def end(self, how: signal.Signals | None = None) -> tuple[int, str, str]:
        """Send it a signal, if any; its status and what it printed further, when it has ended."""
        if how is not None:
            self.process.send_signal(how)
        async with asyncio.timeout(LIMIT):
            out, err = await self.process.communicate()
        assert self.process.returncode is not None
        return self.process.returncode, (out or b"").decode(), err.decode()


def token_file(folder: Path, mode: int = 0o600) -> Path:
    file = folder / "token.txt"
    file.write_text(f"{TOKEN}\n")
    file.chmod(mode)
    return file


@asynccontextmanager
async def verb(folder: Path, api: BotApi, out: int = PIPE) -> AsyncIterator[Verb]:
    """Run it until the block ends."""
    settings = ("--data", folder / "data", "--token-file", token_file(folder))
    process = await asyncio.create_subprocess_exec(
        *command("telegram", *settings, "--bot-api", api.url),
        stdout=out,
        stderr=PIPE,
        env=environment(),
    )
    bot = Verb(process)
    try:
        yield bot
    finally:
        with suppress(ProcessLookupError):
            process.kill()
        await bot.end()


async def paired(bot: Verb, api: BotApi) -> None:
    await api.say(WREN, code_in(await bot.line()))
    await api.sent(1)


def left(data: Path) -> int:
    """How much of what came is not dealt with yet, as it stands on the disk."""
    with closing(sqlite3.connect(f"file:{data / FILE}?mode=ro", uri=True)) as connection:
        [(count,)] = connection.execute("SELECT count(*) FROM job WHERE state = 'waiting'")
    return int(count)


async def ideas(data: Path) -> list[str]:
    """The texts of the ideas that are on the disk, in order."""
    with closing(Database(data)) as database:
        shop = await Shelf(database, house()).load("shop")
    return [idea.text for idea in shop.ideas]


def kept(api: BotApi) -> list[str]:
    """The ideas whose keeping was told, in order."""
    begin = "Kept as an idea: "
    return [sent.text.removeprefix(begin) for sent in api.out if sent.text.startswith(begin)]


@in_loop
async def test_what_is_printed_from_the_first_start_on(tmp_path: Path) -> None:
    async with BotApi() as api:
        async with verb(tmp_path, api) as bot:
            first = await bot.line()
            assert first.startswith("To become the owner of this shop, send your bot this code: ")
            assert await bot.line() == "It works once. Starting me again shows a new one."
            assert await bot.line() == f"@{BOT} is at work. Ctrl-C stops it."
            await api.say(WREN, code_in(first))
            assert (await api.sent(1))[0].text.startswith("You are in, Wren Ashby")
            assert await bot.end(signal.SIGTERM) == (0, "", "")
        async with verb(tmp_path, api) as bot:
            assert await bot.line() == f"@{BOT} is at work. Ctrl-C stops it."
            await api.say(WREN, "Idea: tea.")
            await api.sent(2)
            assert await bot.end(signal.SIGINT) == (0, "", "")
        assert kept(api) == ["tea."]


@posix
@kills
@in_loop
async def test_a_conversation_whose_process_is_killed_between_messages(
    tmp_path: Path, kills: int
) -> None:
    said: list[str] = []
    async with BotApi() as api:
        for turn in range(kills):
            async with verb(tmp_path, api) as bot:
                if not turn:
                    await paired(bot, api)
                for _ in range(MESSAGES):
                    said.append(f"thought {len(said)}.")
                    await api.say(WREN, f"Idea: {said[-1]}")
                await api.sent(1 + len(said))
                await api.confirmed()
                async with asyncio.timeout(LIMIT):
                    while left(tmp_path / "data"):
                        await asyncio.sleep(0)
                assert (await bot.end(signal.SIGKILL))[2] == ""
            said.append(f"thought {len(said)}.")
            await api.say(WREN, f"Idea: {said[-1]}")  # while nobody is there
        async with verb(tmp_path, api):
            await api.sent(1 + len(said))
            await api.say(WREN, "ideas")
            await api.sent(2 + len(said))
    assert kept(api) == said


def _reached(api: BotApi, calls: int) -> bool:
    return len(api.calls) >= calls


@posix
@kills
@in_loop
async def test_a_conversation_whose_process_is_killed_anywhere(tmp_path: Path, kills: int) -> None:
    """Each message is answered and done; twice answered at most the one that was on its way when
    the process died."""
    said: list[str] = []
    chance = random.Random(2027)
    async with BotApi() as api:
        async with verb(tmp_path, api) as bot:
            await paired(bot, api)
        for _ in range(kills):
            for _ in range(MESSAGES):
                said.append(f"thought {len(said)}.")
                await api.say(WREN, f"Idea: {said[-1]}")
            # A start makes three calls until it hears what was said, and one for each answer.
            end = len(api.calls) + chance.randint(3, 3 + MESSAGES)
            async with verb(tmp_path, api):
                await api.wait(partial(_reached, api, end))
        async with verb(tmp_path, api):
            await api.wait(lambda: said[-1] in kept(api))
            await api.confirmed()
            before = len(api.out)
            await api.say(WREN, "what is due")
            await api.sent(before + 1)
    answered = kept(api)
    assert list(dict.fromkeys(answered)) == said
    assert len(answered) <= len(said) + kills
    assert await ideas(tmp_path / "data") == said


@posix
@in_loop
async def test_a_reply_on_its_way_when_the_process_dies_comes_after_the_restart(
    tmp_path: Path,
) -> None:
    async with BotApi() as api:
        async with verb(tmp_path, api) as bot:
            await paired(bot, api)
            calls = api.calls.count("sendMessage")
            api.hung.add("sendMessage")
            await api.say(WREN, "Idea: tea.")
            await api.called("sendMessage", calls + 1)
        api.hung.clear()
        async with verb(tmp_path, api):
            await api.say(WREN, "ideas")
            await api.sent(3)
    assert kept(api) == ["tea."]
    assert api.out[-1].text == "Ideas\n1. tea."


# --- refusals -------------------------------------------------------------------------------


async def refused(bot: Verb) -> str:
    status, _, err = await bot.end()
    assert (status, err.count("\n")) == (2, 1)
    assert TOKEN not in err
    return err


@pytest.mark.parametrize(
    ("method", "status"), [("getMe", 401), ("getMe", 404), ("getUpdates", 404)]
)
@in_loop
async def test_a_token_that_telegram_does_not_accept_ends_it_in_one_sentence(
    tmp_path: Path, method: str, status: int
) -> None:
    # Source: Bot API, "Making requests"; which of the two comes for what is from memory.
    async with BotApi() as api, verb(tmp_path, api) as bot:
        api.fail(method, status, "Unauthorized" if status == 401 else "Not Found")
        assert "does not accept the bot token" in await refused(bot)


@in_loop
async def test_a_token_that_is_withdrawn_ends_it_in_one_sentence(tmp_path: Path) -> None:
    async with BotApi() as api, verb(tmp_path, api) as bot:
        await paired(bot, api)
        await api.confirmed()
        api.fail("getUpdates", 401, "Unauthorized")  # the next one: one is waiting by now
        await api.say(WREN, "hello")
        assert "does not accept the bot token" in await refused(bot)


@in_loop
async def test_a_second_bot_on_the_same_folder_is_refused(tmp_path: Path) -> None:
    async with BotApi() as api, verb(tmp_path, api) as first:
        await paired(first, api)
        async with verb(tmp_path, api) as second:
            assert "already running" in await refused(second)
        await api.say(WREN, "Idea: tea.")
        await api.sent(2)


@posix
@pytest.mark.parametrize("mode", [0o644, 0o640, 0o604])
def test_a_token_that_others_can_read_is_refused(tmp_path: Path, mode: int) -> None:
    done = run("telegram", "--data", tmp_path, "--token-file", token_file(tmp_path, mode))
    assert (done.returncode, done.stdout) == (2, "")
    assert "chmod 600" in done.stderr
    assert TOKEN not in done.stderr


@pytest.mark.parametrize(
    ("arguments", "wrong"),
    [
        (("--bot-api", "nonsense"), "cannot be used"),
        (("--webhook-url", "ftp://example.org"), "cannot be used"),
        (("--webhook-url", "http://["), "cannot be used"),
        (("--port", "70000"), "from 1 to 65535"),
        (("--port", "-1"), "from 1 to 65535"),
        (("--webhook-url", "https://example.org/bot"), "--secret-file"),
    ],
)
def test_settings_that_cannot_work_are_refused_in_words(
    tmp_path: Path, arguments: tuple[str, ...], wrong: str
) -> None:
    file = token_file(tmp_path)
    done = run("telegram", "--data", tmp_path, "--token-file", file, *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert wrong in done.stderr
    assert "Traceback" not in done.stderr


def test_a_token_that_cannot_be_one_is_refused(tmp_path: Path) -> None:
    done = run("telegram", "--data", tmp_path, TWELVEFOLD_TELEGRAM_TOKEN="hello")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith("This is no bot token.")


# --- what it prints when something is wrong -------------------------------------------------


@in_loop
async def test_standard_error_holds_no_texts_names_or_tokens(tmp_path: Path) -> None:
    async with BotApi() as api, verb(tmp_path, api) as bot:
        await paired(bot, api)
        api.fail("sendMessage", 400, "Bad Request: lantern is odd", times=2)
        api.fail("getUpdates", 502)
        api.fail("getUpdates", 409, "Conflict: terminated by other getUpdates request")
        await api.say(WREN, "Idea: lantern")
        await api.sent(2)
        _, _, err = await bot.end(signal.SIGTERM)
    assert "job" in err
    assert "another program receives for this bot" in err
    secrets = (TOKEN, TOKEN.partition(":")[2], "lantern", str(WREN), *NAMES[WREN].split())
    assert [word for word in secrets if word in err] == []


@posix
@in_loop
async def test_a_reader_who_has_gone_is_no_error(tmp_path: Path) -> None:
    reader, writer = os.pipe()
    os.close(reader)
    try:
        async with BotApi() as api, verb(tmp_path, api, writer) as bot:
            assert await bot.end() == (0, "", "")
    finally:
        os.close(writer)

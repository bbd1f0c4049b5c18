"""A process that is killed while it receives loses nothing and hears nothing twice.

This module is also the process that is killed: the real channel, the real way in, the real store.
"""

import asyncio
import random
import sys
from asyncio.subprocess import PIPE, Process
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from pathlib import Path

from assistant.edges.embedded import Database, Keep, Mailbox
from assistant.edges.telegram.channel import TelegramChannel
from assistant.flow.gateway import gateway
from assistant.flow.messages import IN, Incoming, Unreached, decode_inward
from assistant.flow.ports import Job
from tests.edges.bot_api import ROWAN, TOKEN, WREN, BotApi, FixedClock
from tests.edges.inbox import LIMIT, in_loop, running

MESSAGES = 40
KILLS = 5
ROOT = Path(__file__).parents[2]


async def receive(folder: Path, url: str) -> None:
    """Receive into the store, writing a line for each message that is on disk."""
    with closing(Database(folder)) as database:
        clock = FixedClock()
        into = gateway(Mailbox(database, clock), lambda _chat: "mossgate")

        async def take(body: Incoming | Unreached) -> bool:
            new = await into(body)
            print("kept", flush=True)
            return new

        channel = TelegramChannel(TOKEN, Keep(database, clock), clock, base_url=url)
        await channel.run(take)


@asynccontextmanager
async def killed_in_the_end(folder: Path, url: str) -> AsyncIterator[Process]:
    """Run such a process until the block ends, and then kill it wherever it is."""
    process = await asyncio.create_subprocess_exec(
        sys.executable, "-m", __name__, str(folder), url, stdout=PIPE, cwd=ROOT
    )
    try:
        yield process
    finally:
        process.kill()
        await process.communicate()


async def kept(folder: Path) -> list[str]:
    """Return the texts in the lane, in order."""
    texts: list[str] = []

    async def handler(job: Job) -> None:
        async with job.settle():
            body = decode_inward(job.body)
            assert isinstance(body, Incoming)
            texts.append(body.heard.text)

    with closing(Database(folder)) as database:
        mailbox = Mailbox(database, FixedClock())
        async with running(mailbox.serve(IN, handler)), asyncio.timeout(LIMIT):
            await mailbox.idle(IN)
    return texts


@in_loop
async def test_a_killed_process_loses_no_message(tmp_path: Path) -> None:
    folder, chance = tmp_path / "data", random.Random(2027)
    texts = [f"idea number {number}" for number in range(MESSAGES)]
    async with BotApi() as api:
        for number, text in enumerate(texts):
            await api.say(WREN if number % 2 else ROWAN, text)
        for _ in range(KILLS):
            async with killed_in_the_end(folder, api.url) as process, asyncio.timeout(LIMIT):
                assert process.stdout is not None
                for _ in range(chance.randrange(1, MESSAGES)):
                    assert await process.stdout.readline() == b"kept\n"
        async with killed_in_the_end(folder, api.url):
            await api.confirmed()
    assert await kept(folder) == texts


if __name__ == "__main__":
    asyncio.run(receive(Path(sys.argv[1]), sys.argv[2]))

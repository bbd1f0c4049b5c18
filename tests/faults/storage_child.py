"""A process to be killed: takes messages, handles them and sends what follows.

    python -m tests.faults.storage_child FOLDER FIRST TOTAL

It puts the messages FIRST..TOTAL-1, as a channel that delivers again what was not confirmed, and
says on standard output "accepted 7", "handled 7", "sent 7" when each is on the disk, at last
"finished". Three shops take the messages in turn.
"""

import asyncio
import sys
from contextlib import closing
from pathlib import Path

from assistant.edges.clock import SystemClock
from assistant.edges.embedded import Database, Mailbox, Shelf
from assistant.flow.ports import Job
from assistant.planning.model import Entry, Idea, Put, Remove
from tests.contracts.edge import HOUSE, START

SHOPS = ("moss", "gate", "fell")


def shop_of(number: int) -> str:
    return SHOPS[number % len(SHOPS)]


def say(what: str, number: object = "") -> None:
    print(what, number, flush=True)


class Child:
    def __init__(self, database: Database) -> None:
        self.mailbox = Mailbox(database, SystemClock())
        self.shelf = Shelf(database, HOUSE)

    async def take(self, number: int) -> None:
        name = str(number)
        async with self.mailbox.begin() as tx:
            await self.mailbox.put(tx, "in", shop_of(number), name.encode(), once=name)
        say("accepted", number)

    async def handle(self, job: Job) -> None:
        name = job.body.decode()
        version = await self.shelf.version(job.key)
        changes = (Put(Idea(id=name, text="a thought " * 50, at=START)),)
        entry = Entry(version + 1, START, "her", name, changes, (Remove("ideas", name),))
        async with job.settle() as tx:
            await self.shelf.save(tx, job.key, version, changes, entry)
            await self.mailbox.put(tx, "out", job.key, job.body, once=name)
        say("handled", name)

    async def send(self, job: Job) -> None:
        async with job.settle():
            pass
        say("sent", job.body.decode())

    async def run(self, first: int, total: int) -> None:
        serving = [
            asyncio.create_task(self.mailbox.serve(lane, handler))
            for lane, handler in (("in", self.handle), ("out", self.send))
        ]
        for number in range(first, total):
            await self.take(number)
            await asyncio.sleep(0)  # let the lanes work in between
        await self.mailbox.idle("in", "out")
        for task in serving:
            task.cancel()
        await asyncio.wait(serving)
        say("finished")


if __name__ == "__main__":
    with closing(Database(Path(sys.argv[1]))) as database:
        asyncio.run(Child(database).run(int(sys.argv[2]), int(sys.argv[3])))

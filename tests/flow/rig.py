"""A whole assistant over the memory edge: pretend clock, pretend channel, real flow.

    async with at_work(shop("2027-03 Rain: notebook 450 x 3.10")) as rig:
        await rig.say("Idea: lantern walk")
        assert rig.told(WREN) == ["Kept as an idea: lantern walk."]

Everyone in it is invented.
"""

import asyncio
import functools
from collections import defaultdict, deque
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

from msgspec.structs import replace

from assistant.conversation.messages import File, Heard, Reply
from assistant.edges.clock import PretendClock, PretendTicks
from assistant.edges.memory import Mailbox, Memory, Shelf, Transaction
from assistant.flow import ports
from assistant.flow.gateway import gateway
from assistant.flow.messages import IN, OUT, Incoming, Outgoing, encode
from assistant.flow.ports import Clock, NoRoom
from assistant.flow.sender import Sender
from assistant.flow.ticker import Ticker
from assistant.flow.worker import Worker
from assistant.planning.model import Person, Shop

MONDAY = datetime(2027, 1, 11, 9, tzinfo=UTC)
WREN = "pretend:wren"  # the owner
ROWAN = "pretend:rowan"  # a helper
PEOPLE = (
    Person(id="wren", chat=WREN, name="Wren", role="owner"),
    Person(id="rowan", chat=ROWAN, name="Rowan"),
)
LIMIT = 30  # seconds until a test that hangs has failed


class PretendChannel:
    """A channel that does as it is told. `faults` of a chat are raised one after another;
    `contents` answers `fetch`."""

    name = "pretend"

    def __init__(self) -> None:
        self.sent: list[Outgoing] = []
        self.faults: dict[str, deque[Exception]] = defaultdict(deque)
        self.contents: dict[str, list[bytes | Exception | None]] = {}
        self.hung: dict[str, asyncio.Event] = {}

    async def send(self, out: Outgoing, file: File | None) -> None:
        del file
        if out.chat in self.hung:
            await self.hung[out.chat].wait()
        if self.faults[out.chat]:
            raise self.faults[out.chat].popleft()
        self.sent.append(out)

    async def fetch(self, ref: str) -> bytes | None:
        answer = self.contents[ref].pop(0)
        if isinstance(answer, Exception):
            raise answer
        return answer


class FullStore(Memory):
    """A memory that can be full: while `full` names a table, nothing that writes to that table
    can be committed ("": everything can)."""

    def __init__(self) -> None:
        super().__init__()
        self.full = ""
        self.commits = 0

    @asynccontextmanager
    async def begin(self) -> AsyncIterator[Transaction]:
        async with super().begin() as tx:
            yield tx
            if self.full in tx._written:
                raise NoRoom("the disk is full")
            self.commits += 1


class Rig:
    """The assistant and those who talk with it, over a memory with this shop or other `ports`."""

    def __init__(
        self, shop: Shop, clock: Clock, ports: tuple[ports.Mailbox, ports.Shelf] | None = None
    ) -> None:
        self.memory, self.clock, self.id = FullStore(), clock, shop.id
        self.memory.tables["shops"] = {shop.id: replace(shop, people=shop.people or PEOPLE)}
        in_memory = Mailbox(self.memory, clock), Shelf(self.memory, shop.house)
        self.mailbox, self.shelf = ports or in_memory
        self.channel, self.ticks = PretendChannel(), PretendTicks()
        self.ticker = Ticker(self.mailbox, self.shelf, self.ticks, clock)
        named = {self.channel.name: self.channel}
        self.token: Callable[[], str] = lambda: "token"
        self.worker = Worker(
            self.mailbox, self.shelf, named, clock, lambda: self.token(), self.ticker
        )
        self.sender = Sender(self.mailbox, self.shelf, named)
        self.take = gateway(self.mailbox, lambda _: shop.id, self.worker.no_room)
        self.rings: list[datetime] = []
        self._count = 0

    @property
    def shop(self) -> Shop:
        """The shop as last committed."""
        committed: Shop = self.memory.tables["shops"][self.id]
        return committed

    def incoming(self, text: str, sender: str = WREN, **fields: Any) -> Incoming:
        """A message, each with an id of its own."""
        self._count += 1
        id = f"update/{self._count}"
        refs = {name: fields.pop(name, "") for name in ("photo_ref", "document_ref")}
        heard = Heard(
            id=id, message=id, chat=sender, sender=sender, at=self.clock.now(), text=text, **fields
        )
        return Incoming(heard=heard, **refs)

    async def say(self, text: str, sender: str = WREN, **fields: Any) -> None:
        """Say something and wait until it has been dealt with, as far as it can be now."""
        assert await self.take(self.incoming(text, sender, **fields))
        await self.settle()

    async def mailbox_put(self, chat: str, text: str) -> None:
        """Put a reply on its way as if the worker had."""
        out = Outgoing(shop=self.id, chat=chat, reply=Reply(text=text))
        async with self.mailbox.begin() as tx:
            await self.mailbox.put(tx, OUT, chat, encode(out))

    async def settle(self) -> None:
        await self.mailbox.idle(IN, OUT)

    async def move(self, to: datetime) -> None:
        """Move the pretend clock, ringing on the way as the alarm clock would."""
        assert isinstance(self.clock, PretendClock)
        while alarm := self.ticks.take(to):
            shop, due = alarm
            self.clock.set(max(due, self.clock.now()))
            self.rings.append(self.clock.now())
            self.mailbox.wake()
            await self.ticker.ring(shop, due)
            await self.settle()
        self.clock.set(to)
        self.mailbox.wake()
        await self.settle()

    async def wait(self, **by: float) -> None:
        await self.move(self.clock.now() + timedelta(**by))

    def told(self, chat: str) -> list[str]:
        """What a chat was told so far, titles left out."""
        return [out.reply.text for out in self.channel.sent if out.chat == chat]


@asynccontextmanager
async def at_work(shop: Shop, clock: Clock | None = None) -> AsyncIterator[Rig]:
    """Let the assistant work until the block ends."""
    rig = Rig(shop, clock or PretendClock(MONDAY))
    async with asyncio.timeout(LIMIT), asyncio.TaskGroup() as tasks:
        at_work = [tasks.create_task(rig.worker.run()), tasks.create_task(rig.sender.run())]
        await rig.ticker.start((rig.id,))
        try:
            yield rig
        finally:
            for task in at_work:
                task.cancel()


Story = Callable[[Rig], Awaitable[None]]


def story(*texts: str, **profile: Any) -> Callable[[Story], Callable[[], None]]:
    """Run an async test on a shop made from texts (see tests/trade.py)."""
    from tests import trade

    def tell(test: Story) -> Callable[[], None]:
        async def whole() -> None:
            made = trade.with_holidays(trade.shop(*texts, **profile), MONDAY.date())
            async with at_work(made) as rig:
                await test(rig)

        def run() -> None:
            asyncio.run(whole())

        functools.update_wrapper(run, test)
        del run.__wrapped__  # type: ignore[attr-defined]  # its argument is no fixture of pytest's
        return run

    return tell

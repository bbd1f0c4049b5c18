"""How long an owner of a large shop waits: `python -m tests.bench chat`.

A made-up shop of 10,000 ideas, 36 boxes of 8 items and 12 suppliers in a data folder. For each
kind of message: understanding and handling alone (processor time), and the whole way from the
channel through both lanes (five commits, each with its fsync) to the reply being taken. Then a
process of its own: time to its first reply, memory. Times in milliseconds.
"""

import asyncio
import gc
import os
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from statistics import quantiles
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from assistant import wiring
from assistant.conversation.converse import converse
from assistant.conversation.messages import File, Heard, Moment
from assistant.edges.clock import PretendClock, PretendTicks
from assistant.flow.messages import Incoming, Outgoing
from assistant.planning.changes import apply
from assistant.planning.model import TABLES, Idea, Person, Profile, Put, Shop
from tests.bench import bench_plan
from tests.program import read_until, say, started
from tests.trade import house

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
WREN = "terminal:you"
IDEAS, ROUNDS = 10_000, 150
MONTHS = ("March", "April", "May", "June", "July", "August", "September", "October")
TARGET = 5.0  # ms at the 99th percentile, understanding and handling

KINDS = {
    "an idea": "Idea: lantern walk number {n} for {month}",
    "a bare thought": "a biscuit tin with a map on the lid, {n}",
    "ideas of a month": "ideas for {month}",
    "ideas with a word": "ideas about fern {n}",
    "a theme": "{month} theme rain and roots {n}",
    "an item": "add to {month}: pencil{n} from Makera, 3.10, 20 working days",
    "moving an item": "move item a of {month} 2027 to {month} 2029",
    "a supplier's closure": "Makera closed {n} March 2028",
    "what is due": "what is due",
    "what is late": "what is late",
    "how is a box": "how is {month}",
    "when to order": "when must I order item a for {month}",
    "why": "why item a for {month}",
    "done": "done: source item a for 2027-0{k}",
    "undo": "undo",
    "the year": "show the year",
    "a rehearsed year": "rehearse",
    "a swap, shown": "swap {month} and March 2029",
    "a swap, done": "swap {month} and March 2029 now",
    "what is missing": "what is missing in {month}",
    "prompts for a theme": "prompts for {month}",
    "hello": "hello",
    "nothing it knows": "swap Smarch and {n}",
}


class Ears:
    """A channel that takes every reply."""

    name = "terminal"

    async def send(self, out: Outgoing, file: File | None) -> None:
        """Take it."""

    async def fetch(self, ref: str) -> bytes | None:
        """Have nothing."""
        del ref


def large() -> Shop:
    """The shop."""
    ideas = (
        Idea(
            id=f"telegram:{n}",
            text=f"lantern walk number {n}, with a beeswax wrap and a pressed fern",
            at=NOW,
            by=WREN,
            months=(n % 12 + 1,),
        )
        for n in range(IDEAS)
    )
    owner = Put(Person(id=WREN, chat=WREN, role="owner"))
    made = apply(bench_plan.plan(), (owner, *(Put(idea) for idea in ideas)))
    return apply(made, (Put(Profile(id=wiring.SHOP, subscribers=420)),))


def messages(template: str) -> Iterator[Heard]:
    for n in range(1, ROUNDS + 1):
        text = template.format(n=n % 28 + 1, month=MONTHS[n % 8], k=n % 8 + 1)
        yield Heard(id=f"{template}/{n}", chat=WREN, sender=WREN, at=NOW, text=text)


def p50_p99(times: list[float]) -> tuple[float, float]:
    cuts = quantiles(times, n=100)
    return cuts[49] * 1000, cuts[98] * 1000


def handled(shop: Shop, template: str) -> list[float]:
    times = []
    for heard in messages(template):
        moment = Moment(now=NOW, ref=heard.id, token="token")
        begun = process_time()
        converse(shop, heard, moment)
        times.append(process_time() - begun)
    return times


async def in_folder(folder: Path, shop: Shop) -> dict[str, list[float]]:
    """Fill the folder, then send every kind of message the whole way."""
    clock = PretendClock(NOW)
    whole: dict[str, list[float]] = {}
    async with wiring.running(folder, house(), clock, PretendTicks(), lambda _: Ears()) as at_work:
        records = (record for table, _ in TABLES for record in getattr(shop, table))
        async with at_work.mailbox.begin() as tx:
            await at_work.shelf.save(tx, wiring.SHOP, 0, tuple(map(Put, records)), None)
        await at_work.worker.shop(wiring.SHOP)  # loaded once in the life of a process
        for kind, template in KINDS.items():
            whole[kind] = []
            for heard in islice(messages(template), ROUNDS):
                begun = perf_counter()
                await at_work.take(Incoming(heard=heard))
                await at_work.settle()
                whole[kind].append(perf_counter() - begun)
    return whole


def first_reply(folder: Path) -> tuple[float, float, float]:
    """Seconds until a new process has answered; its memory then and at most, in MB."""
    begun = perf_counter()
    with started("chat", "--data", folder, "--now", "2026-11-25 10:00") as program:
        say(program, "what is due")
        read_until(program, "[a] Done 1")
        waited = perf_counter() - begun
        status = Path(f"/proc/{program.pid}/status")
        lines = status.read_text().splitlines() if status.exists() else []
    sizes = dict(line.split(":") for line in lines)
    now, most = (int(sizes.get(name, "0").split()[0]) / 1024 for name in ("VmRSS", "VmHWM"))
    return waited, now, most


def main() -> None:
    """Print the tables."""
    shop = large()
    for template in KINDS.values():  # what is imported and worked out when first used
        handled(shop, template)
    gc.freeze()  # as the program does
    alone = {kind: p50_p99(handled(shop, template)) for kind, template in KINDS.items()}
    with TemporaryDirectory() as name:
        whole = asyncio.run(in_folder(Path(name), shop))
        # As installed: compiled modules are kept, the first start writes them.
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        os.environ["PYTHONPYCACHEPREFIX"] = f"{name}/compiled"
        waits = [first_reply(Path(name)) for _ in range(6)][1:]
    print(f"{IDEAS:,} ideas, {len(shop.boxes)} boxes, {len(shop.items)} items; {sys.version[:6]}")
    print(f"{'':24}{'handled':>16}{'the whole way':>20}")
    print(f"{'':24}{'p50':>8}{'p99':>8}{'p50':>12}{'p99':>8}   p99 target {TARGET:.1f}")
    for kind, (half, most) in alone.items():
        over = "  over" if most > TARGET else ""
        print(f"{kind:24}{half:8.2f}{most:8.2f}{'':4}", end="")
        print("{:8.2f}{:8.2f}".format(*p50_p99(whole[kind])) + over)
    waited, now, peak = (sorted(column)[2] for column in zip(*waits, strict=True))
    print(f"first reply of a process   {waited * 1000:8.0f} ms   target 1000")
    print(f"its memory, at most        {now:8.1f} MB, {peak:.1f}   target 80")


if __name__ == "__main__":
    main()

"""Settings to objects: the only file that knows everyone.

Knows: which edge stands behind which port. Must not know: rules of any room. Invariants: what is
opened here is closed here, in reverse; an edge that a run does not need is not imported.
"""

import asyncio
import gc
import os
import secrets
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager, suppress
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any, Generic, NamedTuple, TypeVar

from assistant.conversation.handle.doors import gone_away, let_owner_in, new_code
from assistant.conversation.messages import Moment, Outcome
from assistant.edges.clock import PretendClock, PretendTicks, SystemClock
from assistant.edges.embedded.archive import FOLDER as BACKUPS
from assistant.edges.embedded.archive import Archive
from assistant.edges.embedded.database import FILE, Database, Refused
from assistant.edges.embedded.mailbox import Keep, Mailbox
from assistant.edges.embedded.shelf import Shelf
from assistant.flow.gateway import gateway
from assistant.flow.keeper import Keeper
from assistant.flow.messages import BACKUP, IN, OUT
from assistant.flow.ports import Channel, Clock, NoRoom, Take, Ticks
from assistant.flow.sender import Sender
from assistant.flow.ticker import Ticker
from assistant.flow.worker import Worker
from assistant.planning.changes import profile_of
from assistant.planning.model import House, Profile, Shop
from assistant.planning.records import FeedRule
from assistant.scheduling.zones import local_instant

TELEGRAM = "https://api.telegram.org"
WORDS = {IN: "a message", OUT: "a reply", BACKUP: "a backup"}  # what the jobs of a lane are
SHOP = "shop"  # the one shop of an embedded data folder

Write = Callable[[str], None]
C = TypeVar("C", bound=Channel)


class CannotOpen(Exception):
    """The assistant cannot start; the text is one sentence for whoever started it."""


class Running(NamedTuple, Generic[C]):
    """An assistant at work, talking through one channel."""

    mailbox: Mailbox
    shelf: Shelf
    worker: Worker
    ticker: Ticker
    take: Take
    channel: C
    clock: Clock

    async def settle(self) -> None:
        """Return when everything taken so far has been answered."""
        await self.mailbox.idle(IN, BACKUP, OUT)

    async def commit(self, outcome: Outcome) -> None:
        """Save what was decided outside a conversation, such as the owner's first code."""
        shop = await self.worker.shop(SHOP)
        changes = (*outcome.notes, *outcome.changes)
        if changes:
            async with self.mailbox.begin() as tx:
                await self.shelf.save(tx, shop.id, shop.version, changes, None)


@asynccontextmanager
async def running(
    folder: Path,
    house: House,
    clock: Clock,
    ticks: Ticks,
    channel: Callable[[Keep], C],
) -> AsyncIterator["Running[C]"]:
    """Open the data folder and keep worker, sender and keeper at work until the block ends.

    Raises CannotOpen. If any of the three stops on an error the block is cancelled and the
    error raised: an assistant that half works is worse than one that says it stopped. The lanes
    go by the real clock whatever `clock` says: a full disk is no part of a pretended year, and
    a pretended night makes no backup by itself.
    """
    with opened(folder) as database:
        mailbox, shelf = Mailbox(database, SystemClock()), Shelf(database, house)
        door = channel(Keep(database, clock))
        named = {door.name: door}
        archive = Archive(folder, house.backup_keep)
        real = not isinstance(clock, PretendClock)
        ticker = Ticker(mailbox, shelf, ticks, clock, backups=real)
        worker = Worker(mailbox, shelf, named, clock, secrets.token_hex, ticker)
        sender = Sender(mailbox, shelf, named, archive)
        keeper = Keeper(mailbox, shelf, named, archive, clock)
        take = gateway(mailbox, lambda _: SHOP)
        gc.freeze()  # what is loaded by now stays: no use in looking through it for garbage
        async with calendar_served(house.feed, partial(worker.shop, SHOP), clock):
            with alarms(ticks, ticker):
                async with asyncio.TaskGroup() as tasks:
                    runs = (worker, sender, keeper)
                    at_work = [tasks.create_task(one.run()) for one in runs]
                    try:
                        yield Running(mailbox, shelf, worker, ticker, take, door, clock)
                    finally:
                        for task in at_work:
                            task.cancel()


@asynccontextmanager
async def calendar_served(
    rule: FeedRule, read: Callable[[], Awaitable[Shop]], clock: Clock
) -> AsyncIterator[None]:
    """Serve the calendar where it can be subscribed to, until the block ends; with no port nothing
    is served. Raises CannotOpen."""
    if not rule.port:
        yield
        return
    from assistant.edges.feed.server import bound, serving

    try:
        listener = bound(rule.listen, rule.port)
    except OSError as error:
        where = f"{rule.listen}, port {rule.port}"
        raise CannotOpen(f"The calendar cannot be served on {where}: {error.strerror}.") from None
    async with serving(listener, read, clock):
        yield


@contextmanager
def opened(folder: Path) -> Iterator[Database]:
    """Own the data folder until the block ends. Raises CannotOpen."""
    try:
        database = Database(folder)
    except Refused as error:
        raise CannotOpen(str(error)) from None
    except NoRoom as error:
        raise CannotOpen(f"I cannot write to the folder {folder}: {error}.") from None
    try:
        yield database
    finally:
        database.close()


async def chat(
    folder: Path,
    house: House,
    write: Write,
    *,
    source: int | None,
    now: datetime | None,
    demo: bool,
) -> None:
    """Hold a conversation in the terminal: the lines of an open file or pipe (`source`) played on
    a pretend clock, or (None) typed.

    `now` is a naive local time of the shop to pretend it is; `demo` fills an empty folder with
    the invented shop. Raises CannotOpen.
    """
    from assistant.edges.terminal.channel import YOU, TerminalChannel
    from assistant.edges.terminal.lines import Conversation, piped, play, typed

    clock, ticks = _time(now, pretend=source is not None)
    bold = source is None and "NO_COLOR" not in os.environ
    channel = TerminalChannel(write, clock, bold=bold, files=folder / "files")
    async with running(folder, house, clock, ticks, lambda _: channel) as at_work:
        shop = await at_work.worker.shop(SHOP)
        await at_work.commit(let_owner_in(shop, YOU, clock.now()))
        if demo and not shop.version:
            await _open_demo(at_work)
        await at_work.ticker.start((SHOP,))
        conversation = Conversation(
            channel,
            at_work.take,
            at_work.settle,
            mover(at_work, clock, ticks),
            write,
            secrets.token_hex(6),
        )
        try:
            await at_work.settle()  # what was left over comes first
            if demo or source is None:
                await conversation.say("hello")
            if source is None:
                async for line in typed(folder / "typed-lines"):
                    await conversation.say(line)
            else:
                await play(piped(source), conversation, write)
        finally:
            with suppress(NoRoom):
                await at_work.commit(gone_away(await at_work.worker.shop(SHOP), YOU))


async def telegram(
    folder: Path,
    house: House,
    token: str,
    write: Write,
    *,
    webhook: tuple[str, str, int, str] | None = None,
    bot_api: str | None = None,
) -> None:
    """Run the assistant as a Telegram bot until cancelled, and say so once Telegram knows it.

    `webhook` is (public URL, address to listen on, port, secret); without it updates are asked
    for. Raises CannotOpen.
    """
    from assistant.edges.telegram.channel import TelegramChannel
    from assistant.edges.telegram.faults import CannotStart
    from assistant.edges.telegram.receiving import Webhook

    clock, ticks = _time(None, pretend=False)
    hook = webhook and Webhook(
        url=webhook[0], listen=webhook[1], port=webhook[2], secret=webhook[3]
    )
    server = bot_api.rstrip("/") if bot_api else TELEGRAM

    def ready(bot: str) -> None:
        write(f"@{bot} is at work. Ctrl-C stops it.")

    def channel(keep: Keep) -> TelegramChannel:
        return TelegramChannel(
            token, keep, clock, base_url=server, webhook=hook or None, ready=ready
        )

    try:
        async with running(folder, house, clock, ticks, channel) as at_work:
            await show_first_code(at_work, write)
            await at_work.ticker.start((SHOP,))
            # A terminal says itself what it could not keep; here the message comes again.
            take = gateway(at_work.mailbox, lambda _: SHOP, at_work.worker.no_room)
            await at_work.channel.run(take)
    except* CannotStart as problems:
        raise CannotOpen(str(problems.exceptions[0])) from None


async def dead(folder: Path) -> tuple[str, ...]:
    """Return a line for each message that was given up. Raises CannotOpen."""
    with opened(folder) as database:
        mailbox = Mailbox(database, SystemClock())
        found = [one for lane in WORDS for one in await mailbox.dead(lane)]
    return tuple(
        f"{job.id}: {WORDS[job.lane]} of {job.at:%Y-%m-%d %H:%M} UTC, "
        f"tried {job.tries} times: {job.error}"
        for job in found
    ) or ("Nothing was given up.",)


async def revive(folder: Path, number: int) -> bool:
    """Let a message that was given up be tried again. Raises CannotOpen."""
    with opened(folder) as database:
        return await Mailbox(database, SystemClock()).revive(number)


def back_up(folder: Path, to: Path | None) -> str:
    """Write a backup of a data folder, whoever is at work in it; return a sentence of what was
    written. Raises CannotOpen."""
    from assistant.edges.embedded.backup import write_backup

    with _refusals(to or folder):
        if not (folder / FILE).is_file():
            raise Refused(f"{folder} holds no data of Twelvefold's.")
        beside = to or folder / BACKUPS
        if to is None:
            beside.mkdir(mode=0o700, exist_ok=True)
        manifest, path = write_backup(folder, beside, SystemClock().now())
    rows = sum(part.rows for part in manifest.parts)
    return f"Written: {path} ({path.stat().st_size:,} bytes, {rows:,} records)."


def restore(file: Path, folder: Path) -> str:
    """Make a new data folder of a backup; return a sentence of what it holds. Raises CannotOpen."""
    from assistant.edges.embedded.restoring import restore

    with _refusals(folder):
        made, unsent = restore(file, folder)
    shops = ", ".join(shop.name for shop in made.shops) or "no shop"
    told = f"{folder} holds {shops} as of {made.made:%Y-%m-%d %H:%M} UTC."
    waiting = f" Replies that were waiting then, and may have been sent since: {unsent}. "
    return told + (f"{waiting}To see them: python -m assistant dead --data {folder}" * (unsent > 0))


def check(path: Path, save_to: Path | None) -> tuple[bool, tuple[str, ...]]:
    """Look for damage in a backup or a data folder, and save what can be read of it to a new
    folder, if one is named; return whether all is whole, and lines of what was found. Raises
    CannotOpen."""
    from assistant.edges.embedded.checking import check, save

    with _refusals(save_to or path):
        found = check(path) if save_to is None else save(path, save_to, SystemClock().now())
    saved = (f"Saved to {save_to}.",) if save_to else ()
    return not found.fault, (*found.told(), *saved)


@contextmanager
def _refusals(folder: Path) -> Iterator[None]:
    """Turn what an edge refuses into CannotOpen."""
    try:
        yield
    except Refused as error:
        raise CannotOpen(str(error)) from None
    except (NoRoom, OSError) as error:
        raise CannotOpen(f"I cannot write to {folder}: {error}.") from None


@contextmanager
def alarms(ticks: Ticks, ticker: Ticker) -> Iterator[None]:
    """Let real alarms ring until the block ends; pretended ones ring when the clock is moved."""
    if isinstance(ticks, PretendTicks):
        yield
        return
    from assistant.edges.apscheduler_ticks import SchedulerTicks

    assert isinstance(ticks, SchedulerTicks)
    ticks.start(ticker.ring)
    try:
        yield
    finally:
        ticks.stop()


def mover(
    at_work: Running[Any], clock: Clock, ticks: Ticks
) -> Callable[[datetime], Awaitable[bool]] | None:
    """Return what moves a pretend clock to a naive local time of the shop and delivers all that
    falls due on the way, in order (False: that would be going back); None for a real clock."""
    if not (isinstance(clock, PretendClock) and isinstance(ticks, PretendTicks)):
        return None

    async def move(local: datetime) -> bool:
        zone = profile_of(await at_work.worker.shop(SHOP)).zone
        target = local_instant(local.date(), local.time(), zone)
        if target is None or target < clock.now():
            return False
        while alarm := ticks.take(target):
            shop, due = alarm
            clock.set(max(due, clock.now()))
            await at_work.ticker.ring(shop, due)
            await at_work.settle()
        clock.set(target)
        return True

    return move


async def _open_demo(at_work: Running[Any]) -> None:
    """Fill a shop that has nothing but its owner with the invented one."""
    from assistant.edges.demo import demo_shop

    shop = await at_work.worker.shop(SHOP)
    await at_work.commit(demo_shop(shop, at_work.clock.now()))


async def show_first_code(at_work: Running[Any], write: Write) -> None:
    """While nobody owns the shop by Telegram, show on this machine the code that lets one in."""
    shop: Shop = await at_work.worker.shop(SHOP)
    name = at_work.channel.name
    if any(person.role == "owner" and person.chat.startswith(name) for person in shop.people):
        return
    now = at_work.clock.now()
    code, outcome = new_code(shop, Moment(now=now, ref="first", token=secrets.token_hex()), "owner")
    await at_work.commit(outcome)
    write(
        f"To become the owner of this shop, send your bot this code: {code}\n"
        "It works once. Starting me again shows a new one."
    )


def _time(now: datetime | None, *, pretend: bool) -> tuple[Clock, Ticks]:
    """Return the clock and the alarms of a run: the real ones, or pretended ones."""
    start = local_instant(now.date(), now.time(), Profile().zone) if now else None
    if start is None and not pretend:
        from assistant.edges.apscheduler_ticks import SchedulerTicks

        return SystemClock(), SchedulerTicks()
    return PretendClock(start or SystemClock().now()), PretendTicks()

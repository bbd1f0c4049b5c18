"""When backups are made, beside the messages, and what is told of them. Everyone is invented."""

import asyncio
import functools
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, time, timedelta
from typing import Any

import pytest
from msgspec.structs import replace

from assistant.conversation.messages import BackedUp, File
from assistant.edges.clock import PretendClock
from assistant.flow.keeper import Keeper, next_backup, till_morning
from assistant.flow.messages import BACKUP, IN, OUT
from assistant.flow.sender import Sender
from assistant.flow.ticker import Ticker
from assistant.flow.worker import Worker
from assistant.planning.model import Backup, Shop
from tests import trade
from tests.flow.rig import LIMIT, MONDAY, ROWAN, WREN, Rig

NIGHT = datetime(2027, 1, 12, 3, tzinfo=UTC)  # the first after MONDAY


class PretendArchive:
    """Makes backups of so many bytes, unless there is trouble; `hold` keeps one from its end."""

    def __init__(self) -> None:
        self.size, self.trouble, self.made = 1000, "", list[datetime]()
        self.hold: asyncio.Event | None = None
        self.error: Exception | None = None

    async def write(self, shop: str, now: datetime) -> BackedUp:
        assert shop
        if self.hold is not None:
            await self.hold.wait()
        if self.error is not None:
            raise self.error
        if self.trouble:
            return BackedUp(chat="", at=now, trouble=self.trouble)
        self.made.append(now)
        id = f"backup/{len(self.made)}"
        return BackedUp(chat="", at=now, name="b.zip", file=id, bytes=self.size)

    async def file(self, id: str) -> File | None:
        return File(id, "b.zip", b"all of it") if id.startswith("backup/") else None


class BackupRig(Rig):
    """The assistant with an archive, and a channel that takes 2,000 bytes."""

    def __init__(self, shop: Shop) -> None:
        super().__init__(shop, PretendClock(MONDAY))
        self.archive, self.files = PretendArchive(), list[File | None]()
        named: Any = {self.channel.name: self.channel}
        self.channel.most = 2000  # type: ignore[attr-defined]
        whole = self.channel.send

        async def send(out: Any, file: File | None) -> None:
            self.files.append(file)
            await whole(out, file)

        self.channel.send = send  # type: ignore[method-assign]
        mailbox, shelf, clock = self.mailbox, self.shelf, self.clock
        self.ticker = Ticker(mailbox, shelf, self.ticks, clock, backups=True)
        self.worker = Worker(mailbox, shelf, named, clock, lambda: "token", self.ticker)
        self.sender = Sender(mailbox, shelf, named, self.archive)
        self.keeper = Keeper(mailbox, shelf, named, self.archive, clock)

    async def settle(self) -> None:
        await self.mailbox.idle(IN, BACKUP, OUT)


Story = Callable[[BackupRig], Awaitable[None]]


def story(test: Story) -> Callable[[], None]:
    """Run an async test on a shop in which something was planned."""

    async def whole() -> None:
        made = trade.with_holidays(trade.shop(), MONDAY.date())
        rig = BackupRig(replace(made, backups=(Backup(tried=MONDAY.date()),)))
        async with asyncio.timeout(LIMIT), asyncio.TaskGroup() as tasks:
            runs = (rig.worker.run(), rig.sender.run(), rig.keeper.run())
            at_work = [tasks.create_task(run) for run in runs]
            await rig.ticker.start((rig.id,))
            await rig.say("Idea: lantern walk")
            try:
                await test(rig)
            finally:
                for task in at_work:
                    task.cancel()

    def run() -> None:
        asyncio.run(whole())

    functools.update_wrapper(run, test)
    del run.__wrapped__  # type: ignore[attr-defined]  # its argument is no fixture of pytest's
    return run


@story
async def test_an_owner_is_sent_the_backup_she_asks_for(rig: BackupRig) -> None:
    await rig.say("back up")
    assert rig.told(WREN)[-2].startswith("Making a backup")
    assert rig.told(WREN)[-1].startswith("All of My shop as of Mon 11 Jan, 09:00")
    assert rig.files[-1] == File("backup/1", "b.zip", b"all of it")
    [kept] = rig.shop.backups
    assert (kept.at, kept.bytes, kept.tried) == (MONDAY, 1000, MONDAY.date())
    await rig.say("when was the last backup")
    assert "of Mon 11 Jan, 09:00, 1 KB" in rig.told(WREN)[-1]


@story
async def test_a_helper_gets_none(rig: BackupRig) -> None:
    await rig.say("back up", ROWAN)
    assert "Only an owner can" in rig.told(ROWAN)[-1]
    assert rig.archive.made == []


@story
async def test_a_backup_too_big_for_the_chat_is_told_with_what_to_do(rig: BackupRig) -> None:
    rig.archive.size = 2001
    await rig.say("back up")
    assert "too big to be sent here" in rig.told(WREN)[-1]
    assert "python -m assistant backup --data FOLDER --to FILE" in rig.told(WREN)[-1]
    assert rig.files[-1] is None
    rig.archive.size = 2000
    await rig.say("back up")
    assert rig.files[-1] is not None


@story
async def test_no_message_waits_for_a_backup(rig: BackupRig) -> None:
    rig.archive.hold = asyncio.Event()
    assert await rig.take(rig.incoming("back up"))
    assert await rig.take(rig.incoming("Idea: beeswax wrap"))
    await rig.mailbox.idle(IN, OUT)
    assert "beeswax wrap" in rig.told(WREN)[-1]
    rig.archive.hold.set()
    await rig.settle()
    assert rig.told(WREN)[-1].startswith("All of My shop")


@story
async def test_one_is_made_every_night_and_nobody_hears_of_it(rig: BackupRig) -> None:
    before = len(rig.channel.sent)
    await rig.wait(days=10)
    assert rig.archive.made == [NIGHT + timedelta(days=n) for n in range(10)]
    assert not [out for out in rig.channel.sent[before:] if "backup" in out.reply.text.lower()]
    assert rig.shop.backups[0].at == NIGHT + timedelta(days=9)


@story
async def test_nights_that_nobody_ran_are_made_up_for_once(rig: BackupRig) -> None:
    rig.clock.set(NIGHT + timedelta(days=5, hours=4))  # type: ignore[attr-defined]
    await rig.ticker.start((rig.id,))
    await rig.move(rig.clock.now())
    await rig.wait(minutes=30)
    assert rig.archive.made == [NIGHT + timedelta(days=5, hours=4)]
    await rig.wait(days=1)
    assert len(rig.archive.made) == 2


@story
async def test_a_slow_backup_is_not_asked_for_again(rig: BackupRig) -> None:
    rig.archive.hold = asyncio.Event()
    rig.settle = lambda: rig.mailbox.idle(IN, OUT)  # type: ignore[method-assign]
    await rig.wait(hours=20)
    rings = [at for at in rig.rings if at.hour in (3, 4)]
    assert rings == [NIGHT]
    rig.archive.hold.set()
    del rig.settle
    await rig.settle()
    assert len(rig.archive.made) == 1


@story
async def test_that_it_fails_is_told_once_and_in_the_morning(rig: BackupRig) -> None:
    rig.archive.trouble = "the disk is full"
    told_before = len(rig.channel.sent)
    await rig.move(NIGHT + timedelta(hours=3, minutes=59))
    assert len(rig.channel.sent) == told_before
    await rig.move(NIGHT + timedelta(days=4))
    failed = [out for out in rig.channel.sent if "could not be made" in out.reply.text]
    assert [out.chat for out in failed] == [WREN]
    assert "the disk is full" in failed[0].reply.text
    await rig.say("when was the last backup")
    assert "No backup was made yet" in rig.told(WREN)[-1]
    rig.archive.trouble = ""
    await rig.wait(days=2)
    rig.archive.trouble = "the disk is full"
    await rig.wait(days=2)
    failed = [out for out in rig.channel.sent if "could not be made" in out.reply.text]
    assert len(failed) == 2, "after one that worked, it is told anew"
    assert "The newest is of" in failed[1].reply.text


@story
async def test_a_backup_that_breaks_is_told_after_its_tries(rig: BackupRig) -> None:
    rig.archive.error = ZeroDivisionError()
    await rig.say("back up")
    for _ in range(6):
        await rig.wait(minutes=5)
    assert "something went wrong" in rig.told(WREN)[-1]
    assert len(await rig.mailbox.dead(BACKUP)) == 1


@story
async def test_who_was_sent_away_meanwhile_gets_none(rig: BackupRig) -> None:
    rig.archive.hold = asyncio.Event()
    assert await rig.take(rig.incoming("back up"))
    await rig.mailbox.idle(IN, OUT)
    people = tuple(replace(one, role="helper") for one in rig.shop.people)
    rig.memory.tables["shops"][rig.id] = replace(
        rig.shop, people=people, version=rig.shop.version + 1
    )
    sent = len(rig.channel.sent)
    rig.archive.hold.set()
    await rig.settle()
    assert len(rig.channel.sent) == sent


# --- when -----------------------------------------------------------------------------------


def planned(zone: str = "Europe/London", tried: datetime | None = None, **house: Any) -> Shop:
    made = trade.shop(zone=zone)
    backups = (Backup(tried=tried.date()),) if tried else ()
    entry: Any = object()
    rules = replace(made.house, **house)
    return replace(made, house=rules, backups=backups, recent=(entry,))


@pytest.mark.parametrize(
    ("zone", "now", "due"),
    [
        ("Europe/London", "2027-01-11 09:00", "2027-01-12 03:00"),
        ("Europe/London", "2027-01-12 02:59", "2027-01-12 03:00"),
        ("Europe/London", "2027-06-11 09:00", "2027-06-12 02:00"),
        ("Asia/Tokyo", "2027-01-11 09:00", "2027-01-11 18:00"),
        ("America/New_York", "2027-01-11 09:00", "2027-01-12 08:00"),
        ("nowhere", "2027-01-11 09:00", "2027-01-12 03:00"),
    ],
)
def test_it_is_due_at_the_shops_own_hour(zone: str, now: str, due: str) -> None:
    moment = datetime.fromisoformat(f"{now}+00:00")
    hours = 0 if zone != "Asia/Tokyo" else 9
    yesterday = planned(zone, moment - timedelta(days=1))
    today = planned(zone, moment + timedelta(hours=hours))
    expected = datetime.fromisoformat(f"{due}+00:00")
    chosen = yesterday if expected.date() == moment.date() and zone != "Asia/Tokyo" else today
    assert next_backup(chosen, moment) == expected


def test_a_night_on_which_clocks_jump_over_the_hour_has_one_too() -> None:
    shop = planned("Europe/London", datetime(2027, 3, 27, tzinfo=UTC), backup_at=time(1, 30))
    due = next_backup(shop, datetime(2027, 3, 27, 12, tzinfo=UTC))
    assert due == datetime(2027, 3, 28, 1, tzinfo=UTC)  # 01:00 to 02:00 is left out


def test_the_first_is_due_on_the_day_on_which_something_was_planned() -> None:
    due = next_backup(planned(), MONDAY)
    assert due == datetime(2027, 1, 11, 3, tzinfo=UTC) < MONDAY


def test_none_is_due_where_none_is_wanted_or_nothing_was_planned() -> None:
    assert next_backup(planned(backup_keep=0), MONDAY) is None
    assert next_backup(replace(planned(), recent=()), MONDAY) is None


@pytest.mark.parametrize(
    ("hour", "quiet", "hours"),
    [
        (3, (21, 7), 4.0),
        (22, (21, 7), 9.0),
        (7, (21, 7), 0.0),
        (12, (21, 7), 0.0),
        (3, (1, 5), 2.0),
        (0, (1, 5), 0.0),
        (5, (1, 5), 0.0),
    ],
)
def test_what_failed_at_night_waits_for_the_morning(
    hour: int, quiet: tuple[int, int], hours: float
) -> None:
    shop = planned(quiet_from=time(quiet[0]), quiet_to=time(quiet[1]))
    moment = datetime(2027, 1, 12, hour, tzinfo=UTC)
    assert till_morning(shop, moment) == timedelta(hours=hours)

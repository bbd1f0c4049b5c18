"""Lane "backup": backups are made here, beside the messages, so that none waits for one.

Knows: when the nightly backup of a shop is due, who is to have one. Must not know: what is in a
backup, where it is kept. Invariants: what became of a backup is a job of lane "in", so that it is
noted and told in the one commit of everything else; a night has at most one backup, a night that
nobody ran makes up for it once; that it failed is told in the morning, not at night.
"""

import logging
from collections.abc import Mapping
from datetime import date, datetime, time, timedelta

from msgspec.structs import replace

from assistant.conversation.messages import BackedUp
from assistant.flow.messages import BACKUP, IN, decode_backing, encode, prefix
from assistant.flow.ports import (
    NOW,
    Archive,
    Channel,
    Clock,
    Dead,
    Job,
    Later,
    Mailbox,
    NoRoom,
    Shelf,
    Tx,
)
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Backup, Profile, Shop
from assistant.planning.nudges import local_day
from assistant.scheduling.zones import local_instant, zone

log = logging.getLogger(__name__)

DAY = timedelta(days=1)
NEVER = date.min
NO_ROOM_WAIT = 60.0  # seconds: another try writes the whole backup again
BROKEN = "something went wrong that I do not know of"


class Keeper:
    """Handles lane "backup"."""

    def __init__(
        self,
        mailbox: Mailbox,
        shelf: Shelf,
        channels: Mapping[str, Channel],
        archive: Archive,
        clock: Clock,
    ) -> None:
        self._mailbox = mailbox
        self._shelf = shelf
        self._channels = channels
        self._archive = archive
        self._clock = clock

    async def run(self) -> None:
        """Serve until cancelled."""
        await self._mailbox.serve(BACKUP, self.handle, self.given_up)

    async def handle(self, job: Job) -> None:
        """Make one backup, and let it be told what became of it."""
        chat = decode_backing(job.body).chat
        made = replace(await self._archive.write(job.key, self._clock.now()), chat=chat)
        channel = self._channels.get(prefix(chat))
        if channel is not None and 0 < channel.most < made.bytes:
            made = replace(made, file="", most=channel.most)
        try:
            async with job.settle() as tx:
                await self._tell(tx, job.key, made)
        except NoRoom:
            raise Later(NO_ROOM_WAIT) from None
        log.info("backup: %s", "failed" if made.trouble else f"{made.bytes} bytes")

    async def given_up(self, tx: Tx, dead: Dead) -> None:
        """Let it be told that a backup could not even be tried."""
        chat = decode_backing(dead.body).chat
        await self._tell(tx, dead.key, BackedUp(chat=chat, at=self._clock.now(), trouble=BROKEN))

    async def _tell(self, tx: Tx, shop: str, made: BackedUp) -> None:
        wait = NOW
        if made.trouble and not made.chat:
            wait = till_morning(await self._shelf.load(shop), made.at)
        await self._mailbox.put(tx, IN, shop, encode(made), after=wait)


def next_backup(shop: Shop, now: datetime, asked: date = NEVER) -> datetime | None:
    """Return when the next nightly backup of a shop is due, which may be past: the hour of the
    first local day of which none was tried, or `asked` for. None where nothing was planned yet,
    and where the house wants none."""
    if not shop.house.backup_keep or not shop.recent:
        return None
    last = max((find(shop.backups, Backup().id) or Backup()).tried or NEVER, asked)
    today = local_day(shop, now)
    return _instant(shop, today if last < today else today + DAY, shop.house.backup_at)


def till_morning(shop: Shop, now: datetime) -> timedelta:
    """Return how long the quiet hours last in which nothing is said unasked."""
    house, there = shop.house, zone(profile_of(shop).zone)
    hour, day = now.astimezone(there).time(), local_day(shop, now)
    over_night = house.quiet_from > house.quiet_to
    early, late = hour < house.quiet_to, hour >= house.quiet_from
    if not (early or late if over_night else early and late):
        return NOW
    ends = day + DAY if over_night and late else day
    return max(NOW, _instant(shop, ends, house.quiet_to) - now)


def _instant(shop: Shop, day: date, at: time) -> datetime:
    names = (profile_of(shop).zone, Profile().zone)
    return next(found for name in names if (found := local_instant(day, at, name)))

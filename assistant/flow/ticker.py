"""Ticks: the moments at which a shop's nudges and its nightly backup fall due.

Knows: that a shop has one next due time, worked out anew after every commit. Must not know: what
wakes it. Invariants: a tick carries no news; whether anything is due is decided from the ledger
when the tick is handled, so a late, doubled or missed tick does no harm; whatever the ledger says,
a shop rings at most once a minute.
"""

from datetime import date, datetime, timedelta

from assistant.flow.keeper import NEVER, next_backup
from assistant.flow.messages import BACKUP, IN, Backing, Tick, encode
from assistant.flow.ports import Clock, Mailbox, NoRoom, Shelf, Ticks
from assistant.planning.model import Shop
from assistant.planning.nudges import local_day, next_due

AGAIN = timedelta(minutes=1)  # from one alarm of a shop to the next, at least
REST = timedelta(days=1)  # after a tick that was given up


class Ticker:
    """Keeps every shop's alarm set, and turns an alarm into a job of lane "in", and at night into
    one of lane "backup", too, if `backups` are to be made by themselves."""

    def __init__(
        self,
        mailbox: Mailbox,
        shelf: Shelf,
        ticks: Ticks,
        clock: Clock,
        *,
        backups: bool = False,
    ) -> None:
        self._mailbox = mailbox
        self._shelf = shelf
        self._ticks = ticks
        self._clock = clock
        self._not_before: dict[str, datetime] = {}
        self._backups = backups
        self._backup_at: dict[str, tuple[datetime, date]] = {}  # the next one, and of which day
        self._asked: dict[str, date] = {}  # the day whose backup was put last

    async def start(self, shops: tuple[str, ...]) -> None:
        """Set every shop's alarm; what fell due while nobody ran rings at once."""
        for shop in shops:
            self.planned(await self._shelf.load(shop))

    def planned(self, shop: Shop) -> None:
        """Set the alarm of a shop that has just been saved."""
        now = self._clock.now()
        moments = (next_due(shop, now), self._next_backup(shop, now))
        due = min((moment for moment in moments if moment is not None), default=None)
        if due is not None:
            held = min(self._not_before.get(shop.id, now), now + REST)
            due = max(due, held)
        self._ticks.set(shop.id, due)

    def rest(self, shop: str) -> None:
        """Let a day pass before a shop's next alarm: what it asked for could not be done."""
        self._set_again(shop, REST)

    async def ring(self, shop: str, at: datetime) -> None:
        """Put a tick into lane "in", and a backup that is due into its own."""
        now = self._clock.now()
        self._not_before[shop] = now + AGAIN
        due, day = self._backup_at.get(shop, (None, NEVER))
        backup = due is not None and due <= max(at, now) and self._asked.get(shop, NEVER) < day
        try:
            async with self._mailbox.begin() as tx:
                await self._mailbox.put(tx, IN, shop, encode(Tick(at=at)))
                if backup:
                    once = f"{shop}/{day}"
                    await self._mailbox.put(tx, BACKUP, shop, encode(Backing()), once=once)
        except NoRoom:
            self._set_again(shop, AGAIN)
        else:
            self._asked.update({shop: day} if backup else {})

    def _next_backup(self, shop: Shop, now: datetime) -> datetime | None:
        if not self._backups:
            return None
        due = next_backup(shop, now, self._asked.get(shop.id, NEVER))
        self._backup_at.pop(shop.id, None)
        if due is not None:
            self._backup_at[shop.id] = (due, local_day(shop, due))
        return due

    def _set_again(self, shop: str, wait: timedelta) -> None:
        self._not_before[shop] = self._clock.now() + wait
        self._ticks.set(shop, self._not_before[shop])

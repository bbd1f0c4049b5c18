"""Ticks: the moments at which a shop's nudges fall due.

Knows: that a shop has one next due time, worked out anew after every commit. Must not know: what
wakes it. Invariants: a tick carries no news; whether anything is due is decided from the ledger
when the tick is handled, so a late, doubled or missed tick does no harm; whatever the ledger says,
a shop rings at most once a minute.
"""

from datetime import datetime, timedelta

from assistant.flow.messages import IN, Tick, encode
from assistant.flow.ports import Clock, Mailbox, NoRoom, Shelf, Ticks
from assistant.planning.model import Shop
from assistant.planning.nudges import next_due

AGAIN = timedelta(minutes=1)  # from one alarm of a shop to the next, at least
REST = timedelta(days=1)  # after a tick that was given up


class Ticker:
    """Keeps every shop's alarm set, and turns an alarm into a job of lane "in"."""

    def __init__(self, mailbox: Mailbox, shelf: Shelf, ticks: Ticks, clock: Clock) -> None:
        self._mailbox = mailbox
        self._shelf = shelf
        self._ticks = ticks
        self._clock = clock
        self._not_before: dict[str, datetime] = {}

    async def start(self, shops: tuple[str, ...]) -> None:
        """Set every shop's alarm; what fell due while nobody ran rings at once."""
        for shop in shops:
            self.planned(await self._shelf.load(shop))

    def planned(self, shop: Shop) -> None:
        """Set the alarm of a shop that has just been saved."""
        now = self._clock.now()
        due = next_due(shop, now)
        if due is not None:
            held = min(self._not_before.get(shop.id, now), now + REST)
            due = max(due, held)
        self._ticks.set(shop.id, due)

    def rest(self, shop: str) -> None:
        """Let a day pass before a shop's next alarm: what it asked for could not be done."""
        self._set_again(shop, REST)

    async def ring(self, shop: str, at: datetime) -> None:
        """Put a tick into lane "in"."""
        self._not_before[shop] = self._clock.now() + AGAIN
        try:
            async with self._mailbox.begin() as tx:
                await self._mailbox.put(tx, IN, shop, encode(Tick(at=at)))
        except NoRoom:
            self._set_again(shop, AGAIN)

    def _set_again(self, shop: str, wait: timedelta) -> None:
        self._not_before[shop] = self._clock.now() + wait
        self._ticks.set(shop, self._not_before[shop])

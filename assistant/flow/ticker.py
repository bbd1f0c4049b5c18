"""Ticks: the moments at which a shop's nudges fall due.

Knows: that a shop has one next due time, worked out anew after every commit. Must not know: what
wakes it. Invariant: a tick carries no news; whether anything is due is decided from the ledger
when the tick is handled, so a late, doubled or missed tick does no harm.
"""

from datetime import datetime, timedelta

from assistant.flow.messages import IN, Tick, encode
from assistant.flow.ports import Clock, Mailbox, NoRoom, Shelf, Ticks
from assistant.planning.model import Shop
from assistant.planning.nudges import next_due

AGAIN = timedelta(minutes=1)  # after a tick that could not be kept


class Ticker:
    """Keeps every shop's alarm set, and turns an alarm into a job of lane "in"."""

    def __init__(self, mailbox: Mailbox, shelf: Shelf, ticks: Ticks, clock: Clock) -> None:
        self._mailbox = mailbox
        self._shelf = shelf
        self._ticks = ticks
        self._clock = clock

    async def start(self, shops: tuple[str, ...]) -> None:
        """Set every shop's alarm; what fell due while nobody ran rings at once."""
        for shop in shops:
            self.planned(await self._shelf.load(shop))

    def planned(self, shop: Shop) -> None:
        """Set the alarm of a shop that has just been saved."""
        self._ticks.set(shop.id, next_due(shop, self._clock.now()))

    async def ring(self, shop: str, at: datetime) -> None:
        """Put a tick into lane "in"; the same alarm rings once."""
        try:
            async with self._mailbox.begin() as tx:
                once = f"tick/{shop}/{at.isoformat()}"
                await self._mailbox.put(tx, IN, shop, encode(Tick(at=at)), once=once)
        except NoRoom:
            self._ticks.set(shop, self._clock.now() + AGAIN)

"""The only reader of the time.

Knows: the system's clock, and a pretend one. Invariant: every moment is aware and in UTC.
"""

from datetime import UTC, datetime


class SystemClock:
    """The time of this machine."""

    def now(self) -> datetime:
        """Return the time now, in UTC."""
        return datetime.now(UTC)


class PretendClock:
    """A clock that stands where it was set; it never goes back."""

    def __init__(self, at: datetime) -> None:
        self._at = at.astimezone(UTC)

    def now(self) -> datetime:
        """Return the time it was last set to, in UTC."""
        return self._at

    def set(self, at: datetime) -> bool:
        """Move to `at`; False, and no move, when that lies in the past."""
        at = at.astimezone(UTC)
        if at < self._at:
            return False
        self._at = at
        return True


class PretendTicks:
    """Alarms on a pretend clock: nothing rings by itself, whoever moves the clock asks what is
    next. Implements `flow.ports.Ticks`."""

    def __init__(self) -> None:
        self._next: dict[str, datetime] = {}

    def set(self, shop: str, at: datetime | None) -> None:
        """Set, move or (None) take away the shop's alarm."""
        self._next.pop(shop, None)
        if at is not None:
            self._next[shop] = at

    def take(self, until: datetime) -> tuple[str, datetime] | None:
        """Take the earliest alarm that rings by `until`, as (shop, time); None when none does."""
        shop = min(self._next, key=lambda shop: self._next[shop], default=None)
        if shop is None or self._next[shop] > until:
            return None
        return shop, self._next.pop(shop)

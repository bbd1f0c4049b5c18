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

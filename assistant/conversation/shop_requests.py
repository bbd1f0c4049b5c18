"""What a person can mean about the shop, its suppliers and their calendars, as frozen records.

Knows, must not know, invariants: as in requests.py, through which all of these are known.
"""

from datetime import date, time
from decimal import Decimal

from assistant.planning.model import Closure, Lead, Record


class Close(Record):
    """A party is closed. `supplier` is a name as said (it may be new); "" is the shop."""

    supplier: str
    closure: Closure


class Reopen(Record):
    """Forget the closures of a party that touch `day` (None: all of them)."""

    supplier: str
    day: date | None = None


class ChangeSupplier(Record):
    """Change what is known of a supplier, by name as said (it may be new)."""

    name: str
    new_name: str = ""
    country: str | None = None
    subdivision: str | None = None
    week: str | None = None
    confirm_days: int | None = None
    transit_days: int | None = None
    lead: Lead | None = None
    deposit_percent: Decimal | None = None
    net_days: int | None = None


class ChangeShop(Record):
    """Change the shop's profile. `lengths` are (stage name, days)."""

    name: str | None = None
    currency: str | None = None
    zone: str | None = None
    country: str | None = None
    subdivision: str | None = None
    week: str | None = None
    price: Decimal | None = None
    boxes_per_hour: int | None = None
    crew: int | None = None
    hours_per_day: int | None = None
    lengths: tuple[tuple[str, int], ...] = ()
    room: int | None = None
    items_a_box: int | None = None
    target: Decimal | None = None
    mailer_grams: int | None = None
    mailer_mm: tuple[int, int, int] | None = None


class ChangeMornings(Record):
    """When the speaker gets the morning digest."""

    digest_at: time | None = None
    weekends: bool | None = None
    zone: str | None = None

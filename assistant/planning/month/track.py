"""What suppliers promised and what came: their records.

Knows: purchases, deliveries, the stages of an item. Must not know: chances, boxes as a whole,
words. Invariants: only what is through counts: what is still awaited says nothing yet, however
late; an item that is no longer in the plan has no quote to be measured by, so it does not count; no
day is counted twice.

Where the day of dispatch is not known, all but the quoted transit counts as making. A quote is what
the item's terms are now: one that changed since the order was placed is not remembered.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from decimal import Decimal

from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.deadlines import marks_of
from assistant.planning.model import (
    Almanac,
    Delivery,
    House,
    Item,
    Mark,
    Profile,
    Purchase,
    Record,
    Shop,
    Supplier,
)
from assistant.planning.month.coming import delivery
from assistant.planning.month.lateness import LeadRecord
from assistant.planning.nudges import local_day
from assistant.planning.stages import Track, workings
from assistant.scheduling.backward import Stage, Unit, work_forward
from assistant.scheduling.workdays import Calendar, Roll

DAY = timedelta(days=1)
PACKED = ("pack", "ship")  # stages of a box after which no more is awaited for it


class Came(Record):
    """An item that is all in. `promised` is the day on which it was to arrive as promised first,
    else as quoted when it was ordered; `came` the day on which the last of it came. Of `ordered`
    pieces (None: not known) so many came, `damaged` of them unusable."""

    item: str  # Item.id
    name: str
    supplier: str  # Supplier.id
    promised: date | None
    came: date
    ordered: int | None
    pieces: int
    damaged: int

    @property
    def late(self) -> int | None:
        """Calendar days later than promised, negative when earlier; None without a promise."""
        return None if self.promised is None else (self.came - self.promised).days

    @property
    def short(self) -> int:
        """Pieces that never came."""
        return max(0, (self.ordered or 0) - self.pieces)


class SupplierRecord(Record):
    """What one supplier promised and did. `late`: mean calendar days after the day promised, over
    `dated` deliveries (early ones count below zero); `worst` of them. Pieces over all deliveries;
    `ordered` counts those of which it is known how many were."""

    supplier: str  # Supplier.id
    deliveries: int
    dated: int
    on_time: int
    late: Decimal
    worst: int
    ordered: int
    short: int
    pieces: int
    damaged: int


def records(shop: Shop) -> tuple[LeadRecord, ...]:
    """Return every stretch of making or transit that is through, for chances."""
    return _read(shop)[0]


def came(shop: Shop) -> tuple[Came, ...]:
    """Return every purchase that is all in, by the day on which it was."""
    return _read(shop)[1]


def supplier_record(shop: Shop, supplier: str) -> SupplierRecord | None:
    """Return the record of a supplier (Supplier.id); None while nothing of it is all in."""
    known = [one for one in came(shop) if one.supplier == supplier]
    if not known:
        return None
    days = [one.late for one in known if one.late is not None]
    return SupplierRecord(
        supplier=supplier,
        deliveries=len(known),
        dated=len(days),
        on_time=sum(late <= 0 for late in days),
        late=Decimal(sum(days)) / max(1, len(days)),
        worst=max(days, default=0),
        ordered=sum(one.ordered or 0 for one in known),
        short=sum(one.short for one in known),
        pieces=sum(one.pieces for one in known),
        damaged=sum(one.damaged for one in known),
    )


# --- one purchase ---------------------------------------------------------------------------


def _read(shop: Shop) -> tuple[tuple[LeadRecord, ...], tuple[Came, ...]]:
    return _found(
        shop.house,
        shop.profile,
        shop.suppliers,
        shop.items,
        shop.ledger,
        shop.almanac,
        shop.purchases,
        shop.deliveries,
    )


@cached_by_identity(4)
def _found(
    house: House,
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    items: tuple[Item, ...],
    ledger: tuple[Mark, ...],
    almanac: tuple[Almanac, ...],
    purchases: tuple[Purchase, ...],
    deliveries: tuple[Delivery, ...],
) -> tuple[tuple[LeadRecord, ...], tuple[Came, ...]]:
    shop = Shop("", house, 0, profile, suppliers, (), items, ledger=ledger, almanac=almanac)
    newest = max((day for one in purchases for day in _days(one)), default=date(2000, 1, 1))
    newest = max((newest, *(one.on for one in deliveries)))
    made = workings(house, profile, suppliers, calendars(shop, newest))
    known = {item.id: item for item in items}
    by_item: dict[str, list[Delivery]] = {}
    for part in deliveries:
        by_item.setdefault(part.item, []).append(part)
    stretches: list[LeadRecord] = []
    arrived: list[Came] = []
    for one in purchases:
        item = known.get(one.id)
        if item is not None:
            track = made.item(item)
            through = _through(shop, item, one, by_item.get(one.id, ()), track)
            stretches += _stretches(item, one, track, through)
            if through is not None:
                arrived.append(_came(item, one, by_item.get(one.id, ()), track, through))
    return tuple(stretches), tuple(sorted(arrived, key=lambda one: (one.came, one.item)))


def _days(one: Purchase) -> Iterable[date]:
    return (day for day in (one.ordered, one.dispatched, one.checked) if day is not None)


def _through(
    shop: Shop, item: Item, one: Purchase, parts: Iterable[Delivery], track: Track
) -> date | None:
    """The day on which the last of an item came: that which made the order full, or the last
    before it was found good, said to be in hand, or its box packed."""
    counted, last = 0, None
    for part in sorted(parts, key=lambda part: (part.on, part.id)):
        counted, last = counted + part.pieces, part.on
        if one.quantity and counted >= one.quantity:
            return last
    path, marks = delivery(track), marks_of(shop.ledger)
    mark = marks.get(item.id + path[-1].suffix) if path else None
    if mark is not None and mark.state == "done" and mark.at is not None:
        return last or local_day(shop, mark.at)
    packed = (marks.get(f"{item.box}/{stage}") for stage in PACKED)
    over = one.checked or any(mark is not None and mark.state == "done" for mark in packed)
    return last if over else None


def _came(
    item: Item, one: Purchase, parts: Iterable[Delivery], track: Track, through: date
) -> Came:
    listed = tuple(parts)
    return Came(
        item=item.id,
        name=item.name,
        supplier=item.supplier,
        promised=one.first_promised or one.promised or _as_quoted(one, track),
        came=through,
        ordered=one.quantity,
        pieces=sum(part.pieces for part in listed) if listed else one.quantity or 0,
        damaged=sum(part.damaged for part in listed),
    )


def _as_quoted(one: Purchase, track: Track) -> date | None:
    """The day on which an order was to arrive as quoted; None where no lead time is known."""
    path = delivery(track)
    if one.ordered is None or any("lead time" in ask.missing for ask in path):
        return None
    steps = [track.steps[ask.place] for ask in path[:-1]]
    return work_forward(one.ordered, steps, track.calendars).finish


def _stretches(
    item: Item, one: Purchase, track: Track, through: date | None
) -> Iterable[LeadRecord]:
    """The making and the transit of a purchase, each where it is through."""
    steps = {ask.rule.days_from: track.steps[ask.place] for ask in delivery(track)}
    transit, making = steps.get("transit"), steps.get("making")
    if not item.supplier or transit is None or making is None:
        return
    left = one.dispatched
    if left is None and through is not None:
        left = through - transit.count * DAY
    elif left is not None and through is not None and through >= left:
        yield LeadRecord(item.supplier, "transit", transit.count, (through - left).days, through)
    begun = _begun(one, steps.get("confirming"), track)
    if begun is not None and left is not None and left >= begun[0]:
        known = one.dispatched or through or left
        actual = _between(begun[1], left, making, track.calendars[making.calendar])
        yield LeadRecord(item.supplier, "making", making.count, actual, known)


def _begun(one: Purchase, confirming: Stage | None, track: Track) -> tuple[date, date] | None:
    """The day of an order, and the day on which its making began at the latest."""
    if one.ordered is None or confirming is None:
        return None
    calendar = track.calendars[confirming.calendar]
    begun = calendar.shift(one.ordered, confirming.count, Roll.FOLLOWING)
    return None if begun is None else (one.ordered, begun)


def _between(begun: date, left: date, making: Stage, calendar: Calendar) -> int:
    """The days of a making, as its stage counts them; at least none."""
    if making.unit is Unit.WORKING:
        return max(0, calendar.count(begun, left))
    return max(0, (left - begun).days)

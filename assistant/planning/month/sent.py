"""Boxes that have gone out: when, how many, at what cost, and what came of what was bought.

Knows: the ledger, packing runs, purchases, deliveries, costs. Must not know: what is learnt of it
(lessons.py), words. Invariants: nothing is guessed: a cost that lacks a price is not known; what
was planned stays as it was known when it was first kept, whatever the plan says later; a box
without a word on it is taken to have gone out as planned once that day is long past.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.accounts.costs import box_cost
from assistant.planning.accounts.landed import HUNDRED, PRICE, RATE
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import marks_of, ship_date
from assistant.planning.model import Delivery, Item, Purchase, Put, Record, Sent, Shop
from assistant.planning.month.pace import spells
from assistant.planning.month.track import came
from assistant.planning.nudges import local_day
from assistant.planning.numbers.quantity import MOST_DAMAGE
from assistant.planning.numbers.subscribers import expected
from assistant.planning.shipping import shipped

TENTH = Decimal("0.1")


class Arrival(Record):
    """What came of an item. `late`: calendar days after the day promised, negative when earlier,
    None where one of the two days is not known. `ordered` None: it is not known how many."""

    item: str  # Item.id
    name: str
    promised: date | None = None
    came: date | None = None
    late: int | None = None
    ordered: int | None = None
    pieces: int = 0
    damaged: int = 0

    @property
    def short(self) -> int:
        """Pieces that never came."""
        return max(0, (self.ordered or 0) - self.pieces)


def sent_on(shop: Shop, box_id: str, today: date) -> date | None:
    """Return the day on which a box went out, None while it has not.

    The carrier's collection where one was booked and is past, else the day on which "ship" was
    marked done, else its ship date once that is past by more than 14 days.
    """
    mark = marks_of(shop.ledger).get(f"{box_id}/ship")
    if mark is None or mark.state != "done":
        return shipped(shop, box_id, today)
    marked = local_day(shop, mark.at) if mark.at else ship_date(shop, box_id, today)
    run = find(shop.runs, box_id)
    collected = run.collection if run else None
    day = collected if collected and marked and collected <= marked else marked
    return None if day is None or day > today else day


def sent_boxes(shop: Shop, today: date) -> tuple[str, ...]:
    """Return the boxes of the plan (Box.id) that have gone out, the newest first."""
    gone = (box.id for box in shop.boxes if sent_on(shop, box.id, today) is not None)
    return tuple(sorted(gone, reverse=True))


def sent_of(shop: Shop, box_id: str, today: date) -> Sent | None:
    """Return what a box came to beside what was planned; None while it has not gone out.

    Boxes are those counted when packing, else as expected on its day. Costs are of one box; None
    where nothing was noted as bought, or where a price or rate is not known.
    """
    on = sent_on(shop, box_id, today)
    if on is None:
        return None
    planned_on = ship_date(shop, box_id, today) or on
    then = min(on, planned_on)  # the box was still to ship
    planned_cost, cost = _costs(shop, box_id, then)
    box = find(shop.boxes, box_id)
    fresh = Sent(
        id=box_id,
        on=on,
        boxes=packed(shop, box_id) or expected_boxes(shop, box_id, then),
        theme=box.theme if box else "",
        planned_on=planned_on,
        cost=cost,
        planned_cost=planned_cost,
        hours=hours(shop, box_id),
    )
    kept = find(shop.sent, box_id)
    if kept is None:
        return fresh
    return replace(
        fresh,
        theme=kept.theme,
        planned_on=kept.planned_on,
        planned_cost=planned_cost if kept.planned_cost is None else kept.planned_cost,
        hours=fresh.hours or kept.hours,
    )


def packed(shop: Shop, box_id: str) -> int:
    """Return how many boxes were counted when packing, 0 where none were."""
    run = find(shop.runs, box_id)
    return sum(boxes for _, boxes in run.packed) if run else 0


def expected_boxes(shop: Shop, box_id: str, day: date) -> int:
    """Return how many boxes were expected to go out, as known on a day."""
    return round(expected(_alone(shop, box_id), box_id, day).mean)


def hours(shop: Shop, box_id: str) -> Decimal | None:
    """Return people's hours of packing at the pace that the counts show, None without counts.
    Boxes counted first on a day, of which nobody knows how long they took, are at that pace too."""
    run = find(shop.runs, box_id)
    found = spells(shop, run) if run else ()
    timed, spent = sum(one.boxes for one in found), sum(one.hours for one in found)
    if not timed or not spent:
        return None
    return Decimal(str(spent * packed(shop, box_id) / timed)).quantize(TENTH)


# --- costs ----------------------------------------------------------------------------------


def _costs(shop: Shop, box_id: str, day: date) -> tuple[Decimal | None, Decimal | None]:
    """What one box was planned to cost, and what it came to by what was bought and came."""
    shop = _alone(shop, box_id)
    bought = [new for item in shop.items if (new := _as_bought(shop, item)) != item]
    planned = _known_cost(shop, box_id, day)
    if not bought:
        return planned, None
    return planned, _known_cost(apply(shop, map(Put, bought)), box_id, day)


def _alone(shop: Shop, box_id: str) -> Shop:
    """The shop with one box only: nothing of what a box costs or who gets it hangs on another."""
    boxes = tuple(box for box in shop.boxes if box.id == box_id)
    items = tuple(item for item in shop.items if item.box == box_id)
    return replace(shop, boxes=boxes, items=items)


def _known_cost(shop: Shop, box_id: str, day: date) -> Decimal | None:
    found = box_cost(shop, box_id, day)
    lacks = any(code in (PRICE, RATE) for code, _ in found.unknown)
    return None if lacks or not found.items else found.cost


def _as_bought(shop: Shop, item: Item) -> Item:
    """An item with the price and the number at which it was bought, and as much damage as came."""
    bought = find(shop.purchases, item.id)
    if bought is not None and bought.price is not None:
        item = replace(item, unit_cost=bought.price, currency=bought.currency, breaks=())
    if bought is not None and bought.quantity is not None:
        item = replace(item, quantity=bought.quantity)
    parts = [one for one in shop.deliveries if one.item == item.id]
    pieces = sum(one.pieces for one in parts)
    if pieces:
        broken = HUNDRED * sum(one.damaged for one in parts) / pieces
        item = replace(item, damage=min(broken, MOST_DAMAGE))
    return item


# --- what came ------------------------------------------------------------------------------


def arrivals(shop: Shop, box_id: str) -> tuple[Arrival, ...]:
    """Return what came of the items of a box that were bought, or of which anything came."""
    through = {one.item: one for one in came(shop)}
    bought = {one.id: one for one in shop.purchases}
    found = []
    for item in (one for one in shop.items if one.box == box_id):
        parts = [one for one in shop.deliveries if one.item == item.id]
        known = through.get(item.id)
        if known is not None:
            found.append(
                Arrival(
                    item.id,
                    item.name,
                    known.promised,
                    known.came,
                    known.late,
                    known.ordered,
                    known.pieces,
                    known.damaged,
                )
            )
        elif parts:
            found.append(_in_part(item, bought.get(item.id), parts))
    return tuple(found)


def _in_part(item: Item, one: Purchase | None, parts: Iterable[Delivery]) -> Arrival:
    """What came of an item that was never said to be complete."""
    listed = sorted(parts, key=lambda part: part.on)
    promised = (one.first_promised or one.promised) if one else None
    last = listed[-1].on
    return Arrival(
        item.id,
        item.name,
        promised,
        last,
        (last - promised).days if promised else None,
        (one.quantity if one else None) or item.quantity,
        sum(part.pieces for part in listed),
        sum(part.damaged for part in listed),
    )

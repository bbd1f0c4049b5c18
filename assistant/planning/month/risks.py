"""Boxes that cannot ship complete on their day, as early as the numbers show it.

Knows: what is expected of each item, what came of it, whether packing fits. Must not know: what can
be done about it (rescue.py), words. Invariants: a box is at risk when an item of it will be in hand
after its in-hand date or never, when fewer good pieces than boxes are to be had of one that is
bought, or when its packing does not fit its days; a box that shipped, or whose day is past, is not;
the same plan and day give the same answer.
"""

from datetime import date, timedelta
from typing import Literal

from msgspec.structs import replace

from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.chains import Outlook, outlook, outlooks
from assistant.planning.changes import find
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Item, Record, Shop
from assistant.planning.month.packing import packing
from assistant.planning.numbers.subscribers import expected as expected_boxes
from assistant.planning.shipping import is_ordered, shipped
from assistant.scheduling.backward import float_days
from assistant.scheduling.workdays import Roll

How = Literal["late", "never", "short"]
SOON = timedelta(days=45)  # beyond which there is time to pack whatever is to be packed


class Risk(Record):
    """An item for which its box cannot ship complete.

    "late": it is expected in hand on `expected`, `float` (below zero) of the shop's working days
    before `latest`; "never": its supplier never works again; "short": `lacks` good pieces fewer
    than the box needs are in hand or bought.
    """

    item: str  # Item.id
    box: str
    name: str
    how: How
    expected: date | None = None
    latest: date | None = None
    float: int | None = None
    lacks: int = 0


class AtRisk(Record):
    """A box that cannot ship complete on its day: its items, the worst first; where it is not for
    them, `unpacked` says that its packing does not fit, however early it begins."""

    box: str
    ship: date
    risks: tuple[Risk, ...] = ()
    unpacked: bool = False


@cached_by_identity(4)
def at_risk(shop: Shop, today: date) -> tuple[AtRisk, ...]:
    """Return the boxes that cannot ship complete on their day, by that day."""
    each = (box_at_risk(shop, box.id, today) for box in shop.boxes)
    return tuple(sorted(filter(None, each), key=lambda one: (one.ship, one.box)))


@cached_by_identity(4)
def box_at_risk(shop: Shop, box_id: str, today: date) -> AtRisk | None:
    """Return why a box of the plan cannot ship complete on its day, None where it can."""
    ship = ship_date(shop, box_id, today)
    if ship is None or ship < today or shipped(shop, box_id, today):
        return None
    risks = risks_of(shop, box_id, today)
    if not risks and not _cannot_be_packed(shop, box_id, ship, today):
        return None
    return AtRisk(box_id, ship, risks, unpacked=not risks)


def _cannot_be_packed(shop: Shop, box_id: str, ship: date, today: date) -> bool:
    """Whether a box that ships soon cannot be packed in time, however early its packing begins."""
    if ship - today > SOON:
        return False
    found = packing(shop, box_id, today)
    if found.fits or not found.left:
        return False
    return found.latest is None or found.latest < _all_there(shop, box_id, today)


def _all_there(shop: Shop, box_id: str, today: date) -> date:
    """The first day on which a box can be packed whose items are all in time."""
    awaited = [
        _as_promised(shop, item, one, today).expected
        for one in outlooks(shop, box_id, today)
        if not one.in_hand
        and (item := find(shop.items, one.item))
        and not _enough_came(shop, item, today)
    ]
    last = max((on for on in awaited if on), default=None)
    return (calendars(shop, today).shop.shift(last, 1) if last else today) or date.max


@cached_by_identity(32)
def risks_of(shop: Shop, box_id: str, today: date) -> tuple[Risk, ...]:
    """Return the items for which a box cannot ship complete, the worst first."""
    items = {item.id: item for item in shop.items if item.box == box_id}
    found = (_risk(shop, items[one.item], one, today) for one in outlooks(shop, box_id, today))
    return tuple(sorted(filter(None, found), key=_worst))


def risk_of(shop: Shop, item: Item, today: date) -> Risk | None:
    """Return why an item's box cannot ship complete for it; None where it can."""
    return next((one for one in risks_of(shop, item.box, today) if one.item == item.id), None)


def _worst(risk: Risk) -> tuple[bool, int, str]:
    """What never comes before what comes late, before what is short."""
    return risk.how != "never", risk.float if risk.float is not None else 0, risk.name


def _risk(shop: Shop, item: Item, found: Outlook, today: date) -> Risk | None:
    if not found.in_hand and not _enough_came(shop, item, today):
        seen = _as_promised(shop, item, found, today)
        args, lacks = (item.id, item.box, item.name), lacking(shop, item, today)
        if seen.expected is None:
            return Risk(*args, "never", None, seen.latest, None, lacks)
        if seen.float is not None and seen.float < 0:
            return Risk(*args, "late", seen.expected, seen.latest, seen.float, lacks)
    lacks = lacking(shop, item, today, coming=not found.in_hand)
    if not lacks:
        return None
    return Risk(item.id, item.box, item.name, "short", None, found.latest, None, lacks)


def lacking(shop: Shop, item: Item, today: date, *, coming: bool = False) -> int:
    """Return how many good pieces fewer than its box needs are there of an item that is bought, or
    will be with what is still to come of it (`coming`). What is not known to lack is 0."""
    bought = find(shop.purchases, item.id)
    came = [one for one in shop.deliveries if one.item == item.id]
    ordered = bought.quantity if bought and bought.quantity is not None else item.quantity
    if coming and (ordered is None or not (came or is_ordered(shop, item, today))):
        return 0
    pieces = sum(one.pieces for one in came)
    there = max(pieces, ordered or 0) if coming else pieces
    if not there:
        return 0
    wanted = wanted_pieces(shop, item, today)
    return max(wanted - there + sum(one.damaged for one in came), 0)


def wanted_pieces(shop: Shop, item: Item, today: date) -> int:
    """Return how many pieces of an item go into the boxes that are expected, less what is on
    hand; no spares."""
    mean = round(expected_boxes(shop, item.box, today).mean)
    return max(mean * item.units - (item.stock or 0), 0)


def _enough_came(shop: Shop, item: Item, today: date) -> bool:
    came = any(one.item == item.id for one in shop.deliveries)
    return came and not lacking(shop, item, today)


def seen(shop: Shop, item: Item, today: date) -> Outlook | None:
    """Return what is expected of an item, with quicker carriage as it was agreed; None where its
    box has no ship date."""
    found = outlook(shop, item, today)
    return None if found is None else _as_promised(shop, item, found, today)


def _as_promised(shop: Shop, item: Item, found: Outlook, today: date) -> Outlook:
    """Quicker carriage that was agreed before an item is ordered holds as long as the item can
    leave in time for it if it is ordered today."""
    bought = find(shop.purchases, item.id)
    if bought is None or bought.promised is None or is_ordered(shop, item, today):
        return found
    quickest, own = carried(shop, item, 1, today), calendars(shop, today).shop
    if quickest is None or quickest.expected is None or quickest.expected > bought.promised:
        return found
    on = own.roll(bought.promised, Roll.FOLLOWING)
    if on is None:
        return found
    return replace(found, expected=on, float=float_days(own, on, found.latest))


def carried(shop: Shop, item: Item, days: int, today: date) -> Outlook | None:
    """Return what is expected of an item if its carriage took so many calendar days; None where
    it has no supplier or no dates."""
    supplier = find(shop.suppliers, item.supplier)
    if supplier is None:
        return None
    quick = replace(supplier, transit_days=days)
    others = tuple(quick if one is supplier else one for one in shop.suppliers)
    boxes = tuple(box for box in shop.boxes if box.id == item.box)
    return outlook(replace(shop, suppliers=others, boxes=boxes, items=(item,)), item, today)

"""One way out for an item that will be late, and how a way is tried.

Knows: the plan, what is at risk (risks.py). Must not know: which ways there are (ways_out.py,
instead.py), which is best (rescue.py), words. Invariants: a way is told only where, with its
changes made, neither the item it helps nor any other of the boxes that it touches is at risk that
was not before; nothing here changes a plan.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any, Literal, NamedTuple

from msgspec.structs import replace

from assistant.planning.calendars import cached_by_identity
from assistant.planning.chains import Outlook
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import deadline, ship_date
from assistant.planning.model import Box, Change, Item, Put, Record, Shop
from assistant.planning.month.risks import Risk, risk_of, risks_of, seen
from assistant.planning.shipping import is_ordered, shipped
from assistant.planning.year.rearranging import Effect
from assistant.planning.year.recurring import plain

How = Literal["wait", "faster", "split", "twice", "swap", "move", "later", "offer", "idea", "part"]


class Way(Record):
    """One way out for an item.

    `other` is the id of what it needs: a box ("swap", "move"), an item ("later"), an offer
    ("offer", "part"), an idea; `name` what that is called. `ship` is the day on which the box goes
    out, `was` the one that it was to go; "twice": `sent` is the day of the second parcel. `in_hand`
    is the day by which all that the box then holds is expected. `days` are those that it waits
    (working) or that carriage is quicker (calendar), `pieces` those that are needed first, bought
    or sent on their own. `whole`: the box goes out complete on its day. `missing` names what is not
    known of what is taken. `meets` is the box whose packing has begun by a later ship day.
    `changes` are those of the plan and its ledger.

    `cost` is what it costs more in all, in the shop's currency, None where that is not known;
    `at_most` what faster carriage may cost to be no dearer than the next way. `effect` is what it
    does to the plan, `change` how much that is: items that move, come or go, order-by dates that
    move, what becomes late.
    """

    how: How
    item: str
    ship: date
    was: date
    other: str = ""
    box: str = ""  # of `other`, where that is an item
    name: str = ""
    in_hand: date | None = None
    sent: date | None = None
    due: date | None = None  # by which it must leave, or be ordered
    days: int = 0
    pieces: int = 0
    whole: bool = True
    missing: tuple[str, ...] = ()
    meets: str = ""
    changes: tuple[Change, ...] = ()
    cost: Decimal | None = None
    at_most: Decimal | None = None
    effect: Effect = Effect()
    change: int = 0


class Case(NamedTuple):
    """An item that is to be helped: `risk` is why (None: it is not late), `seen` what is expected
    of it. Ids of new records are `<ref>.1` and on."""

    shop: Shop
    item: Item
    box: Box
    ship: date
    seen: Outlook
    risk: Risk | None
    today: date
    ref: str

    @property
    def bought(self) -> bool:
        """Whether its order is placed."""
        return is_ordered(self.shop, self.item, self.today)

    @property
    def came(self) -> bool:
        """Whether any of it came."""
        return any(one.item == self.item.id for one in self.shop.deliveries)

    def holds(self, box: str, name: str) -> bool:
        """Whether a box holds something else of a name."""
        return any(
            one.box == box and one.id != self.item.id and plain(one.name) == plain(name)
            for one in self.shop.items
        )

    def is_done(self, stage: str) -> bool:
        """Whether a stage of the item is done or not needed, or has no date any more."""
        found = deadline(self.shop, f"{self.item.id}/{stage}", self.today)
        return found is None or found.state != "open"

    def way(self, how: How, changes: Iterable[Change], **told: Any) -> Way | None:
        """The way of making these changes; None where something would still be at risk, or would
        be that was not before."""
        whole = tuple(changes)
        boxes = boxes_of(self, whole)
        after = parts(made(self.shop, whole), *boxes)
        was = {risk.item for box in boxes for risk in risks_of(self.shop, box, self.today)}
        still = (
            risk.item
            for box in boxes
            for risk in risks_of(after, box, self.today)
            if risk.item == self.item.id or risk.item not in was
        )
        if next(still, None) is not None:
            return None
        way = Way(how, self.item.id, ship=self.ship, was=self.ship, changes=whole)
        return replace(way, **told)


@cached_by_identity(32)
def made(shop: Shop, changes: tuple[Change, ...]) -> Shop:
    """Return the shop with changes made."""
    return apply(shop, changes)


@cached_by_identity(32)
def parts(shop: Shop, *boxes: str) -> Shop:
    """Return the shop with these boxes alone: what is worked out of one box needs no other."""
    inside = tuple(item for item in shop.items if item.box in boxes)
    return replace(shop, boxes=tuple(b for b in shop.boxes if b.id in boxes), items=inside)


def boxes_of(case: Case, changes: Iterable[Change]) -> tuple[str, ...]:
    """Return the boxes (ids) that changes touch, the item's own among them."""
    return tuple(sorted({case.item.box, *filter(None, map(_box_of, changes))}))


def _box_of(change: Change) -> str:
    """The box that a change touches, "" for none."""
    record = change.record if isinstance(change, Put) else None
    return record.box if isinstance(record, Item) else record.id if isinstance(record, Box) else ""


def case_of(shop: Shop, item_id: str, today: date, ref: str) -> Case | None:
    """Return the case of an item; None of one that is not there, has no dates, or whose box has
    shipped or its day is past."""
    item = find(shop.items, item_id)
    ship = ship_date(shop, item.box, today) if item else None
    if item is None or ship is None or ship < today or shipped(shop, item.box, today):
        return None
    expected = seen(shop, item, today)
    if expected is None:
        return None
    box = find(shop.boxes, item.box) or Box(item.box)
    return Case(shop, item, box, ship, expected, risk_of(shop, item, today), today, ref)

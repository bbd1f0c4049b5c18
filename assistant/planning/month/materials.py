"""Packing materials against the boxes that are to be packed with them.

Knows: what a box takes of each, what was counted and what was packed since. Must not know: words,
prices, suppliers. Invariants: of a material that was never counted nothing is said to be short;
boxes are packed in the order in which they ship, and the first takes first.

No lead time is known of materials: the day by which they are needed is the first pack day of the
box that runs short.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import ROUND_CEILING, Decimal

from assistant.planning.deadlines import ship_date
from assistant.planning.model import Material, Record, Run, Shop
from assistant.planning.month.packing import Packing, packing
from assistant.planning.shipping import shipped

SPOKEN_OF = 6  # boxes to come that materials are reckoned for


class Use(Record):
    """What one box takes of a material: `need` pieces for those still to be packed, `short` of them
    not there, `by` its first pack day."""

    box: str
    need: Decimal
    short: Decimal
    by: date | None


class Supply(Record):
    """One material: `left` of what was counted (None: never counted), the boxes to come that it is
    needed for, and how many whole boxes it still lasts."""

    material: Material
    left: Decimal | None
    uses: tuple[Use, ...] = ()
    lasts: int | None = None

    @property
    def short(self) -> Use | None:
        """The first box for which there is not enough."""
        return next((use for use in self.uses if use.short > 0), None)


def supplies(shop: Shop, today: date) -> tuple[Supply, ...]:
    """Return every material against the next boxes, those that run short first."""
    if not shop.materials:
        return ()
    runs = coming(shop, today)
    found = [_supply(one, shop.runs, runs) for one in shop.materials]
    return tuple(sorted(found, key=_urgency))


def coming(shop: Shop, today: date) -> tuple[Packing, ...]:
    """Return the packing of the next boxes of the plan that are not yet packed, the first first."""
    ahead = [
        (on, box.id)
        for box in shop.boxes
        if (on := ship_date(shop, box.id, today)) and not shipped(shop, box.id, today)
    ]
    found = (packing(shop, id, today) for _, id in sorted(ahead)[:SPOKEN_OF])
    return tuple(one for one in found if one.left)


def left_of(material: Material, runs: Iterable[Run]) -> Decimal | None:
    """Return how much of a material is left: as counted, less what was packed since."""
    if material.stock is None:
        return None
    since = material.counted
    packed = sum(n for run in runs for at, n in run.packed if since is None or at > since)
    return max(material.stock - material.per_box * packed, Decimal(0))


def _supply(material: Material, runs: Sequence[Run], boxes: Iterable[Packing]) -> Supply:
    left = left_of(material, runs)
    there, uses = left, list[Use]()
    for one in boxes:
        need = material.per_box * one.left
        lacks = Decimal(0) if there is None else max(need - there, Decimal(0))
        there = None if there is None else max(there - need, Decimal(0))
        uses.append(Use(one.box, need, _whole(lacks), one.first))
    lasts = None if left is None or not material.per_box else int(left / material.per_box)
    return Supply(material, left, tuple(uses), lasts)


def _whole(pieces: Decimal) -> Decimal:
    """What has to be bought: whole pieces."""
    return pieces.to_integral_value(ROUND_CEILING)


def _urgency(one: Supply) -> tuple[bool, date, str]:
    short = one.short
    return short is None, (short.by if short and short.by else date.max), one.material.name

"""The chance that what a box holds is in hand when packing begins, and when to order for it.

Knows: what is to come into each box (coming.py). Must not know: stages, calendars, words, money.
Invariants: items of one supplier are late together, those of different suppliers are not; a date
is never before today.
"""

from collections.abc import Iterable
from datetime import date

from assistant.planning.deadlines import deadline
from assistant.planning.model import Item, Record, Shop
from assistant.planning.month.coming import Coming, Promise, Prospects, State
from assistant.planning.month.lateness import Assumed, LeadRecord, usual
from assistant.scheduling.arrival import Curve, last_days
from assistant.scheduling.together import Choice, all_come, share_out, weakest

_ROUNDING = 1e-9  # of a chance
PACK = "pack"  # the stage by which all of a box must be in hand


class ItemChance(Record):
    """The chance that one item is in hand by `latest`, its in-hand date; chances are 0..1.

    `chance`: as things stand; of what is to be ordered, if it is ordered by `order_by`, its share
    in the box's confidence. `today`: if it is ordered today. `planned` is its order-by date as
    quoted, with `planned_chance`. `missing`: see deadlines.Deadline. `deliveries`: how many of its
    supplier's the chance rests on; 0 is its quote alone, and what others of its kind did.
    """

    item: str  # Item.id
    name: str
    supplier: str  # Supplier.id
    state: State
    latest: date
    chance: float
    today: float
    order_by: date | None = None
    planned: date | None = None
    planned_chance: float | None = None
    missing: tuple[str, ...] = ()
    deliveries: int = 0


class BoxChance(Record):
    """The chance that all of a box is in hand by `pack`, its first pack day; chances are 0..1.

    `chance`: if all that is to be ordered is ordered by its `order_by`; `today`: if it is ordered
    today, the most that can be had; `planned`: if it is ordered by the dates that follow from
    quotes. Where `reached` is false the confidence is out of reach: then the dates keep that
    fraction of what can be had. `weak` is the item (Item.id) whose certain arrival would lift the
    box's chance most, to `lifted`; "" when all is certain.
    """

    box: str  # Box.id
    pack: date
    confidence: float
    chance: float
    today: float
    planned: float
    reached: bool
    weak: str
    lifted: float
    items: tuple[ItemChance, ...]


def box_chance(
    shop: Shop,
    box_id: str,
    today: date,
    records: tuple[LeadRecord, ...] = (),
    *,
    promises: tuple[Promise, ...] = (),
    confidence: float | None = None,
    assumed: Assumed | None = None,
) -> BoxChance | None:
    """Return the chance of a box; None where it has no pack day, or has been shipped.

    `confidence` (0..1; None: the house's) is for the whole box. `records` are what is known of past
    deliveries (track.py), `promises` of those to come; `assumed` None is what the house assumes.
    """
    pack = deadline(shop, f"{box_id}/{PACK}", today)
    if pack is None:
        return None
    assumed = assumed or usual(shop.house.chance)
    prospects = Prospects(shop, today, records, promises, assumed)
    coming = [prospects.of(item) for item in shop.items if item.box == box_id]
    return _Box(coming, today, assumed.correlation).told(box_id, pack.on, _level(shop, confidence))


def chances(
    shop: Shop,
    today: date,
    records: tuple[LeadRecord, ...] = (),
    *,
    promises: tuple[Promise, ...] = (),
    confidence: float | None = None,
    assumed: Assumed | None = None,
) -> tuple[BoxChance, ...]:
    """Return the chance of every box still to ship, in the plan's order; see `box_chance`."""
    assumed, level = assumed or usual(shop.house.chance), _level(shop, confidence)
    prospects = Prospects(shop, today, records, promises, assumed)
    contents: dict[str, list[Item]] = {box.id: [] for box in shop.boxes}
    for item in shop.items:
        contents.setdefault(item.box, []).append(item)
    found = []
    for box_id, inside in contents.items():
        if (pack := deadline(shop, f"{box_id}/{PACK}", today)) is not None:
            box = _Box(map(prospects.of, inside), today, assumed.correlation)
            found.append(box.told(box_id, pack.on, level))
    return tuple(found)


def item_curve(
    shop: Shop,
    item: Item,
    today: date,
    records: tuple[LeadRecord, ...] = (),
    *,
    assumed: Assumed | None = None,
) -> Curve | None:
    """Return the chance of an item for every order date; None where it has no in-hand date."""
    return Prospects(shop, today, records, (), assumed or usual(shop.house.chance)).curve(item)


def _level(shop: Shop, confidence: float | None) -> float:
    return shop.house.chance.confidence / 100 if confidence is None else confidence


class _Box:
    """What is to come into one box."""

    def __init__(self, coming: Iterable[Coming | None], today: date, correlation: float) -> None:
        self._coming = [one for one in coming if one is not None]
        self._today, self._correlation = today, correlation

    def told(self, box_id: str, pack: date, confidence: float) -> BoxChance:
        """All that is told of the box."""
        dates, coming = self._order_dates(confidence), self._coming
        today = self._together([one.if_ordered(self._today) for one in coming])
        planned = [one.if_ordered(self._not_past(one.planned)) for one in coming]
        each = [one.if_ordered(on) for one, on in zip(coming, dates, strict=True)]
        groups = [one.group for one in coming]
        weak = weakest(list(zip(groups, each, strict=True)), self._correlation)
        return BoxChance(
            box=box_id,
            pack=pack,
            confidence=confidence,
            chance=self._together(each),
            today=today,
            planned=self._together(planned),
            reached=today >= confidence - _ROUNDING,
            weak="" if weak is None else coming[weak[0]].item.id,
            lifted=1.0 if weak is None else weak[1],
            items=tuple(map(self._item, coming, dates)),
        )

    def _item(self, one: Coming, order_on: date) -> ItemChance:
        to_order = one.curve is not None
        return ItemChance(
            item=one.item.id,
            name=one.item.name,
            supplier=one.item.supplier,
            state=one.state,
            latest=one.latest,
            chance=one.if_ordered(order_on),
            today=one.if_ordered(self._today),
            order_by=order_on if to_order else None,
            planned=one.planned,
            planned_chance=one.if_ordered(self._not_past(one.planned)) if to_order else None,
            missing=one.missing,
            deliveries=one.deliveries,
        )

    def _order_dates(self, confidence: float) -> list[date]:
        """The day on which each item is to be ordered; of what is ordered, today.

        What can no longer come in time is to be ordered today, and the rest by dates as though that
        had been left out. Where the confidence is out of reach, the dates keep that fraction of
        what can be had.
        """
        choices = list(map(self._choice, self._coming))
        hopeful = [n for n, choice in enumerate(choices) if choice.chances[-1] > 0]
        best = self._together(
            [choice.chances[-1] if choice.chances[-1] > 0 else 1.0 for choice in choices]
        )
        picks = share_out(
            [choices[n] for n in hopeful],
            confidence if best >= confidence else confidence * best,
            self._correlation,
        )
        found = [self._today] * len(choices)
        for n, pick in zip(hopeful, picks, strict=True):
            found[n] = date.fromordinal(choices[n].days[pick])
        return found

    def _choice(self, one: Coming) -> Choice:
        if one.curve is None:
            return Choice(one.group, (self._today.toordinal(),), (one.chance,))
        return Choice(one.group, *last_days(one.curve, self._today))

    def _not_past(self, day: date | None) -> date:
        return self._today if day is None else max(day, self._today)

    def _together(self, each: Iterable[float]) -> float:
        """The chance that all come, of each one's."""
        groups: dict[str, list[float]] = {}
        for one, chance in zip(self._coming, each, strict=True):
            groups.setdefault(one.group, []).append(chance)
        return all_come(groups.values(), self._correlation)

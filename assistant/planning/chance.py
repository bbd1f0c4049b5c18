"""The chance that what a box holds is in hand when packing begins, and when to order for it.

Knows: items, their stages and what is done of them, how late suppliers are. Must not know: words,
money. Invariants: the day of need is the in-hand date of deadlines.py, on the same stages and
calendars, so that quotes that always hold give its order-by dates; what is in hand is certain;
items of one supplier are late together, those of different suppliers are not.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from typing import Literal, NamedTuple

from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import Deadline, by_key, deadlines, marks_of
from assistant.planning.lateness import USUAL, Assumed, LeadRecord, Part, Records
from assistant.planning.model import Item, Record, Shop
from assistant.planning.nudges import local_day
from assistant.planning.stages import ANCHOR, Ask, Track, workings
from assistant.scheduling.arrival import Curve, Leg, curve, last_days
from assistant.scheduling.backward import Unit
from assistant.scheduling.lead_times import Days, sure
from assistant.scheduling.together import Choice, all_come, share_out, weakest

CONFIDENCE = 0.9  # that all of a box is in hand, where none is named
DAY = timedelta(days=1)
_CERTAIN = 1 - 1e-9

State = Literal["to order", "under way", "in hand"]


class Promise(Record):
    """What a supplier said on a day (`said`) of when an ordered item will be in hand (`on`)."""

    item: str  # Item.id
    on: date
    said: date


class ItemChance(Record):
    """The chance that one item is in hand by `latest`, its in-hand date; chances are 0..1.

    `chance`: as things stand; of what is to be ordered, if it is ordered by `order_by`, its share
    in the box's confidence. `today`: if it is ordered today. `planned` is its order-by date as
    quoted, with `planned_chance`. `missing`: see deadlines.Deadline.
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
    confidence: float = CONFIDENCE,
    assumed: Assumed = USUAL,
) -> BoxChance | None:
    """Return the chance of a box; None where it has no pack day, or has been shipped."""
    inside = [item for item in shop.items if item.box == box_id]
    return _Plan(shop, today, records, promises, assumed).box(box_id, inside, confidence)


def chances(
    shop: Shop,
    today: date,
    records: tuple[LeadRecord, ...] = (),
    *,
    promises: tuple[Promise, ...] = (),
    confidence: float = CONFIDENCE,
    assumed: Assumed = USUAL,
) -> tuple[BoxChance, ...]:
    """Return the chance of every box still to ship, in the plan's order."""
    plan = _Plan(shop, today, records, promises, assumed)
    contents: dict[str, list[Item]] = {box.id: [] for box in shop.boxes}
    for item in shop.items:
        contents.setdefault(item.box, []).append(item)
    found = (plan.box(box_id, inside, confidence) for box_id, inside in contents.items())
    return tuple(one for one in found if one is not None)


def item_curve(
    shop: Shop,
    item: Item,
    today: date,
    records: tuple[LeadRecord, ...] = (),
    *,
    assumed: Assumed = USUAL,
) -> Curve | None:
    """Return the chance of an item for every order date; None where it has no in-hand date."""
    return _Plan(shop, today, records, (), assumed).curve(item)


class _Coming(NamedTuple):
    """An item on its way into a box: of what is to be ordered the curve, of the rest the chance."""

    item: Item
    state: State
    latest: date
    planned: date | None
    curve: Curve | None
    chance: float
    missing: tuple[str, ...]

    @property
    def group(self) -> str:
        """What it is late together with: all of its supplier."""
        return self.item.supplier or f"/{self.item.id}"

    def if_ordered(self, on: date) -> float:
        """Its chance if it is ordered on a day, unless it is ordered already."""
        return self.chance if self.curve is None else self.curve.chance(on)


class _Plan:
    """A shop's stages, what is done of them, and how late its suppliers are."""

    def __init__(
        self,
        shop: Shop,
        today: date,
        records: Iterable[LeadRecord],
        promises: Iterable[Promise],
        assumed: Assumed,
    ) -> None:
        self._shop, self._today, self._assumed = shop, today, assumed
        self._home = profile_of(shop).country
        self._made = workings(shop.house, shop.profile, shop.suppliers, calendars(shop, today))
        self._known = by_key(deadlines(shop, today))
        self._marks = marks_of(shop.ledger)
        self._promises = {promise.item: promise for promise in promises}
        self._countries = {supplier.id: supplier.country for supplier in shop.suppliers}
        away = (id for id, country in self._countries.items() if country not in ("", self._home))
        self._records = Records(records, today, away, assumed)

    def box(self, box_id: str, inside: Iterable[Item], confidence: float) -> BoxChance | None:
        """The chance of one box with what is inside."""
        pack = self._known.get(f"{box_id}/{self._need()}")
        if pack is None:
            return None
        coming = [one for item in inside if (one := self._coming(item)) is not None]
        best = self._all(coming, [one.if_ordered(self._today) for one in coming])
        order_on = self._order_dates(coming, confidence)
        by_share = [one.if_ordered(on) for one, on in zip(coming, order_on, strict=True)]
        planned = [one.if_ordered(self._not_past(one.planned)) for one in coming]
        weak = weakest(
            [(one.group, chance) for one, chance in zip(coming, by_share, strict=True)],
            self._assumed.correlation,
        )
        return BoxChance(
            box=box_id,
            pack=pack.on,
            confidence=confidence,
            chance=self._all(coming, by_share),
            today=best,
            planned=self._all(coming, planned),
            reached=best >= confidence - 1e-9,
            weak="" if weak is None else coming[weak[0]].item.id,
            lifted=1.0 if weak is None else weak[1],
            items=tuple(map(self._told, coming, order_on)),
        )

    def curve(self, item: Item) -> Curve | None:
        """The curve of an item from its order."""
        track = self._made.item(item)
        path = delivery(track)
        stock = self._known.get(item.id + path[-1].suffix) if path else None
        return None if stock is None else self._curve(item, track, stock.on, 0)

    def _need(self) -> str:
        """The stage of the box by which its items are needed: what their delivery hangs on."""
        path = delivery(self._made.item(Item("", "", "")))
        hangs = path[-1].hangs if path else ANCHOR
        return "ship" if hangs == ANCHOR else self._made.layout.names[hangs]

    def _coming(self, item: Item) -> _Coming | None:
        """How far an item is; None where it has no dates."""
        track = self._made.item(item)
        path = delivery(track)
        stock = self._known.get(item.id + path[-1].suffix) if path else None
        if stock is None:
            return None
        state: State = "to order"
        found, chance = None, 1.0
        if stock.state != "open":
            state = "in hand"
        elif (on_its_way := self._on_its_way(item, track, path, stock)) is not None:
            state, chance = "under way", on_its_way
        else:
            found = self._curve(item, track, stock.on, 0)
        order = self._known.get(item.id + path[0].suffix)
        planned = order.on if order and state == "to order" else None
        missing = (order or stock).missing
        return _Coming(item, state, stock.on, planned, found, chance, missing)

    def _on_its_way(
        self, item: Item, track: Track, path: Sequence[Ask], stock: Deadline
    ) -> float | None:
        """The chance of an item that is ordered, from the last that is known of it: what its
        supplier promised, else the last stage that is done. None where it is not ordered."""
        for place in range(len(path) - 2, -1, -1):
            key = item.id + path[place].suffix
            known, mark = self._known.get(key), self._marks.get(key)
            if known is not None and known.state == "done":
                promise = self._promises.get(item.id)
                if promise is not None:
                    return self._promised(item, track, stock.on, promise)
                at = mark.at if mark is not None and mark.state == "done" else None
                since = self._today if at is None else local_day(self._shop, at)
                return self._since(
                    self._curve(item, track, stock.on, place),
                    self._curve(item, track, self._today - DAY, place),
                    min(since, self._today),
                )
        return None

    def _promised(self, item: Item, track: Track, by: date, promise: Promise) -> float:
        """The chance of a promised day: the days from when it was said count as a quote."""
        quoted = max(0, (promise.on - promise.said).days)
        days = self._days(item, "making", quoted)
        legs = (Leg(days, None, Unit.CALENDAR),)
        receiver = track.calendars["shop"]
        before = curve(self._today - DAY, receiver, legs)
        return self._since(curve(by, receiver, legs), before, min(promise.said, self._today))

    def _since(self, in_time: Curve, before: Curve, since: date) -> float:
        """The chance of what began on a day and was not in hand yesterday.

        What is later than all that was thought possible is taken to begin again today.
        """
        gone = before.chance(since)
        if gone >= _CERTAIN:
            return in_time.chance(self._today)
        return max(0.0, in_time.chance(since) - gone) / (1 - gone)

    def _curve(self, item: Item, track: Track, by: date, place: int) -> Curve:
        """The curve from one place of an item's delivery on."""
        days = [
            self._days(item, ask.rule.days_from, track.steps[ask.place].count)
            for ask in delivery(track)[place:-1]
        ]
        return _curve(by, track, place, *days)

    def _days(self, item: Item, days_from: str, quoted: int) -> Days:
        """How long a stage takes: only making and transit vary, as the supplier's record says."""
        part: Part
        if days_from == "making":
            part = "making"
        elif days_from == "transit":
            part = "transit"
        else:
            return _sure(quoted)
        if quoted <= 0:
            return _sure(quoted)
        country = self._countries.get(item.supplier, item.made_in)
        kind = part, country not in ("", self._home)
        return self._records.spread(item.supplier, kind).of(quoted)

    def _order_dates(self, coming: Sequence[_Coming], confidence: float) -> list[date]:
        """The day on which each item is to be ordered; of what is ordered, today.

        Items that can no longer come in time are to be ordered today, and the others by dates as
        though those had been left out. Where the confidence is out of reach the dates keep that
        fraction of what can be had.
        """
        found = [self._today] * len(coming)
        hopeful = [n for n, one in enumerate(coming) if one.if_ordered(self._today) > 0]
        choices = [self._choice(coming[n]) for n in hopeful]
        best = self._all(
            [coming[n] for n in hopeful], [coming[n].if_ordered(self._today) for n in hopeful]
        )
        target = confidence if best >= confidence else confidence * best
        picks = share_out(choices, target, self._assumed.correlation)
        for n, choice, pick in zip(hopeful, choices, picks, strict=True):
            found[n] = date.fromordinal(choice.days[pick])
        return found

    def _choice(self, one: _Coming) -> Choice:
        if one.curve is None:
            return Choice(one.group, (self._today.toordinal(),), (one.chance,))
        return Choice(one.group, *last_days(one.curve, self._today))

    def _told(self, one: _Coming, order_on: date) -> ItemChance:
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
        )

    def _not_past(self, day: date | None) -> date:
        return self._today if day is None else max(day, self._today)

    def _all(self, coming: Iterable[_Coming], each: Iterable[float]) -> float:
        """The chance that all come, of each one's."""
        groups: dict[str, list[float]] = {}
        for one, chance in zip(coming, each, strict=True):
            groups.setdefault(one.group, []).append(chance)
        return all_come(groups.values(), self._assumed.correlation)


@cached_by_identity(4096)
def delivery(track: Track) -> tuple[Ask, ...]:
    """Return the stages from placing an order to having it in hand; none where a table of stages
    has no order."""
    by_place: Mapping[int, Ask] = {ask.place: ask for ask in track.asks}
    at = next((ask for ask in track.asks if ask.rule.days_from == "confirming"), None)
    path = []
    while at is not None:
        path.append(at)
        at = by_place.get(at.hangs)
    return tuple(path)


@cached_by_identity(8192)
def _curve(by: date, track: Track, place: int, *days: Days) -> Curve:
    """The curve of a delivery from one place on, its stages taking so many days."""
    legs: list[Leg] = []
    for ask, taken in zip(delivery(track)[place:-1], days, strict=True):
        step = track.steps[ask.place]
        # What has begun did so on the day it did; only what is still to begin waits to be worked.
        begun = place > 0 and not legs and step.unit is Unit.CALENDAR
        legs.append(Leg(taken, None if begun else track.calendars[step.calendar], step.unit))
    return curve(by, track.calendars["shop"], legs[::-1])


@cached_by_identity(1024)
def _sure(days: int) -> Days:
    """Days that do not vary, one object for each number, for what is kept by identity."""
    return sure(days)

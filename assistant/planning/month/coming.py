"""What is to come into a box: how far each item is, and how likely it is in hand in time.

Knows: items, their stages and what is done of them, how late suppliers are. Must not know: boxes as
a whole, words, money. Invariants: the day of need is the in-hand date of deadlines.py, on the same
stages and calendars, so that quotes that always hold give its order-by dates; what is in hand is
certain; nothing is expected to have come before today that was not.
"""

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from typing import Literal, NamedTuple

from assistant.planning.calendars import cached_by_identity, calendars
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import Deadline, by_key, deadlines, marks_of
from assistant.planning.model import Item, Mark, Purchase, Record, Shop
from assistant.planning.month.lateness import Assumed, LeadRecord, Part, Records
from assistant.planning.nudges import local_day
from assistant.planning.stages import Ask, Track, workings
from assistant.scheduling.arrival import Curve, Leg, curve
from assistant.scheduling.backward import Unit
from assistant.scheduling.lead_times import Days, sure

DAY = timedelta(days=1)
_CERTAIN = 1 - 1e-9
_VARYING: Mapping[str, Part] = {"making": "making", "transit": "transit"}

State = Literal["to order", "under way", "in hand"]


class Promise(Record):
    """What a supplier said on a day (`said`) of when an ordered item will be in hand (`on`)."""

    item: str  # Item.id
    on: date
    said: date


class Coming(NamedTuple):
    """An item on its way into a box, needed in hand by `latest`.

    Of what is to be ordered: `curve`, and `planned`, its order-by date as quoted; of the rest its
    `chance`. `missing`: see deadlines.Deadline. `deliveries`: how many its supplier's record has.
    """

    item: Item
    state: State
    latest: date
    planned: date | None
    curve: Curve | None
    chance: float
    missing: tuple[str, ...]
    deliveries: int

    @property
    def group(self) -> str:
        """What it is late together with: all of its supplier."""
        return self.item.supplier or f"/{self.item.id}"

    def if_ordered(self, on: date) -> float:
        """Its chance if it is ordered on a day, unless it is ordered already."""
        return self.chance if self.curve is None else self.curve.chance(on)


class Prospects:
    """What can be expected of each item of a shop, as things stand today."""

    def __init__(
        self,
        shop: Shop,
        today: date,
        records: Iterable[LeadRecord],
        promises: Iterable[Promise],
        assumed: Assumed,
    ) -> None:
        self._shop, self._today = shop, today
        self._home = profile_of(shop).country
        self._made = workings(shop.house, shop.profile, shop.suppliers, calendars(shop, today))
        self._known = by_key(deadlines(shop, today))
        self._marks = marks_of(shop.ledger)
        self._bought = {one.id: one for one in shop.purchases}
        self._promises = {promise.item: promise for promise in promises}
        self._countries = {supplier.id: supplier.country for supplier in shop.suppliers}
        away = (id for id, country in self._countries.items() if country not in ("", self._home))
        self._records = Records(records, today, away, assumed)

    def of(self, item: Item) -> Coming | None:
        """How far an item is; None where it has no dates."""
        track = self._made.item(item)
        stock = self._stock(item, track)
        if stock is None:
            return None
        order = self._known.get(item.id + delivery(track)[0].suffix)
        rests_on = (order or stock).missing, self._records.deliveries(item.supplier)
        if stock.state != "open":
            return Coming(item, "in hand", stock.on, None, None, 1.0, *rests_on)
        chance = self._on_its_way(item, track, stock.on)
        if chance is not None:
            return Coming(item, "under way", stock.on, None, None, chance, *rests_on)
        planned = None if order is None else order.on
        found = self._curve(item, track, stock.on, 0)
        return Coming(item, "to order", stock.on, planned, found, 0.0, *rests_on)

    def curve(self, item: Item) -> Curve | None:
        """The curve of an item from its order; None where it has no dates."""
        track = self._made.item(item)
        stock = self._stock(item, track)
        return None if stock is None else self._curve(item, track, stock.on, 0)

    def _stock(self, item: Item, track: Track) -> Deadline | None:
        """The last stage of an item's delivery: having it in hand."""
        path = delivery(track)
        return self._known.get(item.id + path[-1].suffix) if path else None

    def _on_its_way(self, item: Item, track: Track, by: date) -> float | None:
        """The chance of an item that is ordered; None where it is not.

        It rests on the last that is known: the last stage that is done, or what its supplier
        promised since then.
        """
        path = delivery(track)
        for place in range(len(path) - 2, -1, -1):
            key = item.id + path[place].suffix
            known, mark = self._known.get(key), self._marks.get(key)
            if known is not None and known.state == "done":
                done = self._done_on(item, path[place], mark)
                since, promise = done or self._today, self._promises.get(item.id)
                if promise is not None and (done is None or promise.said >= done):
                    return self._promised(item, track, by, promise)
                in_time = self._curve(item, track, by, place)
                before = self._curve(item, track, self._today - DAY, place)
                return self._since(in_time, before, min(since, self._today))
        return None

    def _done_on(self, item: Item, ask: Ask, mark: Mark | None) -> date | None:
        """The day on which a stage was done: as told of the purchase, else when it was marked."""
        bought = self._bought.get(item.id)
        days = {} if bought is None else _told(bought)
        marked = mark.at if mark is not None and mark.state == "done" else None
        return days.get(ask.rule.days_from) or (marked and local_day(self._shop, marked))

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
        part = _VARYING.get(days_from)
        if part is None or quoted <= 0:
            return sure(quoted)
        country = self._countries.get(item.supplier, item.made_in)
        kind = part, country not in ("", self._home)
        return self._records.spread(item.supplier, kind).of(quoted)


def _told(bought: Purchase) -> Mapping[str, date | None]:
    """The days of a purchase's stages, by what their lengths come from."""
    return {"confirming": bought.ordered, "transit": bought.dispatched}


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


@cached_by_identity(4096)
def _curve(by: date, track: Track, place: int, *days: Days) -> Curve:
    """The curve of a delivery from one place on, its stages taking so many days."""
    legs: list[Leg] = []
    for ask, taken in zip(delivery(track)[place:-1], days, strict=True):
        step = track.steps[ask.place]
        # What has begun did so on the day it did; only what is still to begin waits to be worked.
        begun = place > 0 and not legs and step.unit is Unit.CALENDAR
        legs.append(Leg(taken, None if begun else track.calendars[step.calendar], step.unit))
    return curve(by, track.calendars["shop"], legs[::-1])

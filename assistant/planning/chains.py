"""Why a date is what it is, and what is to be expected as things stand.

Knows: one box or item at a time: its stages laid out, with the days passed over and why. Must not
know: how it is told. Invariants: the dates are those of deadlines.py, laid by the same tracks; an
item ordered on its order-by date is expected in hand on its in-hand date at the latest.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from types import MappingProxyType
from typing import NamedTuple

from assistant.planning.calendars import calendars
from assistant.planning.changes import find
from assistant.planning.deadlines import deadline, marks_of, ship_date
from assistant.planning.model import Item, Purchase, Record, Shop, Unit
from assistant.planning.month.coming import delivery
from assistant.planning.nudges import local_day
from assistant.planning.stages import ANCHOR, SHIP, Ask, Track, Workings, starts, workings
from assistant.scheduling.backward import Stage, Step, explain, float_days, work_forward
from assistant.scheduling.backward import Unit as Counted
from assistant.scheduling.paydays import month_end
from assistant.scheduling.workdays import Skip

ORDER, DISPATCH = "order", "dispatch"  # stages of which a purchase knows the day
IN_HAND = Stage("in hand", "shop", 0)  # goods that come on a rest day are in hand the day after


class Link(Record):
    """One stage of a chain, worked back from the one it hangs on.

    `on` is the latest date, `days` (negative: after) before `after`, the date of the stage
    `hangs_on` ("ship": the ship date itself). They are counted on the calendar of `supplier` (its
    name), or the shop's own where that is ""; where `month_end` from the end of that date's month.
    `skipped` are the days passed over. `item` names the item (Item.id) on which a stage of the box
    hangs. `missing`: see deadlines.Deadline.
    """

    stage: str
    on: date
    after: date
    hangs_on: str
    days: int
    unit: Unit
    supplier: str
    skipped: tuple[Skip, ...]
    provisional: bool
    missing: tuple[str, ...]
    item: str = ""
    month_end: bool = False


class Outlook(Record):
    """What is expected of one item as things stand.

    `latest`: the in-hand date, the latest that still works. `expected`: when it will be in hand if
    it is ordered today, or as what is done already gives it; None when its supplier never works
    again. `float`: the shop's working days from `expected` to `latest`, negative when too late.
    `in_hand`: nothing is expected any more.
    """

    item: str  # Item.id
    name: str
    latest: date
    expected: date | None
    float: int | None
    in_hand: bool


class Chain(Record):
    """The stages of a box or an item, from last to first, with its ship date."""

    ship: date
    links: tuple[Link, ...]
    outlook: Outlook | None = None  # of an item

    def to(self, stage: str) -> tuple[Link, ...]:
        """The links that lead from the ship date back to one stage; none if it has no date.

        A stage of the box that hangs on an item begins where that item's chain leads to.
        """
        by_stage = {link.stage: link for link in self.links}
        path: list[Link] = []
        while stage in by_stage and by_stage[stage] not in path:
            path.append(by_stage[stage])
            stage = path[-1].hangs_on
        return tuple(reversed(path))


def item_chain(shop: Shop, item_id: str, today: date) -> Chain | None:
    """Return the chain of an item, its box's stages first; None if it has no dates."""
    item = find(shop.items, item_id)
    ship = ship_date(shop, item.box, today) if item else None
    if item is None or ship is None:
        return None
    made, supplier = _workings(shop, today), find(shop.suppliers, item.supplier)
    track = _box_track(shop, item.box, made, ship)
    box = _lay(track, _at_ship(made, ship))
    links = (
        *_links(made, track, box),
        *_links(
            made, made.item(item), _lay(made.item(item), box), supplier.name if supplier else ""
        ),
    )
    return Chain(ship, links, _outlook(shop, item, made, box, today))


def box_chain(shop: Shop, box_id: str, today: date) -> Chain | None:
    """Return the chain of the box's own stages; None if it has no ship date."""
    ship = ship_date(shop, box_id, today)
    if ship is None:
        return None
    made = _workings(shop, today)
    own = _box_track(shop, box_id, made, ship)
    box = _lay(own, _at_ship(made, ship))
    links = _links(made, own, box)
    rows = {item.id: _lay(made.item(item), box) for item in shop.items if item.box == box_id}
    earliest: dict[int, str] = {}
    for source in made.sources:
        dated = [id for id, row in rows.items() if row.days[source]]
        if dated:
            earliest[source] = min(dated, key=lambda id: (rows[id].days[source], id))
            box.days[source] = rows[earliest[source]].days[source]
            box.doubts[source] = any(rows[id].doubts[source] for id in dated)
    track = made.after_items if earliest else made.without_items
    return Chain(ship, (*links, *_links(made, track, _lay(track, box), items=earliest)))


def outlooks(shop: Shop, box_id: str, today: date) -> tuple[Outlook, ...]:
    """Return what is expected of each item of a box; none for a box without a ship date."""
    return _outlooks(shop, box_id, [item for item in shop.items if item.box == box_id], today)


def outlook(shop: Shop, item: Item, today: date) -> Outlook | None:
    """Return what is expected of one item; None where its box has no ship date."""
    return next(iter(_outlooks(shop, item.box, [item], today)), None)


def binding(shop: Shop, box_id: str, today: date) -> Outlook | None:
    """Return the item that binds a box: of those not in hand, the one with the least float.

    Ties: the earlier in-hand date, then the name. None when nothing is expected any more.
    """

    def tightness(one: Outlook) -> tuple[bool, int, date, str]:
        return one.float is not None, one.float or 0, one.latest, one.name

    open_ones = (one for one in outlooks(shop, box_id, today) if not one.in_hand)
    return min(open_ones, key=tightness, default=None)


def _outlooks(shop: Shop, box_id: str, inside: Iterable[Item], today: date) -> tuple[Outlook, ...]:
    ship = ship_date(shop, box_id, today)
    if ship is None:
        return ()
    made = _workings(shop, today)
    box = _lay(_box_track(shop, box_id, made, ship), _at_ship(made, ship))
    found = (_outlook(shop, item, made, box, today) for item in inside)
    return tuple(outlook for outlook in found if outlook is not None)


class _Laid(NamedTuple):
    """Days and whether they are provisional, by place in the table of stages."""

    days: list[int]
    doubts: list[bool]


def _workings(shop: Shop, today: date) -> Workings:
    return workings(shop.house, shop.profile, shop.suppliers, calendars(shop, today))


def _box_track(shop: Shop, box_id: str, made: Workings, ship: date) -> Track:
    """The stages of a box, packed from the day that was chosen for it."""
    return made.box_from(dict(starts(shop.runs)).get(box_id), ship)


def _at_ship(made: Workings, ship: date) -> _Laid:
    """Nothing laid but the ship date."""
    size = len(made.layout.names)
    return _Laid([0] * size + [ship.toordinal()], [False] * (size + 1))


def _lay(track: Track, base: _Laid) -> _Laid:
    """The days of a track on top of those that it hangs on."""
    days = base.days.copy()
    track.lay(days)
    return _Laid(days, track.doubts(days, base.doubts))


def _links(
    made: Workings,
    track: Track,
    laid: _Laid,
    supplier: str = "",
    items: Mapping[int, str] = MappingProxyType({}),
) -> tuple[Link, ...]:
    """The links of a track; `supplier` is a name, `items` those on which stages of a box hang."""
    return tuple(
        _link(made, track, ask, laid, supplier, items.get(ask.hangs, ""))
        for ask in track.asks
        if laid.days[ask.place]
    )


def _link(made: Workings, track: Track, ask: Ask, laid: _Laid, supplier: str, item: str) -> Link:
    step, doubtful = track.steps[ask.place], laid.doubts[ask.place]
    on, after = (date.fromordinal(laid.days[place]) for place in (ask.place, ask.hangs))
    late = any(run.month_end and run.first == ask.place for run in track.runs)
    start = month_end(after) if late else after
    return Link(
        stage=ask.rule.name,
        on=on,
        after=after,
        hangs_on=SHIP if ask.hangs == ANCHOR else made.layout.names[ask.hangs],
        days=step.count,
        unit="working" if step.unit is Counted.WORKING else "calendar",
        supplier=supplier if step.calendar == "supplier" else "",
        skipped=explain(Step(step.name, step, on, start, doubtful), track.calendars),
        provisional=doubtful,
        missing=ask.missing,
        item=item,
        month_end=late,
    )


def _outlook(shop: Shop, item: Item, made: Workings, box: _Laid, today: date) -> Outlook | None:
    """Work forward from the last thing done, or from an order placed today."""
    track = made.item(item)
    path, days = delivery(track), _lay(track, box).days
    if not path or not days[path[-1].place]:
        return None
    latest = date.fromordinal(days[path[-1].place])
    expected = _expected(shop, item, track, path, today)
    arrival = deadline(shop, item.id + path[-1].suffix, today)
    calendar = track.calendars["shop"]
    return Outlook(
        item=item.id,
        name=item.name,
        latest=latest,
        expected=expected,
        float=None if expected is None else float_days(calendar, expected, latest),
        in_hand=arrival is None or arrival.state != "open",
    )


def _expected(
    shop: Shop, item: Item, track: Track, path: tuple[Ask, ...], today: date
) -> date | None:
    """When the last stage of the path is expected: of what is ordered the day that its supplier
    promised, if it did.

    A stage that is nudged for and not done has not happened yet: it is expected today or later.
    """
    bought, marks = _bought(shop, item, path, today), marks_of(shop.ledger)
    if bought is not None and bought.promised is not None:
        there = max(bought.promised, today)
        return work_forward(there, (IN_HAND,), track.calendars).finish
    happened = {} if bought is None else {ORDER: bought.ordered, DISPATCH: bought.dispatched}
    at, under_way = today, IN_HAND
    for ask in path:
        mark = marks.get(item.id + ask.suffix)
        if mark is not None and mark.state == "done" and mark.at is not None:
            at = happened.get(ask.rule.name) or local_day(shop, mark.at)
        elif ask is not path[0]:
            through = work_forward(at, (under_way,), track.calendars).finish
            if through is None:
                return None
            at = max(through, today) if ask.rule.nudge else through
        under_way = track.steps[ask.place]
    return work_forward(at, (IN_HAND,), track.calendars).finish


def _bought(shop: Shop, item: Item, path: tuple[Ask, ...], today: date) -> Purchase | None:
    """What was agreed for an item that is ordered."""
    found = find(shop.purchases, item.id)
    placed = deadline(shop, item.id + path[0].suffix, today) if found else None
    return found if placed is not None and placed.state == "done" else None

"""The ways out for a late item that keep its goods: at another time, or in another box.

Knows: the plan, carriage, purchases, the boxes that ship later. Must not know: other goods
(instead.py), which way is best and what it costs (rescue.py), words. Invariants: those of ways.py;
a way that needs no other thing is tried once, those with boxes by their days.

Which ways there are: common practice, no source.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.chains import outlook
from assistant.planning.changes import find
from assistant.planning.deadlines import deadline, ship_date
from assistant.planning.model import Box, Change, Item, Mark, Purchase, Put
from assistant.planning.month.coming import delivery
from assistant.planning.month.risks import carried, wanted_pieces
from assistant.planning.month.ways import Case, Way
from assistant.planning.stages import workings
from assistant.planning.year import rearranging
from assistant.planning.year.recurring import plain

LATER = 6  # later boxes that are tried
REACH = 15  # working days beyond its float in which a ship day is looked for
OWN_STAGES = ("theme", "photo", "card", "count")  # of a box, that a second parcel has no use for
DISPATCH, STOCK, PACK = "dispatch", "stock", "pack"


# --- the same goods, at another time --------------------------------------------------------


def wait(case: Case, _other: str) -> Iterator[Way]:
    """Shipping the whole box on the first day by which the item can be in it."""
    run = find(case.shop.runs, case.box.id)
    booked = run is not None and (run.first or run.collection)
    anew = (Put(replace(run, first=None, collection=None)),) if run and booked else ()
    if found := _first_day(case, case.box, *anew):
        day, days, way = found
        following = _packed_by(case, day)
        yield replace(way, ship=day, days=days, whole=False, meets=following)


def _first_day(case: Case, box: Box, *more: Change) -> tuple[date, int, Way] | None:
    """The first working day after the ship day on which a box can go that holds the item, how
    many later that is, and the way of it."""
    if case.risk is None or case.risk.float is None:
        return None
    shift, late = calendars(case.shop, case.today).shop.shift, -case.risk.float
    for days in range(max(1, late - 1), late + REACH):
        day = shift(case.ship, days)
        if day is not None and (way := case.way("wait", (Put(replace(box, ship_on=day)), *more))):
            return day, days, way
    return None


def _packed_by(case: Case, day: date) -> str:
    """The box, of those that ship after this one, whose packing has begun by a day."""
    for box, ships in _later(case):
        start = deadline(case.shop, f"{box.id}/{PACK}", case.today)
        if (start.on if start else ships) <= day:
            return box.id
    return ""


def _later(case: Case) -> Iterator[tuple[Box, date]]:
    """The boxes that ship after this one, with their days, the nearest first."""
    dated = (
        (box, on)
        for box in case.shop.boxes
        if (on := ship_date(case.shop, box.id, case.today)) and on > case.ship
    )
    yield from sorted(dated, key=lambda pair: (pair[1], pair[0].id))[:LATER]


def faster(case: Case, _other: str) -> Iterator[Way]:
    """Quicker carriage, by the fewest days that are enough; not of what is on its way."""
    supplier = find(case.shop.suppliers, case.item.supplier)
    usual = carriage_days(case)
    if case.risk is None or case.risk.how != "late" or supplier is None or usual < 2:
        return
    if case.is_done(DISPATCH):
        return
    purchase = find(case.shop.purchases, case.item.id)
    if case.bought and purchase is not None and purchase.promised is not None:
        due = max(purchase.promised, case.today)
        days = (due - case.seen.latest).days
    else:
        days = next((n for n in range(1, usual) if _carried_in_time(case, usual - n)), usual)
    if not 1 <= days < usual or case.seen.latest <= case.today:
        return
    leaves = case.seen.latest - timedelta(usual - days)
    changes = (*_promised(case), *_not_before(case, leaves))
    if way := case.way("faster", changes, days=days, in_hand=case.seen.latest):
        yield way


def carriage_days(case: Case) -> int:
    """Return how many calendar days an item travels, as planned."""
    shop, known = case.shop, calendars(case.shop, case.today)
    track = workings(shop.house, shop.profile, shop.suppliers, known).item(case.item)
    path = delivery(track)
    return track.steps[path[-2].place].count if len(path) > 1 else 0


def _carried_in_time(case: Case, days: int) -> bool:
    found = carried(case.shop, case.item, days, case.today)
    return found is not None and found.float is not None and found.float >= 0


def _promised(case: Case) -> tuple[Change, ...]:
    """What is agreed with the supplier: in hand by the latest day."""
    old = find(case.shop.purchases, case.item.id) or Purchase(case.item.id)
    by = case.seen.latest
    first = old.first_promised or old.promised or by
    return (Put(replace(old, promised=by, first_promised=first, said=case.today)),)


def _not_before(case: Case, day: date) -> tuple[Change, ...]:
    """No nudge for the dispatch before the day on which it leaves by quicker carriage."""
    key = f"{case.item.id}/{DISPATCH}"
    known = deadline(case.shop, key, case.today)
    if known is None or known.state != "open" or known.on >= day:
        return ()
    return (Put(replace(find(case.shop.ledger, key) or Mark(key), until=day)),)


def split(case: Case, _other: str) -> Iterator[Way]:
    """Having first what the box needs, in time, of an order that has not left and is for more."""
    if case.risk is None or case.risk.how != "late" or not case.bought or case.came:
        return
    ordered, first = _ordered(case), wanted_pieces(case.shop, case.item, case.today)
    leaves = deadline(case.shop, f"{case.item.id}/{DISPATCH}", case.today)
    if case.is_done(DISPATCH) or leaves is None or leaves.on < case.today:
        return
    if not first or ordered is None or ordered <= first:
        return
    way = case.way("split", _promised(case), pieces=first, in_hand=case.seen.latest)
    if way is not None:
        yield replace(way, due=leaves.on)


def _ordered(case: Case) -> int | None:
    bought = find(case.shop.purchases, case.item.id)
    known = bought.quantity if bought is not None else None
    return case.item.quantity if known is None else known


def twice(case: Case, _other: str) -> Iterator[Way]:
    """The box on its day, the item after it in a parcel of its own: a second box of the month."""
    if case.risk is None or case.came:
        return
    boxes = {box.id for box in case.shop.boxes}
    free = (f"{case.item.box[:7]}{letter}" for letter in "bcdefgh")
    id = next((one for one in free if one not in boxes), "")
    if not id:
        return
    second = Box(id, theme=case.box.theme or case.item.name)
    moved = replace(case.item, box=id)
    marks = (Put(Mark(f"{id}/{stage}", "not needed")) for stage in OWN_STAGES)
    if found := _first_day(case, second, Put(moved), *marks):
        day, days, way = found
        number = wanted_pieces(case.shop, case.item, case.today) // max(case.item.units, 1)
        yield replace(way, how="twice", other=id, sent=day, days=days, pieces=number, whole=False)


# --- other boxes ----------------------------------------------------------------------------


def swap(case: Case, other: str) -> Iterator[Way]:
    """Exchanging the box with a later one."""
    for box, _ in _later(case):
        if other in ("", box.id) and (
            way := case.way(
                "swap", rearranging.swap(case.shop, case.item.box, box.id), other=box.id
            )
        ):
            yield way


def move(case: Case, other: str) -> Iterator[Way]:
    """Sending the item with a later box; its own goes out without it."""
    if case.came:
        return
    for box, _ in _later(case):
        if other not in ("", box.id) or case.holds(box.id, case.item.name):
            continue
        changes = rearranging.move(case.shop, {case.item.id: box.id})
        if way := case.way("move", changes, other=box.id, whole=False):
            yield way
            return


def exchange(case: Case, other: str) -> Iterator[Way]:
    """Taking an item of a later box, which gets this one in its place; what is of the same type
    first, then what is in hand, then the nearest box."""
    if case.came:
        return
    found = [
        (not _same_type(item, case.item), not _in_hand(case, item), place, item)
        for place, (box, _) in enumerate(_later(case))
        if not case.holds(box.id, case.item.name)
        for item in case.shop.items
        if item.box == box.id and other in ("", item.id) and not case.holds(case.box.id, item.name)
    ]
    for *_, item in sorted(found, key=lambda one: (*one[:3], one[3].name)):
        if not _in_time(case, item):
            continue
        moves = {item.id: case.item.box, case.item.id: item.box}
        changes = rearranging.move(case.shop, moves)
        if way := case.way("later", changes, other=item.id, box=item.box, name=item.name):
            yield way


def _same_type(one: Item, other: Item) -> bool:
    return bool(one.type) and plain(one.type) == plain(other.type)


def _in_hand(case: Case, item: Item) -> bool:
    found = deadline(case.shop, f"{item.id}/{STOCK}", case.today)
    return found is not None and found.state == "done"


def _in_time(case: Case, item: Item) -> bool:
    """Whether an item of another box is expected by the day on which this one needs it."""
    found = outlook(case.shop, item, case.today)
    if found is None:
        return False
    return found.in_hand or (found.expected is not None and found.expected <= case.seen.latest)

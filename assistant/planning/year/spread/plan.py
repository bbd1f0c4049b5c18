"""From a shop to ways of spreading its types, and from one of them to changes of the plan.

Knows: items, what is ordered. Must not know: how the solver is asked, words of a conversation.
Invariants: what is ordered or sent never moves; the same wishes give the same year.
"""

import hashlib
from collections.abc import Iterable
from datetime import date
from itertools import count

import msgspec

from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Box, Change, Placement, Put, RecurringType, Remove, Shop
from assistant.planning.year.spread.alternatives import alternatives as others
from assistant.planning.year.spread.clashes import clash
from assistant.planning.year.spread.options import made_item, option
from assistant.planning.year.spread.placements import gaps_of
from assistant.planning.year.spread.problem import Clash, Spread
from assistant.planning.year.spread.reading import (
    MONTHS,
    before,
    boxes_between,
    is_sent,
    months_apart,
    placed,
    read,
)
from assistant.planning.year.spread.solving import best
from assistant.scheduling.weeks import MONTHS as MONTH_NAMES
from assistant.scheduling.weeks import Problem


def spread(
    shop: Shop, today: date, *, first: str, last: str, alternatives: int = 3
) -> Spread | Clash | Problem:
    """Spread the recurring types over the boxes from `first` to `last` (ids, both included).

    The best way comes first, then up to so many alternatives. A Clash where the wishes cannot all
    hold; a Problem where there is nothing to spread.
    """
    if not shop.types:
        return Problem("There are no recurring types yet.", "tea 4 times a year")
    reading = read(shop, today, first, last)
    if len(reading.year.sent) == len(reading.boxes):
        return Problem("All of these boxes have been sent.", "spread the next 12 months")
    found = best(reading.year)
    if found is None:
        return clash(reading.year) or Problem(
            "I could not find out whether these wishes can all hold.", "room for 4 types a box"
        )
    search, first_one = found
    picked = (first_one, *others(search, first_one, alternatives))
    return Spread(tuple(option(shop, reading, one) for one in picked), reading.boxes)


def changes_of(shop: Shop, placements: Iterable[Placement], ref: str) -> tuple[Change, ...]:
    """Return the changes that make a plan of these placements: items moved, taken out and made,
    with the boxes that they need. New ids are `<ref>.<n>`, n counting from 1, not in use."""
    changes: list[Change] = []
    ids = {item.id for item in shop.items} | {supplier.id for supplier in shop.suppliers}
    fresh = (id for n in count(1) if (id := f"{ref}.{n}") not in ids)
    after = shop
    wanted = sorted(placements, key=lambda one: (one.box, one.type))
    for one in wanted:
        item, type = find(shop.items, one.item), find(shop.types, one.type)
        if type is None or (one.item and item is None):
            continue
        if item is not None and not one.box:
            made: tuple[Change, ...] = (Remove("items", item.id),)
        else:
            names = [i.name for i in after.items if i.box == one.box and i.id != one.item]
            new = made_item(shop, type, one, "" if item else next(fresh), names)
            made = () if new == item else (Put(new),)
            if find(after.boxes, one.box) is None:
                made = (Put(Box(id=one.box)), *made)
        changes.extend(made)
        after = apply(after, made)
    return tuple(changes)


def fingerprint(shop: Shop, first: str, last: str) -> str:
    """Return a mark of all that a spread rests on: it changes when the wishes, the boxes, or the
    items of recurring types and what was done for them change."""
    items = tuple(item for one in shop.types for item in placed(shop, one))
    ids = {item.id for item in items}
    profile = profile_of(shop)
    known = (
        (first, last, profile.room, profile.ship_rule, profile.currency),
        shop.types,
        shop.boxes,
        tuple((item.id, item.box, item.name, item.type, item.form) for item in items),
        tuple((m.id, m.state) for m in shop.ledger if m.id.rpartition("/")[0] in ids),
    )
    return hashlib.sha256(msgspec.json.encode(known)).hexdigest()[:16]


def gaps(shop: Shop, type_id: str, first: str, last: str) -> tuple[int, ...]:
    """Return the distances in boxes between the returns of a type as they are planned now, from
    the last one before `first` (where there is one) to the first of the next such run of boxes,
    which is taken to repeat this one; () where it does not come or is not known."""
    type = find(shop.types, type_id)
    if type is None:
        return ()
    boxes = boxes_between(shop, first, last)
    now = sorted({boxes.index(item.box) for item in placed(shop, type) if item.box in boxes})
    return gaps_of(tuple(now), len(boxes), before(shop, type, boxes))


def check(shop: Shop, type: RecurringType, today: date | None = None) -> Problem | None:
    """Return why the wishes for one type cannot hold by counting alone, None where they can.

    Months are looked at over a year of boxes, pins over those of the year that they lie in; a pin
    on a box that was sent is seen only where `today` is given.
    """
    for month in type.must:
        if month in type.must_not:
            name = MONTH_NAMES[month - 1]
            return Problem(
                f"{type.name} must come in {name} and must not.", f"{type.name} not in {name}"
            )
    return _too_often(shop, type) or _pinned(shop, type, today)


def _too_often(shop: Shop, type: RecurringType) -> Problem | None:
    """More times than there are boxes, more months in which it must come than times."""
    boxes = boxes_between(shop, *_a_year(shop))
    open_boxes = [box for box in boxes if int(box[5:7]) not in type.must_not]
    if type.times > len(open_boxes):
        shut = " that it may be in" if len(open_boxes) < len(boxes) else " of a year"
        return Problem(
            f"{type.name} cannot come {type.times} times: there are {len(open_boxes)} boxes{shut}.",
            f"{type.name} {max(1, len(open_boxes))} times a year",
        )
    if len({*type.must}) > type.times:
        return Problem(
            f"{type.name} must come in {len({*type.must})} months, but comes {type.times} times.",
            f"{type.name} {len({*type.must})} times a year",
        )
    return None


def _a_year(shop: Shop) -> tuple[str, str]:
    """The first and last box of a calendar year like those of the plan."""
    months = sorted({box.id[5:7] for box in shop.boxes})
    year = max((box.id[:4] for box in shop.boxes), default="2027")
    apart = months_apart(shop)
    first = int(months[0]) if apart > 1 else 1
    last = first + (MONTHS - 1) // apart * apart if apart > 1 else MONTHS
    return f"{year}-{(first - 1) % apart + 1:02}", f"{year}-{min(last, MONTHS):02}"


def _pinned(shop: Shop, type: RecurringType, today: date | None) -> Problem | None:
    """Pins in a month in which it may not come, on a box that was sent, or too many."""
    here = {item.box for item in placed(shop, type)}
    for box in type.pins:
        month = MONTH_NAMES[int(box[5:7]) - 1]
        if int(box[5:7]) in type.must_not and box not in here:
            return Problem(
                f"{type.name} is pinned to {month}, in which it may not come.",
                f"unpin {type.name} from {month}",
            )
        if today is not None and box not in here and is_sent(shop, box, today):
            return Problem(
                f"The box of {month} {box[:4]} has been sent: {type.name} cannot be in it.",
                f"unpin {type.name} from {month}",
            )
    return None

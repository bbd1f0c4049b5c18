"""Changing her mind: what a swap, a move or a drop changes, and what it does to the year.

Knows: the plan before and after changes. Must not know: words, who asked, how a year is spread
(spread/). Invariants: nothing here changes a plan, it only says which changes would; an item keeps
its id and its marks wherever it goes; what a set of changes does is found by making them on a copy
and comparing, so it is the same before and after they are made.
"""

from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from itertools import pairwise

from msgspec.structs import replace

from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import Deadline, by_key, deadlines
from assistant.planning.model import Box, Change, Item, Put, Record, RecurringType, Remove, Shop
from assistant.planning.shipping import ORDER, is_ordered
from assistant.planning.year.contents import contents
from assistant.planning.year.spread import boxes_between, placed

# The ledger marks of these box stages follow the contents when two boxes swap; those of packing,
# counting and shipping belong to the month.
FOLLOW_CONTENTS = ("theme", "photo", "card")
RUNNING = 1  # the gap of a type that comes in two boxes running


# --- changes --------------------------------------------------------------------------------


def swap(shop: Shop, first: str, second: str) -> tuple[Change, ...]:
    """Return the changes that make two boxes (ids) change contents and themes; their months and
    ship dates stay. A box that the plan does not have is made."""
    one, other = (find(shop.boxes, id) or Box(id=id) for id in (first, second))
    there = {first: second, second: first}
    moves = {item.id: there[item.box] for item in shop.items if item.box in there}
    return (
        *move(shop, moves),
        Put(replace(one, theme=other.theme)),
        Put(replace(other, theme=one.theme)),
        *_swapped_marks(shop, first, second),
    )


def move(shop: Shop, moves: Mapping[str, str]) -> tuple[Change, ...]:
    """Return the changes that put items (ids) into boxes (ids); boxes that the plan does not have
    are made, a type that was pinned to a box is pinned to where its item goes, and the item that
    stands out in a box stays the one that does."""
    new = (box for box in dict.fromkeys(moves.values()) if find(shop.boxes, box) is None)
    led = {item.box for item in shop.items if item.main and item.id not in moves}
    items: list[Item] = []
    for item in shop.items:
        if item.id in moves:
            box = moves[item.id]
            items.append(replace(item, box=box, main=item.main and box not in led))
            led.update({box} if item.main else ())
    return (
        *(Put(Box(id=box)) for box in new),
        *(Put(item) for item in items),
        *_moved_pins(shop, moves),
    )


def drop(shop: Shop, items: Iterable[str]) -> tuple[Change, ...]:
    """Return the changes that take items (ids) out of the plan, with their lines of the ledger."""
    gone = set(items)
    marks = (mark for mark in shop.ledger if mark.id.rpartition("/")[0] in gone)
    return (
        *(Remove("items", item.id) for item in shop.items if item.id in gone),
        *(Remove("ledger", mark.id) for mark in marks),
    )


def _moved_pins(shop: Shop, moves: Mapping[str, str]) -> tuple[Change, ...]:
    changes = []
    for kind in shop.types:
        theirs = placed(shop, kind) if kind.pins else ()
        there = {item.box: moves[item.id] for item in theirs if item.id in moves}
        pins = tuple(dict.fromkeys(there.get(pin, pin) for pin in kind.pins))
        if pins != kind.pins:
            changes.append(Put(replace(kind, pins=pins)))
    return tuple(changes)


def _swapped_marks(shop: Shop, first: str, second: str) -> tuple[Change, ...]:
    """Return the changes that make the marks of the contents change places."""
    changes: list[Change] = []
    for stage in FOLLOW_CONTENTS:
        keys = f"{first}/{stage}", f"{second}/{stage}"
        marks = tuple(find(shop.ledger, key) for key in keys)
        for key, mark in zip(keys, reversed(marks), strict=True):
            if mark is not None:
                changes.append(Put(replace(mark, id=key)))
            elif find(shop.ledger, key) is not None:
                changes.append(Remove("ledger", key))
    return tuple(changes)


# --- what they do ---------------------------------------------------------------------------


class BoxCost(Record):
    """What the items of one box cost, before and after; `uncosted` of those after have no known
    cost in the shop's currency."""

    box: str
    before: Decimal
    after: Decimal
    uncosted: int = 0


class Closer(Record):
    """A recurring type that comes back sooner than before: `gap` boxes after the last time (0:
    twice in one box), where its smallest gap was `was` (None: it came once). `boxes` are the
    two."""

    type: str
    gap: int
    was: int | None
    boxes: tuple[str, str]


class Effect(Record):
    """What a set of changes does. `moved` counts the open order-by dates that move; `late` are the
    deadlines that become late, those of ordering first; `costs` are of the boxes whose cost
    changes; `ordered` are the items, as they stood, that are ordered and move or go."""

    moved: int = 0
    late: tuple[Deadline, ...] = ()
    costs: tuple[BoxCost, ...] = ()
    target: Decimal | None = None
    closer: tuple[Closer, ...] = ()
    ordered: tuple[Item, ...] = ()


def effect(before: Shop, after: Shop, today: date) -> Effect:
    """Compare a plan with what it is after some changes; `today` is the shop's local day."""
    old = by_key(deadlines(before, today))
    now = [d for d in deadlines(after, today) if d.state == "open" and d.nudge]
    moved = [d for d in now if d.stage == ORDER and d.key in old and old[d.key].on != d.on]
    late = [d for d in now if d.late and not (d.key in old and old[d.key].late)]
    return Effect(
        moved=len(moved),
        late=tuple(sorted(late, key=lambda d: (d.stage != ORDER, d.on, d.key))),
        costs=_costs(before, after, today),
        target=profile_of(after).target,
        closer=closer(before, after),
        ordered=tuple(item for item in touched(before, after) if is_ordered(before, item, today)),
    )


def touched(before: Shop, after: Shop) -> tuple[Item, ...]:
    """Return the items, as they stood, that are in another box or gone."""
    there = {item.id: item.box for item in after.items}
    return tuple(item for item in before.items if there.get(item.id) != item.box)


def _costs(before: Shop, after: Shop, today: date) -> tuple[BoxCost, ...]:
    found = []
    for box in sorted({one.box for one in set(before.items) ^ set(after.items)}):
        old, new = contents(before, box, today), contents(after, box, today)
        if old.cost != new.cost:
            found.append(BoxCost(box, old.cost, new.cost, new.uncosted))
    return tuple(found)


def closer(before: Shop, after: Shop) -> tuple[Closer, ...]:
    """Return the recurring types whose smallest gap is smaller than it was, the closest first."""
    found = []
    for kind in after.types:
        old, new = _smallest(before, kind), _smallest(after, kind)
        if new is not None and new[0] < (old[0] if old else RUNNING + 1):
            found.append(Closer(kind.name, new[0], old[0] if old else None, new[1]))
    return tuple(sorted(found, key=lambda one: (one.gap, one.type)))


def _smallest(shop: Shop, kind: RecurringType) -> tuple[int, tuple[str, str]] | None:
    """The smallest gap of a type, in boxes, and between which two it is."""
    boxes = [item.box for item in placed(shop, kind)]
    if len(boxes) < 2:
        return None
    order = {id: n for n, id in enumerate(boxes_between(shop, boxes[0], boxes[-1]))}
    return min((order[b] - order[a], (a, b)) for a, b in pairwise(boxes))

"""Versions of the year: kept, compared with the year as it stands, adopted in its place.

Knows: boxes, items and marks of the plan and of a kept version. Must not know: words, how a version
is asked for. Invariants of adopting: a box that has shipped stays as it is; an item that is ordered
stays in the plan as it was ordered, wherever the version has it, so no order is lost; marks stay
with the item that they are about; the year that gives way is kept as a version, so adopting that
one brings it back.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, datetime
from typing import TypeVar

from msgspec.structs import replace

from assistant.planning.changes import find
from assistant.planning.model import Box, Change, Item, Kept, Mark, Put, Record, Remove, Shop
from assistant.planning.model import Variant as Variant
from assistant.planning.shipping import ORDER, is_ordered, shipped
from assistant.planning.year.rearranging import FOLLOW_CONTENTS

MOST = 12  # versions that a shop keeps
NAME = 40  # characters of a version's name
BEFORE = "before "

R = TypeVar("R", bound=Kept)


class BoxChange(Record):
    """How a box differs: its theme before and after, names of items that come in, that go out and
    of which facts differ."""

    box: str
    theme: tuple[str, str]
    came: tuple[str, ...] = ()
    went: tuple[str, ...] = ()
    other: tuple[str, ...] = ()


class Adoption(Record):
    """What adopting a version changes. `kept_as` is the name under which the present year is kept;
    `carried` are items that are ordered and not in the version; `again` are those that were ordered
    when the version was kept, were dropped since, and come back as ordered."""

    changes: tuple[Change, ...]
    kept_as: str
    carried: tuple[Item, ...] = ()
    again: tuple[Item, ...] = ()


def variant_id(name: str) -> str:
    """Return the id of a version's name: names are compared without case and extra spaces."""
    return " ".join(name.casefold().split())


def keep(shop: Shop, name: str, now: datetime) -> Variant:
    """Return the year as it stands as a version of this name."""
    name = " ".join(name.split())
    return Variant(variant_id(name), name, now, shop.boxes, shop.items, shop.ledger)


def same_year(shop: Shop, variant: Variant) -> bool:
    """Say whether a version is the year as it stands."""
    return set(variant.boxes) == set(shop.boxes) and set(variant.items) == set(shop.items)


# --- how years differ -----------------------------------------------------------------------


def differences(before: Shop, after: Shop) -> tuple[BoxChange, ...]:
    """Return how the boxes of one plan differ from those of another, by box. Items are compared by
    their names, which are unique within a box."""
    ids = sorted({box.id for box in (*before.boxes, *after.boxes)})
    found = (_difference(before, after, id) for id in ids)
    return tuple(one for one in found if one is not None)


def _difference(before: Shop, after: Shop, id: str) -> BoxChange | None:
    old, new = find(before.boxes, id), find(after.boxes, id)
    was, now = _inside(before, id), _inside(after, id)
    change = BoxChange(
        id,
        (old.theme if old else "", new.theme if new else ""),
        came=tuple(item.name for name, item in now.items() if name not in was),
        went=tuple(item.name for name, item in was.items() if name not in now),
        other=tuple(one.name for name, one in now.items() if _differ(was.get(name), one)),
    )
    items = change.came or change.went or change.other
    return change if items or old != new else None


def _inside(shop: Shop, box: str) -> dict[str, Item]:
    return {variant_id(item.name): item for item in shop.items if item.box == box}


def _differ(was: Item | None, now: Item) -> bool:
    return was is not None and replace(was, id=now.id) != now


# --- adopting -------------------------------------------------------------------------------


def adopt(shop: Shop, variant: Variant, now: datetime, today: date) -> Adoption:
    """Return what makes a version the year plan. The items of shipped boxes stay out of it, and so
    do the version's items that went out meanwhile, or whose box did."""
    sent = {box.id for box in (*shop.boxes, *variant.boxes) if shipped(shop, box.id, today)}
    ordered = {item.id for item in shop.items if is_ordered(shop, item, today)}
    items = _items(shop, variant, sent, ordered)
    version = {item.id for item in variant.items}
    carried = tuple(i for i in items if i.id in ordered - version and i.box not in sent)
    boxes = _boxes(shop, variant, sent, {item.box for item in items})
    marks = _marks(shop, variant, boxes, items, sent)
    kept = keep(shop, _in_place_of(shop, variant), now)
    changes: tuple[Change, ...] = (
        *_replaced("boxes", shop.boxes, boxes),
        *_replaced("items", shop.items, items),
        *_replaced("ledger", shop.ledger, marks),
        Remove("variants", variant.id),
        Put(kept),
    )
    known, bought = {item.id for item in shop.items}, {mark.id for mark in marks if _done(mark)}
    back = (item for item in items if item.id not in known)
    again = tuple(item for item in back if f"{item.id}/{ORDER}" in bought)
    return Adoption(changes, kept.name, carried, again)


def _done(mark: Mark) -> bool:
    return mark.state == "done"


def _items(shop: Shop, variant: Variant, sent: set[str], ordered: set[str]) -> tuple[Item, ...]:
    """The items of the year once the version is adopted, each once."""
    present = {item.id: item for item in shop.items}
    found = {item.id: item for item in shop.items if item.box in sent}
    for item in variant.items:
        mine = present.get(item.id)
        if item.id in found or (item.box in sent and mine is None):
            continue
        if mine is not None and item.box in sent:
            found[item.id] = mine
        elif mine is not None and item.id in ordered:
            found[item.id] = replace(mine, box=item.box)
        else:
            found[item.id] = _with_known_supplier(shop, item)
    for item in shop.items:
        if item.id in ordered:
            found.setdefault(item.id, item)
    return tuple(_one_main(_named_apart(found.values())))


def _with_known_supplier(shop: Shop, item: Item) -> Item:
    return item if find(shop.suppliers, item.supplier) else replace(item, supplier="")


def _named_apart(items: Iterable[Item]) -> Iterator[Item]:
    """The items, those that came to a box later under a name that it has renamed."""
    taken: set[tuple[str, str]] = set()
    for item in items:
        names = (item.name, *(f"{item.name} ({n})" for n in range(2, len(taken) + 3)))
        name = next(one for one in names if (item.box, variant_id(one)) not in taken)
        taken.add((item.box, variant_id(name)))
        yield item if name == item.name else replace(item, name=name)


def _one_main(items: Iterable[Item]) -> Iterator[Item]:
    """The items, at most one of a box standing out."""
    led: set[str] = set()
    for item in items:
        yield replace(item, main=False) if item.main and item.box in led else item
        led.update({item.box} if item.main else ())


def _boxes(shop: Shop, variant: Variant, sent: set[str], held: set[str]) -> tuple[Box, ...]:
    """The boxes: those that were sent, the version's, and those in which an item stays."""
    found = {box.id: box for box in shop.boxes if box.id in sent}
    found.update({box.id: box for box in variant.boxes if box.id not in sent})
    for box in shop.boxes:
        if box.id in held:
            found.setdefault(box.id, box)
    return tuple(found.values())


def _marks(
    shop: Shop,
    variant: Variant,
    boxes: Sequence[Box],
    items: Sequence[Item],
    sent: set[str],
) -> tuple[Mark, ...]:
    """The ledger: marks of items and boxes that stay, and those that the version had of what comes
    back. Marks that follow a box's contents are the version's where the contents differ."""
    known = {box.id for box in shop.boxes} | {item.id for item in shop.items}
    stays = {box.id for box in boxes} | {item.id for item in items}
    other = {
        box.id
        for box in boxes
        if box.id in known and box.id not in sent and _holds_other(shop, items, box)
    }

    def is_theirs(mark: Mark) -> bool:
        owner, _, stage = mark.id.rpartition("/")
        return owner not in known or (owner in other and stage in FOLLOW_CONTENTS)

    mine = (mark for mark in shop.ledger if not is_theirs(mark))
    theirs = (mark for mark in variant.marks if is_theirs(mark))
    return tuple(one for one in (*mine, *theirs) if one.id.rpartition("/")[0] in stays)


def _holds_other(shop: Shop, items: Sequence[Item], box: Box) -> bool:
    """Whether a box has another theme or other items than at present."""
    present = find(shop.boxes, box.id)
    was = {item.id for item in shop.items if item.box == box.id}
    will = {item.id for item in items if item.box == box.id}
    return present is None or present.theme != box.theme or was != will


def _in_place_of(shop: Shop, variant: Variant) -> str:
    """A free name for the year that gives way: "before plan B"; for "before plan B" "plan B"."""
    name = variant.name
    name = name[len(BEFORE) :] if name.startswith(BEFORE) else f"{BEFORE}{name}"
    others = {one.id for one in shop.variants if one.id != variant.id}
    names = (name[:NAME].strip(), *(f"{name[: NAME - 4].strip()} {n}" for n in range(2, MOST + 2)))
    return next(one for one in names if variant_id(one) not in others)


def _replaced(table: str, old: Sequence[R], new: Sequence[R]) -> Iterator[Change]:
    """The changes that make the records of a table others."""
    was, ids = {one.id: one for one in old}, {one.id for one in new}
    yield from (Remove(table, one.id) for one in old if one.id not in ids)
    yield from (Put(one) for one in new if was.get(one.id) != one)

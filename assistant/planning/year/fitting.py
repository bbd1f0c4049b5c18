"""Items that are to move to some months: which boxes those are, and which of them suits each item.

Knows: the plan, ship dates, room. Must not know: words for months, who asked. Invariants: only
boxes that still can change are chosen; no box gets two items of one name; the same plan gives the
same boxes.

What suits, in this order: a box has room for what comes; one kind of thing (its type, else its
name) is not twice in a box, nor in two boxes running; it is spaced as widely and as evenly as can
be, and so is all that moves together; boxes get about as many items each; the earlier box.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from heapq import nsmallest
from itertools import pairwise

from assistant.planning.changes import profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Item, Record, Shop
from assistant.planning.year.rearranging import RUNNING
from assistant.planning.year.spread import boxes_between, placed

WAYS = 600  # that are followed up in all, from item to item, but from each at least so many:
LEAST = 10
YEARS = 3  # how many years ahead months are looked for


class Fit(Record):
    """`places` are (item id, box id); `left` are ids of items for which no box is free of their
    name."""

    places: tuple[tuple[str, str], ...] = ()
    left: tuple[str, ...] = ()


def boxes_of(shop: Shop, months: Sequence[int], today: date) -> tuple[str, ...]:
    """Return the boxes (ids) of the next such months (1..12, as 12, 1, 2 for a winter) that have
    boxes to come: the plan's, or the month's own where it has none; () where there are none."""
    start = _first(months)
    for year in range(today.year - 1, today.year + YEARS):
        ids = [f"{year + (month < start):04}-{month:02}" for month in months]
        boxes = [box for id in ids for box in _in_month(shop, id)]
        if coming := [box for box in boxes if _comes(shop, box, today)]:
            return tuple(sorted(coming))
    return ()


def _first(months: Sequence[int]) -> int:
    """The month with which the shortest run through all of them round the year begins."""
    return min(months, key=lambda first: max((month - first) % 12 for month in months))


def _in_month(shop: Shop, month: str) -> list[str]:
    return [box.id for box in shop.boxes if box.id[:7] == month] or [month]


def _comes(shop: Shop, box: str, today: date) -> bool:
    on = ship_date(shop, box, today)
    return on >= today if on else box[:7] >= f"{today:%Y-%m}"


# --- which box for which item ---------------------------------------------------------------


def fit(shop: Shop, items: Iterable[Item], boxes: Sequence[str]) -> Fit:
    """Return which of the boxes (ids) suits each item best, all of them looked at together."""
    moving = sorted(items, key=lambda item: (item.box, item.name, item.id))
    ids = {item.id for item in moving}
    weigher = _Weigher(shop, [item for item in shop.items if item.id not in ids], boxes)
    beam = max(LEAST, WAYS // max(1, len(moving)))
    ways: list[tuple[str, ...]] = [()]
    for count, _ in enumerate(moving, 1):
        wider = (
            (*way, box)
            for way in ways
            for box in (*boxes, "")
            if weigher.is_free(moving[:count], way, box)
        )
        ways = nsmallest(beam, wider, key=lambda way: weigher.weight(moving, way))
    pairs = list(zip(moving, ways[0], strict=True))
    return Fit(
        places=tuple((item.id, box) for item, box in pairs if box),
        left=tuple(item.id for item, box in pairs if not box),
    )


class _Weigher:
    """Weighs ways to lay items into boxes ("" for none) beside those that stay."""

    def __init__(self, shop: Shop, staying: Sequence[Item], boxes: Sequence[str]) -> None:
        self._boxes = boxes
        every = {*boxes, *(box.id for box in shop.boxes), *(item.box for item in staying)}
        between = boxes_between(shop, min(every), max(every))
        self._order = {id: n for n, id in enumerate(between)}
        self._kind_of = _kinds(shop)
        self._names = {(item.box, _plain(item.name)) for item in staying}
        self._rooms = _rooms(shop, boxes)
        self._needs = {kind.id: kind.room for kind in shop.types}
        self._there: dict[str, list[str]] = {}
        self._held = Counter(item.box for item in staying)
        for item in staying:
            self._there.setdefault(self._kind(item), []).append(item.box)

    def is_free(self, items: Sequence[Item], way: tuple[str, ...], box: str) -> bool:
        """Whether the last of the items may go into a box, the others lying where `way` says."""
        if not box:
            return True
        name = _plain(items[-1].name)
        taken = (item for item, at in zip(items, way, strict=False) if at == box)
        return (box, name) not in self._names and all(_plain(one.name) != name for one in taken)

    def weight(self, items: Sequence[Item], way: tuple[str, ...]) -> tuple[object, ...]:
        """The less, the better it suits."""
        laid = list(zip(items, way, strict=False))
        kinds: dict[str, list[str]] = {}
        for item, box in laid:
            kinds.setdefault(self._kind(item), []).append(box)
        gaps = [gap for kind, own in kinds.items() for gap in self._gaps(kind, own)]
        held = self._held + Counter(way)
        return (
            way.count(""),
            self._over(laid),
            gaps.count(0),
            gaps.count(RUNNING),
            -min(gaps, default=0),
            -sum(gap**0.5 for gap in gaps),  # concave: even gaps come before uneven ones
            -sum(gap**0.5 for gap in self._apart(way)),
            sum(held[box] ** 2 for box in self._boxes),
            way,
        )

    def _kind(self, item: Item) -> str:
        return self._kind_of.get(item.id) or _plain(item.type or item.name)

    def _gaps(self, kind: str, own: Sequence[str]) -> list[int]:
        """The distances of a kind from one box to the next."""
        return self._apart((*self._there.get(kind, ()), *own))

    def _apart(self, boxes: Iterable[str]) -> list[int]:
        return [b - a for a, b in pairwise(sorted(self._order[box] for box in boxes if box))]

    def _over(self, laid: Sequence[tuple[Item, str]]) -> int:
        """By how much the boxes hold more than they have room for."""
        over = 0
        for box, room in self._rooms.items():
            own = (self._kind(item) for item, at in laid if at == box)
            there = (kind for kind, at in self._there.items() for one in at if one == box)
            needed = sum(self._needs.get(kind, 0) for kind in (*own, *there))
            over += max(0, needed - room)
        return over


def _kinds(shop: Shop) -> Mapping[str, str]:
    """The id of the recurring type of each item (by id) that is one."""
    return {item.id: kind.id for kind in shop.types for item in placed(shop, kind)}


def _rooms(shop: Shop, boxes: Sequence[str]) -> dict[str, int]:
    """The room for recurring types of those boxes that have a limit."""
    own = {box.id: box.room for box in shop.boxes}
    every = profile_of(shop).room
    rooms = {box: own.get(box) if own.get(box) is not None else every for box in boxes}
    return {box: room for box, room in rooms.items() if room is not None}


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())

"""One year of boxes as facts for the year sheet: what stands where, and how far each box is.

Knows: boxes, items, recurring types, deadlines, contents. Must not know: how a sheet looks, in
which words or colours. Invariants: boxes stand in their order; a type has the same track, letter
and shape in every part of a sheet; everything here follows from the plan, the ledger and today.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal
from itertools import chain, count
from string import ascii_uppercase
from typing import NamedTuple
from unicodedata import normalize

from msgspec.structs import replace

from assistant.planning.changes import profile_of
from assistant.planning.deadlines import Deadline, deadlines, ship_date
from assistant.planning.model import Box, Item, Record, Shop
from assistant.planning.shipping import shipped
from assistant.planning.year.contents import contents
from assistant.planning.year.recurring import plain

QUARTERS = (1, 2, 3, 4)
MOST_TRACKS = 24  # types that one sheet has room for
OFTEN = 2  # boxes in which a type comes back before it has a track without being wished for
MONTHLY = 7  # months with a box from which on a month without one is shown as a gap


class Track(Record):
    """A type of the year: its letter, and the number of its shape (from 0, without end; a sheet
    begins anew where it has no more). `times` is how often it comes, `wanted` how often a year of
    twelve months should see it, None where nothing was wished."""

    name: str
    letter: str
    shape: int
    times: int
    wanted: int | None = None


class Return(Record):
    """One type in one box: its place among the tracks, and its items there."""

    track: int
    items: tuple[str, ...]
    forms: tuple[str, ...] = ()


class BoxView(Record):
    """One box. `state` is one of STATES, `late` the number of things to be done whose date is
    past. Money as in `contents`. `others` are names of items without a track."""

    id: str
    state: str
    theme: str = ""
    ships: date | None = None
    late: int = 0
    returns: tuple[Return, ...] = ()
    others: tuple[str, ...] = ()
    items: int = 0
    wanted: int | None = None
    cost: Decimal = Decimal(0)
    uncosted: int = 0
    target: Decimal | None = None

    @property
    def month(self) -> int:
        """Its month, 1..12."""
        return int(self.id[5:7])

    @property
    def quarter(self) -> int:
        """Its quarter, 1..4."""
        return quarter_of_month(self.month)


class YearView(Record):
    """The boxes of the twelve months from month `first` of `year` on, or of one quarter (1..4) of
    the year, as they stood on a day; the tracks are those of the twelve months."""

    shop: str
    currency: str
    year: int
    on: date
    boxes: tuple[BoxView, ...]
    tracks: tuple[Track, ...]
    quarter: int | None = None
    first: int = 1

    @property
    def months(self) -> tuple[str, ...]:
        """Its twelve months, as ids of their first boxes."""
        return months_from(self.year, self.first)


def year_view(shop: Shop, year: int, today: date, first: int = 1) -> YearView:
    """Return the twelve months of a shop from month `first` of a year on; `today` is the shop's
    local day. A year without boxes has none here either; a month without a box in a monthly year
    is there as "no box"."""
    profile = profile_of(shop)
    boxes = boxes_of(shop, year, first)
    by_box: dict[str, list[Item]] = {box.id: [] for box in boxes}
    for item in shop.items:
        if item.box in by_box:
            by_box[item.box].append(item)
    tracks = _tracks(shop, by_box)
    places = {plain(track.name): place for place, track in enumerate(tracks)}
    todo: dict[str, list[Deadline]] = {}
    for one in deadlines(shop, today):
        todo.setdefault(one.box, []).append(one)
    views = [_box(shop, box, by_box[box.id], places, todo.get(box.id, ()), today) for box in boxes]
    gaps = [BoxView(id=id, state=NO_BOX) for id in _months_without(boxes, year, first)]
    return YearView(
        shop=profile.name,
        currency=profile.currency,
        year=year,
        on=today,
        boxes=tuple(sorted((*views, *gaps), key=lambda one: one.id)),
        tracks=tracks,
        first=first,
    )


def months_from(year: int, first: int) -> tuple[str, ...]:
    """Return the twelve months from month `first`, 1..12, of a year on: "2026-12", "2027-01"."""
    places = range(first - 1, first + 11)
    return tuple(f"{year + n // 12:04}-{n % 12 + 1:02}" for n in places)


def quarter_of_month(month: int) -> int:
    """Return the quarter, 1..4, in which a month, 1..12, lies."""
    return (month + 2) // 3


def quarter_of(view: YearView, quarter: int) -> YearView:
    """Return one quarter (1..4) of a year."""
    boxes = tuple(box for box in view.boxes if box.quarter == quarter)
    return replace(view, boxes=boxes, quarter=quarter)


def boxes_of(shop: Shop, year: int, first: int = 1) -> tuple[Box, ...]:
    """Return the boxes of twelve months from month `first` of a year on, in their order."""
    months = frozenset(months_from(year, first))
    inside = (box for box in shop.boxes if box.id[:7] in months)
    return tuple(sorted(inside, key=lambda box: box.id))


def year_shown(shop: Shop, today: date) -> tuple[int, int] | None:
    """Return the year that a sheet shows unless another is asked for, and its first month; None
    without any box. Twelve months on end, where they hold more of what is still to ship than any
    calendar year: up to the last box within a year from the first; else a calendar year (see
    `_calendar_year`)."""
    year = _calendar_year(shop, today)
    to_ship = sorted(box.id[:7] for box in shop.boxes if not shipped(shop, box.id, today))
    if year is None:
        return None
    if not to_ship:
        return year, 1
    running = frozenset(months_from(*_month(to_ship[0])))
    inside = [month for month in to_ship if month in running]
    most = max(Counter(month[:4] for month in to_ship).values())
    if len(inside) <= most:
        return year, 1
    last_year, last = _month(inside[-1])
    return (last_year, 1) if last == 12 else (last_year - 1, last + 1)


def _month(id: str) -> tuple[int, int]:
    return int(id[:4]), int(id[5:7])


def _calendar_year(shop: Shop, today: date) -> int | None:
    """The first year that has at least half of a full one still to ship, else the one with most to
    ship, else the last."""
    to_ship = Counter(int(b.id[:4]) for b in shop.boxes if not shipped(shop, b.id, today))
    years = sorted({int(box.id[:4]) for box in shop.boxes})
    if not years:
        return None
    full = max(len(boxes_of(shop, year)) for year in years)
    ample = (year for year in years if 2 * to_ship[year] >= full)
    most = max(years, key=lambda year: (to_ship[year], -year))
    return next(ample, most if to_ship else years[-1])


def _months_without(boxes: Sequence[Box], year: int, first: int) -> list[str]:
    months = {box.id[:7] for box in boxes}
    if len(months) < MONTHLY:
        return []
    return [id for id in months_from(year, first) if id not in months]


# --- types ----------------------------------------------------------------------------------


def _tracks(shop: Shop, by_box: Mapping[str, Sequence[Item]]) -> tuple[Track, ...]:
    """The wished-for types in their order, then by name those that come back all the same."""
    names: dict[str, str] = {}
    times: Counter[str] = Counter()
    for inside in by_box.values():
        times.update({plain(item.type) for item in inside if item.type.strip()})
        for item in inside:
            names.setdefault(plain(item.type), item.type)
    wished = {plain(kind.name): kind for kind in shop.types}
    often = sorted(key for key, n in times.items() if n >= OFTEN and key not in wished)
    keys = (*wished, *often)[:MOST_TRACKS]
    shown = [" ".join((wished[key].name if key in wished else names[key]).split()) for key in keys]
    return tuple(
        Track(
            name=name,
            letter=letter,
            shape=place,
            times=times[key],
            wanted=wished[key].times if key in wished else None,
        )
        for place, (key, name, letter) in enumerate(zip(keys, shown, _letters(shown), strict=True))
    )


def _letters(names: Iterable[str]) -> Iterator[str]:
    """A mark for each name, all different: one of its own letters where one is free."""
    taken: set[str] = set()
    for name in names:
        own = (c for c in normalize("NFKD", name).upper() if c in ascii_uppercase)
        free = chain(own, ascii_uppercase, map(str, count(2)))
        letter = next(mark for mark in free if mark not in taken)
        taken.add(letter)
        yield letter


# --- boxes ----------------------------------------------------------------------------------


def _box(
    shop: Shop,
    box: Box,
    inside: Sequence[Item],
    places: Mapping[str, int],
    todo: Sequence[Deadline],
    today: date,
) -> BoxView:
    held = contents(shop, box.id, today)
    ships = ship_date(shop, box.id, today)
    known = _Known(
        gone=shipped(shop, box.id, today) is not None,
        dated=ships is not None,
        themed=bool(box.theme.strip()),
        filled=bool(inside),
        open=frozenset(one.stage for one in todo if one.state == "open"),
        listed=frozenset(one.stage for one in todo),
    )
    return BoxView(
        id=box.id,
        state=next(state for state, holds in STATES if holds(known)),
        theme=" ".join(box.theme.split()),
        ships=ships,
        late=sum(one.late and one.nudge for one in todo),
        returns=tuple(_returns(inside, places)),
        others=tuple(item.name for item in inside if plain(item.type) not in places),
        items=held.items,
        wanted=held.wanted,
        cost=held.cost,
        uncosted=held.uncosted,
        target=held.target,
    )


def _returns(inside: Sequence[Item], places: Mapping[str, int]) -> Iterator[Return]:
    for key, place in places.items():
        of_type = [item for item in inside if plain(item.type) == key]
        if of_type:
            forms = dict.fromkeys(item.form for item in of_type if item.form)
            yield Return(place, tuple(item.name for item in of_type), tuple(forms))


class _Known(NamedTuple):
    """What the state of a box rests on: `open` and `listed` are stages of the box and its items."""

    gone: bool
    dated: bool
    themed: bool
    filled: bool
    open: frozenset[str]
    listed: frozenset[str]


NO_BOX = "no box"  # a month of a monthly year without one
# The state of a box is the first that holds. Common practice, no source.
STATES: tuple[tuple[str, Callable[[_Known], bool]], ...] = (
    ("shipped", lambda box: box.gone),
    ("packed", lambda box: "pack" in box.listed - box.open),
    ("no ship date", lambda box: not box.dated),
    ("no theme", lambda box: not box.themed),
    ("no items", lambda box: not box.filled),
    ("to source", lambda box: "source" in box.open),
    ("to order", lambda box: "order" in box.open),
    ("on order", lambda box: "stock" in box.open),
    ("in hand", lambda _: True),
)

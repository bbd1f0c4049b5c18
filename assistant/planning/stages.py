"""The table of stages made ready for one shop: how long each takes, for whom, and what hangs on
what, so that the dates of a box can be laid out from its ship date.

Knows: the house's stages, suppliers' terms, calendars. Must not know: the ledger, today, or how a
date is told. Invariants: a stage whose number is not known or that does not apply has no date, and
neither has what hangs on it; items of the same terms share the same tracks; days are ordinals
(`date.toordinal`), 0 where there is no date.

Stages are laid in three rounds: the box's own from the ship date, each item's from those, then
those of the box that hang on its items. The stages themselves: common practice, no source.
"""

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from msgspec.structs import replace

from assistant.planning.calendars import NO_PROFILE, Calendars, cached_by_identity
from assistant.planning.lengths import Case, Length, length_of, packed_in
from assistant.planning.model import House, Item, Lead, Profile, StageRule, Supplier
from assistant.planning.model import Run as PackingRun
from assistant.scheduling.backward import Route, Stage
from assistant.scheduling.backward import Unit as Counted
from assistant.scheduling.paydays import month_end
from assistant.scheduling.workdays import Calendar

SHIP = "ship"  # what the first stages hang on: the ship date itself
ANCHOR = -1  # its place in a list of days


Line = tuple[StageRule, ...]  # stages, each hanging on the one before it


class Layout(NamedTuple):
    """The table of stages in the order in which they are laid.

    Four rounds of lines: the box, its items, the box after its items, and that last round again
    for a box without items. A stage's place is where its name stands in `names`.
    """

    rounds: tuple[tuple[Line, ...], ...]
    names: tuple[str, ...]

    def place(self, name: str) -> int:
        """The place of a stage, or of the ship date that others hang on."""
        return ANCHOR if name == SHIP else self.names.index(name)


class Run(NamedTuple):
    """A line with its calendars at hand: from the place that its first stage hangs on to the
    places from `first` on. `month_end`: it counts from the end of that place's month."""

    source: int
    first: int
    route: Route
    month_end: bool = False


class Ask(NamedTuple):
    """A stage of a track: what its deadlines have in common.

    `place` in the layout, and the place that it hangs on; `suffix` of the deadlines' keys.
    `missing` names what is not known of what the date rests on; `todo` is what to do, before the
    item's name, with it or not, and after it.
    """

    place: int
    hangs: int
    suffix: str
    implied: bool
    by_theme: bool
    rule: StageRule
    missing: tuple[str, ...]
    todo: tuple[str, bool, str]


@dataclass(frozen=True, slots=True)
class Track:
    """The stages of one round for one set of terms, each after the one it hangs on.

    `steps[place]` is a stage as scheduling counts it, on one of `calendars`. From the ordinals
    `clear[0]` to `clear[1]` no day of them is provisional. `quick` has of each ask what its
    deadline needs while nothing is done; `by_theme` says whether a theme does any of them.
    """

    asks: tuple[Ask, ...]
    quick: tuple[tuple[int, str, Ask], ...]
    by_theme: bool
    runs: tuple[Run, ...]
    steps: dict[int, Stage]
    calendars: dict[str, Calendar]
    clear: tuple[int, int]

    def lay(self, days: list[int]) -> bool:
        """Fill in the days of this track; `days` holds those that they hang on, 0 for none.

        Says whether all of them are clear of doubt.
        """
        low, high = self.clear
        settled = True
        for source, first, route, from_month_end in self.runs:
            start = days[source]
            if from_month_end and start:
                start = month_end(date.fromordinal(start)).toordinal()
            if start and (laid := route.latest_days(start)):
                days[first : first + len(laid)] = laid
                # A line goes one way only, so its ends are its first and its last day.
                settled = settled and low <= start <= high and low <= laid[-1] <= high
        return settled

    def doubts(self, days: Sequence[int], known: Sequence[bool]) -> list[bool]:
        """Whether the date of each place is provisional; `known` says it of those laid before."""
        doubts = list(known)
        for place, source, *_ in self.asks:
            if day := days[place]:
                doubts[place] = doubts[source] or self._doubtful(place, day, days[source])
        return doubts

    def _doubtful(self, place: int, day: int, after: int) -> bool:
        calendar = self.calendars[self.steps[place].calendar]
        return not calendar.settled(min(day, after), max(day, after))


class Workings:
    """The tracks of one shop.

    `box`: the box's stages that hang on its ship date; `after_items`: those that hang on its
    items', at the places `sources`; `without_items`: the same for a box without items. An item's,
    and that of a box whose first pack day was chosen, are made when asked for.
    """

    __slots__ = (
        "_boxes",
        "_items",
        "_make",
        "_shop",
        "after_items",
        "box",
        "layout",
        "sources",
        "without_items",
    )

    def __init__(
        self,
        house: House,
        profile: Profile,
        suppliers: Iterable[Supplier],
        calendars: Calendars,
    ) -> None:
        known = {supplier.id: supplier for supplier in suppliers}

        def make(
            nth: int,
            supplier: str = "",
            lead: Lead | None = None,
            made_in: str = "",
            pack_days: int = 0,
        ) -> Track:
            keys = calendars.shop, calendars.of(supplier)
            own = packed_in(house, profile, pack_days) if pack_days else profile
            return _track(nth, house, own, known.get(supplier), lead, made_in, *keys)

        self.layout = layout_of(house.stages)
        self.box, self.after_items, self.without_items = make(0), make(2), make(3)
        self.sources = tuple({run.source for run in self.after_items.runs} - {ANCHOR})
        self._make, self._shop = make, calendars.shop
        self._items: dict[tuple[str, Lead | None, str], Track] = {}
        self._boxes: dict[int, Track] = {}

    def box_from(self, first: date | None, ship: date) -> Track:
        """A box's stages that hang on its ship date, packed from the day that was chosen for it;
        None is as the shop has it. A day that leaves no working day counts as none."""
        days = max(self._shop.count(first, ship), 0) if first is not None else 0
        if not days:
            return self.box
        if days not in self._boxes:
            self._boxes[days] = self._make(0, pack_days=days)
        return self._boxes[days]

    def item(self, item: Item) -> Track:
        """An item's stages, which hang on its box's. Items of the same terms share them."""
        terms = item.supplier, item.lead, item.made_in
        found = self._items.get(terms)
        if found is None:
            found = self._items[terms] = self._make(1, *terms)
        return found


Starts = tuple[tuple[str, date], ...]  # (Box.id, the first pack day that was chosen for it)


def starts(runs: tuple[PackingRun, ...]) -> Starts:
    """Return the first pack days that were chosen: the same object for the same days, whatever
    else of the runs has changed."""
    return _one_object(tuple((run.id, run.first) for run in runs if run.first is not None))


@lru_cache(64)
def _one_object(found: Starts) -> Starts:
    return found


@cached_by_identity(16)
def workings(
    house: House,
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    calendars: Calendars,
) -> Workings:
    """Return the workings of a shop, made once for the same tables."""
    return Workings(house, (profile or NO_PROFILE)[0], suppliers, calendars)


@cached_by_identity(4096)
def _track(
    nth: int,
    house: House,
    profile: Profile,
    supplier: Supplier | None,
    lead: Lead | None,
    made_in: str,
    shop_calendar: Calendar,
    supplier_calendar: Calendar,
) -> Track:
    """The track of one round, made once, so that a change makes anew only those it touches."""
    layout, keys = layout_of(house.stages), {"shop": shop_calendar, "supplier": supplier_calendar}
    case = Case(house, profile, supplier, lead, made_in)
    own = {rule.name for line in layout.rounds[nth] for rule in line}
    steps: dict[int, Stage] = {}
    asks: dict[int, Ask] = {}
    runs: list[Run] = []
    for line in layout.rounds[nth]:
        source = hangs = layout.place(line[0].back_from)
        if line[0].back_from in own and hangs not in asks and hangs != ANCHOR:
            continue
        first, late = layout.names.index(line[0].name), False
        for place, rule in enumerate(line, start=first):
            length = length_of(rule, case)
            if length is None:
                break
            behind = asks[hangs].missing if hangs in asks else ()
            late = late or length.month_end
            steps[place] = _stage(rule, length)
            asks[place] = _ask(place, hangs, rule, behind, length)
            hangs = place
        laid = [steps[place] for place in range(first, first + len(line)) if place in steps]
        if laid:
            runs.append(Run(source, first, Route(laid, keys), late))
    firsts, lasts = zip(*map(_clear, keys.values()), strict=True)
    quick = tuple((ask.place, ask.suffix, ask) for ask in asks.values())
    by_theme, clear = any(ask.by_theme for ask in asks.values()), (max(firsts), min(lasts))
    return Track(tuple(asks.values()), quick, by_theme, tuple(runs), steps, keys, clear)


@cached_by_identity(16)
def layout_of(stages: tuple[StageRule, ...]) -> Layout:
    """Sort the stages into rounds and lines. One that cannot be placed is left out; `faults`
    names it."""
    left = list(stages)
    known = {SHIP}
    rounds: list[tuple[Line, ...]] = []
    for per in ("box", "item", "box"):
        placed: list[StageRule] = []
        while fits := [rule for rule in left if rule.per == per and rule.back_from in known]:
            placed += fits
            known |= {rule.name for rule in fits}
            left = [rule for rule in left if rule not in fits]
        rounds.append(_lines(placed))
    names = tuple(rule.name for lines in rounds for line in lines for rule in line)
    return Layout((*rounds, tuple(_alone(rounds[2]))), names)


def faults(stages: tuple[StageRule, ...]) -> tuple[tuple[str, str], ...]:
    """Return (stage, what is wrong with it) for each stage of a table that cannot be laid."""
    placed = layout_of(stages).names
    names = [rule.name for rule in stages]
    found = [
        (name, "two stages have this name")
        for name in dict.fromkeys(names)
        if names.count(name) > 1
    ]
    for rule in stages:
        if rule.name not in placed:
            found.append((rule.name, "it hangs in a circle, or on a stage that is laid after it"))
        if rule.name == SHIP and (rule.per != "box" or rule.back_from != SHIP):
            found.append((rule.name, "the ship stage is the box's and hangs on itself"))
        if rule.per == "box" and (
            rule.party == "supplier" or rule.days_from not in ("", "packing")
        ):
            found.append((rule.name, "only a stage of an item can count its supplier's days"))
    return tuple(found)


def _lines(rules: Iterable[StageRule]) -> tuple[Line, ...]:
    """Cut the tree of stages into lines; the first that hangs on a stage goes on in its line. A
    balance begins its own: it may count from the end of a month."""
    lines: list[list[StageRule]] = []
    ends: dict[str, list[StageRule]] = {}
    for rule in rules:
        line = [] if rule.days_from == "balance" else ends.pop(rule.back_from, [])
        if not line:
            lines.append(line)
        line.append(rule)
        if rule.name != SHIP:
            ends[rule.name] = line
    return tuple(map(tuple, lines))


def _alone(lines: Iterable[Line]) -> Iterator[Line]:
    """The lines of the third round for a box without items: from the ship date."""
    own = {rule.name for line in lines for rule in line}
    for line in lines:
        first = line[0]
        if first.back_from in own:
            yield line
        elif first.without_items:
            days = first.without_items
            moved = replace(first, back_from=SHIP, days=days, unit="working", days_from="")
            yield (moved, *line[1:])


def _ask(place: int, hangs: int, rule: StageRule, behind: tuple[str, ...], length: Length) -> Ask:
    before, named, after = rule.todo.partition("{item}")
    return Ask(
        place=place,
        hangs=hangs,
        suffix=f"/{rule.name}",
        implied=rule.implied,
        by_theme=rule.done_if == "theme",
        rule=rule,
        missing=(*behind, length.missing) if length.missing else behind,
        todo=(before, bool(named), after),
    )


def _stage(rule: StageRule, length: Length) -> Stage:
    """A stage as scheduling counts it. The ship date itself stays where it is."""
    if rule.name == SHIP:
        return Stage(rule.name, rule.party, 0, Counted.CALENDAR)
    if length.unit == "calendar":
        return Stage(rule.name, rule.party, length.days, Counted.CALENDAR, rule.party)
    return Stage(rule.name, rule.party, length.days)


@cached_by_identity(1024)
def _clear(calendar: Calendar) -> tuple[int, int]:
    """The ordinals between which no day is provisional: from the first day of the calendar's
    table up to the day before the first doubt."""
    first = calendar.table.low
    ahead = range(first, first + 366 * 10)
    doubt = bisect_left(ahead, True, key=lambda day: not calendar.settled(first, day))
    return first, first + doubt - 1

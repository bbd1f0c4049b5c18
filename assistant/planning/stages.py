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
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from msgspec.structs import replace

from assistant.planning.calendars import Calendars, cached_by_identity
from assistant.planning.model import House, Item, Lead, Profile, StageRule, Supplier, Unit
from assistant.scheduling.backward import Route, Stage
from assistant.scheduling.backward import Unit as Counted
from assistant.scheduling.workdays import Calendar

SHIP = "ship"  # what the first stages hang on: the ship date itself
ANCHOR = -1  # its place in a list of days


class Terms(NamedTuple):
    """What the dates of an item hang on, beside its box."""

    supplier: str  # Supplier.id
    lead: Lead | None
    made_in: str


class Length(NamedTuple):
    """How many days before the date it hangs on a stage lies, and what is guessed about it."""

    days: int
    unit: Unit
    missing: str = ""


class Case(NamedTuple):
    """All that a length can depend on."""

    house: House
    profile: Profile
    supplier: Supplier | None
    terms: Terms
    unit: Unit


class Run(NamedTuple):
    """Stages that hang on each other in a line, from the place in the table that the first hangs
    on."""

    source: int
    places: tuple[int, ...]
    route: Route


class Ask(NamedTuple):
    """A stage of a track: what its deadlines have in common.

    `place` in the table of stages, and of the stage that it hangs on; `suffix` of the deadlines'
    keys. `missing` names what is not known of what the date rests on.
    """

    place: int
    hangs: int
    suffix: str
    implied: bool
    by_theme: bool
    rule: StageRule
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Track:
    """The stages of one round for one set of terms, each after the one it hangs on.

    `steps[place]` is a stage as scheduling counts it, on one of `calendars`. From the ordinals
    `clear[0]` to `clear[1]` no day of them is provisional.
    """

    asks: tuple[Ask, ...]
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
        for source, places, route in self.runs:
            start = days[source]
            if start:
                for place, day in zip(places, laid := route.latest_days(start), strict=False):
                    days[place] = day
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
    """The tracks of one shop, each made when first asked for."""

    __slots__ = ("_calendars", "_lengths", "_profile", "_suppliers", "_tracks", "house", "rounds")

    def __init__(
        self,
        house: House,
        profile: Profile,
        suppliers: Iterable[Supplier],
        calendars: Calendars,
    ) -> None:
        self.house = house
        self._profile = profile
        self._suppliers = {supplier.id: supplier for supplier in suppliers}
        self._calendars = calendars
        self._lengths = dict(profile.lengths)
        self._tracks: dict[tuple[int, Terms], Track] = {}
        self.rounds = rounds(house.stages)

    def box(self) -> Track:
        """The box's stages that hang on its ship date."""
        return self._track(0, NO_TERMS)

    def item(self, item: Item) -> Track:
        """An item's stages, which hang on the box's."""
        return self._track(1, Terms(item.supplier, item.lead, item.made_in))

    def after_items(self) -> Track:
        """The box's stages that hang on its items'."""
        return self._track(2, NO_TERMS)

    def without_items(self) -> Track:
        """The same for a box without items: from its ship date."""
        return self._track(3, NO_TERMS)

    def _track(self, nth: int, terms: Terms) -> Track:
        found = self._tracks.get((nth, terms))
        if found is None:
            found = self._tracks[nth, terms] = self._make(self.rounds[nth], terms)
        return found

    def _make(self, rules: tuple[tuple[int, StageRule], ...], terms: Terms) -> Track:
        supplier = self._suppliers.get(terms.supplier)
        keys = {"shop": self._calendars.shop, "supplier": self._calendars.of(terms.supplier)}
        where = {rule.name: place for place, rule in enumerate(self.house.stages)}
        steps: dict[int, Stage] = {}
        asks: dict[int, Ask] = {}
        own = {place for place, _ in rules}
        for place, rule in rules:
            source = ANCHOR if rule.back_from == SHIP else where[rule.back_from]
            length = self._length(rule, supplier, terms)
            if length is None or (source in own and source not in asks):
                continue
            behind = asks[source].missing if source in asks else ()
            steps[place] = _stage(rule, length)
            asks[place] = Ask(
                place=place,
                hangs=source,
                suffix=f"/{rule.name}",
                implied=rule.implied,
                by_theme=rule.done_if == "theme",
                rule=rule,
                missing=(*behind, length.missing) if length.missing else behind,
            )
        runs = tuple(_runs(asks, steps, keys))
        return Track(tuple(asks.values()), runs, steps, keys, _clear(tuple(keys.values())))

    def _length(self, rule: StageRule, supplier: Supplier | None, terms: Terms) -> Length | None:
        """How long a stage takes; None where it does not apply."""
        if rule.only_if == "deposit" and not (supplier and supplier.deposit_percent):
            return None
        if rule.name in self._lengths:
            return Length(self._lengths[rule.name], rule.unit)
        if not rule.days_from:
            return Length(rule.days, rule.unit)
        case = Case(self.house, self._profile, supplier, terms, rule.unit)
        return LENGTHS[rule.days_from](case)


NO_TERMS = Terms("", None, "")


@cached_by_identity(32)
def workings(
    house: House,
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    calendars: Calendars,
) -> Workings:
    """Return the workings of a shop, made once for the same tables."""
    return Workings(house, profile[0] if profile else Profile(), suppliers, calendars)


def rounds(stages: tuple[StageRule, ...]) -> tuple[tuple[tuple[int, StageRule], ...], ...]:
    """The stages in the order in which they can be laid, with their places in the table.

    Four rounds: box, items, box after its items, and the last again for a box without items.
    A stage that cannot be placed is left out; `faults` names it.
    """
    left = list(enumerate(stages))
    known = {SHIP}
    done = []
    for per in ("box", "item", "box"):
        placed: list[tuple[int, StageRule]] = []
        while fits := [
            (place, rule)
            for place, rule in left
            if rule.per == per and (rule.back_from in known or rule.name == rule.back_from == SHIP)
        ]:
            placed += fits
            known |= {rule.name for _, rule in fits}
            left = [pair for pair in left if pair not in fits]
        done.append(tuple(placed))
    own = {rule.name for _, rule in done[2]}
    alone = tuple(
        (
            place,
            rule
            if rule.back_from in own
            else replace(
                rule, back_from=SHIP, days=rule.without_items, unit="working", days_from=""
            ),
        )
        for place, rule in done[2]
        if rule.back_from in own or rule.without_items
    )
    return (*done, alone)


def faults(stages: tuple[StageRule, ...]) -> tuple[tuple[str, str], ...]:
    """Return (stage, what is wrong with it) for each stage that cannot be laid."""
    placed = {place for round in rounds(stages)[:3] for place, _ in round}
    names = [rule.name for rule in stages]
    found = [
        (rule.name, "it hangs on itself in a circle, or on a stage laid after it")
        for place, rule in enumerate(stages)
        if place not in placed
    ]
    found += [(name, "two stages have this name") for name in set(names) if names.count(name) > 1]
    found += [
        (rule.name, "only the stage of an item can count a supplier's days")
        for rule in stages
        if rule.per == "box" and (rule.party == "supplier" or rule.days_from not in ("", "packing"))
    ]
    return tuple(found)


def _packing(case: Case) -> Length:
    """Boxes / (boxes an hour x people x hours a day), rounded up, at least one day."""
    profile, house = case.profile, case.house
    a_day = (
        (profile.boxes_per_hour or house.boxes_per_hour)
        * (profile.crew or house.crew)
        * (profile.hours_per_day or house.hours_per_day)
    )
    days = max(1, -(-profile.subscribers // a_day))
    return Length(days, case.unit, "" if profile.subscribers else "subscriber count")


def _transit(case: Case) -> Length:
    """The supplier's own figure, else the house's for home or abroad."""
    supplier, house, home = case.supplier, case.house, case.profile.country
    if supplier is None:
        away = case.terms.made_in not in ("", home)
    elif supplier.transit_days is not None:
        return Length(supplier.transit_days, case.unit)
    else:
        away = supplier.country not in ("", home)
    days = house.transit_abroad_days if away else house.transit_home_days
    return Length(days, case.unit, "" if supplier else "supplier")


def _making(case: Case) -> Length:
    """The item's lead time, else its supplier's; none known counts as made already."""
    lead = case.terms.lead or (case.supplier and case.supplier.lead)
    if not lead:
        return Length(0, case.unit, "lead time")
    return Length(lead.days, lead.unit)


def _confirming(case: Case) -> Length:
    return Length(case.supplier.confirm_days if case.supplier else 0, case.unit)


def _balance(case: Case) -> Length | None:
    """Days of credit after dispatch, so many days *after* it; none known means no balance."""
    if case.supplier is None or case.supplier.net_days is None:
        return None
    return Length(-case.supplier.net_days, case.unit)


LENGTHS: dict[str, Callable[[Case], Length | None]] = {
    "packing": _packing,
    "transit": _transit,
    "making": _making,
    "confirming": _confirming,
    "balance": _balance,
}


def _stage(rule: StageRule, length: Length) -> Stage:
    """A stage as scheduling counts it. The ship date itself stays where it is."""
    if rule.name == SHIP:
        return Stage(rule.name, rule.party, 0, Counted.CALENDAR)
    if length.unit == "calendar":
        return Stage(rule.name, rule.party, length.days, Counted.CALENDAR, rule.party)
    return Stage(rule.name, rule.party, length.days)


def _runs(
    asks: dict[int, Ask], steps: dict[int, Stage], keys: dict[str, Calendar]
) -> Iterator[Run]:
    """Cut the tree of stages into lines; the first that hangs on a stage goes on in its line."""
    lines: dict[int, list[int]] = {}  # by the last place of each line
    for ask in asks.values():
        lines[ask.place] = [*lines.pop(ask.hangs, ()), ask.place]
    order = list(asks)
    for line in sorted(lines.values(), key=lambda line: order.index(line[0])):
        yield Run(asks[line[0]].hangs, tuple(line), Route([steps[place] for place in line], keys))


def _clear(calendars: Sequence[Calendar]) -> tuple[int, int]:
    """The ordinals between which no day of the calendars is provisional: from the first day of
    their tables up to the day before the first doubt."""
    first = max(calendar.table.low for calendar in calendars)
    ahead = range(first, first + 366 * 10)
    return first, min(
        first - 1 + bisect_left(ahead, True, key=lambda day: not calendar.settled(first, day))
        for calendar in calendars
    )

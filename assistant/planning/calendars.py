"""The working calendars of a shop and of its suppliers.

Knows: which week, public holidays and closures each party keeps. Must not know: boxes, or what a
day is needed for. Invariants: a supplier that is not known keeps the shop's calendar; a calendar
is built once for the same week, holidays and closures, so asking again costs a look-up.

The table of a calendar reaches from the year before `today` to the third year after it, whole
years, so that it changes once a year. Beyond it days are provisional (scheduling.workdays).
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import lru_cache, wraps
from types import MappingProxyType
from typing import Any, Generic, ParamSpec, TypeVar

from assistant.planning.changes import profile_of
from assistant.planning.model import Almanac, Closure, Lead, Profile, Shop, Supplier
from assistant.scheduling.daysoff import (
    HolidayYear,
    edition,
    expected_closure,
    festival_closure,
    public_holidays,
    working_calendar,
    yearly_closure,
)
from assistant.scheduling.workdays import Calendar, Problem, Span, Week, parse_week

YEARS_BEFORE, YEARS_AFTER = 1, 3
OLDEST, YOUNGEST = 1900, 2200  # years outside are nobody's plan; a table of them is not built
USUAL_WEEK = "Mon-Fri"
NO_PROFILE = (Profile(),)  # of a shop that has none yet; one object, for what is kept by identity

BY_VALUE = (date, int, str, Lead)

P = ParamSpec("P")
T = TypeVar("T")


class Same(Generic[T]):
    """A value compared by identity, for caches over whole tables of a shop.

    The tables of a shop are tuples that stay the same object until a change touches them; holding
    one here keeps its identity from being used again.
    """

    __slots__ = ("it",)

    def __init__(self, it: T) -> None:
        self.it = it

    def __hash__(self) -> int:
        return id(self.it)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self.it is other.it


def cached_by_identity(size: int) -> Callable[[Callable[P, T]], Callable[P, T]]:
    """Keep the last `size` results of a pure function whose arguments are told apart by identity.

    Dates, numbers, words and lead times are told apart by value. Arguments are given by position.
    """

    def decorate(function: Callable[P, T]) -> Callable[P, T]:
        bare: Callable[..., T] = function

        @lru_cache(maxsize=size)
        def kept(*keys: Any) -> T:
            return bare(*(key.it if isinstance(key, Same) else key for key in keys))

        @wraps(function)
        def call(*values: P.args, **_: P.kwargs) -> T:
            return kept(*(v if isinstance(v, BY_VALUE) else Same(v) for v in values))

        return call

    return decorate


@dataclass(frozen=True, slots=True)
class Calendars:
    """One calendar for the shop and one for each supplier, by Supplier.id."""

    shop: Calendar
    suppliers: Mapping[str, Calendar]

    def of(self, supplier: str) -> Calendar:
        """The calendar of a supplier; of one that is not known ("" too), the shop's."""
        return self.suppliers.get(supplier, self.shop)


def calendars(shop: Shop, today: date) -> Calendars:
    """Return the calendars of a shop, as known on `today`."""
    profile = shop.profile or NO_PROFILE
    return _calendars(profile, shop.suppliers, shop.almanac, *_window(today))


def missing(shop: Shop, today: date) -> tuple[Almanac, ...]:
    """Return the public holidays that the shop's calendars need and the shop does not keep.

    Those of another edition of the holiday data are derived anew. A country without data has none.
    The `holidays` package is imported only when something is missing.
    """
    profile = shop.profile or NO_PROFILE
    wanted = _wanted(profile, shop.suppliers, shop.almanac, *_window(today))
    return tuple(record for key in wanted if (record := _derived(*key)) is not None)


def _window(today: date) -> tuple[int, int]:
    """The first and last year of the tables."""
    year = min(max(today.year, OLDEST), YOUNGEST)
    return year - YEARS_BEFORE, year + YEARS_AFTER


def _places(profile: Profile, suppliers: tuple[Supplier, ...]) -> Iterator[tuple[str, str]]:
    """The country and subdivision of every party; the shop's first."""
    yield profile.country, profile.subdivision
    for supplier in suppliers:
        yield _place(profile, supplier)


def _place(profile: Profile, supplier: Supplier) -> tuple[str, str]:
    """Where a supplier is: one without a country is in the shop's own."""
    if supplier.country:
        return supplier.country, supplier.subdivision
    return profile.country, supplier.subdivision or profile.subdivision


def _almanac_id(country: str, subdivision: str, year: int) -> str:
    return "/".join(filter(None, (country, subdivision, str(year))))


@cached_by_identity(64)
def _wanted(
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    almanac: tuple[Almanac, ...],
    first: int,
    last: int,
) -> tuple[tuple[str, str, int], ...]:
    """The (country, subdivision, year) that are not kept, or kept from another edition."""
    kept = {record.id for record in almanac if record.edition == edition()}
    return tuple(
        (country, subdivision, year)
        for country, subdivision in dict.fromkeys(_places(profile[0], suppliers))
        for year in range(first, last + 1)
        if _almanac_id(country, subdivision, year) not in kept
    )


@lru_cache(maxsize=512)
def _derived(country: str, subdivision: str, year: int) -> Almanac | None:
    found = public_holidays(country, subdivision or None, year)
    if isinstance(found, Problem):
        return None
    return Almanac(
        id=_almanac_id(country, subdivision, year),
        off=found.off,
        on=found.on,
        provisional=found.provisional,
        edition=edition(),
    )


@cached_by_identity(64)
def _calendars(
    profile: tuple[Profile, ...],
    suppliers: tuple[Supplier, ...],
    almanac: tuple[Almanac, ...],
    first: int,
    last: int,
) -> Calendars:
    """Build the calendars that are not built yet."""
    shop, kept = profile[0], {record.id: record for record in almanac}

    def build(party: Profile | Supplier, country: str, subdivision: str) -> Calendar:
        ids = (_almanac_id(country, subdivision, year) for year in range(first, last + 1))
        known = tuple(kept[id] for id in ids if id in kept)
        repeated = isinstance(party, Supplier)
        return _calendar(party.week, party.closures, repeated, known, first, last)

    return Calendars(
        build(shop, shop.country, shop.subdivision),
        MappingProxyType({s.id: build(s, *_place(shop, s)) for s in suppliers}),
    )


@lru_cache(maxsize=512)
def _calendar(
    week: str,
    closures: tuple[Closure, ...],
    repeated: bool,
    almanac: tuple[Almanac, ...],
    first: int,
    last: int,
) -> Calendar:
    """One party's calendar. `repeated`: its last one-off closures are expected again."""
    read = parse_week(week)
    years = range(first, last + 1)
    spans = [span for closure in closures for span in closed_spans(closure, years)]
    if repeated:
        spans.extend(_expected(closures, years))
    return working_calendar(
        Week.from_string(USUAL_WEEK) if isinstance(read, Problem) else read,
        (_holiday_year(record) for record in almanac),
        spans,
        first=date(first, 1, 1),
        last=date(last, 12, 31),
    )


def _holiday_year(record: Almanac) -> HolidayYear:
    place, _, year = record.id.rpartition("/")
    country, _, subdivision = place.partition("/")
    return HolidayYear(
        country, subdivision or None, int(year), record.off, record.on, record.provisional
    )


def closed_spans(closure: Closure, years: range) -> tuple[Span, ...]:
    """The days of a closure in `years`, with its reason."""
    if closure.festival:
        return festival_closure(years, closure.before, closure.after, closure.reason)
    if closure.first is None:
        return ()
    if closure.yearly:
        last = closure.last or closure.first
        return yearly_closure(Span(closure.first, last, closure.reason), years)
    return (Span(closure.first, closure.last, closure.reason),)


def _expected(closures: tuple[Closure, ...], years: range) -> Iterator[Span]:
    """The last year's one-off closures of a supplier, expected again on the same days.

    A closure that has no date yet for a later year is planned from the last one known and said to
    be provisional: common practice, no source.
    """
    dated = [
        Span(closure.first, closure.last, closure.reason)
        for closure in closures
        if closure.first and closure.last and not closure.yearly and not closure.festival
    ]
    newest = max((span.first.year for span in dated), default=0)
    for span in dated:
        if span.first.year == newest:
            yield from expected_closure(span, range(max(newest + 1, years.start), years.stop))


def week_of(shop: Shop) -> Week:
    """Return the shop's working week."""
    read = parse_week(profile_of(shop).week)
    return Week.from_string(USUAL_WEEK) if isinstance(read, Problem) else read

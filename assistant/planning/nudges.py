"""Nudges: what each person is told of the deadlines, on which morning.

Knows: people, their mornings, the ledger, deadlines. Must not know: how a digest is written or
sent. Invariants: whether a digest is due is a function of plan, ledger and clock alone; a local
day has at most one digest of a person, however long nobody looked; what lies ahead is told once
for each date it has, then again on its day and every morning after it, until done or put off; what
is one person's (crew.py) is told to that person; who is off is not told anything.

A person's morning is the moment at which her clocks show her hour, so a night on which clocks
change neither skips nor repeats one (scheduling.zones).
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from datetime import UTC, date, datetime, time, timedelta, tzinfo

from msgspec.structs import replace

from assistant.planning.calendars import calendars, week_of
from assistant.planning.changes import find, profile_of
from assistant.planning.crew import given, is_off, is_told
from assistant.planning.deadlines import Deadline, deadlines
from assistant.planning.model import (
    Change,
    House,
    Mark,
    MarkState,
    Morning,
    Person,
    Put,
    Record,
    Shop,
)
from assistant.scheduling.weeks import WEEKEND
from assistant.scheduling.workdays import Calendar
from assistant.scheduling.zones import local_instant, zone

DAY = timedelta(days=1)
LOOK_AHEAD = 9  # days in which a morning must come, whatever the weekends
MOST_OFF = 400  # days ahead in which the next morning of a person who is off is looked for


class Digest(Record):
    """What one person is told on one morning; each part by date.

    `late`: past and open. `today`: due on `day`, or on a day before the next morning (a weekend
    without nudges). `ahead`: its notice has been reached and it was not told yet for this date.
    """

    person: str  # Person.id
    day: date
    late: tuple[Deadline, ...] = ()
    today: tuple[Deadline, ...] = ()
    ahead: tuple[Deadline, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether there is nothing to tell: then it is recorded, and nothing is sent."""
        return not (self.late or self.today or self.ahead)


# --- what is due ----------------------------------------------------------------------------


def digest_for(shop: Shop, person: Person, now: datetime) -> Digest | None:
    """Return the digest that is due to a person at `now` (aware), or None when none is.

    Due from her hour on until her day ends, outside quiet hours, once a day, at weekends only if
    she wants it. An empty digest is due too: recording it (`told`) ends the day's question.
    """
    day = _due_day(shop, person, now)
    if day is None:
        return None
    morning = find(shop.mornings, person.id)
    told = frozenset(morning.told if morning else ())
    return _digest(shop, person, deadlines(shop, day), day, told)


def told(digest: Digest, shop: Shop) -> tuple[Change, ...]:
    """Return the changes that record a digest as told."""
    old = find(shop.mornings, digest.person)
    still = [pair for pair in (old.told if old else ()) if pair[1] > digest.day]
    new = [(deadline.key, deadline.on) for deadline in digest.ahead]
    return (Put(Morning(digest.person, digest.day, tuple(dict.fromkeys((*still, *new))))),)


def next_due(shop: Shop, now: datetime) -> datetime | None:
    """Return the next moment (UTC) at which someone's digest is due: `now` if one is due already,
    None when there is nobody to tell."""
    moments = [moment for person in shop.people for moment in _moments(shop, person, now)]
    return min(moments, default=None)


def rehearse(shop: Shop, first: date, last: date) -> tuple[Digest, ...]:
    """Return every digest with something in it that the owner would get from `first` to `last`.

    Assumes that each thing is done on the day it is due, or on the day it was put off to if that
    is later, and that the plan stays as it is. What is past on the first morning is late on it.
    Without an owner, for someone with the house's hours.
    """
    owner = next((one for one in shop.people if one.role == "owner"), Person(id="", chat=""))
    days = tuple(_mornings(shop, owner, first, last))
    if not days:
        return ()
    calendar = calendars(shop, first).shop
    reach = calendar.shift(last, _most_notice(shop.house) + 1) or date.max
    away = given(shop)
    todo = [
        one
        for one in deadlines(shop, first)
        if one.on <= reach and one.nudge and one.state == "open"
        if one.key not in away or is_told(shop, owner, one, first)
    ]
    seen = (_seen_on(one, days[0], calendar) for one in todo)
    begun = _digest(shop, owner, seen, days[0], frozenset())
    told = {(one.key, one.on) for one in begun.ahead}
    after = next(_mornings(shop, owner, days[-1] + DAY, days[-1] + LOOK_AHEAD * DAY))
    due, ahead = _later([one for one in todo if one.on >= days[0]], days, after, calendar, told)
    held = _held(todo, days)
    later = (
        Digest(
            person=owner.id,
            day=day,
            late=tuple(_seen_on(one, day, calendar) for one in held.get(day, ())),
            today=tuple(due[morning]),
            ahead=tuple(ahead[morning]),
        )
        for morning, day in enumerate(days[1:], start=1)
    )
    return tuple(digest for digest in (begun, *later) if not digest.empty)


def _later(
    todo: Iterable[Deadline],
    days: Sequence[date],
    after: date,
    calendar: Calendar,
    told: Set[tuple[str, date]],
) -> tuple[Sequence[Sequence[Deadline]], Sequence[Sequence[Deadline]]]:
    """What is due and what lies ahead on each of the mornings `days` but the first.

    `after` is the morning that follows the last; what was `told` is ahead no more.
    """
    ordinals = [day.toordinal() for day in (*days, after)]
    ranks = [calendar.rank(ordinal) for ordinal in ordinals[:-1]]
    due: list[list[Deadline]] = [[] for _ in days]
    ahead: list[list[Deadline]] = [[] for _ in days]
    for one in todo:
        ordinal = one.on.toordinal()
        rank, met = calendar.rank(ordinal), bisect_right(ordinals, ordinal) - 1
        silent = 0 if one.until is None else bisect_left(days, one.until)
        noticed = max(silent, bisect_left(ranks, rank - one.notice))
        if 0 < noticed < met and (one.key, one.on) not in told:
            ahead[noticed].append(replace(one, float=rank - ranks[noticed]))
        if 0 < met < len(days) and silent <= met:
            due[met].append(replace(one, float=rank - ranks[met]))
    return due, ahead


def _held(todo: Iterable[Deadline], days: Sequence[date]) -> Mapping[date, Sequence[Deadline]]:
    """What was put off past its date, by the morning on which it is told again."""
    held: defaultdict[date, list[Deadline]] = defaultdict(list)
    for one in todo:
        if one.until is not None and one.until > one.on:
            morning = bisect_left(days, one.until)
            if 0 < morning < len(days) and one.on < days[morning]:
                held[days[morning]].append(one)
    return held


def _seen_on(one: Deadline, day: date, calendar: Calendar) -> Deadline:
    """A deadline with the float that it has on another day."""
    spare = calendar.count(day, one.on)
    return replace(one, float=spare if one.on >= day else min(spare, -1))


def _digest(
    shop: Shop,
    person: Person,
    candidates: Iterable[Deadline],
    day: date,
    known: Set[tuple[str, date]],
) -> Digest:
    """Sort out deadlines, given by date with their float on `day`; `known` were told before."""
    most = _most_notice(shop.house)
    after = next(_mornings(shop, person, day + DAY, day + LOOK_AHEAD * DAY))
    late, today, ahead = [], [], []
    for one in candidates:
        if one.on >= after and one.float > most:
            break
        if one.state != "open" or not one.nudge or (one.until and one.until > day):
            continue
        if not is_told(shop, person, one, day):
            continue
        if one.on < day:
            late.append(one)
        elif one.on < after:
            today.append(one)
        elif one.float <= one.notice and (one.key, one.on) not in known:
            ahead.append(one)
    return Digest(person.id, day, tuple(late), tuple(today), tuple(ahead))


# --- dealing with it ------------------------------------------------------------------------


def mark(shop: Shop, key: str, state: MarkState, now: datetime, by: str) -> tuple[Change, ...]:
    """Return the changes that mark a deadline done, not needed, or open again; none if it is."""
    old = find(shop.ledger, key) or Mark(key)
    if (old.state, old.until) == (state, None):
        return ()
    return (Put(Mark(key, state, at=now, by=by, to=old.to)),)


def put_off(shop: Shop, key: str, until: date, now: datetime, by: str) -> tuple[Change, ...]:
    """Return the changes that silence a deadline until a day, on which it is told again."""
    old = find(shop.ledger, key) or Mark(key)
    silent = Put(Mark(key, until=until, at=now, by=by, to=old.to))
    forgotten = (
        Put(replace(morning, told=tuple(pair for pair in morning.told if pair[0] != key)))
        for morning in shop.mornings
        if any(pair[0] == key for pair in morning.told)
    )
    return (silent, *forgotten)


def working_days_on(shop: Shop, days: int, today: date) -> date:
    """Return the day so many of the shop's working days after `today`; the last day there is if
    that many never come."""
    return calendars(shop, today).shop.shift(today, days) or date.max


def local_day(shop: Shop, now: datetime, person: Person | None = None) -> date:
    """Return the day that it is at `now` for a person, or for the shop."""
    return now.astimezone(_zone(shop, person)).date()


# --- mornings -------------------------------------------------------------------------------


def morning_of(shop: Shop, person: Person, day: date) -> datetime:
    """Return the moment (UTC) of the last morning up to a day on which a person is told: whatever
    is due on that day is told then at the latest."""
    first = day - LOOK_AHEAD * DAY
    *_, morning = _mornings(shop, person, first, day)
    return _instant(shop, person, morning, _hour(shop.house, person))


def _due_day(shop: Shop, person: Person, now: datetime) -> date | None:
    """The local day of the digest that is due now, or None."""
    here = now.astimezone(_zone(shop, person))
    day, morning = here.date(), find(shop.mornings, person.id)
    if not person.reachable or (morning and morning.day >= day):
        return None
    if day not in _mornings(shop, person, day, day) or is_off(person, day):
        return None
    early = now < _instant(shop, person, day, _hour(shop.house, person))
    return None if early or _quiet(shop.house, here.time()) else day


def _moments(shop: Shop, person: Person, now: datetime) -> Iterator[datetime]:
    """The next moment at which a person's digest is due; none for one who cannot be reached."""
    if not person.reachable:
        return
    if _due_day(shop, person, now):
        yield now.astimezone(UTC)
        return
    morning, day = find(shop.mornings, person.id), local_day(shop, now, person)
    start = max(day, morning.day + DAY) if morning else day
    days = _mornings(shop, person, start, start + (LOOK_AHEAD + MOST_OFF) * DAY)
    for day in (one for one in days if not is_off(person, one)):
        hour = _instant(shop, person, day, _hour(shop.house, person))
        again = _instant(shop, person, day, shop.house.quiet_to)
        for moment in sorted({hour, max(hour, again)}):
            shown = moment.astimezone(_zone(shop, person)).time()
            if moment > now and not _quiet(shop.house, shown):
                yield moment
                return


def _mornings(shop: Shop, person: Person, first: date, last: date) -> Iterator[date]:
    """The days from `first` to `last` on which a person is told.

    A shop that works on a Saturday or Sunday has no weekend on that day.
    """
    weekends = shop.house.weekends if person.weekends is None else person.weekends
    silent = set() if weekends else set(WEEKEND) - set(week_of(shop).days)
    days = (date.fromordinal(n) for n in range(first.toordinal(), last.toordinal() + 1))
    return (day for day in days if day.weekday() not in silent)


def _hour(house: House, person: Person) -> time:
    """When a person's morning is: her hour, or the end of the quiet hours that it lies in."""
    hour = person.digest_at or house.digest_at
    return house.quiet_to if _quiet(house, hour) else hour


def _quiet(house: House, at: time) -> bool:
    if house.quiet_from <= house.quiet_to:
        return house.quiet_from <= at < house.quiet_to
    return at >= house.quiet_from or at < house.quiet_to


def _instant(shop: Shop, person: Person, day: date, at: time) -> datetime:
    names = (person.zone, profile_of(shop).zone, "UTC")
    return next(found for name in names if (found := local_instant(day, at, name)))


def _zone(shop: Shop, person: Person | None) -> tzinfo:
    """A person's zone, else the shop's; UTC for one that is not known."""
    names = (person.zone if person else "", profile_of(shop).zone)
    return next((found for name in names if (found := zone(name))), UTC)


def _most_notice(house: House) -> int:
    return max((rule.notice for rule in house.stages), default=0)

"""Who is told what on which morning. All shops and people are invented."""

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.deadlines import Deadline, deadlines
from assistant.planning.model import Mark, Morning, Person, Put, Shop
from assistant.planning.nudges import (
    Digest,
    digest_for,
    local_day,
    mark,
    next_due,
    put_off,
    rehearse,
    told,
    working_days_on,
)
from tests.planning.plans import TODAY, shops
from tests.trade import shop

WREN = Person("wren", "telegram:1", role="owner")
ZONES = ("Europe/London", "America/New_York", "Australia/Sydney", "Australia/Lord_Howe")
MINUTE = timedelta(minutes=1)


def utc(day: date | str, hour: int = 12, minute: int = 0) -> datetime:
    """A moment in UTC."""
    day = date.fromisoformat(day) if isinstance(day, str) else day
    return datetime(day.year, day.month, day.day, hour, minute, tzinfo=UTC)


def peopled(made: Shop, *people: Person) -> Shop:
    """The shop with these people."""
    return replace(made, people=people or (WREN,))


def tick(made: Shop, now: datetime) -> tuple[Shop, list[Digest]]:
    """What a tick does: everyone's due digest is recorded."""
    digests = [found for one in made.people if (found := digest_for(made, one, now))]
    for found in digests:
        made = apply(made, told(found, made))
    return made, digests


def ticked(made: Shop, moments: Iterable[datetime]) -> Iterator[tuple[datetime, Digest]]:
    """Every digest over some moments."""
    for now in moments:
        made, digests = tick(made, now)
        for found in digests:
            yield now, found


def keys(part: tuple[Deadline, ...]) -> list[str]:
    """The keys of a part of a digest."""
    return [one.key for one in part]


def mornings(days: int, first: date = TODAY) -> Iterator[datetime]:
    """Ticks at eight in the morning, UTC."""
    return (utc(first + timedelta(n), 8) for n in range(days))


# --- one deadline's life ---------------------------------------------------------------------


def only(stage: str, made: Shop) -> Shop:
    """The shop with nudges for one stage alone, two working days ahead."""
    rules = (replace(rule, nudge=rule.name == stage, notice=2) for rule in made.house.stages)
    return peopled(replace(made, house=replace(made.house, stages=tuple(rules))))


PACKING = only("pack", shop("2026-12, ships 2026-12-15"))  # start packing on Monday 14 December
PACK = "2026-12/pack"


def parts(made: Shop, key: str = PACK) -> dict[str, list[str]]:
    """On which mornings of four weeks a deadline is told, by part of the digest."""
    told_on: dict[str, list[str]] = {"ahead": [], "today": [], "late": []}
    for _, found in ticked(made, mornings(28)):
        for part, days_told in told_on.items():
            if key in keys(getattr(found, part)):
                days_told.append(f"{found.day:%a %d}")
    return told_on


def test_told_ahead_once_then_on_the_day_then_daily_but_at_weekends() -> None:
    assert parts(PACKING) == {
        "ahead": ["Thu 10"],
        "today": ["Mon 14"],
        "late": ["Tue 15", "Wed 16", "Thu 17", "Fri 18", "Mon 21", "Tue 22"],
    }


WEEKENDS = (
    # the shop's week, when its boxes that ship on Sunday 13 December are told of
    ("Mon-Fri", {"ahead": ["Thu 10"], "today": ["Fri 11"], "late": ["Mon 14", "Tue 15"]}),
    ("Tue-Sat", {"ahead": ["Fri 11"], "today": ["Sat 12"], "late": ["Mon 14", "Tue 15"]}),
    ("every day", {"ahead": ["Fri 11"], "today": ["Sun 13"], "late": ["Mon 14", "Tue 15"]}),
)


@pytest.mark.parametrize(("week", "expected"), WEEKENDS)
def test_what_falls_on_a_weekend_is_told_before_it(
    week: str, expected: dict[str, list[str]]
) -> None:
    found = parts(only("ship", shop("2026-12, ships 2026-12-13", week=week)), "2026-12/ship")
    assert {part: days[:2] for part, days in found.items()} == expected


def test_weekends_by_choice() -> None:
    every_day = replace(PACKING, people=(replace(WREN, weekends=True),))
    assert parts(every_day)["late"][3:6] == ["Fri 18", "Sat 19", "Sun 20"]
    by_house = replace(PACKING, house=replace(PACKING.house, weekends=True))
    assert parts(by_house)["late"][3:6] == ["Fri 18", "Sat 19", "Sun 20"]
    not_hers = replace(by_house, people=(replace(WREN, weekends=False),))
    assert parts(not_hers)["late"][3:5] == ["Fri 18", "Mon 21"]


def test_done_and_not_needed_end_it() -> None:
    for state in ("done", "not needed"):
        made, _ = tick(PACKING, utc("2026-12-10"))
        made = apply(made, mark(made, PACK, state, utc("2026-12-10", 13), "wren"))
        assert not any(
            keys(found.late) + keys(found.today)
            for _, found in ticked(made, mornings(9, date(2026, 12, 11)))
        )


def test_put_off_is_silent_until_its_day_then_told_again() -> None:
    made, [first] = tick(PACKING, utc("2026-12-10"))
    assert keys(first.ahead) == [PACK]
    made = apply(made, put_off(made, PACK, date(2026, 12, 11), utc("2026-12-10", 13), "wren"))
    made, [again] = tick(made, utc("2026-12-11"))
    assert keys(again.ahead) == [PACK]  # told a second time for the same date
    made = apply(made, put_off(made, PACK, date(2026, 12, 17), utc("2026-12-11", 13), "wren"))
    told_on = [found.day.day for _, found in ticked(made, mornings(9, date(2026, 12, 12)))
               if keys(found.late)]  # fmt: skip
    assert told_on == [17, 18]


def test_a_date_that_moves_is_told_anew() -> None:
    made, _ = tick(PACKING, utc("2026-12-10"))
    made = apply(made, [Put(replace(made.boxes[0], ship_on=date(2026, 12, 16)))])
    made, [same_day_again] = tick(made, utc("2026-12-11"))
    assert keys(same_day_again.ahead) == [PACK]
    assert [found for _, found in ticked(made, [utc("2026-12-12")])] == []


def test_marks() -> None:
    made = apply(PACKING, mark(PACKING, PACK, "done", utc("2026-12-10"), "wren"))
    assert made.ledger == (Mark(PACK, "done", at=utc("2026-12-10"), by="wren"),)
    assert mark(made, PACK, "done", utc("2026-12-11"), "rowan") == ()
    assert mark(PACKING, PACK, "open", utc("2026-12-11"), "rowan") == ()
    late = apply(made, put_off(made, PACK, date(2026, 12, 20), utc("2026-12-12"), "wren"))
    assert late.ledger[0].state == "open"
    ended = apply(late, mark(late, PACK, "open", utc("2026-12-13"), "wren"))
    assert ended.ledger[0].until is None


def test_days_are_put_off_by_the_shops_own_working_days() -> None:
    assert working_days_on(shop(), 3, date(2026, 12, 3)) == date(2026, 12, 8)
    assert working_days_on(shop(week="every day"), 3, date(2026, 12, 3)) == date(2026, 12, 6)


def test_what_was_told_is_forgotten_once_its_date_is_past() -> None:
    made = replace(
        PACKING, mornings=(Morning("wren", date(2026, 12, 9), (("old/order", date(2026, 12, 9)),)),)
    )
    made, _ = tick(made, utc("2026-12-10"))
    assert made.mornings == (Morning("wren", date(2026, 12, 10), ((PACK, date(2026, 12, 14)),)),)


# --- when a digest is due --------------------------------------------------------------------

HOURS = (
    # digest hour, moment on a Thursday in London, whether one is due
    (None, (7, 59), False),
    (None, (8, 0), True),
    (None, (20, 59), True),
    (None, (21, 0), False),  # quiet
    (None, (3, 0), False),
    (time(11, 30), (11, 29), False),
    (time(11, 30), (11, 30), True),
    (time(6), (6, 30), False),  # an hour in the quiet time is moved to its end
    (time(6), (7, 0), True),
    (time(22, 30), (7, 0), True),
    (time(0), (7, 0), True),
)


@pytest.mark.parametrize(("hour", "at", "due"), HOURS)
def test_hours(hour: time | None, at: tuple[int, int], due: bool) -> None:
    made = peopled(PACKING, replace(WREN, digest_at=hour))
    assert (digest_for(made, made.people[0], utc("2026-12-10", *at)) is not None) is due


def test_quiet_hours_within_one_day() -> None:
    siesta = replace(PACKING.house, quiet_from=time(7), quiet_to=time(10))
    made = replace(PACKING, house=siesta)
    assert next_due(made, utc("2026-12-10", 5)) == utc("2026-12-10", 10)
    none = replace(PACKING, house=replace(siesta, quiet_to=time(7)))
    assert next_due(none, utc("2026-12-10", 5)) == utc("2026-12-10", 8)


def test_a_machine_that_wakes_in_a_quiet_hour_of_the_day_tells_at_its_end() -> None:
    made = replace(PACKING, house=replace(PACKING.house, quiet_from=time(13), quiet_to=time(15)))
    assert next_due(made, utc("2026-12-10", 14)) == utc("2026-12-10", 15)


def test_nobody_is_told_who_cannot_be_reached() -> None:
    made = peopled(PACKING, replace(WREN, reachable=False))
    assert digest_for(made, made.people[0], utc("2026-12-10")) is None
    assert next_due(made, utc("2026-12-10")) is None
    assert next_due(peopled(PACKING), utc("2026-12-10")) == utc("2026-12-10")


def test_helpers_are_told_too_each_at_their_own_hour() -> None:
    rowan = Person("rowan", "telegram:2", zone="Australia/Sydney", digest_at=time(9))
    made = peopled(PACKING, WREN, rowan)
    seen = list(ticked(made, (utc("2026-12-09", 22) + n * 30 * MINUTE for n in range(24))))
    assert [(found.person, now) for now, found in seen] == [
        ("rowan", utc("2026-12-09", 22)),  # 09:00 on the 10th in Sydney
        ("wren", utc("2026-12-10", 8)),
    ]
    assert [found.day for _, found in seen] == [date(2026, 12, 10)] * 2


def test_an_unknown_zone_is_the_shops() -> None:
    made = peopled(PACKING, replace(WREN, zone="Atlantis/Reef"))
    assert next_due(made, utc("2026-12-10", 5)) == utc("2026-12-10", 8)
    lost = replace(made, profile=shop(zone="Atlantis/Reef").profile)
    assert next_due(lost, utc("2026-12-10", 5)) == utc("2026-12-10", 8)
    assert local_day(lost, utc("2026-12-10", 5)) == date(2026, 12, 10)


# --- nights on which clocks change -----------------------------------------------------------

# Source: IANA time zone database, rules US (2026: 8 March, 1 November, 02:00 local) and EU
# (2026: 29 March, 25 October, 01:00 UTC); AN for Sydney (5 April, 4 October, 02:00 standard) and
# LH for Lord Howe (the same nights, by half an hour).
NIGHTS = (
    ("America/New_York", date(2026, 3, 8), time(2, 30), 23 * 60),
    ("America/New_York", date(2026, 11, 1), time(1, 30), 25 * 60),
    ("Europe/London", date(2026, 3, 29), time(1, 30), 23 * 60),
    ("Europe/London", date(2026, 10, 25), time(1, 30), 25 * 60),
    ("Australia/Sydney", date(2026, 4, 5), time(2, 30), 25 * 60),
    ("Australia/Sydney", date(2026, 10, 4), time(2, 30), 23 * 60),
    ("Australia/Lord_Howe", date(2026, 4, 5), time(1, 45), 24 * 60 + 30),
    ("Australia/Lord_Howe", date(2026, 10, 4), time(2, 15), 23 * 60 + 30),
)


@pytest.mark.parametrize(("zone", "night", "hour", "length"), NIGHTS)
def test_a_night_on_which_clocks_change_has_one_digest(
    zone: str, night: date, hour: time, length: int
) -> None:
    no_quiet = replace(PACKING.house, quiet_from=time(0), quiet_to=time(0))
    person = replace(WREN, zone=zone, digest_at=hour, weekends=True)
    made = peopled(replace(PACKING, house=no_quiet), person)
    start = datetime.combine(night, time(0), ZoneInfo(zone)).astimezone(UTC)
    moments = [start + n * 5 * MINUTE for n in range(length // 5)]
    assert moments[-1].astimezone(ZoneInfo(zone)).date() == night
    assert local_day(made, start + length * MINUTE, person) == night + timedelta(1)
    seen = list(ticked(made, moments))
    assert [found.day for _, found in seen] == [night]
    shown = seen[0][0].astimezone(ZoneInfo(zone))
    assert (
        timedelta(0)
        <= shown.replace(tzinfo=None) - datetime.combine(night, hour)
        <= timedelta(hours=1)
    )


# --- properties ------------------------------------------------------------------------------


def people() -> st.SearchStrategy[tuple[Person, ...]]:
    """Two people in zones of their own."""
    one = st.builds(
        Person,
        id=st.sampled_from(("wren", "rowan")),
        chat=st.just("terminal:"),
        zone=st.sampled_from(("", *ZONES)),
        digest_at=st.none() | st.times(),
        weekends=st.sampled_from((None, True, False)),
    )
    return st.lists(one, min_size=1, max_size=2, unique_by=lambda person: person.id).map(tuple)


MOMENTS = st.integers(0, 211 * 24 * 60).map(lambda n: utc("2026-10-01") + n * MINUTE)


@given(shops(), people(), st.lists(MOMENTS, min_size=1, max_size=25).map(sorted))
def test_nothing_is_told_twice_on_a_day_and_nothing_ahead_twice_for_a_date(
    made: Shop, folk: tuple[Person, ...], moments: list[datetime]
) -> None:
    days: set[tuple[str, date]] = set()
    ahead: set[tuple[str, str, date]] = set()
    again = [now for now in moments for _ in range(2)]  # every tick comes twice
    for now, found in ticked(replace(made, people=folk), again):
        assert (found.person, found.day) not in days
        days.add((found.person, found.day))
        person = next(one for one in folk if one.id == found.person)
        assert found.day == local_day(made, now, person)
        every = (*found.late, *found.today, *found.ahead)
        assert len(set(keys(every))) == len(every)
        assert all(one.state == "open" and one.nudge for one in every)
        assert all(not one.until or one.until <= found.day for one in every)
        assert all(one.on < found.day for one in found.late)
        for one in found.ahead:
            assert (found.person, one.key, one.on) not in ahead
            ahead.add((found.person, one.key, one.on))


@given(shops(), people(), MOMENTS, st.integers(1, 60 * 24 * 40))
def test_after_any_downtime_there_is_one_digest(
    made: Shop, folk: tuple[Person, ...], last: datetime, minutes: int
) -> None:
    made, _ = tick(replace(made, people=folk), last)
    back = last + minutes * MINUTE
    seen = list(ticked(made, [back, back, back + MINUTE]))
    assert len({found.person for _, found in seen}) == len(seen)


@given(shops(), people(), MOMENTS)
def test_the_next_moment_is_the_first_at_which_a_digest_is_due(
    made: Shop, folk: tuple[Person, ...], now: datetime
) -> None:
    made, _ = tick(replace(made, people=folk), now)
    moment = next_due(made, now)
    assert moment is not None
    assert now < moment <= now + timedelta(days=5)
    assert tick(made, moment)[1]
    before = [now + (moment - now) * n / 7 for n in range(7)] + [moment - timedelta(seconds=1)]
    for earlier in before:
        assert earlier < now or not tick(made, earlier)[1]
    assert next_due(made, moment) == moment


@settings(max_examples=30)
@given(shops(), st.sampled_from(ZONES), st.sampled_from((None, True, False)))
def test_every_open_deadline_is_told_by_its_day(
    made: Shop, zone: str, weekends: bool | None
) -> None:
    person = replace(WREN, zone=zone, weekends=weekends)
    made = replace(made, people=(person,), ledger=())
    start, days = datetime(2026, 11, 20, 20, tzinfo=UTC), 60
    first: dict[str, date] = {}
    began: date | None = None
    now, state = start, made
    while now < start + timedelta(days):
        now = next_due(state, now + timedelta(seconds=1)) or now
        state, [found] = tick(state, now)
        began = began or found.day
        for one in (*found.late, *found.today, *found.ahead):
            first.setdefault(one.key, found.day)
    assert began is not None
    for one in deadlines(made, began):
        if began <= one.on < local_day(made, now, person) and one.nudge and one.state == "open":
            assert first[one.key] <= one.on, one.key


@given(shops())
def test_a_quiet_morning_is_recorded_and_says_nothing(made: Shop) -> None:
    made = peopled(replace(made, boxes=(), items=()))
    made, [found] = tick(made, utc("2026-12-10"))
    assert found.empty
    assert tick(made, utc("2026-12-10", 13))[1] == []


# --- the rehearsal ---------------------------------------------------------------------------


def day_by_day(made: Shop, first: date, last: date) -> list[Digest]:
    """A rehearsal the long way: a clock that ticks, and marks for what is due."""
    digests = []
    for n in range((last - first).days + 1):
        now = utc(first + timedelta(n))
        made, found = tick(made, now)
        digests += [one for one in found if not one.empty]
        if found:
            tomorrow = first + timedelta(n + 1)
            while tomorrow.weekday() in (5, 6) and not _told_on(made, tomorrow):
                tomorrow += timedelta(1)
            met = [one.key for one in deadlines(made, found[0].day) if one.on < tomorrow]
            made = apply(made, (Put(Mark(key, "done", at=now)) for key in met))
    return digests


def _told_on(made: Shop, day: date) -> bool:
    return digest_for(replace(made, mornings=()), made.people[0], utc(day)) is not None


@settings(max_examples=25)
@given(shops(), st.dates(date(2026, 10, 20), date(2027, 1, 10)))
def test_a_rehearsal_agrees_with_a_clock_that_ticks(made: Shop, first: date) -> None:
    made = peopled(replace(made, ledger=()))
    last = first + timedelta(days=75)
    assume(_steady(made, first))
    short = [(one.day, keys(one.late), keys(one.today), keys(one.ahead))
             for one in rehearse(made, first, last)]  # fmt: skip
    long = [(one.day, keys(one.late), keys(one.today), keys(one.ahead))
            for one in day_by_day(made, first, last)]  # fmt: skip
    assert short == long


def _steady(made: Shop, first: date) -> bool:
    """Whether no stage comes before one that it does: then marking one ends no other early."""
    dates = {one.key: one for one in deadlines(made, first)}
    behind = {rule.name: rule.back_from for rule in made.house.stages if rule.implied}
    return all(
        (before := dates.get(f"{one.item or one.box}/{behind.get(one.stage, '')}")) is None
        or one.on <= before.on
        for one in dates.values()
    )


def test_a_rehearsal_needs_no_owner_and_tells_what_is_past_on_its_first_morning() -> None:
    made = shop("2026-12: tea, lead 12w", "2027-02: tea")
    first, *rest = rehearse(made, TODAY, TODAY + timedelta(90))
    assert first.day == TODAY
    assert "2026-12.tea/order" in keys(first.late)
    assert all(one.late == () for one in rest)
    assert all(not one.empty for one in rest)
    assert [one.day for one in rest] == sorted({one.day for one in rest})


def test_a_rehearsal_keeps_what_was_put_off_silent_till_then() -> None:
    made = apply(PACKING, [Put(Mark(PACK, until=date(2026, 12, 16)))])
    days = {f"{one.day:%a %d}": keys(one.late) for one in rehearse(made, TODAY, date(2027, 1, 10))}
    assert days == {"Wed 16": [PACK]}

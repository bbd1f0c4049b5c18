"""Prompts for the theme of a box, and where a theme was had before.

Knows: the idea inbox, occasions, the days that fall to a box (sittings.py). Must not know: words of
a conversation, what is chosen. Invariants: only waiting ideas are offered, and none that names
other months only; nothing is offered twice; the same shop on the same day gives the same prompts in
the same order; nothing here forbids a theme.

The order: ideas that fit the month, and the best `FREE` of those that fit any month; the theme of
the quarter that was loved most in earlier years; then seasons, moons, feasts, public holidays,
school holidays and days worth marking, each by date; then the other ideas. Ideas go by their score,
the highest first, the oldest first where it is equal:

    score = fit + months waited (at most 12) + votes (at most 12)
    fit   = 24 where the idea is meant for the month
            12 where a word of it suits an occasion of the box's days
             6 where a word of it suits the quarter of the year
             0 else

so that the month that an idea is meant for weighs as much as all waiting and all votes. Common
practice, no source.
"""

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from typing import Literal

from assistant.planning.calendars import closed_spans
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Idea, OccasionRule, Profile, Record, Shop
from assistant.planning.month.lessons import loved_themes
from assistant.planning.year.likeness import alike, near, stems
from assistant.planning.year.sittings import arrival, days_of, neighbours
from assistant.planning.year.sittings import open_boxes as open_boxes
from assistant.planning.year.sittings import sitting_year as sitting_year
from assistant.planning.year.sittings import year_boxes as year_boxes
from assistant.scheduling.occasions import (
    SEASON_WORDS,
    Occasion,
    Source,
    day_of,
    lunar_feasts,
    quarter_of,
    sky_days,
)
from assistant.scheduling.weeks import MONTHS, WEEKDAYS
from assistant.scheduling.zones import zone

FREE = 3  # ideas that fit any month and go before the occasions
NAMED, SUITS_A_DAY, SUITS_THE_QUARTER = 24, 12, 6  # fit of an idea
MOST = 12  # what waiting counts at most, and votes

REMEMBERED = 24  # months for which a theme is not had again without a word
SAME_FEAST = timedelta(3)  # occasions this near that share a word are told once
STILL_OUT = timedelta(7)  # a school holiday that goes on for so long after arrival counts
_OBSERVED = ("(observed)", "(substitute day)")  # the day itself is there too

_ORDER: tuple[Source, ...] = ("season", "moon", "feast", "holiday", "school", "day")


class Prompt(Record):
    """Something that a box could be about: `text` is its theme, `why` a short reason beside it.

    `on` is the (first) day of an occasion, `idea` the Idea.id of an idea.
    """

    text: str
    why: str
    source: Literal["idea", "loved", "season", "moon", "feast", "holiday", "school", "day"]
    on: date | None = None
    idea: str = ""


class Echo(Record):
    """A box (Box.id) whose theme is the same or like it; `side_by_side`: right before or after."""

    box: str
    theme: str
    side_by_side: bool


def prompts(shop: Shop, box_id: str, today: date) -> tuple[Prompt, ...]:
    """Return what the theme of a box could be, best first; the box need not be planned yet."""
    days = occasions(shop, box_id, today)
    fitting, free = _ideas(shop, box_id, days, today)
    loved = _loved(shop, box_id, today)
    return (*fitting, *free[:FREE], *loved, *_told(days), *free[FREE:])


def occasions(shop: Shop, box_id: str, today: date) -> tuple[Occasion, ...]:
    """Return the occasions on the days that fall to a box, in the order of the prompts.

    One that shares a word with an earlier one and lies within three days of it is left out: the
    holiday and the feast of Easter are one thing to have a box about.
    """
    first, last = days_of(shop, box_id, today)
    found = [
        one
        for year in range(first.year - 1, last.year + 1)  # a holiday may run over the new year
        for one in _year(shop, year)
        if first <= one.on <= last or (one.on < first and one.last and one.last - first > STILL_OUT)
    ]
    kept: list[Occasion] = []
    for one in sorted(found, key=lambda one: (_ORDER.index(one.source), one.on, one.name)):
        if not any(_same(one, other) for other in kept):
            kept.append(one)
    return tuple(kept)


def echoes(shop: Shop, box_id: str, theme: str, today: date) -> tuple[Echo, ...]:
    """Return the boxes that make a theme for a box not new, the nearest first.

    Those right before and after it whose theme is near it (likeness.near), and those shipped or
    planned within two years of it, either side, whose theme is as good as the same
    (likeness.alike): a year may be settled in any order.
    """
    beside = neighbours(shop, box_id, today)
    at = arrival(shop, box_id, today)
    found = []
    for box in shop.boxes:
        if box.id == box_id or not box.theme.strip() or not theme.strip():
            continue
        away = abs((int(box.id[:4]) - int(box_id[:4])) * 12 + int(box.id[5:7]) - int(box_id[5:7]))
        side_by_side = box.id in beside
        if away <= REMEMBERED and (near if side_by_side else alike)(theme, box.theme):
            far = abs(arrival(shop, box.id, today) - at)
            found.append((far, Echo(box.id, box.theme, side_by_side)))
    return tuple(echo for _, echo in sorted(found, key=lambda one: (one[0], one[1].box)))


# --- what was loved -------------------------------------------------------------------------


def _loved(shop: Shop, box_id: str, today: date) -> Iterator[Prompt]:
    """The theme that was loved most in the quarter of a box, unless the box has it."""
    box = find(shop.boxes, box_id)
    for one in loved_themes(shop, box_id, today)[:1]:
        if box is None or not alike(one.theme, box.theme):
            many = f" from {one.answers:,}" if one.answers else ""
            why = f"loved in {one.box[:4]}: {one.score:.1f} of 5{many}"
            yield Prompt(one.theme, why, "loved")


# --- ideas ----------------------------------------------------------------------------------


def _ideas(
    shop: Shop, box_id: str, days: Iterable[Occasion], today: date
) -> tuple[list[Prompt], list[Prompt]]:
    """The waiting ideas that fit the month of a box, and those that fit any month."""
    profile, month = profile_of(shop), int(box_id[5:7])
    suits_day = frozenset().union(*(stems(_words(one)) for one in days))
    suits_quarter = _of_quarter(month, profile.country)
    there = zone(profile.zone) or UTC
    fitting: list[tuple[int, datetime, str, Prompt]] = []
    free: list[tuple[int, datetime, str, Prompt]] = []
    for idea in shop.ideas:
        if not _is_offered(idea, month):
            continue
        waited = _months_between(idea.at.astimezone(there).date(), today)
        fit = _fit(idea, month, suits_day, suits_quarter)
        score = fit + min(waited, MOST) + min(idea.votes, MOST)
        told = Prompt(idea.text, _why(idea, waited), "idea", idea=idea.id)
        (fitting if fit else free).append((-score, idea.at, idea.id, told))
    return [one[3] for one in sorted(fitting)], [one[3] for one in sorted(free)]


def _is_offered(idea: Idea, month: int) -> bool:
    """Whether an idea may be the theme of a month's box."""
    if idea.months and month not in idea.months:
        return False
    return idea.state == "waiting" and bool(idea.text.strip())


def _fit(idea: Idea, month: int, suits_day: frozenset[str], suits_quarter: frozenset[str]) -> int:
    """How well an idea fits a month, as in the module's table."""
    if month in idea.months:
        return NAMED
    about = stems(idea.text)
    if about & suits_day:
        return SUITS_A_DAY
    return SUITS_THE_QUARTER if about & suits_quarter else 0


@lru_cache(maxsize=64)
def _of_quarter(month: int, country: str) -> frozenset[str]:
    quarter = quarter_of(month, country)
    return stems(" ".join((quarter, *SEASON_WORDS[quarter])))


def _why(idea: Idea, waited: int) -> str:
    """Why an idea is offered: "your idea, waiting 5 months, 3 votes"."""
    whose = f"from {idea.source}" if idea.source else "your idea"
    waiting = f"waiting {waited} month{'s' * (waited != 1)}" if waited else ""
    votes = f"{idea.votes} vote{'s' * (idea.votes != 1)}" if idea.votes else ""
    return ", ".join(filter(None, (whose, waiting, votes)))


def _months_between(first: date, last: date) -> int:
    """Whole months from one day to another, 0 where it is not past."""
    months = (last.year - first.year) * 12 + last.month - first.month
    return max(0, months - (last.day < first.day))


# --- occasions ------------------------------------------------------------------------------


def _year(shop: Shop, year: int) -> Iterator[Occasion]:
    """Every occasion that begins in a year, in no order."""
    profile = profile_of(shop)
    place = "/".join(filter(None, (profile.country, profile.subdivision, str(year))))
    almanac = find(shop.almanac, place)
    yield from sky_days(year, profile.zone, profile.country)
    yield from lunar_feasts(year)
    yield from _worth_marking(shop.house.occasions, profile.country, year)
    for on, name in almanac.off if almanac else ():
        if not name.endswith(_OBSERVED):
            yield Occasion(on, name, "holiday")
    yield from _school(profile, year)


@lru_cache(maxsize=64)
def _worth_marking(
    rules: tuple[OccasionRule, ...], country: str, year: int
) -> tuple[Occasion, ...]:
    """The days worth marking of a year in a country; those that hang on Easter are feasts."""
    return tuple(
        Occasion(
            day_of(year, rule.on, rule.rule, rule.easter),
            rule.name,
            "day" if rule.easter is None else "feast",
            rule.words,
        )
        for rule in rules
        if not rule.countries or country in rule.countries
    )


def _school(profile: Profile, year: int) -> Iterator[Occasion]:
    """School holidays that begin in a year."""
    for closure in profile.school:
        for span in closed_spans(closure, range(year, year + 1)):
            if span.first.year == year:
                last = span.last if span.last is not None else span.first
                yield Occasion(span.first, closure.reason or "school holiday", "school", (), last)


def _words(one: Occasion) -> str:
    return " ".join((one.name, *one.words))


def _same(one: Occasion, other: Occasion) -> bool:
    """Whether two occasions are one told twice."""
    return abs(one.on - other.on) <= SAME_FEAST and bool(stems(one.name) & stems(other.name))


def _told(days: Iterable[Occasion]) -> Iterator[Prompt]:
    """Occasions as prompts: those of one name (the full moons of a long wait) as one."""
    by_name: dict[str, list[Occasion]] = {}
    for one in days:
        by_name.setdefault(one.name.casefold(), []).append(one)
    for same in by_name.values():
        first = same[0]
        yield Prompt(first.name, ", ".join(map(_when, same)), first.source, on=first.on)


def _when(one: Occasion) -> str:
    """Write when an occasion is: "Sat 20 Mar", "Mon 15 to Fri 19 Feb"; a name that has its weekday
    ("Good Friday") needs it no more."""
    if one.last and one.last > one.on:
        same_month = (one.on.year, one.on.month) == (one.last.year, one.last.month)
        first = _day(one.on)[:-4] if same_month else _day(one.on)
        return f"{first} to {_day(one.last)}"
    named = WEEKDAYS[one.on.weekday()] in one.name
    return _day(one.on)[4:] if named else _day(one.on)


def _day(on: date) -> str:
    return f"{WEEKDAYS[on.weekday()][:3]} {on.day} {MONTHS[on.month - 1][:3]}"

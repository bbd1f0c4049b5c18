"""How fast boxes are packed: as told, as past runs show, and how much faster with practice.

Knows: counts of packed boxes with their moments, hands, hours. Must not know: days to come, words.
Invariants: a pace that the owner told herself is never changed by what runs show; hours are
people's hours, breaks within them; a count says nothing of the hours before it unless their
beginning is known.

The learning curve is the cumulative average model: with each doubling of the number the average
time falls to the same share. Source: T. P. Wright, "Factors Affecting the Cost of Airplanes",
1936. The cycle of a line and the least number of hands for it: textbook line balancing, no one
source.
"""

import math
from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta, tzinfo
from decimal import Decimal
from itertools import groupby, pairwise
from typing import Literal

from msgspec.structs import replace

from assistant.planning.calendars import NO_PROFILE, cached_by_identity
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import marks_of
from assistant.planning.model import House, Mark, Profile, Record, Run, Sent, Shop
from assistant.scheduling.zones import zone

STEEPEST, FLAT = 0.7, 1.0  # learning rates beyond these are not believed
LEAST_POINTS = 4  # counts within runs before a learning rate is taken from them
LAST_RUNS = 3  # whose pace counts
LONGEST_DAY = 14.0  # hours between the first and the last count of a day's packing
SECONDS = 3600
LEAST_HOURS = 0.25  # people's hours, before a run's own pace is believed
Known = Literal["own", "runs", "house", "run"]


class Spell(Record):
    """Boxes packed within some of people's hours."""

    boxes: int
    hours: float


class Pace(Record):
    """`boxes` that one person packs in an hour, where that comes from ("run": from this run so
    far), and the learning `rate`: 1 is none, 0.8 means that the average time falls to 80% with each
    doubling. `runs` were measured; `shown` is their pace, None where there are none."""

    boxes: Decimal
    known: Known
    rate: float = FLAT
    runs: int = 0
    shown: Decimal | None = None


class Line(Record):
    """Hands at a table: `seconds` from one box to the next, the least number of `hands` who keep
    that up, and the share of their time that they need for it (0 to 1)."""

    seconds: float
    hands: int
    used: float


def pace(shop: Shop) -> Decimal:
    """Return the boxes that one person packs in an hour."""
    return pace_of(shop).boxes


def pace_of(shop: Shop) -> Pace:
    """Return the pace that is reckoned with: her own, else that of the last runs, else the
    house's."""
    return _pace(shop.house, shop.profile, shop.runs, shop.sent, shop.ledger)


@cached_by_identity(8)
def _pace(
    house: House,
    profile: tuple[Profile, ...],
    runs: tuple[Run, ...],
    sent: tuple[Sent, ...],
    ledger: tuple[Mark, ...],
) -> Pace:
    shop = Shop("", house, profile=profile, runs=runs, sent=sent, ledger=ledger)
    own, over = (profile or NO_PROFILE)[0].boxes_per_hour, {one.id: one for one in sent}
    past = [run for run in runs if run.packed and (run.id in over or _over(shop, run.id))]
    measured = [one for run in past if (one := _whole(shop, run, over.get(run.id)))]
    known = {run.id for run in past}
    measured += [Spell(s.boxes, float(s.hours)) for s in sent if s.id not in known and s.hours]
    last = measured[-LAST_RUNS:]
    hours = sum(one.hours for one in last)
    shown = _tenth(sum(one.boxes for one in last) / hours) if hours > 0 else None
    shown = shown or None
    rate = learning_rate([spells(shop, run) for run in past])
    if own:
        return Pace(Decimal(own), "own", rate, len(last), shown)
    if shown is not None:
        return Pace(shown, "runs", rate, len(last), shown)
    return Pace(Decimal(house.boxes_per_hour), "house")


def _over(shop: Shop, box: str) -> bool:
    mark = marks_of(shop.ledger).get(f"{box}/ship")
    return mark is not None and mark.state == "done"


def _whole(shop: Shop, run: Run, sent: Sent | None) -> Spell | None:
    """A past run: its hours as noted when it was sent, else as its counts show."""
    if sent is not None and sent.hours:
        return Spell(sent.boxes, float(sent.hours))
    found = spells(shop, run)
    boxes, hours = sum(one.boxes for one in found), sum(one.hours for one in found)
    return Spell(boxes, hours) if boxes > 0 and hours > 0 else None


def _tenth(number: float) -> Decimal:
    return Decimal(str(round(number, 1)))


# --- a run that was counted -----------------------------------------------------------------


def spells(shop: Shop, run: Run, today: date | None = None) -> tuple[Spell, ...]:
    """Return what the counts of a run show, in order: boxes and people's hours from one count of a
    day to the next, and from the beginning where that was told (the stage "pack" marked done). A
    day with a single count counts as a whole day, unless it is `today`."""
    there = zone_of(shop)
    hands = hands_of(shop, run)
    began = _began(shop, run.id)
    found: list[Spell] = []
    for day, counts in groupby(sorted(run.packed), lambda one: one[0].astimezone(there).date()):
        counted = list(counts)
        start = counted[0][0]
        if began and began < start and began.astimezone(there).date() == day:
            counted.insert(0, (began, 0))
        elif len(counted) == 1:
            if day != today:
                found.append(Spell(counted[0][1], float(hours_of(shop, run)) * hands))
            continue
        for (then, _), (at, boxes) in pairwise(counted):
            found.append(Spell(boxes, _between(then, at) * hands))
    return tuple(found)


def pace_now(shop: Shop, run: Run | None, left: int, today: date) -> Pace:
    """Return the pace at which what is `left` of a run will be packed: as the run itself shows so
    far, quicker with practice; that of the shop while it shows nothing."""
    known = pace_of(shop)
    seen = spells(shop, run, today) if run else ()
    done, taken = sum(one.boxes for one in seen), sum(one.hours for one in seen)
    if done <= 0 or taken < LEAST_HOURS or left <= 0:
        return known
    hours = time_left(done, taken, known.rate, done + left)
    boxes = _tenth(left / hours) if hours > 0 else Decimal(0)
    return replace(known, boxes=boxes, known="run") if boxes else known


def hands_of(shop: Shop, run: Run | None) -> int:
    """Return how many pack in a run: as chosen for it, else the shop's crew."""
    return (run and run.crew) or profile_of(shop).crew or shop.house.crew


def hours_of(shop: Shop, run: Run | None) -> Decimal:
    """Return for how many hours a day a run is packed: as chosen for it, else the shop's."""
    profile = profile_of(shop)
    return (run and run.hours) or Decimal(profile.hours_per_day or shop.house.hours_per_day)


def packed_on(shop: Shop, run: Run | None, day: date) -> int:
    """Return how many boxes were counted as packed on a local day."""
    there = zone_of(shop)
    counts = run.packed if run else ()
    return sum(boxes for at, boxes in counts if at.astimezone(there).date() == day)


def zone_of(shop: Shop) -> tzinfo:
    """Return the shop's time zone."""
    return zone(profile_of(shop).zone) or UTC


def _began(shop: Shop, box: str) -> datetime | None:
    mark = marks_of(shop.ledger).get(f"{box}/pack")
    return mark.at if mark is not None and mark.state == "done" else None


def _between(then: datetime, at: datetime) -> float:
    return min((at - then) / timedelta(hours=1), LONGEST_DAY)


# --- practice -------------------------------------------------------------------------------


def average_time(first: float, rate: float, units: float) -> float:
    """Return the average time of one of `units` units, in the unit of `first` (the time of the
    first unit), by the cumulative average model: first x units ^ log2(rate). Neither `rate` nor
    `units` is 0 or less."""
    return first * math.pow(units, math.log2(rate))


def total_time(first: float, rate: float, units: float) -> float:
    """Return the time of `units` units together."""
    return average_time(first, rate, units) * units


def time_left(done: float, taken: float, rate: float, units: float) -> float:
    """Return how much longer `units` units will take when `done` of them took `taken`."""
    first = taken / total_time(1.0, rate, done)
    return max(total_time(first, rate, units) - taken, 0.0)


def learning_rate(runs: Iterable[Sequence[Spell]]) -> float:
    """Return the rate at which the average time falls within runs: the least squares line through
    log average time against log boxes, each run with a height of its own. FLAT where too few
    counts show it."""
    points: list[tuple[float, float]] = []
    for run in runs:
        own, boxes, hours = list[tuple[float, float]](), 0, 0.0
        for one in run:
            boxes, hours = boxes + one.boxes, hours + one.hours
            if boxes > 0 and hours > 0:
                own.append((math.log(boxes), math.log(hours / boxes)))
        if own:
            x, y = (sum(side) / len(own) for side in zip(*own, strict=True))
            points += ((a - x, b - y) for a, b in own)
    across = sum(a * a for a, _ in points)
    if len(points) < LEAST_POINTS or across <= 0:
        return FLAT
    slope = sum(a * b for a, b in points) / across
    return min(max(math.exp2(slope), STEEPEST), FLAT)


# --- hands at a table -----------------------------------------------------------------------


def line(boxes: float, hours: float, work: float) -> Line:
    """Return the cycle for `boxes` in `hours` and the hands for it, where one box takes one person
    `work` seconds. All are more than 0."""
    seconds = hours * SECONDS / boxes
    hands = max(1, math.ceil(round(work / seconds, 9)))
    return Line(seconds, hands, work / (hands * seconds))


def work_of(boxes_an_hour: Decimal) -> float:
    """Return the seconds that one box takes one person."""
    return SECONDS / float(boxes_an_hour)

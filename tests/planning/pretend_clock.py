"""Ticks of a pretend clock, and what they tell. All people are invented."""

from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta

from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.deadlines import Deadline
from assistant.planning.model import Person, Shop
from assistant.planning.nudges import (
    Digest,
    digest_for,
    told,
)
from tests.planning.plans import TODAY
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


def only(stage: str, made: Shop) -> Shop:
    """The shop with nudges for one stage alone, two working days ahead."""
    rules = (replace(rule, nudge=rule.name == stage, notice=2) for rule in made.house.stages)
    return peopled(replace(made, house=replace(made.house, stages=tuple(rules))))


PACKING = only("pack", shop("2026-12, ships 2026-12-15"))  # start packing on Monday 14 December
PACK = "2026-12/pack"

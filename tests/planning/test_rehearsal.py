"""A year of nudges rehearsed, against a clock that ticks. All shops are invented."""

from datetime import date, timedelta

from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.changes import apply
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Mark, Put, Shop
from assistant.planning.nudges import (
    Digest,
    digest_for,
    rehearse,
)
from tests.planning.plans import TODAY, shops
from tests.planning.pretend_clock import PACK, PACKING, keys, peopled, tick, utc
from tests.trade import shop


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

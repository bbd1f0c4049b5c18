"""Chains worked back over several calendars, and forward again."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.backward import (
    Float,
    Route,
    Stage,
    Unit,
    binding,
    explain,
    float_days,
    work_back,
    work_forward,
)
from assistant.scheduling.daysoff import HolidayYear, public_holidays, working_calendar
from assistant.scheduling.workdays import NO_DAY, Calendar, Roll, Skip, Span, Week

MON_FRI = Week.from_string("Mon-Fri")
DAY = timedelta(days=1)


def day(text: str) -> date:
    return date.fromisoformat(text)


def official(country: str, subdivision: str | None) -> Calendar:
    years = [public_holidays(country, subdivision, year) for year in (2025, 2026)]
    known = [year for year in years if isinstance(year, HolidayYear)]
    return working_calendar(MON_FRI, known, first=day("2025-01-01"), last=day("2026-12-31"))


# Calendars: UK Government, data file behind gov.uk/bank-holidays, version of 2026-08-21, and the
# State Council of China, notice of holiday arrangements for 2026, dated 2025-11-04.
CALENDARS = {"shop": official("GB", "ENG"), "supplier": official("CN", None)}
STAGES = (
    Stage("pack", "shop", 2),
    Stage("check in", "shop", 1),
    Stage("transit", "", 5, Unit.CALENDAR, land="supplier"),
    Stage("making", "supplier", 10),
    Stage("confirm", "supplier", 2),
)
SHIP = day("2026-03-10")


# --- the constructed chain ------------------------------------------------------------------


def test_a_chain_over_two_calendars() -> None:
    # The chain rule: common practice, no source; calendars as named above.
    chain = work_back(SHIP, STAGES, CALENDARS)
    assert [(step.name, str(step.latest)) for step in chain.steps] == [
        ("pack", "2026-03-06"),
        ("check in", "2026-03-05"),
        ("transit", "2026-02-28"),  # a Saturday, worked
        ("making", "2026-02-09"),
        ("confirm", "2026-02-05"),
    ]
    assert [step.after for step in chain.steps] == [SHIP, *(s.latest for s in chain.steps[:-1])]
    assert not any(step.provisional for step in chain.steps)
    assert chain.stuck is None
    assert chain.latest("making") == day("2026-02-09")
    assert chain.latest("sourcing") is None


def test_the_same_chain_by_numpy() -> None:
    # NumPy knows no worked weekends: they are given as single days of a week of its own.
    supplier, days = CALENDARS["supplier"], np.arange("2025-11-01", "2026-04-01", dtype="M8[D]")
    off = [d for d in days.tolist() if not supplier.is_working(d)]
    every_day = np.busdaycalendar("1111111", off)
    depart = np.busday_offset(
        np.datetime64("2026-02-28"), np.int64(0), roll="preceding", busdaycal=every_day
    )
    making = np.busday_offset(depart, np.int64(-10), roll="preceding", busdaycal=every_day)
    order = np.busday_offset(making, np.int64(-2), roll="preceding", busdaycal=every_day)
    assert [str(d) for d in (depart, making, order)] == ["2026-02-28", "2026-02-09", "2026-02-05"]


def test_each_step_says_what_it_skipped_and_why() -> None:
    pack, _, transit, making, confirm = work_back(SHIP, STAGES, CALENDARS).steps
    assert explain(pack, CALENDARS) == (Skip(day("2026-03-07"), day("2026-03-08"), "weekend"),)
    assert explain(transit, CALENDARS) == ()  # landed where it fell
    assert [skip.reason for skip in explain(making, CALENDARS)] == [
        "weekend",  # 15 February; the 14th is worked
        "Chinese New Year's Eve",
        "Chinese New Year (Spring Festival)",
        "day off for working on 14 February 2026",
        "weekend",
        "day off for working on 28 February 2026",
    ]
    assert explain(confirm, CALENDARS)[-1] == Skip(day("2026-02-07"), day("2026-02-08"), "weekend")


def test_a_parcel_that_cannot_leave_leaves_earlier_and_says_why() -> None:
    stage = Stage("transit", "", 5, Unit.CALENDAR, land="supplier")
    (step,) = work_back(day("2026-02-24"), [stage], CALENDARS).steps
    assert step.latest == day("2026-02-14")  # a Saturday, worked
    assert [skip.last for skip in explain(step, CALENDARS)][-1] == day("2026-02-19")


def test_calendar_days_may_land_anywhere() -> None:
    stage = Stage("waiting", "", 5, Unit.CALENDAR)
    (step,) = work_back(day("2026-02-20"), [stage], {}).steps
    assert step.latest == day("2026-02-15")
    assert explain(step, {}) == ()


def test_a_stage_may_lie_after_its_date() -> None:
    # A balance 30 days net after dispatch, paid on a working day.
    stage = Stage("balance", "", -30, Unit.CALENDAR, land="shop")
    (step,) = work_back(day("2026-03-05"), [stage], CALENDARS).steps
    assert step.latest == day("2026-04-02")


def test_a_stage_that_lies_after_its_date_may_leave_the_table() -> None:
    (step,) = work_back(day("2026-12-31"), [Stage("thanks", "shop", -3)], CALENDARS).steps
    assert step.latest == day("2027-01-05")  # beyond the table only the week is known
    assert step.provisional


@pytest.mark.parametrize(
    ("invoice", "roll", "expected"),
    [
        ("2026-02-28", Roll.FOLLOWING, "2026-03-30"),
        ("2026-03-05", Roll.FOLLOWING, "2026-04-07"),
        ("2026-03-05", Roll.PRECEDING, "2026-04-02"),
        ("2026-03-05", Roll.MODIFIED_FOLLOWING, "2026-04-07"),
    ],
)
def test_balances_due_net_30(invoice: str, roll: Roll, expected: str) -> None:
    # Constructed; a net balance: common practice, no source; rolls as named in the NumPy reference
    # manual, numpy.busday_offset; calendar as above (Easter 2026).
    assert CALENDARS["shop"].roll(day(invoice) + 30 * DAY, roll) == day(expected)


def test_no_stages_no_steps() -> None:
    assert work_back(SHIP, [], {}).steps == ()
    assert work_forward(SHIP, [], {}).finish == SHIP


# --- what is not known, and what cannot be --------------------------------------------------


def test_what_leans_on_a_provisional_day_is_provisional_and_so_is_all_before_it() -> None:
    closure = Span(day("2026-08-02"), day("2026-08-20"), "summer closure", provisional=True)
    cal = Calendar.build(MON_FRI, [closure], first=day("2026-01-01"), last=day("2026-12-31"))
    stages = [Stage("pack", "a", 2), Stage("making", "a", 10), Stage("confirm", "a", 1)]
    chain = work_back(day("2026-09-01"), stages, {"a": cal})
    assert [step.provisional for step in chain.steps] == [False, True, True]


def test_a_parcel_on_its_way_does_not_lean_on_its_sender_s_closures() -> None:
    closure = Span(day("2026-08-10"), day("2026-08-14"), "closed", provisional=True)
    cal = Calendar.build(MON_FRI, [closure], first=day("2026-01-01"), last=day("2026-12-31"))
    stages = [Stage("transit", "", 14, Unit.CALENDAR, land="a"), Stage("making", "a", 1)]
    (transit, _) = work_back(day("2026-08-21"), stages, {"a": cal}).steps
    assert (transit.latest, transit.provisional) == (day("2026-08-07"), False)
    (transit, _) = work_back(day("2026-08-26"), stages, {"a": cal}).steps
    assert (transit.latest, transit.provisional) == (day("2026-08-07"), True)  # had to move


def test_a_chain_is_stuck_where_nobody_ever_works() -> None:
    never = Calendar.build(NO_DAY, first=day("2026-01-01"), last=day("2026-12-31"))
    stages = [Stage("pack", "shop", 2), Stage("making", "never", 1), Stage("confirm", "shop", 1)]
    chain = work_back(SHIP, stages, {**CALENDARS, "never": never})
    assert [step.name for step in chain.steps] == ["pack"]
    assert chain.stuck == stages[1]
    forecast = work_forward(day("2026-02-02"), stages, {**CALENDARS, "never": never})
    assert (forecast.stuck, forecast.finish) == (stages[1], None)
    assert [leg.name for leg in forecast.legs] == ["pack"]


@pytest.mark.parametrize("count", [10**9, -(10**9)])
@pytest.mark.parametrize("land", ["", "shop"])
def test_a_stage_out_of_this_world_is_stuck(count: int, land: str) -> None:
    stage = Stage("waiting", "", count, Unit.CALENDAR, land)
    assert work_back(SHIP, [stage], CALENDARS).stuck == stage
    assert work_forward(SHIP, [stage], CALENDARS).stuck == stage


# --- forward, float, what binds -------------------------------------------------------------


def test_forward_from_the_order_by_date_is_in_time() -> None:
    forecast = work_forward(day("2026-02-05"), STAGES[::-1], CALENDARS)
    assert [(leg.name, str(leg.start), str(leg.end)) for leg in forecast.legs] == [
        ("confirm", "2026-02-05", "2026-02-09"),
        ("making", "2026-02-09", "2026-02-28"),
        ("transit", "2026-02-28", "2026-03-05"),
        ("check in", "2026-03-05", "2026-03-06"),
        ("pack", "2026-03-06", "2026-03-10"),
    ]
    assert forecast.finish == SHIP


def test_a_day_later_misses_the_ship_date() -> None:
    finish = work_forward(day("2026-02-06"), STAGES[::-1], CALENDARS).finish
    assert finish is not None
    assert finish > SHIP


@pytest.mark.parametrize(
    ("expected", "latest", "days"),
    [
        ("2026-03-05", "2026-03-05", 0),
        ("2026-03-05", "2026-03-10", 3),
        ("2026-03-07", "2026-03-08", 0),  # both at a weekend
        ("2026-03-06", "2026-03-05", -1),
        ("2026-03-10", "2026-03-05", -3),
        ("2026-03-08", "2026-03-07", -1),  # late by a Sunday is late
        ("2026-04-07", "2026-04-02", -1),  # Easter lies between
    ],
)
def test_float(expected: str, latest: str, days: int) -> None:
    assert float_days(CALENDARS["shop"], day(expected), day(latest)) == days


def test_the_least_float_binds_then_the_earliest_date_then_the_name() -> None:
    early, late = day("2026-02-05"), day("2026-03-05")
    floats = [Float(3, early, "tea"), Float(1, late, "pin"), Float(1, early, "wrap")]
    assert binding(floats) == Float(1, early, "wrap")
    assert binding([*floats, Float(1, early, "card")]) == Float(1, early, "card")
    assert binding([]) is None


# --- random chains --------------------------------------------------------------------------

FIRST, LAST = day("2026-01-01"), day("2027-12-31")
weeks = st.sets(st.integers(0, 6), min_size=1).map(lambda days: Week(tuple(sorted(days))))
near = st.dates(day("2025-11-01"), day("2028-03-01"))
some_spans = st.builds(
    lambda first, length: Span(first, first + length * DAY), near, st.integers(0, 30)
)
calendars = st.builds(
    lambda week, off, on: Calendar.build(week, off, on, first=FIRST, last=LAST),
    weeks,
    st.lists(st.one_of(near, some_spans), max_size=8),
    st.lists(near, max_size=4),
)
keys = st.sampled_from("abc")
stages = st.lists(
    st.builds(
        Stage,
        st.just("stage"),
        keys,
        st.integers(0, 40),
        st.sampled_from(Unit),
        st.sampled_from(["", "a", "b", "c"]),
    ),
    max_size=7,
)
worlds = st.fixed_dictionaries(dict.fromkeys("abc", calendars))


def landing(stage: Stage) -> str:
    return stage.calendar if stage.unit is Unit.WORKING else stage.land


@given(near, stages, worlds)
def test_back_then_forward_never_passes_the_anchor(
    anchor: date, chain: list[Stage], world: dict[str, Calendar]
) -> None:
    steps = work_back(anchor, chain, world).steps
    assert len(steps) == len(chain)
    start = steps[-1].latest if steps else anchor
    finish = work_forward(start, chain[::-1], world).finish
    assert finish is not None
    assert finish <= anchor


@given(near, stages, worlds)
def test_each_step_leaves_its_days_and_begins_on_a_day_worked(
    anchor: date, chain: list[Stage], world: dict[str, Calendar]
) -> None:
    for step in work_back(anchor, chain, world).steps:
        key = landing(step.stage)
        if key:
            assert world[key].is_working(step.latest)
        if step.stage.unit is Unit.WORKING:
            assert world[key].count(step.latest, step.after) >= step.stage.count
        else:
            assert (step.after - step.latest).days >= step.stage.count


@given(near, stages, worlds)
def test_a_day_later_would_be_too_late(
    anchor: date, chain: list[Stage], world: dict[str, Calendar]
) -> None:
    """Latest means latest: beginning on the next day that is worked misses the handover."""
    for step in work_back(anchor, chain, world).steps:
        (leg,) = work_forward(step.latest + DAY, [step.stage], world).legs
        key = landing(step.stage)
        handover = step.after
        if step.stage.unit is Unit.WORKING:
            rolled = world[key].roll(step.after, Roll.PRECEDING)
            assert rolled is not None
            handover = rolled
        assert leg.end > handover


def walk_back(calendar: Calendar | None, at: date, steps: int) -> date:
    """The day that a plain walk finds: to a day worked, then back over `steps` of them."""
    while calendar and not calendar.is_working(at):
        at -= DAY
    for _ in range(steps):
        at -= DAY
        while calendar and not calendar.is_working(at):
            at -= DAY
    return at


@given(near, stages, worlds)
def test_latest_dates_as_a_walk_from_day_to_day(
    anchor: date, chain: list[Stage], world: dict[str, Calendar]
) -> None:
    at, expected = anchor, []
    for stage in chain:
        calendar = world[landing(stage)] if landing(stage) else None
        if stage.unit is Unit.WORKING:
            at = walk_back(calendar, at, stage.count)
        else:
            at = walk_back(calendar, at - stage.count * DAY, 0)
        expected.append(at)
    assert [step.latest for step in work_back(anchor, chain, world).steps] == expected


@given(st.lists(near, max_size=5), stages, worlds)
def test_a_route_is_the_same_for_every_anchor(
    anchors: list[date], chain: list[Stage], world: dict[str, Calendar]
) -> None:
    route = Route(chain, world)
    for anchor in anchors:
        found = route.work_back(anchor)
        assert found == work_back(anchor, chain, world)
        days = route.latest_days(anchor.toordinal())
        assert [step.latest.toordinal() for step in found.steps] == days

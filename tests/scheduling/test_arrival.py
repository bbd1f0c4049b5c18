"""Curves of arrival against deliveries walked from day to day, all of them and drawn by lot."""

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from math import ceil, sqrt
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.scheduling.arrival import Curve, Leg, curve, last_days
from assistant.scheduling.backward import Route, Stage, Unit
from assistant.scheduling.lead_times import Days, gamma, sure, triangular
from assistant.scheduling.workdays import NO_DAY, Calendar, Span, Week
from tests.scheduling.test_workdays_at_random import plans

DAY = timedelta(days=1)
FIRST, LAST = date(2026, 1, 1), date(2028, 12, 31)
Works = Callable[[date], bool]

# Invented: a shop closed over the turn of the year and at Easter, and a supplier with a week of six
# days that closes for three weeks and works one Sunday.
SHOP = Calendar.build(
    Week.from_string("Mon-Fri"),
    [Span(date(2026, 12, 24), date(2027, 1, 2)), Span(date(2027, 3, 26), date(2027, 3, 29))],
    first=FIRST,
    last=LAST,
)
SUPPLIER = Calendar.build(
    Week.from_string("Mon-Sat"),
    [Span(date(2027, 1, 28), date(2027, 2, 17)), date(2026, 12, 25)],
    [date(2027, 2, 21)],
    first=FIRST,
    last=LAST,
)
CONFIRM = 2
BY = date(2027, 3, 30)  # the first day after Easter
MARCH = date(2027, 3, 10)


def legs(making: Days, transit: Days) -> list[Leg]:
    """From the last to the first."""
    return [
        Leg(transit, SUPPLIER, Unit.CALENDAR),
        Leg(making, SUPPLIER),
        Leg(sure(CONFIRM), SUPPLIER),
    ]


def until(day: date, works: Works) -> date:
    while not works(day):
        day += DAY
    return day


def worked(day: date, days: int, works: Works) -> date:
    """So many working days on, from a day that is worked."""
    for _ in range(days):
        day = until(day + DAY, works)
    return day


def in_hand(order_on: date, making: int, transit: int) -> date:
    """When an order arrives: walked from day to day, as someone would tell it."""
    begun = until(order_on, SUPPLIER.is_working)
    dispatched = worked(begun, CONFIRM + making, SUPPLIER.is_working)
    return until(dispatched + transit * DAY, SHOP.is_working)


ORDER_DATES = [BY - n * DAY for n in range(160)]


@pytest.mark.parametrize("by", [BY, BY - DAY, date(2027, 2, 1), date(2027, 1, 2)])
def test_every_way_it_can_turn_out_walked(by: date) -> None:
    making, transit = triangular(9, 12, 19), triangular(4, 6, 11.5)
    found = curve(by, SHOP, legs(making, transit))
    for order_on in ORDER_DATES[::3]:
        walked = sum(
            made * moved
            for m, made in enumerate(making.chances, making.least)
            for t, moved in enumerate(transit.chances, transit.least)
            if in_hand(order_on, m, t) <= by
        )
        assert found.chance(order_on) == pytest.approx(walked, abs=1e-12)


def test_deliveries_drawn_by_lot() -> None:
    """Days are drawn from the distributions themselves, not from their whole days."""
    dice, runs = Random(12), 4000
    found = curve(MARCH, SHOP, legs(gamma(14, 4), triangular(4, 6, 11.5)))
    drawn = [
        (ceil(dice.gammavariate(14**2 / 4**2, 4**2 / 14)), ceil(dice.triangular(4, 11.5, 6)))
        for _ in range(runs)
    ]
    for order_on in (date(2027, 1, 12), date(2027, 1, 20), date(2027, 1, 25), date(2027, 2, 18)):
        chance = found.chance(order_on)
        came = sum(in_hand(order_on, *days) <= MARCH for days in drawn) / runs
        assert 0.1 < chance < 0.99
        assert abs(came - chance) <= 3 * sqrt(chance * (1 - chance) / runs)


def test_closed_weeks_in_the_way() -> None:
    """As though it never closed, nine in ten would come; with its closure, one in seven."""
    never = Calendar.build(Week.from_string("Mon-Sat"), first=FIRST, last=LAST)
    closed = legs(gamma(14, 4), triangular(4, 6, 11.5))
    never_closed = [leg._replace(calendar=never) for leg in closed]
    order_on = date(2027, 2, 3)
    assert curve(MARCH, SHOP, never_closed).chance(order_on) > 0.9
    assert curve(MARCH, SHOP, closed).chance(order_on) < 1 / 7


# --- at random ------------------------------------------------------------------------------

lengths = st.integers(0, 25)


@st.composite
def days(draw: st.DrawFn) -> Days:
    weights = draw(st.lists(st.integers(0, 5), min_size=1, max_size=6).filter(any))
    return Days(draw(lengths), tuple(weight / sum(weights) for weight in weights))


@st.composite
def routes(draw: st.DrawFn) -> tuple[Calendar, list[Leg]]:
    receiver, _ = draw(plans())
    supplier, _ = draw(plans())
    units = draw(st.tuples(st.sampled_from(Unit), st.sampled_from(Unit)))
    made = [Leg(draw(days()), supplier, unit) for unit in (Unit.CALENDAR, *units)]
    return receiver, made


needs = st.dates(date(2026, 6, 1), date(2027, 3, 1))


@given(routes(), needs)
def test_the_later_an_order_the_smaller_its_chance(
    route: tuple[Calendar, Sequence[Leg]], by: date
) -> None:
    found = curve(by, *route)
    chances = [found.chance(by - n * DAY) for n in range(0, 200)]
    assert chances == sorted(chances)
    assert all(0 <= chance <= 1 for chance in chances)


@given(routes(), needs, st.integers(1, 40))
def test_the_later_it_is_needed_the_greater_its_chance(
    route: tuple[Calendar, Sequence[Leg]], by: date, more: int
) -> None:
    sooner, later = curve(by, *route), curve(by + more * DAY, *route)
    for n in range(0, 120, 7):
        assert later.chance(by - n * DAY) >= sooner.chance(by - n * DAY) - 1e-12


@given(routes(), needs)
def test_without_spread_it_is_the_latest_date(
    route: tuple[Calendar, Sequence[Leg]], by: date
) -> None:
    """The oracle is the working back of chains of stages."""
    receiver, made = route
    still = [leg._replace(days=sure(leg.days.least)) for leg in made]
    stages = [
        Stage("", "supplier", leg.days.least, leg.unit, "supplier")
        for leg in still
        if leg.calendar is not None
    ]
    in_hand_by = Stage("in hand", "receiver", 0)
    calendars = {"supplier": made[0].calendar or receiver, "receiver": receiver}
    latest = Route([in_hand_by, *stages], calendars).latest_days(by.toordinal())
    found = curve(by, receiver, still)
    if len(latest) <= len(stages):
        assert found == Curve((), ())
        return
    order_by = date.fromordinal(latest[-1])
    assert found.order_by(1) == order_by
    assert (found.chance(order_by), found.chance(order_by + DAY)) == (1, 0)


@given(routes(), needs, st.floats(0.01, 1))
def test_order_by_is_the_last_day_with_a_chance(
    route: tuple[Calendar, Sequence[Leg]], by: date, confidence: float
) -> None:
    found = curve(by, *route)
    order_by = found.order_by(confidence)
    if order_by is None:
        assert all(chance < confidence for chance in found.chances)
    else:
        assert found.chance(order_by) >= confidence - 1e-8
        assert found.chance(order_by + DAY) < confidence


# --- edges ----------------------------------------------------------------------------------


def test_a_supplier_that_never_works_never_delivers() -> None:
    never = Calendar.build(NO_DAY, first=FIRST, last=LAST)
    found = curve(BY, SHOP, [Leg(sure(3), never)])
    assert (found.chance(FIRST), found.order_by(0.1)) == (0, None)


def test_a_leg_that_has_begun_waits_for_no_working_day() -> None:
    sunday = date(2027, 3, 7)
    found = curve(date(2027, 3, 12), SHOP, [Leg(sure(5), None, Unit.CALENDAR)])
    assert found.order_by(1) == sunday
    assert found.chance(sunday) == 1


def test_without_a_calendar_every_day_counts() -> None:
    assert curve(BY, SHOP, [Leg(sure(5), None)]).order_by(1) == BY - 5 * DAY


def test_before_there_were_days() -> None:
    early = Calendar.build(Week.from_string("every day"), first=FIRST, last=LAST)
    found = curve(date(1, 1, 9), early, [Leg(Days(5, (0.5, 0, 0, 0, 0.5)), None, Unit.CALENDAR)])
    assert [found.chance(date(1, 1, day)) for day in (1, 4, 5)] == [0.5, 0.5, 0]


def test_the_order_dates_that_are_left() -> None:
    found = curve(BY, SHOP, [Leg(Days(1, (0.5, 0.25, 0.25)), SUPPLIER)])
    assert [date.fromordinal(day).day for day in found.days] == [26, 27, 29]
    left, chances = last_days(found, date(2027, 3, 27))
    assert [date.fromordinal(day).day for day in left] == [29, 27]
    assert list(chances) == [0.5, 0.75]
    assert last_days(found, BY) == ((BY.toordinal(),), (0.0,))

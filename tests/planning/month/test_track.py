"""What suppliers promised and what came, counted day by day. All suppliers are invented."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.changes import apply
from assistant.planning.model import Delivery, Kept, Mark, Purchase, Put, Shop
from assistant.planning.month.arrivals import ItemChance, box_chance
from assistant.planning.month.lateness import LeadRecord
from assistant.planning.month.progress import promises
from assistant.planning.month.track import came, records, supplier_record
from tests.planning.plans import NOON, TODAY
from tests.trade import shop, with_holidays

DAY = timedelta(days=1)
NOTEBOOK, TEA, PIN = "2027-03.notebook", "2027-03.tea", "2027-04.pin"
PLAN = (
    "Aldermoor: lead 10d, transit 2d",
    "Brackenfold: lead 3 calendar days, week Tue-Sat",
    "Hangfeng CN: confirm 2d, lead 20d, transit 12d, closed 2027-01-28 to 2027-02-17",
    "2027-03 Rain: notebook@Aldermoor; tea@Brackenfold",
    "2027-04 Moss: pin@Hangfeng; print@Aldermoor, lead 15d; card",
)


def mossgate(*happened: Kept) -> Shop:
    return apply(with_holidays(shop(*PLAN, subscribers=420), TODAY), map(Put, happened))


def delivery(item: str, on: date, pieces: int = 460, damaged: int = 0) -> Delivery:
    return Delivery(f"{item}/{on}", item, on, pieces, damaged)


def ordered(item: str, on: date, **told: object) -> Purchase:
    return Purchase(item, 460, ordered=on, **told)  # type: ignore[arg-type]


# --- lead times -----------------------------------------------------------------------------


def test_making_and_transit_are_told_apart_by_the_day_of_dispatch() -> None:
    made = mossgate(
        ordered(NOTEBOOK, date(2027, 1, 4), dispatched=date(2027, 1, 25)),
        delivery(NOTEBOOK, date(2027, 1, 28)),
    )
    # Mon 4 Jan to Mon 25 Jan 2027: 15 working days; then three calendar days.
    assert records(made) == (
        LeadRecord("aldermoor", "transit", 2, 3, date(2027, 1, 28)),
        LeadRecord("aldermoor", "making", 10, 15, date(2027, 1, 25)),
    )


def test_without_a_day_of_dispatch_all_but_the_quoted_transit_is_making() -> None:
    made = mossgate(ordered(NOTEBOOK, date(2027, 1, 4)), delivery(NOTEBOOK, date(2027, 1, 27)))
    assert records(made) == (LeadRecord("aldermoor", "making", 10, 15, date(2027, 1, 27)),)


def test_confirming_and_closures_are_no_making() -> None:
    sent = date(2027, 3, 5)
    made = mossgate(ordered(PIN, date(2027, 1, 20), dispatched=sent))
    working = calendars(made, TODAY).of("hangfeng").is_working
    day, confirm, making = date(2027, 1, 20), 2, 0
    while day < sent:
        if working(day):
            confirm, making = (confirm - 1, making) if confirm else (0, making + 1)
        day += DAY
    assert making < 20
    assert records(made) == (LeadRecord("hangfeng", "making", 20, making, sent),)


def test_a_lead_time_in_calendar_days_is_measured_in_them() -> None:
    sunday = date(2027, 1, 10)  # Brackenfold works from Tuesday on
    made = mossgate(ordered(TEA, sunday, dispatched=date(2027, 1, 19)))
    assert records(made) == (LeadRecord("brackenfold", "making", 3, 7, date(2027, 1, 19)),)


def test_what_is_awaited_says_nothing_yet() -> None:
    first = delivery(NOTEBOOK, date(2027, 1, 20), 400)
    waiting = mossgate(ordered(NOTEBOOK, date(2027, 1, 4)), first)
    assert records(waiting) == ()
    assert came(waiting) == ()
    rest = apply(waiting, [Put(delivery(NOTEBOOK, date(2027, 2, 1), 60))])
    assert [one.on for one in records(rest)] == [date(2027, 2, 1)]


@pytest.mark.parametrize("how", ["checked", "marked", "packed", "shipped"])
def test_what_was_found_good_is_all_in_though_pieces_are_short(how: str) -> None:
    on = date(2027, 1, 20)
    checked = {"checked": on} if how == "checked" else {}
    made = mossgate(ordered(NOTEBOOK, date(2027, 1, 4), **checked), delivery(NOTEBOOK, on, 452, 9))
    keys = {"marked": f"{NOTEBOOK}/stock", "packed": "2027-03/pack", "shipped": "2027-03/ship"}
    if how in keys:
        assert came(made) == ()
        made = apply(made, [Put(Mark(keys[how], "done", at=NOON))])
    (one,) = came(made)
    assert (one.came, one.short, one.damaged) == (on, 8, 9)


def test_an_item_only_said_to_be_in_hand_came_on_that_day() -> None:
    mark = Mark(f"{NOTEBOOK}/stock", "done", at=NOON)
    made = mossgate(ordered(NOTEBOOK, date(2026, 11, 2)), mark)
    (one,) = came(made)
    assert (one.came, one.pieces) == (TODAY, 460)


def test_an_item_that_left_the_plan_does_not_count() -> None:
    made = mossgate(ordered(NOTEBOOK, date(2027, 1, 4)), delivery(NOTEBOOK, date(2027, 1, 27)))
    gone = replace(made, items=tuple(one for one in made.items if one.id != NOTEBOOK))
    assert records(gone) == ()


@pytest.mark.parametrize("item", ["2027-04.card", NOTEBOOK])
def test_what_cannot_be_measured_is_no_record(item: str) -> None:
    """No supplier; or it left before it was ordered."""
    made = mossgate(ordered(item, date(2027, 1, 20), dispatched=date(2027, 1, 4)))
    assert records(made) == ()


@given(st.integers(0, 40), st.integers(0, 6))
def test_a_quote_that_holds_is_measured_as_quoted(after: int, weekday: int) -> None:
    """Walked from day to day on the supplier's calendar."""
    start = date(2027, 1, 4) + (after * 7 + weekday) * DAY
    bare = mossgate()
    working = calendars(bare, TODAY).of("aldermoor").is_working
    day = start
    while not working(day):
        day += DAY
    left = 10
    while left:
        day += DAY
        left -= working(day)
    made = apply(bare, [Put(ordered(NOTEBOOK, start, dispatched=day))])
    made = apply(made, [Put(delivery(NOTEBOOK, day + 2 * DAY))])
    assert {(one.part, one.quoted, one.actual) for one in records(made)} == {
        ("making", 10, 10),
        ("transit", 2, 2),
    }
    (one,) = came(made)
    assert one.late == 0


# --- a supplier's record --------------------------------------------------------------------


def test_a_record_is_counted_from_what_was_promised_first() -> None:
    late, early = date(2027, 1, 20), date(2027, 1, 28)
    made = mossgate(
        ordered(NOTEBOOK, date(2027, 1, 4), first_promised=late, promised=late + 9 * DAY),
        delivery(NOTEBOOK, late + 10 * DAY, 452, 9),
        Mark(f"{NOTEBOOK}/stock", "done", at=NOON),
        ordered("2027-04.print", date(2027, 1, 4), first_promised=early),
        delivery("2027-04.print", early - 3 * DAY),
    )
    found = supplier_record(made, "aldermoor")
    assert found is not None
    assert (found.deliveries, found.dated, found.on_time) == (2, 2, 1)
    assert (found.late, found.worst) == (Decimal("3.5"), 10)
    assert (found.ordered, found.short, found.pieces, found.damaged) == (920, 8, 912, 9)
    assert supplier_record(made, "hangfeng") is None


def test_without_a_promise_the_quote_is_what_was_promised() -> None:
    # Ten working days from Mon 4 Jan, then two days: Wed 20 Jan.
    made = mossgate(ordered(NOTEBOOK, date(2027, 1, 4)), delivery(NOTEBOOK, date(2027, 1, 27)))
    assert [(one.promised, one.late) for one in came(made)] == [(date(2027, 1, 20), 7)]


def test_without_a_promise_and_a_quote_nothing_is_said_of_lateness() -> None:
    made = mossgate(ordered("2027-04.card", date(2027, 1, 4)))
    made = apply(made, [Put(delivery("2027-04.card", date(2027, 2, 1)))])
    assert [one.late for one in came(made)] == [None]


# --- what it does to chances ----------------------------------------------------------------


def chance(made: Shop, name: str, today: date) -> ItemChance:
    found = box_chance(made, "2027-04", today, records(made), promises=promises(made))
    assert found is not None
    return next(one for one in found.items if one.name == name)


def test_a_late_delivery_moves_the_order_date_of_the_next() -> None:
    today = date(2027, 2, 1)
    bare = mossgate()
    late = mossgate(ordered(NOTEBOOK, date(2027, 1, 4)), delivery(NOTEBOOK, date(2027, 1, 29)))
    before, after = chance(bare, "print", today), chance(late, "print", today)
    assert (before.deliveries, after.deliveries) == (0, 1)
    assert before.order_by is not None
    assert after.order_by is not None
    assert after.order_by < before.order_by


def test_the_days_told_of_a_purchase_count_before_those_of_its_marks() -> None:
    """Marked today, but dispatched weeks ago: it must be here soon."""
    today = date(2027, 3, 29)
    key, name = "2027-04.pin/dispatch", "pin"
    noon = NOON.replace(year=2027, month=3, day=29)
    marked = mossgate(Mark(key, "done", at=noon))
    told = apply(marked, [Put(ordered(PIN, date(2027, 1, 20), dispatched=date(2027, 3, 22)))])
    assert chance(told, name, today).chance > chance(marked, name, today).chance + 0.1

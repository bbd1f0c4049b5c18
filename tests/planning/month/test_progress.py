"""How far an item is, and when it is expected. The shop is invented.

Expected days are told by numpy's busday functions, which are not our code (numpy.busday_offset,
NumPy reference, "Datetime support functions").
"""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.chains import outlook
from assistant.planning.changes import apply, find, invert
from assistant.planning.deadlines import deadline
from assistant.planning.model import Change, Delivery, Item, Mark, Purchase, Put, Shop
from assistant.planning.month.progress import (
    STATES,
    Progress,
    deliveries_of,
    expected_in,
    needed,
    progress,
    promises,
)
from assistant.planning.nudges import mark
from assistant.planning.trade import orders
from assistant.planning.year.year_view import year_view
from tests.trade import shop, with_holidays

TODAY = date(2027, 1, 11)  # a Monday
NOW = datetime(2027, 1, 11, 9, tzinfo=UTC)
NOTEBOOK, TEA = "2027-03.notebook", "2027-03.tea"
YEAR = with_holidays(
    shop(
        "Aldermoor: transit 3d",
        "2027-03 Rain: notebook@Aldermoor 460 x 3.10, lead 20d; tea",
        subscribers=420,
    ),
    TODAY,
)


def done(known: Shop, *stages: str, item: str = NOTEBOOK) -> Shop:
    for stage in stages:
        known = apply(known, mark(known, f"{item}/{stage}", "done", NOW, "p1"))
    return known


def put(known: Shop, *records: Purchase | Delivery) -> Shop:
    return apply(known, (Put(one) for one in records))


def came(pieces: int, damaged: int = 0, id: str = "d1", item: str = NOTEBOOK) -> Delivery:
    return Delivery(id, item, TODAY, pieces, damaged)


def found(known: Shop, item: str = NOTEBOOK, today: date = TODAY) -> Progress:
    return progress(known, item, today)


# --- states ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("stages", "state"),
    [
        ((), "thought of"),
        (("source",), "settled"),
        (("order",), "ordered"),
        (("dispatch",), "dispatched"),
        (("stock",), "arrived"),
    ],
)
def test_the_ledger_says_how_far_an_item_is(stages: tuple[str, ...], state: str) -> None:
    assert found(done(YEAR, *stages)).state == state


def test_every_step_comes_after_the_one_before_it() -> None:
    steps: list[Shop] = [YEAR]
    steps.append(done(steps[-1], "source"))
    steps.append(done(steps[-1], "order"))
    steps.append(done(steps[-1], "dispatch"))
    steps.append(put(steps[-1], came(100)))
    steps.append(done(put(steps[-1], came(360, id="d2")), "stock"))
    steps.append(put(steps[-1], Purchase(NOTEBOOK, 460, checked=TODAY)))
    packed = apply(steps[-1], mark(steps[-1], "2027-03/pack", "done", NOW, "p1"))
    steps.append(packed)
    assert tuple(found(one).state for one in steps) == STATES


def test_what_is_not_needed_is_no_longer_waited_for() -> None:
    known = apply(YEAR, mark(YEAR, f"{NOTEBOOK}/stock", "not needed", NOW, "p1"))
    assert found(known).is_in


def test_an_item_that_is_gone_is_only_thought_of() -> None:
    assert found(YEAR, "gone") == Progress("gone", "thought of")


def test_a_box_without_a_ship_date_goes_by_the_ledger() -> None:
    known = replace(YEAR, profile=(replace(YEAR.profile[0], ship_rule="never"),))
    assert found(known).latest is None
    assert found(done(known, "stock")).state == "arrived"
    assert found(done(known, "order")).state == "ordered"


def test_a_box_that_has_shipped_is_packed() -> None:
    known = apply(YEAR, mark(YEAR, "2027-03/ship", "done", NOW, "p1"))
    assert found(known, today=date(2027, 3, 16)).state == "packed"


def test_the_year_sheet_agrees() -> None:
    """A box is on order while something of it is to come, in hand when all of it is."""

    def state(known: Shop) -> str:
        return year_view(known, 2027, TODAY).boxes[0].state

    ordered = done(done(YEAR, "order"), "order", item=TEA)
    assert state(ordered) == "on order"
    assert state(put(ordered, came(100))) == "on order"
    both = done(done(ordered, "stock"), "stock", item=TEA)
    assert all(found(both, item).is_in for item in (NOTEBOOK, TEA))
    assert state(both) == "in hand"


# --- how many -------------------------------------------------------------------------------


def test_what_is_not_ordered_has_no_number() -> None:
    assert found(YEAR).ordered is None


def test_the_number_is_the_one_agreed_else_the_plan_has_it() -> None:
    known = done(YEAR, "order")
    assert found(known).ordered == 460
    assert found(put(known, Purchase(NOTEBOOK, 480))).ordered == 480
    assert found(put(known, Purchase(NOTEBOOK))).ordered == 460
    assert found(done(YEAR, "order", item=TEA), TEA).ordered is None


def test_deliveries_add_up() -> None:
    known = put(done(YEAR, "order"), came(300, 2), came(112, 4, "d2"), came(9, 0, "d3", TEA))
    one = found(known)
    assert (one.came, one.damaged, one.good, one.short) == (412, 6, 406, 48)
    assert (one.needed, one.lacks) == (420, 14)
    assert [d.id for d in deliveries_of(known, NOTEBOOK)] == ["d1", "d2"]


@given(st.lists(st.tuples(st.integers(1, 300), st.integers(0, 300)), max_size=5))
def test_good_and_lacking_are_told_by_hand_counting(parts: list[tuple[int, int]]) -> None:
    parts = [(pieces, min(pieces, damaged)) for pieces, damaged in parts]
    known = put(done(YEAR, "order"), *(came(*part, id=f"d{n}") for n, part in enumerate(parts)))
    one = found(known)
    good = 0
    for pieces, damaged in parts:
        good += pieces - damaged
    assert one.good == good
    assert one.lacks == (420 - good if good < 420 else 0)
    assert one.short == max(460 - sum(pieces for pieces, _ in parts), 0)


def test_more_than_was_ordered_is_not_short() -> None:
    assert found(put(done(YEAR, "order"), came(500))).short == 0


def test_nobody_expected_needs_nothing() -> None:
    known = with_holidays(shop("2027-03: pin"), TODAY)
    assert needed(known, "2027-03.pin", TODAY) is None
    assert needed(YEAR, "gone", TODAY) is None


def test_stock_on_hand_is_not_needed_again() -> None:
    item = find(YEAR.items, NOTEBOOK)
    assert item
    known = apply(YEAR, (Put(replace(item, stock=20)),))
    assert needed(known, NOTEBOOK, TODAY) == 400


# --- when -----------------------------------------------------------------------------------


def working(on: date) -> date:
    """The day itself, or the next one from Monday to Friday: no holiday lies in these weeks."""
    return np.busday_offset(np.datetime64(on), 0, roll="forward").astype(date)  # type: ignore[no-any-return]


@given(st.integers(0, 70))
def test_what_is_promised_is_expected_on_that_day_or_the_next_working_one(ahead: int) -> None:
    on = TODAY + timedelta(ahead)
    known = put(done(YEAR, "order"), Purchase(NOTEBOOK, 460, promised=on))
    one = found(known)
    assert one.expected == working(on)
    latest = one.latest
    assert latest is not None
    expected = np.busday_count(np.datetime64(working(on)), np.datetime64(latest))
    assert one.float == expected


@given(st.integers(0, 70))
def test_the_latest_day_never_moves(ahead: int) -> None:
    before = found(YEAR).latest
    known = put(done(YEAR, "order"), Purchase(NOTEBOOK, 460, promised=TODAY + timedelta(ahead)))
    assert found(known).latest == before
    assert deadline(known, f"{NOTEBOOK}/stock", TODAY).on == before  # type: ignore[union-attr]


def test_a_promise_that_is_past_is_expected_today() -> None:
    known = put(done(YEAR, "order"), Purchase(NOTEBOOK, 460, promised=date(2027, 1, 5)))
    assert found(known).expected == TODAY


def test_a_promise_counts_only_while_it_is_ordered() -> None:
    promised = Purchase(NOTEBOOK, 460, promised=date(2027, 1, 20))
    assert found(put(YEAR, promised)).promised is None
    assert found(put(YEAR, promised)).expected == found(YEAR).expected


def test_without_a_promise_the_day_of_the_order_counts() -> None:
    """Twenty working days of making, three calendar days under way (to a working day)."""
    ordered = date(2027, 1, 4)
    known = put(done(YEAR, "order"), Purchase(NOTEBOOK, 460, ordered=ordered))
    made = np.busday_offset(np.datetime64(ordered), 20).astype(date)
    assert found(known).expected == working(made + timedelta(3))


def test_without_a_promise_the_day_of_the_dispatch_counts() -> None:
    left = date(2027, 1, 8)
    known = put(done(YEAR, "dispatch"), Purchase(NOTEBOOK, 460, dispatched=left))
    assert found(known).expected == working(left + timedelta(3))


def test_what_is_in_hand_is_expected_no_more() -> None:
    known = put(done(YEAR, "stock"), Purchase(NOTEBOOK, 460, promised=date(2027, 3, 1)))
    one = found(known)
    assert (one.expected, one.float) == (None, None)
    assert expected_in(known, _item(known), TODAY) is None


def test_there_is_one_truth_of_what_is_expected() -> None:
    known = put(done(YEAR, "order"), Purchase(NOTEBOOK, 460, promised=date(2027, 3, 1)))
    told = outlook(known, _item(known), TODAY)
    assert told is not None
    assert told.expected == expected_in(known, _item(known), TODAY) == date(2027, 3, 1)
    assert told.float == found(known).float


def _item(known: Shop) -> Item:
    item = find(known.items, NOTEBOOK)
    assert item is not None
    return item


def test_promises_are_told_with_the_day_on_which_they_were_given() -> None:
    given_on, on = date(2027, 1, 8), date(2027, 3, 1)
    known = put(
        YEAR,
        Purchase(NOTEBOOK, promised=on, said=given_on, ordered=date(2027, 1, 4)),
        Purchase(TEA, promised=on, ordered=date(2027, 1, 4)),
        Purchase("other"),
    )
    assert [(one.item, one.on, one.said) for one in promises(known)] == [
        (NOTEBOOK, on, given_on),
        (TEA, on, date(2027, 1, 4)),
    ]


# --- orders that went out -------------------------------------------------------------------


def sent(known: Shop, *items: str) -> tuple[Shop, tuple[Change, ...]]:
    order = replace(orders.draft(known, "aldermoor", items, TODAY), id="2027-001")
    known = apply(known, (Put(order),))
    changes = orders.sent(known, order, TODAY, NOW, "p1")
    return known, changes


def test_a_sent_order_keeps_what_was_agreed() -> None:
    known, changes = sent(YEAR, NOTEBOOK)
    bought = find(apply(known, changes).purchases, NOTEBOOK)
    assert bought == Purchase(NOTEBOOK, 460, Decimal("3.10"), "GBP", TODAY, "2027-001")
    assert found(apply(known, changes)).state == "ordered"


def test_a_sent_order_leaves_a_promise_as_it_is() -> None:
    told = put(YEAR, Purchase(NOTEBOOK, promised=date(2027, 3, 1), ordered=date(2027, 1, 4)))
    known, changes = sent(told, NOTEBOOK)
    bought = find(apply(known, changes).purchases, NOTEBOOK)
    assert bought is not None
    assert (bought.promised, bought.ordered) == (date(2027, 3, 1), date(2027, 1, 4))


def test_what_is_taken_off_an_order_is_agreed_no_more() -> None:
    known, changes = sent(YEAR, NOTEBOOK)
    gone = apply(known, changes)
    after = apply(gone, orders.reopened(gone, (NOTEBOOK,), "2027-001", NOW, "p1"))
    assert after.purchases == ()
    assert found(after).ordered is None
    assert not found(after).is_ordered


def test_a_sent_order_is_taken_back_whole() -> None:
    known, changes = sent(YEAR, NOTEBOOK)
    assert apply(apply(known, changes), invert(known, changes)) == known
    assert [one for one in apply(known, changes).ledger if isinstance(one, Mark)]

"""Ways out for what is late: each is tried on the plan, its dates walked day by day, its costs
added up by hand. All shops, suppliers and amounts are invented.
"""

from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.changes import apply, find, invert
from assistant.planning.deadlines import deadline
from assistant.planning.model import (
    Item,
    Lead,
    Put,
    RecurringType,
    Run,
    Shop,
)
from assistant.planning.month import rescue
from assistant.planning.month.rescue import Way, at_risk, risk_of, ways
from tests.planning.late import IN_PART, LATE, PIN, PROMISED, SHORT, TEA, bought, named
from tests.planning.plans import TODAY, done, shops
from tests.planning.test_deadlines_at_random import walked
from tests.trade import with_holidays

DAY = timedelta(1)


def kinds(made: Shop, item: str, today: date = TODAY) -> set[str]:
    return {one.how for one in ways(made, item, today)}


# --- every way helps, and does no harm ------------------------------------------------------

CASES = {"to order": LATE, "promised": PROMISED, "in part": IN_PART, "short": SHORT}


def helps(made: Shop, way: Way, today: date) -> None:
    """With its changes made, on the whole plan, the item is no longer at risk, nor is any other
    that was not before; and they can be taken back."""
    after = apply(made, way.changes)
    risks = {risk.item for one in at_risk(after, today) for risk in one.risks}
    before = {risk.item for one in at_risk(made, today) for risk in one.risks}
    assert way.item not in risks, way.how
    assert risks <= before, way.how
    back = apply(after, invert(made, way.changes))
    for table in ("boxes", "items", "ledger", "purchases", "ideas", "runs"):
        assert set(getattr(back, table)) == set(getattr(made, table))


@pytest.mark.parametrize("case", CASES)
def test_each_way_that_is_told_helps(case: str) -> None:
    made = CASES[case]
    found = ways(made, PIN, TODAY)
    assert found
    for way in found:
        helps(made, way, TODAY)


@settings(max_examples=40)
@given(shops(), st.integers(0, 40))
def test_ways_of_plans_at_random_help(made: Shop, later: int) -> None:
    today = TODAY + timedelta(later)
    made = with_holidays(made, today)
    for item in made.items:
        for way in ways(made, item.id, today):
            if risk_of(made, item, today):
                helps(made, way, today)


@pytest.mark.parametrize(
    ("case", "expected"),
    [
        ("to order", {"faster", "later", "offer", "swap", "idea", "move", "twice", "wait"}),
        (
            "promised",
            {"faster", "split", "later", "offer", "swap", "idea", "move", "twice", "wait"},
        ),
        ("in part", {"faster", "part", "swap", "wait"}),
        ("short", {"part"}),
    ],
)
def test_only_what_is_possible_for_this_item_is_told(case: str, expected: set[str]) -> None:
    assert kinds(CASES[case], PIN) == expected


def test_an_item_that_is_not_late_has_no_need_to_wait_or_to_hurry() -> None:
    assert risk_of(LATE, LATE.items[1], TODAY) is None
    assert kinds(LATE, TEA).isdisjoint({"faster", "split", "twice", "wait", "part"})
    assert kinds(LATE, TEA)


def test_what_has_shipped_or_is_gone_has_no_ways() -> None:
    assert ways(LATE, "2027-01.nothing", TODAY) == ()
    assert ways(done(LATE, "2027-01/ship"), PIN, date(2027, 1, 20)) == ()
    assert ways(LATE, PIN, date(2027, 1, 16)) == ()


def test_one_way_can_be_asked_for_by_its_name() -> None:
    found = rescue.way(LATE, PIN, "swap", "2027-04", TODAY)
    assert found is not None
    assert (found.how, found.other) == ("swap", "2027-04")
    assert rescue.way(LATE, PIN, "swap", "2027-02", TODAY) is None
    hinders = rescue.hinders(LATE, PIN, "swap", "2027-02", TODAY)
    assert hinders is not None
    assert (hinders.name, hinders.box) == ("map", "2027-01")
    assert rescue.way(LATE, PIN, "magic", "", TODAY) is None


# --- their dates, walked day by day ---------------------------------------------------------


def forward(made: Shop, item: Item, today: date, transit: int) -> date:
    """When an item is in hand that is ordered today, one day at a time."""
    known, by = calendars(made, today), find(made.suppliers, item.supplier)
    theirs, ours = known.of(item.supplier).is_working, known.shop.is_working
    lead = item.lead or (by.lead if by else None) or Lead(0)
    day = today
    for days, unit in ((by.confirm_days if by else 0, "working"), (lead.days, lead.unit)):
        while not theirs(day):
            day += DAY
        day = _passed(theirs, day, days, unit)
    while not theirs(day):
        day += DAY
    day += transit * DAY
    while not ours(day):
        day += DAY
    return day


def _passed(works: Callable[[date], bool], day: date, days: int, unit: str) -> date:
    if unit == "calendar":
        return day + days * DAY
    while days:
        day += DAY
        days -= works(day)
    return day


def test_what_is_late_is_so_by_a_walk() -> None:
    risk = risk_of(LATE, LATE.items[0], TODAY)
    assert risk is not None
    assert risk.expected == forward(LATE, LATE.items[0], TODAY, 40) == date(2027, 1, 20)
    assert risk.latest == walked(LATE, "2027-01", LATE.items[0], "stock")


def first_ship_day(made: Shop, item: Item, expected: date) -> date:
    """The first working day after the planned one from which the in-hand date is late enough."""
    works, day = calendars(made, TODAY).shop.is_working, date(2027, 1, 15)
    while True:
        day += DAY
        moved = apply(made, (Put(replace(made.boxes[0], ship_on=day)),))
        latest = walked(moved, item.box, item, "stock")
        if works(day) and latest is not None and latest >= expected:
            return day


@pytest.mark.parametrize("days", [15, 30, 34, 40, 41, 55])
def test_waiting_goes_to_the_first_day_that_will_do(days: int) -> None:
    slow = replace(LATE.suppliers[0], transit_days=days)
    made = apply(LATE, (Put(slow),))
    item = made.items[0]
    if risk_of(made, item, TODAY) is None:
        assert "wait" not in kinds(made, PIN)
        return
    first = first_ship_day(made, item, forward(made, item, TODAY, days))
    wait = named(made, PIN, "wait")
    assert wait.ship == first == named(made, PIN, "twice").sent
    assert wait.was == date(2027, 1, 15)
    assert wait.days == calendars(made, TODAY).shop.count(wait.was, wait.ship)


def test_waiting_tells_which_box_it_gets_in_the_way_of() -> None:
    slow = replace(LATE.suppliers[0], transit_days=62)
    wait = named(apply(LATE, (Put(slow),)), PIN, "wait")
    start = deadline(LATE, "2027-02/pack", TODAY)
    assert start is not None
    assert wait.ship >= start.on
    assert wait.meets == "2027-02"
    assert named(LATE, PIN, "wait").meets == ""


def test_faster_carriage_saves_the_fewest_days_that_are_enough() -> None:
    item = LATE.items[0]
    latest = walked(LATE, "2027-01", item, "stock")
    assert latest is not None
    days = next(n for n in range(1, 40) if forward(LATE, item, TODAY, 40 - n) <= latest)
    assert named(LATE, PIN, "faster").days == days
    assert named(LATE, PIN, "faster").in_hand == latest


def test_faster_carriage_of_what_is_promised_counts_from_the_promise() -> None:
    latest = walked(LATE, "2027-01", LATE.items[0], "stock")
    assert latest is not None
    assert named(PROMISED, PIN, "faster").days == (date(2027, 1, 20) - latest).days


def test_what_is_on_its_way_or_cannot_travel_so_fast_is_not_hurried() -> None:
    gone = done(PROMISED, f"{PIN}/dispatch")
    assert {"faster", "split"}.isdisjoint(kinds(gone, PIN))
    near = replace(LATE.suppliers[0], transit_days=3, lead=Lead(40))
    assert "faster" not in kinds(apply(LATE, (Put(near),)), PIN)


def test_the_dispatch_is_not_nudged_for_before_it_can_be() -> None:
    after = apply(LATE, named(LATE, PIN, "faster").changes)
    mark = find(after.ledger, f"{PIN}/dispatch")
    latest = walked(LATE, "2027-01", LATE.items[0], "stock")
    assert mark is not None
    assert latest is not None
    assert mark.until == latest - timedelta(40 - named(LATE, PIN, "faster").days)


def test_faster_carriage_that_was_agreed_lapses_when_the_order_waits_too_long() -> None:
    agreed = apply(LATE, named(LATE, PIN, "faster").changes)
    assert risk_of(agreed, agreed.items[0], TODAY) is None
    assert risk_of(agreed, agreed.items[0], date(2026, 12, 28)) is not None


def test_a_split_delivery_brings_what_the_boxes_need_first() -> None:
    split = named(PROMISED, PIN, "split")
    leaves = deadline(PROMISED, f"{PIN}/dispatch", TODAY)
    assert leaves is not None
    assert (split.pieces, split.due) == (420, leaves.on)
    assert "split" not in kinds(bought(PROMISED, PIN, quantity=420), PIN)  # nothing to split


# --- other boxes and other goods ------------------------------------------------------------


def test_an_exchange_puts_each_item_into_the_other_box_the_same_type_first() -> None:
    found = [one for one in ways(LATE, PIN, TODAY) if one.how == "later"]
    assert [one.name for one in found] == ["cup", "mug"]
    after = apply(LATE, found[0].changes)
    assert {item.name for item in after.items if item.box == "2027-01"} == {"cup", "tea"}
    assert {item.name for item in after.items if item.box == "2027-04"} == {"pin", "cap"}


def test_what_is_in_hand_is_exchanged_before_what_is_not() -> None:
    made = done(LATE, "2027-04.cap/stock")
    untyped = apply(made, (Put(replace(made.items[0], type="")),))
    found = [one.name for one in ways(untyped, PIN, TODAY) if one.how == "later"]
    assert found == ["cap", "mug"]


def test_an_item_goes_to_no_box_that_has_one_of_its_name() -> None:
    twin = Item("2027-02.pin", "2027-02", "Pins", supplier="aldermoor")
    made = apply(LATE, (Put(twin),))
    assert named(made, PIN, "move").other == "2027-04"
    assert named(LATE, PIN, "move").other == "2027-02"


def test_an_offer_that_is_too_slow_or_over_is_not_taken() -> None:
    taken = {one.other for one in ways(LATE, PIN, TODAY) if one.how == "offer"}
    assert taken == {"aldermoor.frost badge", "brackenfold.thistle pin"}
    over = (Put(replace(one, valid_until=TODAY - DAY)) for one in LATE.offers)
    assert "offer" not in kinds(apply(LATE, over), PIN)


def test_what_is_ordered_goes_into_a_later_box_when_something_else_takes_its_place() -> None:
    after = apply(PROMISED, named(PROMISED, PIN, "offer").changes)
    kept = find(after.items, PIN)
    assert kept is not None
    assert kept.box == "2027-02"
    assert find(apply(LATE, named(LATE, PIN, "offer").changes).items, PIN) is None


def test_an_idea_is_used_and_what_is_not_known_of_it_is_said() -> None:
    idea = named(LATE, PIN, "idea")
    after = apply(LATE, idea.changes)
    used = find(after.ideas, "i1")
    assert used is not None
    assert (used.state, used.box) == ("used", "2027-01")
    assert (idea.cost, idea.missing) == (None, ("price", "lead time"))


def test_a_second_parcel_is_a_box_of_its_own_that_asks_for_no_theme_or_card() -> None:
    twice = named(LATE, PIN, "twice")
    after = apply(LATE, twice.changes)
    assert twice.other == "2027-01b"
    assert [item.name for item in after.items if item.box == "2027-01b"] == ["pin"]
    for stage in ("theme", "photo", "card", "count"):
        found = deadline(after, f"2027-01b/{stage}", TODAY)
        assert found is None or found.state != "open"
    assert deadline(after, "2027-01b/ship", TODAY) is not None


def test_what_is_lacking_is_bought_elsewhere_in_whole_cases() -> None:
    cased = replace(LATE.offers[0], case_pack=12)
    made = apply(SHORT, (Put(cased),))
    part = next(one for one in ways(made, PIN, TODAY) if one.other == cased.id)
    assert 420 - 394 == 26
    assert part.pieces == 36
    after = apply(made, part.changes)
    new = next(item for item in after.items if item.name == "frost badge (Aldermoor)")
    assert (new.quantity, new.units, new.box) == (36, 0, "2027-01")


def test_a_run_that_was_planned_is_planned_anew_when_its_box_waits() -> None:
    run = Run("2027-01", first=date(2027, 1, 12), collection=date(2027, 1, 14))
    made = apply(LATE, (Put(run),))
    after = apply(made, named(made, PIN, "wait").changes)
    assert find(after.runs, "2027-01") == Run("2027-01")


# --- the best first -------------------------------------------------------------------------


@pytest.mark.parametrize("case", CASES)
def test_the_order_is_the_rule_that_is_stated(case: str) -> None:
    found = ways(CASES[case], PIN, TODAY)
    whole = [one.whole for one in found]
    assert whole == sorted(whole, reverse=True)  # those that send the box complete on its day
    assert all(one.how == "wait" for one in found[-1:] if "wait" in kinds(CASES[case], PIN))
    known = [one for one in found if one.whole and not one.missing]
    costs = [one.cost for one in known if one.cost is not None]
    assert costs == sorted(costs)
    assert [one.cost is None for one in known] == sorted(one.cost is None for one in known)
    for first, second in pairwise(known):
        if first.cost == second.cost:
            assert first.change <= second.change


def test_a_way_tells_what_it_does_to_the_spread_of_the_year() -> None:
    kind = RecurringType("mug", "mug", 2)
    twin = Item("2027-04.mug", "2027-04", "big mug", type="mug", supplier="aldermoor")
    mug = find(LATE.items, "2027-02.mug")
    assert mug is not None
    made = apply(LATE, (Put(kind), Put(twin), Put(replace(mug, type="mug"))))
    way = rescue.way(made, "2027-02.map", "later", twin.id, TODAY)
    assert way is not None
    assert [one.type for one in way.effect.closer] == ["mug"]

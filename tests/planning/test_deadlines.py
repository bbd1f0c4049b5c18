"""Deadlines derived from the plan: published calendars, the ledger, shipping, what is not known.

All shops and suppliers are invented.
"""

from datetime import date, timedelta

import pytest

from assistant.planning.changes import apply
from assistant.planning.deadlines import deadlines, ship_date
from assistant.planning.model import (
    Item,
    Lead,
    Mark,
    Put,
)
from tests.planning.plans import TODAY, TWO_CALENDARS, done, listed, on
from tests.trade import house, shop, with_holidays, with_stages

# --- published calendars ---------------------------------------------------------------------


def test_a_chain_over_two_calendars() -> None:
    # Source of the calendars: GOV.UK bank holidays, England and Wales; State Council of China,
    # notice of holiday arrangements for 2026, dated 2025-11-04. The chain rule itself: common
    # practice, no source.
    today = date(2026, 1, 5)
    made = with_holidays(shop(*TWO_CALENDARS, lengths=(("pack", 2),)), today)
    assert [
        on(made, key, today)
        for key in (
            "2026-03/ship",
            "2026-03/pack",
            "2026-03.notebook/stock",
            "2026-03.notebook/dispatch",  # a Saturday that is worked
            "2026-03.notebook/start",
            "2026-03.notebook/order",
        )
    ] == [
        date(2026, 3, 10),
        date(2026, 3, 6),
        date(2026, 3, 5),
        date(2026, 2, 28),
        date(2026, 2, 9),
        date(2026, 2, 5),
    ]
    # Deposit at order, balance net 30 days: common practice, no source.
    assert on(made, "2026-03.notebook/deposit", today) == date(2026, 2, 5)
    assert on(made, "2026-03.notebook/balance", today) == date(2026, 3, 30)


def test_a_balance_is_never_paid_late() -> None:
    # 30 days after 5 March 2026 is Saturday 4 April, Easter: the preceding working day is the
    # 2nd. Roll rules as named in the NumPy reference manual, numpy.busday_offset; that a payment
    # rolls back is our choice.
    today = date(2026, 1, 5)
    stages = with_stages(house(), dispatch={"party": "shop"})
    made = shop(
        "Aldermoor: transit 5d, net 30",
        "2026-03, ships 2026-03-12: tea@Aldermoor",
        house=stages,
        lengths=(("pack", 1), ("stock", 1)),
    )
    made = with_holidays(made, today)
    assert on(made, "2026-03.tea/dispatch", today) == date(2026, 3, 5)
    assert on(made, "2026-03.tea/balance", today) == date(2026, 4, 2)


# --- the ledger ------------------------------------------------------------------------------

IMPLIED = (
    # done -> what else is done by that
    ("order", {"sample", "source"}),
    ("sample", {"source"}),
    ("dispatch", {"start", "order", "sample", "source"}),
    ("stock", {"dispatch", "start", "order", "sample", "source"}),
    ("deposit", set()),
    ("balance", set()),
)


@pytest.mark.parametrize(("stage", "others"), IMPLIED)
def test_a_stage_done_does_those_before_it_but_pays_nothing(stage: str, others: set[str]) -> None:
    made = shop("Aldermoor: deposit 30%, net 30", "2027-06: tea@Aldermoor; pin@Aldermoor")
    found = deadlines(done(made, f"2027-06.tea/{stage}"), TODAY)
    assert {one.stage for one in found if one.item.endswith("tea") and one.state == "done"} == {
        stage,
        *others,
    }
    assert all(one.state == "open" for one in found if not one.item.endswith("tea"))


def test_shipping_does_everything_but_payments() -> None:
    made = done(shop("Aldermoor: deposit 30%, net 30", "2027-06: tea@Aldermoor"), "2027-06/ship")
    open_ones = {one.stage for one in deadlines(made, TODAY) if one.state == "open"}
    assert open_ones == {"deposit", "balance"}


def test_not_needed_settles_itself_only() -> None:
    made = done(shop("2027-06: tea"), "2027-06.tea/sample", state="not needed")
    states = {one.stage: one.state for one in deadlines(made, TODAY) if one.item}
    assert states["sample"] == "not needed"
    assert states["source"] == states["order"] == "open"
    ordered = done(made, "2027-06.tea/order")
    assert listed(ordered, "2027-06.tea/source").state == "done"
    assert listed(ordered, "2027-06.tea/sample").state == "not needed"


def test_a_theme_is_settled_by_having_one_or_by_all_items_being_sourced() -> None:
    bare = shop("2027-06: tea; pin")
    assert listed(bare, "2027-06/theme").state == "open"
    assert listed(shop("2027-06 Frost: tea"), "2027-06/theme").state == "done"
    one = done(bare, "2027-06.tea/source")
    assert listed(one, "2027-06/theme").state == "open"
    assert listed(done(one, "2027-06.pin/order"), "2027-06/theme").state == "done"


def test_put_off_is_carried_along() -> None:
    mark = Mark("2027-06.tea/order", until=date(2026, 12, 1))
    made = apply(shop("2027-06: tea"), [Put(mark)])
    assert listed(made, mark.id).until == mark.until
    assert listed(made, mark.id).state == "open"


# --- boxes that are shipped ------------------------------------------------------------------

SHIPPED = (
    # days since the ship date, ship stage done, whether its deadlines are still there
    (-1, False, True),
    (-1, True, True),
    (0, True, True),
    (1, False, True),
    (1, True, False),
    (14, False, True),
    (15, False, False),
)


@pytest.mark.parametrize(("since", "marked", "there"), SHIPPED)
def test_a_shipped_box_has_no_deadlines(since: int, marked: bool, there: bool) -> None:
    ship = date(2026, 11, 16)
    made = shop(f"2026-11, ships {ship}: tea")
    made = done(made, "2026-11/ship") if marked else made
    found = deadlines(made, ship + timedelta(since))
    assert bool(found) is there
    assert there is ("2026-11.tea/stock" in {one.key for one in found})


def test_a_payment_outlives_the_shipping_until_14_days_after_its_own_date() -> None:
    made = shop("Aldermoor: transit 1d, net 60", "2026-11, ships 2026-11-16: tea@Aldermoor")
    made = done(made, "2026-11/ship")
    due = on(made, "2026-11.tea/balance", date(2026, 11, 1))
    assert due is not None
    assert due > date(2026, 12, 31)
    for today, there in ((due, True), (due + timedelta(14), True), (due + timedelta(15), False)):
        assert [one.key for one in deadlines(made, today)] == ["2026-11.tea/balance"] * there
    paid = done(made, "2026-11.tea/balance")
    assert deadlines(paid, date(2026, 11, 17)) == ()


def test_what_is_past_when_the_plan_is_made_is_late_at_once() -> None:
    made = shop("2026-12: tea, lead 12w")
    late = [one for one in deadlines(made, TODAY) if one.late]
    assert {"2026-12.tea/order", "2026-12.tea/source"} <= {one.key for one in late}
    assert all(one.float < 0 for one in late)


# --- ship dates ------------------------------------------------------------------------------

SHIP_DATES = (
    ("the 15th or the working day before", "2027-08", date(2027, 8, 13)),
    ("the 15th or the working day before", "2027-08b", date(2027, 8, 13)),
    ("the 15th or the working day before", "2027-03", date(2027, 3, 15)),
    ("every 2 weeks from 2027-01-05", "2027-03", date(2027, 3, 2)),
    ("every 2 weeks from 2027-01-05", "2027-03b", date(2027, 3, 16)),
    ("every 2 weeks from 2027-01-05", "2027-03c", date(2027, 3, 30)),
    ("every 2 weeks from 2027-01-05", "2027-02c", date(2027, 2, 16)),  # there are only two
    ("every 2 weeks from 2027-01-05", "2026-12", None),
    ("whenever I like", "2027-03", None),
    ("the 15th", "next one", None),
    ("the 15th", "2027-13", None),
)


@pytest.mark.parametrize(("rule", "box", "expected"), SHIP_DATES)
def test_ship_dates_by_rule(rule: str, box: str, expected: date | None) -> None:
    made = with_holidays(shop(ship_rule=rule), TODAY)
    assert ship_date(made, box, TODAY) == expected


def test_a_box_ships_on_its_own_date_whatever_day_that_is() -> None:
    made = shop("2027-03, ships 2027-03-14: tea")  # a Sunday
    assert ship_date(made, "2027-03", TODAY) == on(made, "2027-03/ship") == date(2027, 3, 14)
    assert on(made, "2027-03/pack") == date(2027, 3, 11)


def test_a_box_without_a_ship_date_has_no_deadlines() -> None:
    made = shop("2027-03: tea", "2027-04: tea", ship_rule="the 15th in April")
    assert {one.box for one in deadlines(made, TODAY)} <= {"2027-04"}


# --- what is not known -----------------------------------------------------------------------


def test_what_is_missing_is_named_where_a_date_rests_on_it() -> None:
    made = shop("Aldermoor: lead 5d", "Brackenfold", "2027-06: tea; pin@Aldermoor; wax@Brackenfold")
    found = {one.key.removeprefix("2027-06"): one.missing for one in deadlines(made, TODAY)}
    assert found[".tea/stock"] == ()
    assert found[".tea/dispatch"] == ("supplier",)
    assert found[".tea/order"] == ("supplier", "lead time")
    assert found[".pin/source"] == ()
    assert found[".wax/dispatch"] == ()
    assert found[".wax/order"] == ("lead time",)
    assert found["/pack"] == found["/card"] == ("subscriber count",)
    assert found["/photo"] == ()
    known = shop("2027-06", subscribers=420)
    assert listed(known, "2027-06/pack").missing == ()


def test_no_lead_time_means_made_already() -> None:
    made = shop("Aldermoor", "2027-06: tea@Aldermoor; pin@Aldermoor, lead 0d")
    assert on(made, "2027-06.tea/order") == on(made, "2027-06.pin/order")


def test_an_items_own_lead_time_beats_its_suppliers() -> None:
    made = shop("Aldermoor: lead 5d", "2027-06: tea@Aldermoor; pin@Aldermoor, lead 6d")
    assert on(made, "2027-06.pin/order") == date(2027, 5, 31)
    assert on(made, "2027-06.tea/order") == date(2027, 6, 1)


def test_a_date_that_leans_on_an_unpublished_year_is_provisional() -> None:
    made = with_holidays(
        shop("Hangfeng CN: lead 30d", "2029-03: pin@Hangfeng; tea", "2027-01: pin@Hangfeng"), TODAY
    )
    found = {one.key: one.provisional for one in deadlines(made, TODAY)}
    assert not found["2029-03.pin/stock"]
    assert found["2029-03.pin/dispatch"]
    assert found["2029-03.pin/source"]  # inherited, though the shop's own year is settled
    assert found["2029-03/theme"]
    assert not found["2029-03.tea/source"]
    assert not found["2029-03/pack"]


def test_a_box_without_items_has_its_theme_settled_in_good_time() -> None:
    assert on(shop("2027-06"), "2027-06/theme") == date(2027, 3, 23)  # 60 weekdays before
    stages = with_stages(house(), theme={"without_items": 0})
    assert on(shop("2027-06", house=stages), "2027-06/theme") is None


def test_keys_stay_when_dates_move() -> None:
    made = shop("2027-06: tea")
    moved = shop("2027-06, ships 2027-06-30: tea")
    before, after = deadlines(made, TODAY), deadlines(moved, TODAY)
    assert {one.key for one in before} == {one.key for one in after}
    assert all(one.on != on(moved, one.key) for one in before)


def test_names_are_not_read_as_patterns() -> None:
    made = shop("2027-06")
    odd = Item(id="x/y.1", box="2027-06", name="{item} {0} %s", lead=Lead(3))
    made = done(apply(made, [Put(odd)]), "x/y.1/order")
    assert listed(made, "x/y.1/order").todo == "order {item} {0} %s"
    assert listed(made, "x/y.1/source").state == "done"


def test_a_supplier_that_never_works_has_no_dates_to_give() -> None:
    made = shop("Aldermoor: week no day, lead 5d", "2027-06: tea@Aldermoor; pin")
    stages = {one.stage for one in deadlines(made, TODAY) if one.item.endswith("tea")}
    assert stages == {"stock"}
    assert on(made, "2027-06.pin/order") is not None
    assert on(made, "2027-06/theme") is not None


def test_things_of_one_day_are_listed_in_the_order_in_which_they_are_done() -> None:
    made = shop("Aldermoor", "2027-06: tea@Aldermoor")
    day = on(made, "2027-06.tea/order")
    assert [one.stage for one in deadlines(made, TODAY) if one.on == day] == [
        "order",
        "start",
        "dispatch",
    ]

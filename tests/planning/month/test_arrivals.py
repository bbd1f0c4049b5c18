"""The chance of a box, against deliveries walked and drawn by lot. All suppliers are invented."""

from datetime import UTC, date, datetime, timedelta
from math import ceil, sqrt
from random import Random
from statistics import NormalDist
from types import MappingProxyType
from typing import Any

import pytest
from hypothesis import given
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.changes import apply
from assistant.planning.model import Item, Mark, Put, Shop
from assistant.planning.month.arrivals import (
    BoxChance,
    ItemChance,
    box_chance,
    chances,
    item_curve,
)
from assistant.planning.month.coming import Promise, delivery
from assistant.planning.month.lateness import Assumed, Kind, LeadRecord, usual
from assistant.planning.stages import workings
from assistant.scheduling.lead_times import ThreePoint
from tests.planning.plans import TODAY, done, on, shops
from tests.trade import house, shop, with_holidays

DAY = timedelta(days=1)
ALWAYS = ThreePoint(1, 1, 1)
USUAL = usual(house().chance)
SURE = Assumed(MappingProxyType(dict.fromkeys(USUAL.spreads, ALWAYS)))
BOX = "2027-03"
SUPPLIERS = (
    "Aldermoor: lead 10d, transit 2d, closed 24 Dec-2 Jan yearly",
    "Brackenfold: lead 15d, week Tue-Sat",
    "Hangfeng CN: confirm 2d, lead 20d, transit 12d, closed 2027-01-28 to 2027-02-17",
)


def mossgate(items: str, today: date = TODAY) -> Shop:
    return with_holidays(shop(*SUPPLIERS, f"{BOX} Rain & Roots: {items}", subscribers=420), today)


def apart() -> Shop:
    return mossgate("notebook@Aldermoor; tea@Brackenfold; pin@Hangfeng")


def of(made: Shop, today: date = TODAY, **known: Any) -> BoxChance:
    found = box_chance(made, BOX, today, **known)
    assert found is not None
    return found


def one(found: BoxChance, name: str) -> ItemChance:
    return next(item for item in found.items if item.name == name)


def order_date(found: BoxChance, name: str) -> date:
    day = one(found, name).order_by
    assert day is not None
    return day


def at(made: Shop, key: str, day: date) -> Shop:
    """The shop with this done on a day."""
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    return apply(made, [Put(Mark(key, "done", at=noon))])


# --- walked and drawn by lot ----------------------------------------------------------------


def arrivals(made: Shop, item: Item, order_on: date, dice: Random, runs: int) -> list[date]:
    """Days in hand of an order, walked from day to day with numbers drawn by lot."""
    known = calendars(made, TODAY)
    supplier, receiver = known.of(item.supplier).is_working, known.shop.is_working
    terms = next(one for one in made.suppliers if one.id == item.supplier)
    abroad = terms.country == "CN"
    making, transit = USUAL.spreads["making", abroad], USUAL.spreads["transit", abroad]
    quoted = terms.lead.days if terms.lead else 0
    moved = 3 if terms.transit_days is None else terms.transit_days
    found = []
    for _ in range(runs):
        to_work = terms.confirm_days + drawn(making, quoted, dice)
        day = order_on
        while not supplier(day):
            day += DAY
        while to_work:
            day += DAY
            to_work -= supplier(day)
        day += drawn(transit, moved, dice) * DAY
        while not receiver(day):
            day += DAY
        found.append(day)
    return found


def drawn(times: ThreePoint, quoted: int, dice: Random) -> int:
    least, likely, most = (share * quoted for share in times)
    return ceil(dice.triangular(least, most, likely))


def close(seen: float, chance: float, runs: int) -> bool:
    """Within three standard errors."""
    return abs(seen - chance) <= 3 * sqrt(chance * (1 - chance) / runs) + 1e-9


def test_a_box_of_three_suppliers_drawn_by_lot() -> None:
    made, dice, runs = apart(), Random(2027), 1500
    found = of(made, confidence=0.7)
    came = [True] * runs
    for item, told in zip(made.items, found.items, strict=True):
        assert told.order_by is not None
        days = arrivals(made, item, told.order_by, dice, runs)
        in_time = [day <= told.latest for day in days]
        assert 0.6 < told.chance < 1
        assert close(sum(in_time) / runs, told.chance, runs)
        came = [all(pair) for pair in zip(came, in_time, strict=True)]
    assert close(sum(came) / runs, found.chance, runs)


def test_items_of_one_supplier_are_late_together() -> None:
    """The same delays, dealt out anew so that their ranks hang together as assumed."""
    made, dice, runs = mossgate("notebook@Aldermoor; tea@Aldermoor, lead 15d"), Random(7), 4000
    found = of(made, confidence=0.7)
    shared = [dice.gauss(0, 1) for _ in range(runs)]
    came = [True] * runs
    for item, told in zip(made.items, found.items, strict=True):
        assert told.order_by is not None
        lead = item.lead or made.suppliers[0].lead
        maker = replace(made.suppliers[0], lead=lead)
        days = sorted(arrivals(replace(made, suppliers=(maker,)), item, told.order_by, dice, runs))
        scores = [sqrt(0.5) * z + sqrt(0.5) * dice.gauss(0, 1) for z in shared]
        ranks = sorted(range(runs), key=scores.__getitem__)
        for run, day in zip(ranks, days, strict=True):
            came[run] = came[run] and day <= told.latest
    assert close(sum(came) / runs, found.chance, runs)
    a, b = (told.chance for told in found.items)
    assert a * b + 0.02 < found.chance < min(a, b)


# --- without spread: the plan's own dates ----------------------------------------------------


@given(shops())
def test_quotes_that_always_hold_give_the_plans_dates(made: Shop) -> None:
    boxes = {found.box: found for found in chances(made, TODAY, assumed=SURE)}
    for item in made.items:
        order_by = on(made, f"{item.id}/order")
        curve = item_curve(made, item, TODAY, assumed=SURE)
        if curve is not None:
            assert curve.order_by(1) == order_by
        if curve is not None and order_by is not None:
            assert (curve.chance(order_by), curve.chance(order_by + DAY)) == (1, 0)
        for told in boxes[item.box].items if item.box in boxes else ():
            if told.item == item.id and told.state == "to order" and order_by is not None:
                assert told.planned == order_by
                assert told.order_by == max(order_by, TODAY)
                assert told.chance == (order_by >= TODAY)


@given(shops())
def test_chances_of_any_shop(made: Shop) -> None:
    for found in chances(made, TODAY):
        assert -1e-9 <= found.chance <= found.today + 1e-9 <= 1 + 2e-9
        assert found.chance <= found.lifted + 1e-6
        assert found.reached == (found.today >= 0.9 - 1e-9)
        assert all(told.chance <= told.today for told in found.items)
        if found.reached:
            assert found.chance >= 0.9 - 1e-6
        if found.weak:
            assert one_of(found, found.weak).chance < 1
        if all(told.state == "in hand" for told in found.items):
            assert (found.chance, found.weak, found.lifted) == (1, "", 1)


def one_of(found: BoxChance, item_id: str) -> ItemChance:
    return next(told for told in found.items if told.item == item_id)


# --- what the shop is told ------------------------------------------------------------------


def test_order_dates_come_from_the_whole_box() -> None:
    found = of(apart())
    assert found.pack == on(apart(), f"{BOX}/pack")
    assert found.reached
    assert found.chance >= 0.9
    assert all(told.chance > 0.9 for told in found.items)
    assert found.planned < 0.5  # ordering by the quotes alone
    for told in found.items:
        assert told.order_by is not None
        assert told.planned is not None
        assert TODAY < told.order_by < told.planned
    # Before a closure of three weeks a date costs much waiting, so others wait for it.
    assert order_date(found, "pin") <= date(2027, 1, 27)


def test_the_surer_the_earlier() -> None:
    boxes = [of(apart(), confidence=level) for level in (0.5, 0.8, 0.9, 0.95, 0.99)]
    waits = [
        sum(order_date(found, told.name).toordinal() for told in found.items) for found in boxes
    ]
    assert waits == sorted(waits, reverse=True)
    assert [found.chance >= found.confidence - 1e-9 for found in boxes] == [True] * 5


def test_the_weak_spot_is_the_item_that_lifts_most() -> None:
    made = apart()
    late = date(2027, 1, 4)  # the pins ought to be ordered
    found = of(made, late)
    assert not found.reached
    assert (found.weak, one(found, "pin").order_by) == (made.items[2].id, late)
    assert found.lifted == pytest.approx(one(found, "notebook").chance * one(found, "tea").chance)
    # The dates of the others keep nine tenths of what can be had, not more.
    assert 0.9 * found.today <= found.chance < found.today


def test_what_can_no_longer_come_leaves_the_others_their_dates() -> None:
    late = date(2027, 2, 12)
    found = of(mossgate("notebook@Aldermoor, lead 4d; pin@Hangfeng, lead 60d"), late)
    assert (found.chance, found.today, found.weak) == (0, 0, f"{BOX}.pin")
    assert one(found, "pin").order_by == late
    assert order_date(found, "notebook") > late + 5 * DAY
    assert one(found, "notebook").chance == pytest.approx(found.lifted)


def test_what_is_in_hand_is_certain() -> None:
    found = of(done(apart(), f"{BOX}.notebook/stock"))
    assert (one(found, "notebook").state, one(found, "notebook").chance) == ("in hand", 1)
    all_in = of(done(apart(), *(f"{BOX}.{name}/stock" for name in ("notebook", "tea", "pin"))))
    assert (all_in.chance, all_in.planned, all_in.weak, all_in.lifted) == (1, 1, "", 1)


def test_a_box_without_items_waits_for_nothing() -> None:
    found = of(with_holidays(shop(f"{BOX} Rain & Roots", subscribers=420), TODAY))
    assert (found.chance, found.reached, found.weak, found.items) == (1, True, "", ())


@pytest.mark.parametrize("box", ["2027-04", "2026-10"])
def test_no_chance_of_a_box_that_is_not_there_or_was_sent(box: str) -> None:
    made = shop("2026-10 Seeds: tea", BOX)
    assert box_chance(made, box, TODAY) is None
    assert [found.box for found in chances(made, TODAY)] == [BOX]


def test_what_is_not_known_is_named() -> None:
    assert one(of(mossgate("tea")), "tea").missing == ("supplier", "lead time")
    assert one(of(apart()), "tea").missing == ()


# --- what is ordered ------------------------------------------------------------------------


def test_an_order_on_its_way_has_the_chance_of_its_day() -> None:
    ordered = date(2027, 2, 18)
    made = at(mossgate("notebook@Aldermoor"), f"{BOX}.notebook/order", ordered)
    curve = item_curve(made, made.items[0], ordered)
    assert curve is not None
    same_day, next_week, march, too_late = (
        one(of(made, day), "notebook")
        for day in (ordered, ordered + 7 * DAY, date(2027, 3, 8), date(2027, 3, 10))
    )
    assert same_day.state == "under way"
    assert same_day.order_by is None
    assert same_day.chance == same_day.today == pytest.approx(curve.chance(ordered))
    assert 0.5 < same_day.chance < 1
    # As long as nothing can have come, waiting tells nothing; then hope falls with every day.
    assert next_week.chance == pytest.approx(same_day.chance)
    assert 0 < march.chance < same_day.chance
    assert too_late.chance == 0


def test_what_was_dispatched_only_has_to_travel() -> None:
    made = mossgate("pin@Hangfeng")
    sent = date(2027, 2, 21)  # a Sunday
    found = one(of(at(made, f"{BOX}.pin/dispatch", sent), sent), "pin")
    days = (found.latest - sent).days
    transit = USUAL.spreads["transit", True].of(12)
    assert found.state == "under way"
    assert found.chance == pytest.approx(transit.within(days))


def test_overdue_beyond_all_that_was_thought_possible_begins_again() -> None:
    sent, today = date(2027, 1, 4), date(2027, 2, 1)
    made = at(mossgate("notebook@Aldermoor"), f"{BOX}.notebook/dispatch", sent)
    assert one(of(made, today), "notebook").chance == 1
    assert one(of(made, date(2027, 3, 8)), "notebook").chance < 1


def test_an_order_without_its_day_counts_from_today() -> None:
    made = apply(mossgate("notebook@Aldermoor"), [Put(Mark(f"{BOX}.notebook/order", "done"))])
    day = date(2027, 2, 12)
    curve = item_curve(made, made.items[0], day)
    assert curve is not None
    assert one(of(made, day), "notebook").chance == pytest.approx(curve.chance(day))


@pytest.mark.parametrize(("promised", "low", "high"), [(1, 0.99, 1), (8, 0.4, 0.7), (15, 0, 0.1)])
def test_a_promised_day_moves_the_chance(promised: int, low: float, high: float) -> None:
    said = date(2027, 2, 12)
    made = at(mossgate("notebook@Aldermoor"), f"{BOX}.notebook/order", date(2027, 1, 20))
    promise = Promise(f"{BOX}.notebook", date(2027, 3, 1) + promised * DAY, said)
    found = one(of(made, said, promises=(promise,)), "notebook")
    assert low <= found.chance <= high
    assert found.latest == date(2027, 3, 9)


def test_what_was_dispatched_since_counts_more_than_a_promise() -> None:
    said, sent = date(2027, 2, 12), date(2027, 3, 1)
    made = at(mossgate("notebook@Aldermoor"), f"{BOX}.notebook/dispatch", sent)
    promise = Promise(f"{BOX}.notebook", date(2027, 3, 20), said)
    assert one(of(made, sent, promises=(promise,)), "notebook").chance == 1
    again = replace(promise, said=sent + DAY)  # the parcel went astray
    assert one(of(made, sent + DAY, promises=(again,)), "notebook").chance < 0.1


def test_a_promise_for_what_is_not_ordered_says_nothing() -> None:
    promise = Promise(f"{BOX}.notebook", TODAY, TODAY)
    assert of(apart(), promises=(promise,)) == of(apart())


# --- records --------------------------------------------------------------------------------


def test_a_supplier_that_was_late_is_ordered_from_earlier() -> None:
    late = tuple(LeadRecord("aldermoor", "making", 10, 16, TODAY) for _ in range(6))
    on_time = tuple(LeadRecord("aldermoor", "making", 10, 9, TODAY) for _ in range(6))
    boxes = [of(mossgate("notebook@Aldermoor"), records=records) for records in (late, (), on_time)]
    dates = [order_date(found, "notebook") for found in boxes]
    assert dates == sorted(dates)
    assert len(set(dates)) == 3
    assert [one(found, "notebook").deliveries for found in boxes] == [6, 0, 6]


def test_a_long_record_outweighs_what_is_assumed() -> None:
    """Many deliveries of the same lateness, against the normal quantile of whole days."""
    dice = Random(5)
    records = tuple(
        LeadRecord("aldermoor", "making", 100, round(dice.gauss(110, 6)), TODAY) for _ in range(400)
    )
    made = mossgate("notebook@Aldermoor, lead 40d")
    still: dict[Kind, ThreePoint] = {**USUAL.spreads, ("transit", False): ALWAYS}
    assumed = Assumed(MappingProxyType(still))
    item = made.items[0]
    found = item_curve(made, item, TODAY, records, assumed=assumed)
    assert found is not None
    dispatch = on(made, f"{item.id}/dispatch")
    assert dispatch is not None
    supplier = calendars(made, TODAY).of("aldermoor")
    for confidence in (0.5, 0.9, 0.99):
        days = ceil(NormalDist(44, 2.4).inv_cdf(confidence))
        by_hand = supplier.shift(dispatch, -days)
        order_by = found.order_by(confidence)
        assert by_hand is not None
        assert order_by is not None
        assert abs(supplier.count(order_by, by_hand)) <= 1


# --- the stages -----------------------------------------------------------------------------


def test_a_delivery_runs_from_its_order_to_having_it() -> None:
    made = apart()
    laid = workings(made.house, made.profile, made.suppliers, calendars(made, TODAY))
    path = delivery(laid.item(made.items[0]))
    assert [ask.rule.name for ask in path] == ["order", "start", "dispatch", "stock"]

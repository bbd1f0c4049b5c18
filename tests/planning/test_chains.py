"""The chain behind a date, and what is expected of an item. All suppliers are invented."""

from datetime import UTC, date, datetime

from hypothesis import given

from assistant.planning.calendars import calendars
from assistant.planning.chains import binding, box_chain, item_chain, outlooks
from assistant.planning.changes import apply
from assistant.planning.deadlines import deadline, deadlines
from assistant.planning.model import Mark, Put, Shop
from tests.planning.plans import TODAY, TWO_CALENDARS, shops
from tests.trade import shop, with_holidays


def at(made: Shop, key: str, day: date) -> Shop:
    """The shop with this done on a day."""
    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC)
    return apply(made, [Put(Mark(key, "done", at=noon))])


def test_the_chain_over_two_calendars_says_what_was_passed_over() -> None:
    # Source of the days: State Council of China, notice of holiday arrangements for 2026, dated
    # 2025-11-04; names as in `holidays`. The chain rule: common practice, no source.
    today = date(2026, 1, 5)
    made = with_holidays(shop(*TWO_CALENDARS, lengths=(("pack", 2),)), today)
    chain = item_chain(made, "2026-03.notebook", today)
    assert chain is not None
    assert [
        (link.stage, link.on, link.days, link.unit, link.supplier) for link in chain.to("order")
    ] == [
        ("ship", date(2026, 3, 10), 0, "calendar", ""),
        ("pack", date(2026, 3, 6), 2, "working", ""),
        ("stock", date(2026, 3, 5), 1, "working", ""),
        ("dispatch", date(2026, 2, 28), 5, "calendar", "Hangfeng"),
        ("start", date(2026, 2, 9), 10, "working", "Hangfeng"),
        ("order", date(2026, 2, 5), 2, "working", "Hangfeng"),
    ]
    making = chain.to("start")[-1]
    assert (making.after, making.hangs_on) == (date(2026, 2, 28), "dispatch")
    passed = {(skip.first.day, skip.last.day): skip.reason for skip in making.skipped}
    assert "New Year" in passed[17, 19]
    assert passed[21, 22] == "weekend"
    assert passed[23, 23] == "day off for working on 28 February 2026"
    [weekend] = chain.to("pack")[-1].skipped
    assert (weekend.first, weekend.last) == (date(2026, 3, 7), date(2026, 3, 8))


@given(shops())
def test_chains_have_the_dates_of_the_deadlines(made: Shop) -> None:
    for one in deadlines(made, TODAY):
        chain = item_chain(made, one.item, TODAY) if one.item else box_chain(made, one.box, TODAY)
        assert chain is not None
        link = chain.to(one.stage)[-1]
        assert (link.on, link.provisional, link.missing) == (one.on, one.provisional, one.missing)
        works = calendars(made, TODAY)
        for step in chain.links:
            for skip in step.skipped:
                party = works.shop if not step.supplier else works.of(_supplier(made, one.item))
                assert not party.is_working(skip.first)
                assert not party.is_working(skip.last)


def _supplier(made: Shop, item: str) -> str:
    return next(one.supplier for one in made.items if one.id == item)


def test_a_stage_of_the_box_names_the_item_that_it_hangs_on() -> None:
    made = shop("2027-06: tea; lamp, lead 30d; pin, lead 5d")
    chain = box_chain(made, "2027-06", TODAY)
    assert chain is not None
    [theme] = chain.to("theme")
    assert (theme.item, theme.hangs_on) == ("2027-06.lamp", "source")
    bare = box_chain(shop("2027-06"), "2027-06", TODAY)
    assert bare is not None
    assert bare.to("theme")[-1].hangs_on == "ship"
    assert bare.to("no such stage") == ()


def test_there_is_no_chain_without_a_ship_date_or_an_item() -> None:
    made = shop("2027-06: tea", ship_rule="the 15th in April")
    assert item_chain(made, "2027-06.tea", TODAY) is None
    assert item_chain(made, "nothing", TODAY) is None
    assert box_chain(made, "2027-06", TODAY) is None
    assert outlooks(made, "2027-06", TODAY) == ()
    assert binding(made, "2027-06", TODAY) is None


# --- what is expected ------------------------------------------------------------------------


@given(shops())
def test_ordered_on_its_order_by_date_an_item_is_in_hand_in_time(made: Shop) -> None:
    for one in deadlines(made, TODAY):
        if one.stage == "order" and one.state == "open":
            seen = next(o for o in outlooks(made, one.box, one.on) if o.item == one.item)
            if seen.expected is not None and not _closed_for_good(made):
                assert seen.expected <= seen.latest
                assert seen.float is not None
                assert seen.float >= 0


def _closed_for_good(made: Shop) -> bool:
    parties = (*made.suppliers, *made.profile)
    return any(c.last is None and not c.festival for party in parties for c in party.closures)


def test_what_is_done_moves_the_expectation() -> None:
    plan = shop(
        "Aldermoor: confirm 1d, lead 10d, transit 7d", "2027-03, ships 2027-03-19: tea@Aldermoor"
    )
    today = date(2027, 2, 1)  # a Monday, no holidays kept

    def expected(made: Shop, day: date = today) -> date | None:
        [outlook] = outlooks(made, "2027-03", day)
        return outlook.expected

    # ordered today: confirmed 2 Feb, made by the 16th, 7 days on the way
    assert expected(plan) == date(2027, 2, 23)
    ordered = at(plan, "2027-03.tea/order", date(2027, 1, 25))
    assert expected(ordered) == date(2027, 2, 16)
    # not dispatched on 9 February as it should have been: today at the earliest
    assert expected(ordered, date(2027, 2, 12)) == date(2027, 2, 19)
    waiting = apply(
        plan, [Put(Mark("2027-03.tea/order", until=today, at=datetime(2027, 1, 4, 9, tzinfo=UTC)))]
    )
    assert expected(waiting) == expected(plan)
    sent = at(ordered, "2027-03.tea/dispatch", date(2027, 2, 4))
    assert expected(sent, date(2027, 2, 12)) == date(2027, 2, 12)  # should be here: not yet in hand
    assert expected(sent) == date(2027, 2, 11)
    [here] = outlooks(at(sent, "2027-03.tea/stock", date(2027, 2, 10)), "2027-03", today)
    assert (here.expected, here.in_hand) == (date(2027, 2, 10), True)


def test_goods_that_come_on_a_rest_day_are_in_hand_the_day_after() -> None:
    plan = shop("Aldermoor: transit 5d", "2027-03: tea@Aldermoor")
    [outlook] = outlooks(plan, "2027-03", date(2027, 2, 2))  # here on Sunday the 7th
    assert outlook.expected == date(2027, 2, 8)


def test_a_supplier_that_never_works_again_is_not_expected() -> None:
    plan = shop(
        "Aldermoor: closed from 2027-02-01, lead 5d",
        "2027-06: tea@Aldermoor; lamp, lead 30w",  # the lamp is too late, but it will come
    )
    found = binding(plan, "2027-06", date(2027, 2, 2))
    assert found is not None
    assert (found.name, found.expected, found.float) == ("tea", None, None)


def test_a_supplier_that_never_works_ends_the_chain() -> None:
    plan = shop("Aldermoor: week no day, lead 5d", "2027-06: tea@Aldermoor")
    chain = item_chain(plan, "2027-06.tea", TODAY)
    assert chain is not None
    assert chain.links[-1].stage == "stock"
    assert chain.to("order") == ()
    assert chain.outlook is not None
    assert chain.outlook.expected is None


def test_the_item_with_the_least_float_binds() -> None:
    plan = shop(
        "Aldermoor: lead 5d", "2027-06: tea@Aldermoor; lamp@Aldermoor, lead 30d; pin@Aldermoor"
    )
    found = binding(plan, "2027-06", TODAY)
    assert found is not None
    assert found.name == "lamp"
    in_hand = at(plan, "2027-06.lamp/stock", TODAY)
    next_one = binding(in_hand, "2027-06", TODAY)
    assert next_one is not None
    assert next_one.name == "pin"  # a tie: by name
    assert next_one.float is not None
    assert found.float is not None
    assert next_one.float > found.float
    everything = at(in_hand, "2027-06/pack", TODAY)
    assert binding(everything, "2027-06", TODAY) is None


def test_the_float_of_an_item_is_how_long_its_order_can_wait() -> None:
    # With one calendar for everybody, and no rest day on the way.
    plan = shop("Aldermoor: lead 5d, transit 0d", "2027-06: tea@Aldermoor")
    order = deadline(plan, "2027-06.tea/order", TODAY)
    found = binding(plan, "2027-06", TODAY)
    assert order is not None
    assert found is not None
    assert found.float == order.float

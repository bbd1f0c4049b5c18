"""Deadlines of plans at random, against an oracle that walks the calendar day by day, and against
the same deadlines derived anew. All shops and suppliers are invented.
"""

import math
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.calendars import calendars
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import deadline, deadlines, ship_date
from assistant.planning.model import (
    Item,
    Put,
    Remove,
    Shop,
    StageRule,
    Supplier,
)
from tests.planning.plans import TODAY, done, fresh, marks, shops
from tests.trade import house, item, lead, shop, supplier, with_stages

# --- against a walk day by day ---------------------------------------------------------------


def walked_back(works: Callable[[date], bool], day: date, days: int, unit: str) -> date:
    """`day` moved back, one day at a time."""
    if unit == "calendar":
        day -= timedelta(days)
        days = 0
    while not works(day):
        day -= timedelta(1)
    for _ in range(days):
        day -= timedelta(1)
        while not works(day):
            day -= timedelta(1)
    return day


def days_of(made: Shop, rule: StageRule, thing: Item | None) -> tuple[int, str] | None:
    """The days of a stage, written down a second time from config/defaults.toml."""
    profile, house = profile_of(made), made.house
    by: Supplier | None = find(made.suppliers, thing.supplier) if thing else None
    if rule.only_if == "deposit" and (by is None or not by.deposit_percent):
        return None
    for name, days in profile.lengths:
        if name == rule.name:
            return days, rule.unit
    quoted = (thing.lead if thing else None) or (by.lead if by else None)
    away = (by.country if by else thing.made_in if thing else "") not in ("", profile.country)
    match rule.days_from:
        case "packing":
            a_day = house.boxes_per_hour * house.crew * house.hours_per_day
            return max(1, math.ceil(profile.subscribers / a_day)), "working"
        case "transit" if by is not None and by.transit_days is not None:
            return by.transit_days, rule.unit
        case "transit":
            return (house.transit_abroad_days if away else house.transit_home_days), rule.unit
        case "making":
            return (quoted.days, quoted.unit) if quoted else (0, "working")
        case "confirming":
            return (by.confirm_days if by else 0), "working"
        case "balance":
            return None if by is None or by.net_days is None else (-by.net_days, rule.unit)
    return rule.days, rule.unit


def walked(made: Shop, box: str, thing: Item | None, stage: str) -> date | None:
    """The date of a stage, from the ship date back, each stage by itself."""
    ship = ship_date(made, box, TODAY)
    rule = next(rule for rule in made.house.stages if rule.name == stage)
    if ship is None or stage == "ship":
        return ship
    length = days_of(made, rule, thing)
    hangs = next((one for one in made.house.stages if one.name == rule.back_from), None)
    if length is None or hangs is None:
        return None
    after: date | None
    if hangs.per == "item" and rule.per == "box":
        inside = [one for one in made.items if one.box == box]
        dates = [walked(made, box, one, hangs.name) for one in inside]
        after = min((day for day in dates if day), default=None)
        if after is None:
            length, after = (rule.without_items, "working"), ship
    else:
        after = walked(made, box, thing if hangs.per == "item" else None, hangs.name)
    known = calendars(made, TODAY)
    party = known.of(thing.supplier) if rule.party == "supplier" and thing else known.shop
    return after and walked_back(party.is_working, after, *length)


@given(shops())
def test_every_date_agrees_with_a_walk_day_by_day(made: Shop) -> None:
    for one in deadlines(made, TODAY):
        assert one.on == walked(made, one.box, find(made.items, one.item), one.stage), one.key


@given(shops(), st.dates(date(2026, 6, 1), date(2027, 9, 1)))
def test_float_agrees_with_a_count_day_by_day(made: Shop, today: date) -> None:
    works = calendars(made, today).shop.is_working
    for one in deadlines(made, today):
        if one.on >= today:
            days = (today + timedelta(n) for n in range((one.on - today).days))
            assert one.float == sum(map(works, days))
            assert not one.late
        else:
            days = (one.on + timedelta(n) for n in range(1, (today - one.on).days + 1))
            assert one.float == -max(1, sum(map(works, days)))
            assert one.late is (one.state == "open")


@given(shops())
def test_in_order_of_date_and_with_keys_of_their_own(made: Shop) -> None:
    found = deadlines(made, TODAY)
    assert all(earlier.on <= later.on for earlier, later in pairwise(found))
    assert len({one.key for one in found}) == len(found)
    for one in found:
        assert one.key == f"{one.item or one.box}/{one.stage}"
        assert deadline(made, one.key, TODAY) is one
        owner = find(made.items, one.item)
        assert "{" not in one.todo
        assert one.name == (owner.name if owner else "")


# --- what is kept between questions ----------------------------------------------------------


def edits() -> st.SearchStrategy[Callable[[Shop], Shop]]:
    """Small changes such as a conversation makes."""

    def swap_lead(made: Shop) -> Shop:
        return apply(made, (Put(replace(one, lead=lead("4w"))) for one in made.items[:1]))

    def drop_item(made: Shop) -> Shop:
        return apply(made, (Remove("items", one.id) for one in made.items[-1:]))

    def add_item(made: Shop) -> Shop:
        return apply(made, (Put(item(box.id, "lamp@Hangfeng, lead 9d")) for box in made.boxes[:1]))

    def close_supplier(made: Shop) -> Shop:
        return apply(made, [Put(supplier("Hangfeng CN: closed 2-20 Dec yearly, net 10"))])

    def settle_theme(made: Shop) -> Shop:
        return apply(made, (Put(replace(one, theme="Frost")) for one in made.boxes))

    def move_ship(made: Shop) -> Shop:
        changed = (replace(one, ship_on=date(2027, 2, 3)) for one in made.boxes[:1])
        return apply(made, map(Put, changed))

    def pack_longer(made: Shop) -> Shop:
        return apply(made, [Put(replace(profile_of(made), subscribers=5000))])

    simple = st.sampled_from(
        (swap_lead, drop_item, add_item, close_supplier, settle_theme, move_ship, pack_longer)
    )
    keys = ["2026-12/ship", "2026-12.tea/order", "2026-12.notebook/stock", "2027-01/pack"]
    marked = marks(keys).map(lambda mark: lambda made: apply(made, [Put(mark)]))
    return simple | marked


@given(shops(), st.lists(edits(), max_size=5), st.integers(-2, 2))
def test_what_is_kept_equals_what_is_derived_anew(
    made: Shop, changes: list[Callable[[Shop], Shop]], moved: int
) -> None:
    today = TODAY
    for change in changes:
        deadlines(made, today)
        made = change(made)
        today += timedelta(moved)
        assert deadlines(made, today) == deadlines(fresh(made), today)


def test_an_unchanged_plan_gives_the_same_answer_and_a_change_its_own_records_only() -> None:
    made = shop("2027-03: tea", "2027-04: pin")
    before = deadlines(made, TODAY)
    assert deadlines(replace(made, version=7, ideas=()), TODAY) is before
    after = {one.key: one for one in deadlines(done(made, "2027-03.tea/order"), TODAY)}
    same = {one.key for one in before if after[one.key] is one}
    assert {one.key for one in before if one.box == "2027-04"} <= same
    assert "2027-03/pack" in same
    assert not [key for key in same if key.startswith("2027-03.tea/")]


def test_another_table_of_stages_is_another_plan() -> None:
    made = shop("2027-03", "2027-04: pin")
    before = deadlines(made, TODAY)
    other = replace(made, house=with_stages(house(), card={"days": 13}, stock={"days": 2}))
    assert deadlines(other, TODAY) == deadlines(fresh(other), TODAY) != before

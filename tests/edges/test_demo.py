"""The invented shop: whole on any day, the same on the same day, with something to be done."""

from datetime import UTC, date, datetime, timedelta

import pytest
from msgspec.structs import replace

from assistant.conversation.handle.doors import let_owner_in
from assistant.conversation.handle.nudging import morning
from assistant.edges.demo import demo_shop
from assistant.planning.calendars import missing
from assistant.planning.changes import apply
from assistant.planning.deadlines import deadlines
from assistant.planning.model import Change, Shop
from assistant.planning.month.cautions import kinds
from tests.trade import house

DAYS = [date(2026, 11, 25) + timedelta(days=29 * n) for n in range(13)] + [
    date(2028, 2, 29),
    date(2027, 12, 31),
    date(2027, 1, 1),
]


def opened(day: date) -> Shop:
    shop = Shop(id="shop", house=house())
    now = datetime(day.year, day.month, day.day, 9, tzinfo=UTC)
    return apply(shop, demo_shop(shop, now).notes)


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_on_any_day_it_is_a_year_from_this_month_on(day: date) -> None:
    shop = opened(day)
    ids = [box.id for box in shop.boxes]
    assert ids == sorted(ids)
    assert len(ids) == 12
    assert ids[0] == f"{day:%Y-%m}"
    assert all(box.theme for box in shop.boxes)
    assert {item.box for item in shop.items} == set(ids)
    suppliers = {one.id for one in shop.suppliers}
    assert all(item.supplier in suppliers for item in shop.items)
    assert missing(shop, day) == ()


@pytest.mark.parametrize("day", DAYS, ids=str)
def test_it_is_the_same_on_the_same_day_and_has_something_to_be_done(day: date) -> None:
    shop = opened(day)
    assert shop == opened(day)
    waiting = [one for one in deadlines(shop, day) if one.nudge and one.state == "open"]
    assert 1 <= len([one for one in waiting if one.on < day]) <= 2
    assert [one for one in waiting if one.on >= day]


def test_it_shows_what_the_design_of_a_year_needs() -> None:
    shop = opened(date(2027, 3, 1))
    assert {supplier.country for supplier in shop.suppliers} >= {"", "CN", "DE", "JP"}
    types = [item.type for item in shop.items]
    assert max(types.count(type) for type in types) >= 3
    assert len({kind for item in shop.items for kind in kinds(shop, item)}) >= 3
    assert shop.ideas


def test_the_plan_is_not_in_the_history() -> None:
    shop = Shop(id="shop", house=house())
    outcome = demo_shop(shop, datetime(2027, 3, 1, 9, tzinfo=UTC))
    assert (outcome.changes, outcome.replies) == ((), ())
    assert replace(apply(shop, outcome.notes), house=shop.house).version == 0


@pytest.mark.parametrize(("hour", "digests"), [(6, 1), (9, 0)])
def test_who_is_greeted_after_the_mornings_hour_gets_no_digest_on_top(
    hour: int, digests: int
) -> None:
    shop = apply(Shop(id="shop", house=house()), let_in("terminal:you"))
    opening = datetime(2027, 2, 1, hour, tzinfo=UTC)
    shop = apply(shop, demo_shop(shop, opening).notes)
    assert len(morning(shop, opening.replace(hour=12)).replies) == digests
    assert len(morning(shop, opening.replace(hour=12) + timedelta(days=1)).replies) == 1


def let_in(address: str) -> tuple[Change, ...]:
    before = Shop(id="shop", house=house())
    outcome = let_owner_in(before, address, datetime(2027, 1, 1, tzinfo=UTC))
    return (*outcome.notes, *outcome.changes)

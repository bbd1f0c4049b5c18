"""What ways out cost, added up by hand. All amounts are invented."""

from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.accounts.landed import landed
from assistant.planning.changes import apply
from assistant.planning.model import Put
from assistant.planning.month import rescue
from assistant.planning.month.rescue import ways
from assistant.planning.month.ways import How
from tests.planning.late import LATE, PIN, PROMISED, SHORT, named
from tests.planning.plans import TODAY


def test_an_offer_costs_what_it_lands_at_less_what_the_item_would() -> None:
    way = next(one for one in ways(LATE, PIN, TODAY) if one.other == "aldermoor.frost badge")
    after = apply(LATE, way.changes)
    new = next(item for item in after.items if item.name == "frost badge")
    assert way.cost == landed(after, new.id, TODAY).total - landed(LATE, PIN, TODAY).total
    order = landed(after, new.id, TODAY).quantity
    assert way.cost == Decimal("2.10") * order - Decimal("1.80") * 450


def test_what_is_ordered_is_paid_all_the_same() -> None:
    way = next(one for one in ways(PROMISED, PIN, TODAY) if one.other == "aldermoor.frost badge")
    after = apply(PROMISED, way.changes)
    new = next(item for item in after.items if item.name == "frost badge")
    assert way.cost == landed(after, new.id, TODAY).total


def test_a_part_costs_its_own_pieces() -> None:
    part = next(one for one in ways(SHORT, PIN, TODAY) if one.other == "aldermoor.frost badge")
    assert part.cost == Decimal("2.10") * 26
    unset = replace(SHORT.items[0], quantity=None)
    again = rescue.way(apply(SHORT, (Put(unset),)), PIN, "part", part.other, TODAY)
    assert again is not None
    assert again.cost == part.cost


def test_a_second_parcel_costs_postage_and_packaging_for_everybody() -> None:
    assert named(LATE, PIN, "twice").cost == (Decimal("1.20") + Decimal("0.50")) * 420
    assert named(replace(LATE, tariffs=()), PIN, "twice").cost is None


def test_a_split_costs_a_delivery_more() -> None:
    dear = replace(PROMISED.suppliers[0], carriage=Decimal(40))
    assert named(apply(PROMISED, (Put(dear),)), PIN, "split").cost == 40
    assert named(PROMISED, PIN, "split").cost is None


def test_faster_carriage_costs_what_a_quote_says_or_at_most_the_next_way() -> None:
    faster = named(LATE, PIN, "faster")
    others = [one for one in ways(LATE, PIN, TODAY) if one.whole and (one.cost or 0) > 0]
    assert faster.cost is None
    assert faster.at_most == min(one.cost for one in others if one.cost)
    told = replace(
        LATE.offers[0],
        id="air",
        supplier="hangfeng",
        item=PIN,
        carriage=Decimal(200),
        transit_days=5,
    )
    assert named(apply(LATE, (Put(told),)), PIN, "faster").cost == 200
    slow = replace(told, transit_days=39)
    assert named(apply(LATE, (Put(slow),)), PIN, "faster").cost is None


def test_what_only_changes_places_costs_nothing_more() -> None:
    places: tuple[How, ...] = ("swap", "move", "later", "wait")
    for how in places:
        assert named(LATE, PIN, how).cost == 0

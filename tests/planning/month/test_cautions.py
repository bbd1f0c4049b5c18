"""Cautions of items: at which moment, what is asked, hot months. Goods and shops are invented; the
rules are common practice, no source."""

from datetime import date, timedelta
from importlib.resources import files
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.deadlines import deadlines, ship_date
from assistant.planning.model import Item, Mark, Profile, Shop
from assistant.planning.month.cautions import (
    ASKED_OF,
    PERMITTING,
    SOUTH,
    before,
    cautions,
    cooler,
    fault,
    heat,
    hot_months,
    in_box,
    kinds,
    questions,
    together,
)
from assistant.planning.records import CautionRule, CautionWhen
from assistant.scheduling.countries import country_name
from tests.trade import house, shop, with_holidays

TODAY = date(2027, 1, 11)
WHENS: tuple[CautionWhen, ...] = ("plan", "order", "pack")
CELLS, FOOD, KEEPS = "lithium cells and batteries", "food and drink", "best-before dates"
MELTS = "goods that melt"


def one(name: str, box: str = "2027-06", **facts: Any) -> Shop:
    made = shop("2027-06 Swifts", "2027-05 Rain", "2027-10 Hearth")
    item = replace(Item("i", box, name), **facts)
    return with_holidays(replace(made, items=(item,)), TODAY)


def told(name: str, when: CautionWhen = "plan", **facts: Any) -> tuple[str, ...]:
    made = one(name, **facts)
    return tuple(found.goods for found in cautions(made, made.items[0], when, TODAY))


# --- the table ------------------------------------------------------------------------------


def test_the_table_has_the_kinds_that_a_shop_must_know_of() -> None:
    words = " ".join(rule.goods for rule in house().cautions)
    wanted = (
        "lithium aerosol flammable perfume alcohol liquid glass food best-before cosmetic candle "
        "children knives blade seeds plants melt medicine supplement"
    )
    assert [word for word in wanted.split() if word not in words] == []


@pytest.mark.parametrize("rule", house().cautions, ids=lambda rule: rule.goods)
def test_each_text_names_whom_to_ask_and_permits_nothing(rule: CautionRule) -> None:
    for text in (rule.plan, rule.order, rule.pack):
        assert any(who in text for who in ASKED_OF)
        assert len(text) <= 110
    for text in (rule.ask, rule.plan, rule.order, rule.pack, rule.goods):
        assert not [word for word in PERMITTING if word in text.casefold()]
        assert not any(letter.isdigit() for letter in text), "a number would be of a rule"


GOOD = CautionRule(
    "ice", words=("ice",), plan="ask the carrier", order="ask the carrier", pack="ask the carrier"
)
FAULTS = [
    (replace(GOOD, goods=" "), "goods", "needs a name"),
    (replace(GOOD, words=()), "goods", "nothing is ever of this kind"),
    (replace(GOOD, words=("Ice",)), "words", '"Ice" is not in plain small letters'),
    (replace(GOOD, maybe=("ice",), ask="{item}?"), "maybe", "plainly such goods already"),
    (replace(GOOD, maybe=("slush",)), "ask", "a question is needed"),
    (replace(GOOD, maybe=("slush",), ask="Is it ice?"), "ask", "with {item} in it"),
    (replace(GOOD, of=("water",)), "of", 'there are no goods "water"'),
    (replace(GOOD, plan="ask somebody"), "plan", "it names nobody to ask"),
    (replace(GOOD, pack="the carrier has allowed it"), "pack", '"allowed" permits'),
    (replace(GOOD, order=""), "order", "it names nobody"),
]


@pytest.mark.parametrize(("rule", "key", "why"), FAULTS)
def test_a_mistake_in_a_rule_is_named(rule: CautionRule, key: str, why: str) -> None:
    found = fault(rule, (), frozenset({"ice"}))
    assert found is not None
    assert found[0] == key
    assert why in found[1]


def test_a_good_rule_is_good_once() -> None:
    assert fault(GOOD, (), frozenset({"ice"})) is None
    assert fault(GOOD, (GOOD,), frozenset({"ice"})) == ("goods", '"ice" is there already')


# --- an item --------------------------------------------------------------------------------


def test_each_moment_has_its_own_check() -> None:
    made = one("lithium lamp")
    checks = [cautions(made, made.items[0], when, TODAY)[0].check for when in WHENS]
    assert len(set(checks)) == 3
    rule = next(rule for rule in house().cautions if rule.goods == CELLS)
    assert checks == [rule.plan, rule.order, rule.pack]


def test_a_kind_brings_others_along() -> None:
    made = one("oat biscuits")
    found = cautions(made, made.items[0], "plan", TODAY)
    assert [(one.goods, one.implied) for one in found] == [(FOOD, False), (KEEPS, True)]
    assert told("oat biscuits", goods=((FOOD, False),)) == ()
    assert told("oat biscuits", goods=((KEEPS, False),)) == (FOOD,)


def test_what_was_answered_counts_and_is_not_asked_again() -> None:
    made = one("clip-on lamp")
    (asked,) = questions(made, made.items[0])
    assert asked.goods == CELLS
    assert "clip-on lamp" in asked.ask
    assert told("clip-on lamp") == ()
    for so in (True, False):
        known = one("clip-on lamp", goods=((CELLS, so),))
        assert questions(known, known.items[0]) == ()
        assert told("clip-on lamp", goods=((CELLS, so),)) == ((CELLS,) if so else ())
    assert told("lithium lamp", goods=((CELLS, False),)) == ()


WORDS = sorted({w for rule in house().cautions for w in (*rule.words, *rule.maybe)})
NAMES = st.lists(st.sampled_from([*WORDS, "of", "with", "no", "tin", "print"]), max_size=5).map(
    " ".join
)


@given(NAMES, st.lists(st.tuples(st.sampled_from(house().cautions), st.booleans()), max_size=4))
def test_no_kind_is_asked_twice_or_both_told_and_asked(
    name: str, answers: list[tuple[CautionRule, bool]]
) -> None:
    known = tuple({rule.goods: so for rule, so in answers}.items())
    made = one(name, goods=known)
    (item,) = made.items
    asked = [found.goods for found in questions(made, item)]
    assert len(asked) == len(set(asked))
    assert not {*asked} & {goods for goods, _ in known}
    for when in WHENS:
        found = [one.goods for one in cautions(made, item, when, TODAY)]
        assert len(found) == len(set(found))
        assert not {*found} & {goods for goods, so in known if not so}
        assert {goods for goods, so in known if so} - {MELTS} <= {*found}


@given(NAMES)
def test_answering_every_question_leaves_none(name: str) -> None:
    made = one(name)
    (item,) = made.items
    for _ in range(20):
        if not (asked := questions(made, item)):
            break
        item = replace(item, goods=(*item.goods, (asked[0].goods, False)))
    assert questions(made, item) == ()


# --- several items --------------------------------------------------------------------------


def test_a_box_tells_each_kind_once_with_its_items() -> None:
    made = with_holidays(shop("2027-03 Rain: tea; oat biscuits; lithium lamp; notebook"), TODAY)
    found = {one.goods: [item.name for item in one.items] for one in in_box(made, *PACKING)}
    assert found == {
        CELLS: ["lithium lamp"],
        FOOD: ["tea", "oat biscuits"],
        KEEPS: ["tea", "oat biscuits"],
    }
    assert [one.check for one in in_box(made, *PACKING)] == [
        rule.pack for rule in house().cautions if rule.goods in found
    ]
    assert together(made, (), "plan", TODAY) == ()


PACKING: tuple[str, CautionWhen, date] = ("2027-03", "pack", TODAY)


def test_deadlines_of_ordering_and_packing_carry_cautions_and_no_others() -> None:
    made = with_holidays(shop("2027-03 Rain: tea; lithium lamp; notebook"), TODAY)
    for due in deadlines(made, TODAY):
        found = {one.goods for one in before(made, (due,), TODAY)}
        match due.stage, due.name:
            case "order", "tea":
                assert found == {FOOD, KEEPS}
            case "order", "lithium lamp":
                assert found == {CELLS}
            case "pack", _:
                assert found == {FOOD, KEEPS, CELLS}
            case _:
                assert not found
    every = before(made, deadlines(made, TODAY), TODAY)
    assert len(every) == len({one.goods for one in every}) == 3


# --- hot months -----------------------------------------------------------------------------


def test_which_countries_lie_south_of_the_equator() -> None:
    """Against the tz database's zone.tab: the latitude of the first place of each country."""
    text = files("tzdata.zoneinfo").joinpath("zone.tab").read_text(encoding="utf-8")
    first: dict[str, str] = {}
    for line in text.splitlines():
        if not line.startswith("#"):
            code, place, *_ = line.split("\t")
            first.setdefault(code, place)
    assert len(first) > 200
    assert {code for code, place in first.items() if place.startswith("-")} == SOUTH
    assert all(country_name(code) for code in SOUTH - {"AQ", "GS", "IO", "TF"})


@pytest.mark.parametrize(
    ("country", "months"), [("GB", (6, 7, 8, 9)), ("US", (6, 7, 8, 9)), ("AU", (12, 1, 2, 3))]
)
def test_the_hot_months_of_a_country(country: str, months: tuple[int, ...]) -> None:
    assert hot_months(shop(country=country)) == months


@pytest.mark.parametrize("country", ["GB", "NZ"])
def test_a_box_is_hot_where_a_day_of_its_way_is(country: str) -> None:
    made = with_holidays(replace(shop(), profile=(Profile(country=country),)), TODAY)
    for month in range(1, 13):
        box = f"2027-{month:02}"
        ships = ship_date(made, box, TODAY)
        assert ships is not None
        way = [ships + timedelta(days) for days in range(made.house.transit_home_days + 1)]
        found = heat(made, box, TODAY)
        assert (found is not None) == any(day.month in hot_months(made) for day in way)
        if found:
            assert (found.first, found.last) == (way[0], way[-1])


def test_a_box_that_ships_on_the_last_of_may_is_on_its_way_in_june() -> None:
    made = with_holidays(shop("2027-05 Rain, ships 2027-05-31: beeswax balm"), TODAY)
    assert heat(made, "2027-05", TODAY) is not None
    assert heat(shop("2027-05 Rain, ships 2027-05-14"), "2027-05", TODAY) is None


def test_what_melts_is_told_of_hot_months_only() -> None:
    assert MELTS in told("chocolate bar", box="2027-06")
    assert MELTS not in told("chocolate bar", box="2027-10")
    assert MELTS in kinds(one("chocolate bar", box="2027-10"), Item("i", "2027-10", "chocolate"))
    soap = one("soap", box="2027-06")
    assert [found.goods for found in questions(soap, soap.items[0])] == [MELTS]
    soap = one("soap", box="2027-10")
    assert questions(soap, soap.items[0]) == ()


def test_the_cooler_box_is_the_nearest_that_is_cool_free_and_in_time() -> None:
    made = one("chocolate bar", box="2027-06")
    assert cooler(made, made.items[0], TODAY) == "2027-05"
    late = date(2027, 5, 12)  # too late to have it in hand in May
    assert cooler(with_holidays(made, late), made.items[0], late) == "2027-10"
    taken = replace(made, items=(*made.items, Item("j", "2027-05", "Chocolate Bar")))
    assert cooler(taken, made.items[0], TODAY) == "2027-10"
    alone = replace(made, boxes=tuple(box for box in made.boxes if box.id == "2027-06"))
    assert cooler(alone, made.items[0], TODAY) == ""


def test_a_box_that_has_shipped_is_never_the_cooler_one() -> None:
    day = date(2027, 5, 20)
    made = with_holidays(one("chocolate bar", box="2027-06"), day)
    made = replace(made, ledger=(Mark("2027-05/ship", "done"),))
    assert cooler(made, made.items[0], day) == "2027-10"


@given(st.sampled_from(["2027-05", "2027-06", "2027-10"]), st.sampled_from(["GB", "AU"]))
def test_a_cooler_box_is_cool(box: str, country: str) -> None:
    made = replace(one("chocolate bar", box=box), profile=(Profile(country=country),))
    made = with_holidays(made, TODAY)
    found = cooler(made, made.items[0], TODAY)
    assert found == "" or heat(made, found, TODAY) is None
    assert found != box


def test_the_kinds_are_told_in_the_tables_order() -> None:
    order = {rule.goods: place for place, rule in enumerate(house().cautions)}
    made = one("seed packet with oat biscuits and a lithium lamp and soap")
    places = [order[goods] for goods in kinds(made, made.items[0])]
    assert len(places) > 3
    assert all(first < second for first, second in pairwise(places))

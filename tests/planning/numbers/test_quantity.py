"""What to order of an item, against exhaustive search, published cases and its own sums.

Shops, suppliers and goods are invented.
"""

from datetime import date
from decimal import Decimal
from math import ceil, sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy import stats

from assistant.planning.model import Books, Break, Rate, Shop
from assistant.planning.numbers import quantity, subscribers
from assistant.planning.numbers.quantity import amount, amounts, netted, surplus
from assistant.planning.numbers.subscribers import Expected
from tests.trade import shop

TODAY = date(2027, 1, 11)
NOTEBOOK = "2027-03.notebook"
BREAKS = (Break(600, Decimal("1.90")), Break(1200, Decimal("1.62")))
PRICES = st.decimals(Decimal("0.05"), 9, places=2)
SHARES = (("S", Decimal(20)), ("M", Decimal(50)), ("L", Decimal(30)))


# --- amounts --------------------------------------------------------------------------------


def trade(text: str = "notebook@Aldermoor", books: Books | None = None, **item: Any) -> Shop:
    """A shop with one item in March, its facts, and 431 subscribers."""
    made = shop("Aldermoor", f"2027-03: {text}", subscribers=431)
    items = tuple(replace(one, **item) for one in made.items)
    return replace(made, items=items, books=(books,) if books else ())


def expecting(monkeypatch: pytest.MonkeyPatch, mean: float, sd: float) -> None:
    """Let every box expect the same."""

    def one(_shop: Shop, box_id: str, _today: date) -> Expected:
        return Expected(box_id, TODAY, mean, sd, round(mean), round(mean))

    monkeypatch.setattr(quantity, "expected", one)
    monkeypatch.setattr(quantity, "forecast", lambda _shop, _today: ())


def found(shop: Shop, item: str = NOTEBOOK) -> quantity.Amount:
    one = amount(shop, item, TODAY)
    assert one is not None
    return one


def test_each_part_of_a_number(monkeypatch: pytest.MonkeyPatch) -> None:
    expecting(monkeypatch, 431.0, 10.9)
    one = found(trade(case_pack=23, unit_cost=Decimal("3.10")))
    wanted = ceil(stats.norm.ppf(0.95, 431, 10.9))
    need = next(n for n in range(wanted, 600) if stats.binom.sf(wanted - 1, n, 0.98) >= 0.95)
    assert (one.expected, one.safety, one.spares) == (431, wanted - 431, need - wanted)
    assert (one.need, one.order, one.cases) == (need, ceil(need / 23) * 23, ceil(need / 23))
    assert one.spend == Decimal("3.10") * one.order
    assert [one.confidence, one.damage] == [95, 2]
    assert one.sure == "house"


def test_stock_is_usable_and_needs_no_spares(monkeypatch: pytest.MonkeyPatch) -> None:
    expecting(monkeypatch, 100.0, 0.0)
    one = found(trade(stock=40))
    assert (one.expected, one.safety, one.stock) == (100, 0, 40)
    assert one.need == 60 + one.spares
    assert stats.binom.sf(59, one.need, 0.98) >= 0.95 > stats.binom.sf(59, one.need - 1, 0.98)
    plenty = found(trade(stock=500, minimum=200))
    assert (plenty.stock, plenty.need, plenty.order, plenty.spares) == (100, 0, 0, 0)


def test_two_in_each_box(monkeypatch: pytest.MonkeyPatch) -> None:
    expecting(monkeypatch, 100.0, 0.0)
    one = found(trade(units=2, damage=Decimal(0)))
    assert (one.expected, one.order, one.spares) == (200, 200, 0)


def test_confidence_is_her_own_then_what_it_costs_then_the_house(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    expecting(monkeypatch, 431.0, 11.0)
    costs = Books(short_cost=Decimal(12), resale=Decimal(30))
    own = replace(costs, confidence=Decimal(99))
    priced: dict[str, Any] = {"unit_cost": Decimal("3.10"), "damage": Decimal(0)}
    one = found(trade(books=costs, **priced))
    assert one.leftover == Decimal("2.17")
    assert one.sure == "costs"
    assert float(one.confidence) == pytest.approx(100 * 12 / (12 + 2.17), abs=0.05)
    assert one.need == ceil(stats.norm.ppf(float(one.confidence) / 100, 431, 11))
    assert found(trade(books=own, **priced)).confidence == 99
    assert found(trade(books=costs)).sure == "house"
    foreign = found(trade(books=costs, currency="EUR", **priced))
    assert (foreign.sure, foreign.leftover) == ("house", None)
    rated = replace(
        trade(books=costs, currency="EUR", **priced),
        rates=(Rate("EUR/2027-01-01", "EUR", TODAY, Decimal("0.80")),),
    )
    assert found(rated).leftover == Decimal("2.17") * Decimal("0.80")


def test_a_shortage_that_costs_little_orders_less(monkeypatch: pytest.MonkeyPatch) -> None:
    expecting(monkeypatch, 431.0, 11.0)
    cheap = Books(short_cost=Decimal(1))
    one = found(trade(books=cheap, unit_cost=Decimal(4), damage=Decimal(0)))
    assert one.confidence == 20
    assert one.safety < 0
    assert one.need == one.expected + one.safety


@pytest.mark.parametrize(("mean", "sd"), [(431.0, 0.0), (431.0, 11.0)])
def test_each_option_has_its_own_quantile(
    monkeypatch: pytest.MonkeyPatch, mean: float, sd: float
) -> None:
    expecting(monkeypatch, mean, sd)
    one = found(trade(shares=SHARES, damage=Decimal(0)))
    for (_, number), (_, percent) in zip(one.shares, SHARES, strict=True):
        share = float(percent) / 100
        spread = sqrt((share * sd) ** 2 + share * (1 - share) * mean)
        normal = ceil(stats.norm.ppf(0.95, share * mean, spread))
        assert number == (int(stats.binom.ppf(0.95, mean, share)) if sd == 0 else normal)
    assert sum(number for _, number in one.shares) == one.order
    assert one.need > found(trade(damage=Decimal(0))).need


def test_options_come_in_cases_of_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    expecting(monkeypatch, 100.0, 0.0)
    one = found(trade(shares=SHARES, case_pack=24, minimum=200))
    assert all(number % 24 == 0 for _, number in one.shares)
    assert sum(number for _, number in one.shares) == one.order == 216
    assert one.because == ("case", "minimum")


def test_her_own_number_stays_and_is_priced() -> None:
    one = found(trade(quantity=1200, unit_cost=Decimal("2.10"), breaks=BREAKS, shares=SHARES))
    assert (one.own, one.order, one.price) == (True, 1200, Decimal("1.62"))
    assert one.spend == Decimal("1944.00")
    assert one.shares == (("S", 240), ("M", 600), ("L", 360))
    assert 0 < one.advised < 1200


def test_unknown_and_sent_items() -> None:
    made = shop("2026-12: tea; mug", "2027-03: notebook", subscribers=431)
    assert amount(made, "nothing", TODAY) is None
    assert [one.item for one in amounts(made, TODAY)] == [NOTEBOOK]
    assert found(made, "2026-12.tea").expected == 431


FACTS = st.fixed_dictionaries(
    {},
    optional={
        "units": st.integers(1, 3),
        "stock": st.integers(0, 900),
        "case_pack": st.integers(1, 60),
        "minimum": st.integers(1, 1500),
        "damage": st.decimals(0, 30, places=1),
        "unit_cost": PRICES,
        "shares": st.just(SHARES),
    },
)
BOOKS = st.builds(
    Books,
    confidence=st.one_of(st.none(), st.decimals(1, 99, places=1)),
    short_cost=st.one_of(st.none(), st.decimals(0, 40, places=2)),
    resale=st.one_of(st.none(), st.decimals(0, 100, places=0)),
)


@given(FACTS, BOOKS, st.integers(0, 700), st.floats(0, 40))
def test_parts_add_up(facts: dict[str, Any], books: Books, mean: int, sd: float) -> None:
    with pytest.MonkeyPatch.context() as patch:
        expecting(patch, float(mean), sd)
        one = found(trade(books=books, **facts))
    assert one.need == one.expected + one.safety - one.stock + one.spares
    assert one.order >= one.need >= 0
    assert min(one.spares, one.stock) >= 0
    assert (one.order > one.need) == bool(one.because)
    if one.shares:
        assert sum(number for _, number in one.shares) == one.order


# --- items that are ordered together ----------------------------------------------------------


def together(value: Decimal | None, **supplier: Any) -> Shop:
    made = shop(
        "Aldermoor",
        "Brackenfold",
        "2027-03: notebook@Aldermoor; pin@Aldermoor; mug@Brackenfold",
        "2027-05: tea@Aldermoor",
        subscribers=100,
    )
    prices = {"notebook": Decimal(3), "pin": Decimal(1), "mug": Decimal(4), "tea": Decimal(2)}
    items = (
        replace(one, unit_cost=prices[one.name], damage=Decimal(0), case_pack=10)
        for one in made.items
    )
    suppliers = (
        replace(one, minimum_value=value, **supplier) if one.id == "aldermoor" else one
        for one in made.suppliers
    )
    return replace(made, items=tuple(items), suppliers=tuple(suppliers))


def test_the_least_value_of_an_order_is_shared_among_its_items() -> None:
    plain = {one.item: one for one in amounts(together(None), TODAY)}
    raised = {one.item: one for one in amounts(together(Decimal(600)), TODAY)}
    march = [raised[f"2027-03.{name}"] for name in ("notebook", "pin")]
    assert sum(one.spend or 0 for one in march) >= 600
    assert [one.order for one in march] == [150, 150]
    assert all("together" in one.because for one in march)
    assert raised["2027-03.mug"] == plain["2027-03.mug"]
    assert raised["2027-05.tea"].order == 300


def test_what_is_set_or_ordered_counts_but_stays() -> None:
    made = together(Decimal(600))
    set_ = replace(
        made,
        items=tuple(
            replace(one, quantity=120) if one.name == "notebook" else one for one in made.items
        ),
    )
    found = {one.item: one.order for one in amounts(set_, TODAY)}
    assert found["2027-03.notebook"] == 120
    assert found["2027-03.pin"] == 240


def test_a_least_value_in_a_currency_without_a_rate_changes_nothing() -> None:
    made = together(Decimal(600), currency="EUR")
    assert [one.order for one in amounts(made, TODAY)] == [100, 100, 100, 100]
    rate = Rate("EUR/2027-01-01", "EUR", TODAY, Decimal("0.5"))
    halved = replace(made, rates=(rate,))
    assert [one.order for one in amounts(halved, TODAY)] == [100, 100, 100, 150]


# --- stock and minimums -----------------------------------------------------------------------


def test_lot_for_lot_with_opening_stock() -> None:
    # Source: public copy of a textbook exercise, original not identified.
    needs = (41, 44, 84, 42, 84, 86, 7, 18, 49, 30)
    found = netted(needs, 120)
    assert [one.left for one in found] == [79, 35, 0, 0, 0, 0, 0, 0, 0, 0]
    lead = 2
    got = [one.get for one in found]
    assert [*got[lead:], 0, 0] == [49, 42, 84, 86, 7, 18, 49, 30, 0, 0]


@given(st.lists(st.integers(0, 90), max_size=10), st.integers(0, 400))
def test_stock_is_neither_made_nor_lost(needs: list[int], on_hand: int) -> None:
    found = netted(needs, on_hand)
    assert sum(one.used for one in found) + (found[-1].left if found else on_hand) == on_hand
    assert [one.used + one.get for one in found] == needs


def test_a_minimum_above_the_need_of_the_year() -> None:
    made = shop(
        "Aldermoor",
        "2027-03: notebook@Aldermoor",
        "2027-09: notebook@Aldermoor",
        "2028-03: notebook@Aldermoor",
        subscribers=100,
    )
    items = tuple(replace(one, minimum=1000, damage=Decimal(0)) for one in made.items)
    too_much = surplus(replace(made, items=items), NOTEBOOK, TODAY)
    assert too_much is not None
    assert (too_much.over, too_much.year, too_much.boxes) == (900, 200, 10)
    assert surplus(made, NOTEBOOK, TODAY) is None


def test_expected_is_asked_once_for_each_box(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    plain = subscribers.expected

    def counted(shop: Shop, box: str, today: date) -> Expected:
        asked.append(box)
        return plain(shop, box, today)

    monkeypatch.setattr(quantity, "expected", counted)
    made = shop("2027-03: a; b; c", "2027-05: d; e", subscribers=50)
    assert len(amounts(made, TODAY)) == 5
    assert asked == []

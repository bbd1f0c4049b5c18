"""What to order of an item, against exhaustive search, published cases and its own sums.

Shops, suppliers and goods are invented.
"""

from datetime import date
from decimal import Decimal
from itertools import product
from math import ceil, sqrt
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from scipy import stats

from assistant.planning import quantity, subscribers
from assistant.planning.buying import Line, over_options, up_to
from assistant.planning.model import Books, Break, Item, Offer, Rate, Shop
from assistant.planning.quantity import amount, amounts, buy, netted, price_at, surplus
from assistant.planning.subscribers import Expected
from tests.trade import shop

TODAY = date(2027, 1, 11)
NOTEBOOK = "2027-03.notebook"
BREAKS = (Break(600, Decimal("1.90")), Break(1200, Decimal("1.62")))


# --- buying ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("need", "order", "spend", "why"),
    [
        (1037, 1200, Decimal("1944.00"), ("case", "break")),
        (1000, 1008, Decimal("1915.20"), ("case",)),
        (590, 600, Decimal("1140.00"), ("case",)),
        (100, 600, Decimal("1140.00"), ("case", "minimum")),
        (600, 600, Decimal("1140.00"), ()),
        (0, 0, Decimal(0), ()),
    ],
)
def test_whole_cases_a_minimum_and_breaks(
    need: int, order: int, spend: Decimal, why: tuple[str, ...]
) -> None:
    # Rounding up to full cases and buying up to a cheaper tier: common practice, no source.
    found = buy(need, case=24, minimum=600, price=Decimal("2.10"), breaks=BREAKS)
    assert (found.order, found.spend, found.because) == (order, spend, why)
    assert found.cases == order // 24


PRICES = st.decimals(Decimal("0.05"), 9, places=2)
TIERS = st.lists(st.tuples(st.integers(2, 90), PRICES), max_size=3, unique_by=lambda one: one[0])


@given(
    st.integers(1, 80),
    st.one_of(st.none(), st.integers(1, 12)),
    st.one_of(st.none(), st.integers(1, 90)),
    PRICES,
    TIERS,
)
def test_no_order_that_is_allowed_costs_less(
    need: int,
    case: int | None,
    minimum: int | None,
    price: Decimal,
    tiers: list[tuple[int, Decimal]],
) -> None:
    breaks = tuple(Break(number, each) for number, each in sorted(tiers))
    found = buy(need, case=case, minimum=minimum, price=price, breaks=breaks)
    item = Item(id="x", box="2027-03", name="x", unit_cost=price, breaks=breaks)
    allowed = (n for n in range(need, 220) if n % (case or 1) == 0 and n >= (minimum or 0))
    spends = [((price_at(item, n) or 0) * n, n) for n in allowed]
    assert (found.spend, found.order) == min(spends)
    assert found.price == price_at(item, found.order)


def test_without_a_price_the_fewest_pieces_are_bought() -> None:
    found = buy(70, case=24, minimum=None, price=None, breaks=BREAKS)
    assert (found.order, found.price, found.spend) == (72, None, None)


def test_the_price_of_an_offer_follows_its_breaks() -> None:
    offer = Offer("o", "aldermoor", "mug", price=Decimal(3), breaks=BREAKS)
    assert [price_at(offer, n) for n in (1, 599, 600, 5000)] == [
        Decimal(3),
        Decimal(3),
        Decimal("1.90"),
        Decimal("1.62"),
    ]


# --- the least value of an order --------------------------------------------------------------

LINES = st.lists(
    st.tuples(st.integers(1, 40), st.integers(1, 8), st.decimals(Decimal("0.1"), 5, places=1)),
    min_size=1,
    max_size=3,
)


@given(LINES, st.integers(1, 400))
def test_an_order_is_raised_to_its_least_value_and_no_step_too_far(
    told: list[tuple[int, int, Decimal]], value: int
) -> None:
    lines = [Line(order * step, step, price) for order, step, price in told]
    raised = up_to(Decimal(value), lines)

    def worth(numbers: tuple[int, ...]) -> Decimal:
        return sum(
            ((line.price or Decimal(0)) * n for line, n in zip(lines, numbers, strict=True)),
            Decimal(0),
        )

    assert worth(raised) >= value
    for place, line in enumerate(lines):
        extra = raised[place] - line.order
        assert extra >= 0
        assert extra % line.step == 0
        if extra:
            less = tuple(n - line.step * (at == place) for at, n in enumerate(raised))
            assert worth(less) < value


def test_the_gap_is_shared_by_what_each_line_comes_to() -> None:
    lines = [Line(100, 10, Decimal(2)), Line(300, 10, Decimal(2))]
    assert up_to(Decimal(1200), lines) == (150, 450)
    assert up_to(Decimal(500), lines) == (100, 300)
    assert up_to(Decimal(500), [Line(10, 1, None), Line(0, 1, Decimal(2))]) == (10, 0)


SHARES = (("S", Decimal(20)), ("M", Decimal(50)), ("L", Decimal(30)))


@given(
    st.lists(st.integers(0, 300), min_size=3, max_size=3),
    st.integers(0, 30),
    st.integers(1, 24),
)
def test_options_are_whole_cases_that_add_up(wanted: list[int], more: int, case: int) -> None:
    order = sum(-(-n // case) * case for n in wanted) + more * case
    shares = over_options(SHARES, wanted, order, case)
    assert sum(n for _, n in shares) == order
    for (_, n), least in zip(shares, wanted, strict=True):
        assert n >= least
        assert n % case == 0


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


# --- the two together, by enumeration ---------------------------------------------------------


def test_the_cheapest_way_to_a_least_value_is_near() -> None:
    """Sharing out in proportion costs at most one step more than the least that can be spent."""
    lines = [Line(40, 8, Decimal("1.3")), Line(60, 12, Decimal("0.7"))]
    value = Decimal(150)
    raised = up_to(value, lines)

    def worth(numbers: tuple[int, ...]) -> Decimal:
        return numbers[0] * Decimal("1.3") + numbers[1] * Decimal("0.7")

    ways = product(range(40, 200, 8), range(60, 300, 12))
    least = min(worth(way) for way in ways if worth(way) >= value)
    assert least <= worth(raised) < least + max(Decimal("10.4"), Decimal("8.4"))


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

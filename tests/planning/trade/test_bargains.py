"""What can be asked of whom, and what it is worth: worked out by hand beside it. All is invented.

What is worth asking for: common practice, no source.
"""

from datetime import UTC, date, datetime
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Break, Mark, Rate, Shop, Spend
from assistant.planning.trade.bargains import Ask, Bargain, bargain_with, bargains, enough
from assistant.planning.trade.supplies import Could, Year
from tests.trade import offer, shop

TODAY = date(2027, 1, 11)
BREAKS = (Break(500, Decimal("2.90")), Break(1000, Decimal("2.60")))


def dec(text: str | int) -> Decimal:
    return Decimal(text)


def planned(*texts: str, breaks: tuple[Break, ...] = (), **terms: object) -> Shop:
    """A shop in which every item has these breaks, and Aldermoor these terms."""
    made = shop(*texts)
    items = tuple(replace(one, breaks=breaks) for one in made.items)
    suppliers = tuple(
        replace(one, **terms) if one.id == "aldermoor" else one for one in made.suppliers
    )
    return replace(made, items=items, suppliers=suppliers)


def with_notebooks(*pieces: int, **terms: object) -> Shop:
    """Notebooks of Aldermoor at 3.10 in so many boxes from March on."""
    boxes = [
        f"2027-{month:02} Box: notebook@Aldermoor {n} x 3.10" for month, n in enumerate(pieces, 3)
    ]
    return planned("Aldermoor: net 30, lead 20d", *boxes, breaks=BREAKS, **terms)


def found(made: Shop, supplier: str = "aldermoor") -> Bargain:
    bargain = bargain_with(made, supplier, TODAY)
    assert bargain is not None
    return bargain


def asks(made: Shop, about: str, supplier: str = "aldermoor") -> list[Ask]:
    return [one for one in found(made, supplier).asks if one.about == about]


# --- what it adds up to ---------------------------------------------------------------------


def test_the_year_of_a_supplier_adds_up() -> None:
    made = planned(
        "Aldermoor",
        "Brackenfold",
        "2027-03 Rain: notebook@Aldermoor 450 x 3.10; tea@Brackenfold 450 x 1.20",
        "2027-05 Swifts: notebook@Aldermoor 460 x 3.10; map@Aldermoor 460 x 0.50",
        "2027-11 Dark: lamp@Aldermoor 400",
        "2028-01 Far: notebook@Aldermoor 450 x 3.10",
    )
    supply = found(made).supply
    assert supply.boxes == ("2027-03", "2027-05", "2027-11")
    assert [(one.name, one.boxes) for one in supply.goods] == [
        ("notebook", (("2027-03", 450), ("2027-05", 460))),
        ("map", (("2027-05", 460),)),
        ("lamp", (("2027-11", 400),)),
    ]
    assert supply.pieces == 450 + 460 + 460 + 400
    assert supply.spend == supply.own == dec("1395") + dec("1426") + dec("230")
    assert [(one.year, one.quarter, one.pieces, one.spend) for one in supply.quarters] == [
        (2027, 1, 450, dec("1395.00")),
        (2027, 2, 920, dec("1656.00")),
        (2027, 4, 400, dec(0)),
    ]
    assert supply.unpriced == ("lamp",)


PLANS = st.lists(
    st.tuples(st.integers(2, 12), st.integers(1, 900), st.integers(1, 900)), min_size=1, max_size=8
)


@given(PLANS)
def test_quarters_and_goods_are_parts_of_the_whole(plan: list[tuple[int, int, int]]) -> None:
    boxes: dict[int, list[str]] = {}
    for n, (month, pieces, pence) in enumerate(plan):
        name = "abcdefgh"[n]
        boxes.setdefault(month, []).append(f"{name}@Aldermoor {pieces} x {pence / 100:.2f}")
    texts = [f"2027-{month:02} Box: {'; '.join(items)}" for month, items in boxes.items()]
    supply = found(planned("Aldermoor", *texts)).supply
    assert supply.pieces == sum(pieces for _, pieces, _ in plan)
    assert supply.spend == sum(pieces * dec(pence) / 100 for _, pieces, pence in plan)
    assert sum(one.pieces for one in supply.quarters) == supply.pieces
    assert sum(one.spend for one in supply.quarters) == supply.spend
    assert sum(one.pieces for one in supply.goods) == supply.pieces


def test_what_is_ordered_cannot_be_bargained_for_but_counts_for_the_year() -> None:
    made = with_notebooks(450, 450, 450, spends=(Spend(dec(4000), dec(3)),))
    key = f"{made.items[0].id}/order"
    done = Mark(key, "done", at=datetime(2027, 1, 10, tzinfo=UTC))
    after = replace(made, ledger=(done,))
    supply = found(after).supply
    assert (supply.pieces, supply.spend, supply.ordered) == (900, dec(2790), dec(1395))
    (spend,) = asks(after, "spend")
    assert (spend.amount, spend.lacks, spend.worth) == (dec(4000), dec(0), dec("83.70"))  # of 2,790


def test_another_currency_is_told_in_both() -> None:
    text = "2027-03 Rain: notebook@Aldermoor 450 x 3.10 EUR"
    made = planned("Aldermoor", text, "2027-05 B: map@Aldermoor 100 x 2.00 EUR", currency="EUR")
    assert (found(made).supply.currency, found(made).supply.own) == ("EUR", None)
    rated = replace(made, rates=(Rate("EUR/2027-01-01", "EUR", date(2027, 1, 1), dec("0.80")),))
    supply = found(rated).supply
    assert (supply.spend, supply.own) == (dec(1595), dec(1276))
    (rate,) = asks(rated, "rate")
    assert rate.worth == dec("12.76")


# --- breaks ---------------------------------------------------------------------------------


def test_the_year_reaches_a_break_that_no_box_does() -> None:
    (ask,) = asks(with_notebooks(450, 450, 450), "break")
    assert (ask.quantity, ask.price, ask.was, ask.short) == (1000, dec("2.60"), dec("3.10"), 0)
    assert ask.worth == 1350 * (dec("3.10") - dec("2.60"))


def test_a_year_that_is_nearly_there_may_ask_all_the_same() -> None:
    (ask,) = asks(with_notebooks(450, 450), "break")
    assert (ask.quantity, ask.short) == (500, 0)
    (near,) = asks(with_notebooks(240, 240), "break")
    assert (near.quantity, near.short, near.worth) == (500, 20, 480 * (dec("3.10") - dec("2.90")))
    assert asks(with_notebooks(180, 180), "break") == []  # 360 is not three quarters of 500


def test_breaks_of_a_kept_offer_count_at_the_price_that_the_plan_has() -> None:
    made = with_notebooks(450, 450, 450)
    bare = replace(made, items=tuple(replace(one, breaks=()) for one in made.items))
    assert asks(bare, "break") == []
    kept = replace(offer("Aldermoor: Notebooks 3.10"), breaks=BREAKS)
    (ask,) = asks(replace(bare, offers=(kept,)), "break")
    assert ask.worth == 1350 * (dec("3.10") - dec("2.60"))
    other = replace(kept, price=dec("3.20"))
    assert asks(replace(bare, offers=(other,)), "break") == []


def test_one_box_alone_commits_to_nothing() -> None:
    assert asks(with_notebooks(450), "break") == []


def test_each_box_has_a_break_already() -> None:
    (ask,) = asks(with_notebooks(600, 600), "break")  # each at 2.90
    assert (ask.quantity, ask.was, ask.worth) == (1000, dec("2.90"), 1200 * dec("0.30"))


def test_goods_in_two_currencies_or_without_a_price_have_no_worth() -> None:
    made = planned(
        "Aldermoor",
        "2027-03 A: notebook@Aldermoor 450 x 3.10",
        "2027-05 B: notebook@Aldermoor 450 x 3.10 EUR",
        "2027-07 C: notebook@Aldermoor 450",
        breaks=BREAKS,
    )
    assert asks(made, "break") == []


# --- a year's spend -------------------------------------------------------------------------


def test_a_discount_that_is_short_is_told_with_what_would_reach_it() -> None:
    made = planned(
        "Aldermoor",
        "Brackenfold",
        "2027-03 A: notebook@Aldermoor 450 x 3.10; pin@Brackenfold 450 x 1.00",
        "2027-05 B: notebook@Aldermoor 450 x 3.10",
        spends=(Spend(dec(3000), dec(5)),),
    )
    (alone,) = asks(made, "spend")
    assert (alone.lacks, alone.goods, alone.worth) == (dec(210), (), None)
    could = replace(made, offers=(offer("Aldermoor: pin 1.10"),))
    (moved,) = asks(could, "spend")
    assert moved.goods == ("pin",)
    # 5% of 2,790 + 495, less the 45 that the pins cost more.
    assert moved.worth == dec(2790 + 495) * 5 / 100 - 45
    dear = replace(made, offers=(offer("Aldermoor: pin 1.60"),))
    (lost,) = asks(dear, "spend")
    assert (lost.goods, lost.worth) == ((), None)  # it would cost 270 to save 175.50


def test_of_two_discounts_only_the_better_counts_for_the_sum() -> None:
    steps = (Spend(dec(2000), dec(2)), Spend(dec(3000), dec(5)))
    made = replace(
        with_notebooks(450, 450, spends=steps),
        offers=(offer("Aldermoor: pin 1.00"),),
    )
    more = shop("Brackenfold", "2027-06 C: pin@Brackenfold 450 x 1.00")
    made = replace(
        made,
        suppliers=(*made.suppliers, *more.suppliers),
        boxes=(*made.boxes, *more.boxes),
        items=(*made.items, *more.items),
    )
    both = asks(made, "spend")
    assert [one.percent for one in both] == [dec(5), dec(2)]
    others = sum(
        one.worth for one in found(made).asks if one.worth and one.about not in ("spend", "rate")
    )
    assert found(made).worth == others + (both[0].worth or 0)


COULD = st.lists(st.tuples(st.integers(1, 300), st.integers(-200, 200)), max_size=6)


@given(COULD, st.integers(1, 900))
def test_goods_of_others_close_the_gap_or_there_are_none(
    some: list[tuple[int, int]], lacks: int
) -> None:
    could = [Could(f"i{n}", "o", dec(value), dec(saves)) for n, (value, saves) in enumerate(some)]
    chosen = enough(could, dec(lacks))
    total = sum(one.value or 0 for one in chosen)
    possible = any(
        sum(one.value or 0 for one in few) >= lacks
        for size in range(len(could) + 1)
        for few in combinations(could, size)
    )
    assert bool(chosen) == possible
    if chosen:
        assert total >= lacks
        assert sum(one.value or 0 for one in chosen[:-1]) < lacks


# --- carriage, payment, goods for her alone -------------------------------------------------


@pytest.mark.parametrize(
    ("free_from", "orders", "worth", "together"),
    [
        (None, 3, "36", "12"),
        ("2000", 3, "36", "0"),
        ("1000", 0, None, None),
        ("1400", 3, "36", "0"),
    ],
)
def test_carriage_that_is_paid_on_each_order(
    free_from: str | None, orders: int, worth: str | None, together: str | None
) -> None:
    free = dec(free_from) if free_from else None
    made = with_notebooks(450, 450, 450, carriage=dec(12), free_from=free)  # 1,395 each
    told = [(one.orders, one.worth, one.amount) for one in asks(made, "carriage")]
    assert told == ([(orders, dec(worth or 0), dec(together or 0))] if orders else [])


def test_money_that_stays_is_worth_its_interest() -> None:
    made = with_notebooks(1000, deposit_percent=dec(30), net_days=None)  # 3,100 at 2.60: 2,600
    (net,) = asks(made, "net")
    assert net.worth == pytest.approx(dec(2600) * 70 / 100 * 8 / 100 / 365 * 30)
    (deposit,) = asks(made, "deposit")
    assert deposit.days >= 28  # 20 working days
    assert deposit.worth == pytest.approx(dec(2600) * 30 / 100 * 8 / 100 / 365 * deposit.days)


def test_who_pays_at_thirty_days_asks_for_no_more() -> None:
    assert asks(with_notebooks(450, 450), "net") == []
    assert asks(with_notebooks(450, 450, net_days=60), "net") == []


def test_goods_that_make_a_box_can_be_asked_for_alone() -> None:
    made = planned(
        "Aldermoor",
        "2027-03 Moss and rain: moss print@Aldermoor 450 x 1.00; mug@Aldermoor 450 x 2.00",
        "2027-05 Swifts: kite@Aldermoor 450 x 1.00, main",
    )
    (ask,) = asks(made, "exclusive")
    assert (ask.goods, ask.worth) == (("moss print", "kite"), None)


# --- who ------------------------------------------------------------------------------------


def test_the_most_worth_comes_first_and_who_offers_nothing_does_not_come() -> None:
    made = planned(
        "Aldermoor: net 30",
        "Brackenfold: net 30",
        "Hangfeng CN: net 30",
        "Tannwald",
        "2027-03 A: notebook@Aldermoor 450 x 3.10; tea@Brackenfold 450 x 1.20; tin@Hangfeng 9 x 1",
        "2027-05 B: notebook@Aldermoor 450 x 3.10; tea@Brackenfold 450 x 1.20",
        carriage=dec(12),
    )
    every = bargains(made, TODAY)
    assert [one.supplier for one in every] == ["aldermoor", "brackenfold"]
    assert every[0].worth == dec(24)
    assert [one.about for one in every[0].asks] == ["rate", "carriage"]


def test_who_could_supply_two_boxes_is_in_it() -> None:
    made = planned(
        "Aldermoor",
        "Brackenfold",
        "2027-03 A: moss print@Aldermoor 450 x 1.00, type print",
        "2027-05 B: fern print@Aldermoor 450 x 1.00, type print; kite@Aldermoor 450 x 2.00",
    )
    made = replace(made, offers=(offer("Brackenfold: leaf print 0.90, type prints"),))
    every = {one.supplier: one for one in bargains(made, TODAY)}
    could = every["brackenfold"].supply.could
    assert [one.item for one in could] == ["2027-03.moss print", "2027-05.fern print"]
    assert [one.saves for one in could] == [dec(45), dec(45)]


def test_a_name_comes_before_a_kind_and_the_cheapest_before_others() -> None:
    made = planned("Aldermoor", "Brackenfold", "2027-03 A: pin@Aldermoor 100 x 1.00, type badge")
    made = replace(
        made,
        offers=(
            offer("Brackenfold: badge 0.10, type badge"),
            offer("Brackenfold: Pins 0.80"),
        ),
    )
    supplier = made.suppliers[1]
    (could,) = Year(made, TODAY).could(supplier)
    assert could.offer == "brackenfold.Pins"


def test_an_unknown_supplier_has_none() -> None:
    assert bargain_with(shop(), "nobody", TODAY) is None
    assert bargains(shop(), TODAY) == ()

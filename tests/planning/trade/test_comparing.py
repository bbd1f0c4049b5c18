"""Quotes compared on cost, time and risk, and an item bought by one. All of it is invented."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.chains import outlook
from assistant.planning.changes import apply, find
from assistant.planning.model import Break, Item, Lead, Mark, Offer, Rate, Shop
from assistant.planning.trade.comparing import FLOAT, Comparison, Quoted, compare
from assistant.planning.trade.quotes import (
    as_offer,
    bought_by,
    dearer,
    has_expired,
    is_for,
    kept_for,
    laid_over,
    quotes_for,
    take,
)
from tests.trade import offer, shop

TODAY = date(2027, 1, 11)  # a Monday
PIN = "2027-03.pin"  # ships Mon 15 Mar


def planned(*suppliers: str, pieces: int = 450, cost: str = " x 1.00") -> Shop:
    """Pins of Aldermoor, and suppliers who could make them."""
    lines = suppliers or ("Aldermoor: lead 10d", "Brackenfold: lead 10d", "Tannwald: lead 10d")
    return shop(*lines, f"2027-03 Rain: pin@Aldermoor {pieces}{cost}")


def item(made: Shop) -> Item:
    found = find(made.items, PIN)
    assert found is not None
    return found


def quoted(made: Shop, one: Offer) -> Quoted:
    (found,) = compare(made, PIN, (one,), TODAY).quotes
    return found


def codes(found: Quoted) -> list[str]:
    return [one.code for one in found.risks]


# --- cost -----------------------------------------------------------------------------------

LADDER = st.lists(st.tuples(st.integers(2, 900), st.integers(1, 300)), max_size=3)


@settings(max_examples=60, deadline=None)
@given(
    st.integers(1, 600),
    st.integers(1, 300),
    st.none() | st.integers(2, 60),
    st.none() | st.integers(1, 900),
    LADDER,
)
def test_a_quote_buys_the_cheapest_number_that_is_enough(
    need: int, pence: int, case: int | None, minimum: int | None, ladder: list[tuple[int, int]]
) -> None:
    """Against every number of pieces that may be bought."""
    breaks = tuple(Break(q, Decimal(p) / 100) for q, p in sorted(dict(ladder).items()))
    one = Offer(
        "o",
        "brackenfold",
        "pin",
        price=Decimal(pence) / 100,
        case_pack=case,
        minimum=minimum,
        breaks=breaks,
    )

    def spend(number: int) -> Decimal:
        reached = [b.price for b in breaks if b.quantity <= number]
        return number * (reached[-1] if reached else Decimal(pence) / 100)

    able = [n for n in range(max(need, minimum or 0), 2000) if n % (case or 1) == 0]
    found = quoted(planned(pieces=need), one)
    assert (found.spend, found.order) == min((spend(n), n) for n in able)
    assert found.need == need


def test_what_comes_on_top_counts() -> None:
    one = replace(
        offer("Brackenfold: pin 1.00"), setup=Decimal(45), carriage=Decimal(9), case_pack=100
    )
    found = quoted(planned(), one)
    assert (found.order, found.spend, found.cost) == (500, Decimal(500), Decimal(554))
    assert found.unknown == ()
    assert quoted(planned(), offer("Brackenfold: pin 1.00")).unknown == ("carriage",)


def test_a_quote_in_another_currency_needs_a_rate() -> None:
    one = replace(offer("Brackenfold: pin 1.00 EUR"), carriage=Decimal(0))
    assert quoted(planned(), one).cost is None
    rates = (Rate("EUR/2027-01-01", "EUR", date(2027, 1, 1), Decimal("0.80")),)
    assert quoted(replace(planned(), rates=rates), one).cost == 360


# --- time -----------------------------------------------------------------------------------


@pytest.mark.parametrize("days", [0, 5, 20, 40])
@pytest.mark.parametrize("transit", [0, 10, 35])
def test_a_quote_arrives_as_the_plan_would_by_it(days: int, transit: int) -> None:
    one = replace(offer(f"Brackenfold: pin 1.00, lead {days}d"), transit_days=transit)
    found = quoted(planned(), one)
    by_hand = shop(
        f"Brackenfold: transit {transit}d", f"2027-03 Rain: pin@Brackenfold 450, lead {days}d"
    )
    wanted = outlook(by_hand, by_hand.items[0], TODAY)
    assert wanted is not None
    assert (found.expected, found.float) == (wanted.expected, wanted.float)


def test_without_a_lead_time_no_day_is_known() -> None:
    made = planned("Aldermoor", "Brackenfold", "Tannwald: lead 5d")
    found = quoted(made, offer("Brackenfold: pin 1.00"))
    assert (found.expected, found.float) == (None, None)
    assert "no lead" in codes(found)
    known = quoted(made, offer("Tannwald: pin 1.00"))
    assert known.expected is not None


def test_what_is_done_for_the_item_does_not_hurry_another_supplier() -> None:
    one = offer("Brackenfold: pin 1.00, lead 20d")
    done = Mark(f"{PIN}/order", "done", at=datetime(2026, 12, 1, tzinfo=UTC))
    made = planned()
    assert quoted(replace(made, ledger=(done,)), one).expected == quoted(made, one).expected


# --- risk -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fields", "code"),
    [
        ({"valid_until": date(2027, 1, 10)}, "expired"),
        ({"valid_until": date(2027, 1, 12)}, "ends"),
        ({"quoted": date(2026, 5, 1)}, "old"),
        ({"minimum": 500}, "leftover"),
    ],
)
def test_what_speaks_against_a_quote(fields: dict[str, object], code: str) -> None:
    plain = offer("Brackenfold: pin 1.00, quoted 2027-01-04, lead 5d")
    assert code not in codes(quoted(planned(), plain))
    assert code in codes(quoted(planned(), replace(plain, **fields)))


def test_a_few_pieces_over_are_no_risk() -> None:
    one = offer("Brackenfold: pin 1.00, min 495")
    assert "leftover" not in codes(quoted(planned(), one))  # 45 of 450
    assert "leftover" in codes(quoted(planned(), replace(one, minimum=496)))


def test_who_is_far_wants_money_first_or_closes() -> None:
    made = planned(
        "Aldermoor",
        "Hangfeng CN: lead 20d, deposit 30%, closed 10 before 10 after the lunar new year",
    )
    found = quoted(made, offer("Hangfeng: pin 0.80"))
    assert codes(found) == ["first", "abroad", "deposit", "closure"]
    shut = found.risks[-1]
    # The lunar new year of 2027 is 6 February (Hong Kong Observatory), so from 27 January on.
    assert (shut.on, shut.reason) == (date(2027, 1, 27), "festival closure")


def test_who_was_ordered_from_is_known() -> None:
    made = shop("Brackenfold: lead 5d", "2027-02 A: tin@Brackenfold 9", "2027-03 B: pin 450 x 1")
    done = Mark("2027-02.tin/order", "done", at=datetime(2026, 12, 1, tzinfo=UTC))
    one = offer("Brackenfold: pin 1.00")
    assert "first" in codes(quoted(made, one))
    assert "first" not in codes(quoted(replace(made, ledger=(done,)), one))


# --- the verdict ----------------------------------------------------------------------------


def best_by_rule(found: Comparison) -> Quoted | None:
    """The rule once more, as it is written: not the code's own loop."""
    able = [one for one in found.quotes if one.price is not None and "expired" not in codes(one)]
    roomy = [o for o in able if o.float is not None and o.float >= FLOAT and o.cost is not None]
    if roomy:
        least = min(o.cost for o in roomy if o.cost is not None)
        return max((o for o in roomy if o.cost == least), key=lambda o: o.float or 0)
    intime = [one for one in able if one.float is not None and one.float >= 0]
    if intime:
        return max(intime, key=lambda one: one.float or 0)
    dated = [one for one in able if one.expected is not None]
    if dated:
        return min(dated, key=lambda one: one.expected or date.max)
    priced = [one for one in able if one.cost is not None]
    return min(priced, key=lambda one: one.cost or Decimal(0)) if priced else None


MADE = planned("Aldermoor", "Brackenfold", "Tannwald", "Kirigawa")
OFFERED = st.tuples(
    st.sampled_from((None, 80, 100, 120)),
    st.sampled_from((None, 5, 30, 36, 38, 60)),
    st.sampled_from((None, date(2027, 1, 10), date(2027, 6, 1))),
    st.sampled_from(("", "EUR")),
)


@settings(max_examples=60, deadline=None)
@given(st.lists(OFFERED, min_size=1, max_size=4))
def test_the_verdict_follows_the_rule_that_is_stated(
    told: list[tuple[int | None, int | None, date | None, str]],
) -> None:
    names = ("aldermoor", "brackenfold", "tannwald", "kirigawa")
    offers = [
        Offer(
            f"o{n}",
            names[n],
            "pin",
            price=None if pence is None else Decimal(pence) / 100,
            lead=None if days is None else Lead(days),
            valid_until=until,
            currency=currency,
        )
        for n, (pence, days, until, currency) in enumerate(told)
    ]
    found = compare(MADE, PIN, offers, TODAY)
    wanted = best_by_rule(found)
    best = None if found.best is None else found.quotes[found.best]
    if wanted is None:
        assert best is None
    else:
        assert best is not None
        assert (best.cost, best.float, best.expected) == (
            wanted.cost,
            wanted.float,
            wanted.expected,
        )
    assert compare(MADE, PIN, reversed(offers), TODAY) == found


def test_who_is_best_at_what() -> None:
    offers = (
        offer("Aldermoor: pin 1.00, lead 5d, quoted 2027-01-04"),
        offer("Brackenfold: pin 0.80, lead 20d, quoted 2027-01-04"),
        replace(offer("Tannwald: pin 0.70, lead 5d"), valid_until=date(2027, 1, 8)),
    )
    found = compare(planned(), PIN, offers, TODAY)
    assert found.best == 0
    assert found.because == "cheapest in time"
    assert found.quotes[0].supplier == "brackenfold"
    assert found.cheapest is not None
    assert found.quotes[found.cheapest].supplier == "tannwald"  # expired, and so not the best
    assert found.soonest is None  # two on the same day


@pytest.mark.parametrize(
    ("leads", "because", "best"),
    [
        ((5, 36), "cheapest in time", "aldermoor"),
        ((38, 36), "most to spare", "brackenfold"),
        ((80, 60), "soonest", "brackenfold"),
    ],
)
def test_where_none_is_in_time_the_rule_falls_back(
    leads: tuple[int, int], because: str, best: str
) -> None:
    offers = (
        offer(f"Aldermoor: pin 0.80, lead {leads[0]}d"),
        offer(f"Brackenfold: pin 1.00, lead {leads[1]}d"),
    )
    found = compare(planned(), PIN, offers, TODAY)
    assert (found.because, found.quotes[0].supplier) == (because, best)


def test_an_item_that_is_not_there_has_no_quotes() -> None:
    assert compare(planned(), "nothing", (offer("Aldermoor: pin 1.00"),), TODAY).quotes == ()


# --- which quotes there are -----------------------------------------------------------------


def test_the_newest_of_each_supplier_and_the_plans_own_terms() -> None:
    offers = (
        offer("Brackenfold: pin 1.20, quoted 2026-12-01"),
        replace(offer("Brackenfold: enamel badge 1.10, quoted 2027-01-04"), item=PIN),
        offer("Tannwald: Pins 0.90, quoted 2026-12-01"),
        offer("Tannwald: lamp 9.00"),
    )
    made = replace(planned(), offers=offers)
    found = quotes_for(made, item(made))
    assert [(one.supplier, one.price) for one in found] == [
        ("aldermoor", Decimal("1.00")),
        ("brackenfold", Decimal("1.10")),
        ("tannwald", Decimal("0.90")),
    ]
    assert found[0] == as_offer(item(made))
    named = quotes_for(made, item(made), ("tannwald", "brackenfold"))
    assert [one.supplier for one in named] == ["tannwald", "brackenfold"]


def test_a_quote_for_the_goods_in_one_box_holds_in_another() -> None:
    made = shop("Aldermoor", "2027-03 A: pin 450", "2027-05 B: pin 450; lamp 9")
    one = replace(offer("Aldermoor: enamel badge 1.00"), item=PIN)
    assert [is_for(one, other, made) for other in made.items] == [True, True, False]


# --- kept and taken -------------------------------------------------------------------------

OLD = replace(
    offer("Brackenfold: pin 1.20, min 200, quoted 2026-12-01, lead 20d"),
    breaks=(Break(500, Decimal("1.10")),),
    setup=Decimal(30),
    valid_until=date(2027, 1, 31),
    item=PIN,
)


def test_a_new_price_puts_aside_what_came_with_the_old_one() -> None:
    new = Offer("", "brackenfold", "pin", price=Decimal("1.30"), quoted=TODAY)
    kept = laid_over(OLD, new)
    assert (kept.id, kept.name, kept.minimum, kept.lead) == (OLD.id, "pin", 200, Lead(20))
    assert (kept.price, kept.quoted) == (Decimal("1.30"), TODAY)
    assert (kept.breaks, kept.setup, kept.valid_until) == ((), None, None)


def test_terms_without_a_price_are_added() -> None:
    kept = laid_over(OLD, Offer("", "brackenfold", "pin", minimum=300, quoted=TODAY))
    assert kept == replace(OLD, minimum=300, quoted=TODAY)


def test_a_supplier_has_one_offer_for_the_same_goods() -> None:
    made = replace(planned(), offers=(OLD,))
    assert kept_for(made, "brackenfold", item(made), "") == OLD
    assert kept_for(made, "brackenfold", None, "the pins") == OLD
    assert kept_for(made, "tannwald", item(made), "") is None
    assert kept_for(made, "brackenfold", None, "lamp") is None


def test_an_item_bought_by_a_quote_stays_itself() -> None:
    made = replace(planned(), offers=(OLD,))
    own = replace(item(made), type="badge", main=True, grams=12, made_in="CN", lead=Lead(5))
    new = bought_by(own, replace(OLD, name="enamel badge"))
    same = (new.id, new.box, new.name, new.type, new.main, new.quantity, new.grams)
    assert same == (PIN, "2027-03", "pin", "badge", True, 450, 12)
    assert (new.supplier, new.unit_cost, new.minimum) == ("brackenfold", Decimal("1.20"), 200)
    assert (new.breaks, new.setup, new.lead) == (OLD.breaks, OLD.setup, Lead(20))
    assert new.made_in == ""  # that was Aldermoor's
    assert bought_by(own, replace(OLD, lead=None)).lead is None


def test_transit_and_carriage_of_a_quote_become_the_suppliers() -> None:
    made = planned()
    one = replace(OLD, transit_days=9, carriage=Decimal(12))
    after = apply(made, take(made, item(made), one))
    told = find(after.suppliers, "brackenfold")
    assert told is not None
    assert (told.transit_days, told.carriage) == (9, Decimal(12))
    assert take(after, item(after), one) == ()  # twice changes nothing
    foreign = replace(one, currency="EUR")
    paid = find(apply(made, take(made, item(made), foreign)).suppliers, "brackenfold")
    assert paid is not None
    assert paid.carriage is None  # the supplier's is in the shop's currency


def test_a_quote_holds_on_its_last_day() -> None:
    assert not has_expired(OLD, date(2027, 1, 31))
    assert has_expired(OLD, date(2027, 2, 1))
    assert not has_expired(replace(OLD, valid_until=None), date(2030, 1, 1))


def test_a_break_that_costs_more_is_found() -> None:
    breaks = (Break(100, Decimal("1.10")), Break(500, Decimal("1.15")))
    assert dearer(Decimal("1.20"), breaks) == breaks[1]
    assert dearer(Decimal("1.00"), breaks) == breaks[0]
    assert dearer(Decimal("1.20"), breaks[:1]) is None

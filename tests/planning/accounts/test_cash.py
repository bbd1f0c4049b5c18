"""Cash against a walk from day to day, hand-worked months and published due dates.

Payment dates: bank holidays of England and Wales, UK Government, data file behind
gov.uk/bank-holidays; a deposit with a net balance: common practice, no source.
"""

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.accounts.cash import Cash, cash, last_day
from assistant.planning.accounts.costs import costs
from assistant.planning.accounts.landed import landed
from assistant.planning.accounts.money import to_pay
from assistant.planning.accounts.payments import Flow, Gap
from assistant.planning.changes import apply
from assistant.planning.deadlines import deadline
from assistant.planning.model import Books, Group, Mark, MarkState, Put, Rate, Shop
from assistant.planning.numbers.quantity import amounts
from tests.trade import shop, with_holidays

TODAY = date(2027, 1, 11)  # a Monday
CENT = Decimal("0.01")
PENCE = Decimal("0.005")


def made(*texts: str, books: Books | None = None, **profile: Any) -> Shop:
    """A shop of 400 subscribers at 30.00, with its own figures."""
    told = {"subscribers": 400, "price": Decimal(30), **profile}
    return with_holidays(replace(shop(*texts, **told), books=(books,) if books else ()), TODAY)


def marked(found: Shop, key: str, on: date | None = None, state: MarkState = "done") -> Shop:
    at = datetime(on.year, on.month, on.day, 12, tzinfo=UTC) if on else None
    return apply(found, (Put(Mark(key, state, at=at)),))


def told(found: Cash, *whats: str) -> list[tuple[date, Decimal]]:
    return [(one.on, one.amount) for one in found.flows if one.what in whats]


def curve(found: Shop, today: date = TODAY) -> Cash:
    return cash(found, today, last_day(found, today))


def total(flows: Iterable[Flow]) -> Decimal:
    return sum((one.amount for one in flows), Decimal(0))


RAIN = "2027-03 Rain: notebook@Aldermoor 400 x 3.00, lead 20d"
BOOKS = Books(bank=Decimal(5000), bank_on=TODAY)


# --- when what is paid ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("dispatched", "paid"),
    [
        (date(2026, 2, 28), date(2026, 3, 30)),
        (date(2026, 3, 5), date(2026, 4, 2)),  # due Saturday 4 April, in the Easter week end
    ],
)
def test_a_deposit_with_the_order_and_a_balance_thirty_days_net(
    dispatched: date, paid: date
) -> None:
    found = shop(
        "Aldermoor: deposit 30%, net 30, transit 1d",
        "2026-03 Rain, ships 2026-03-16: notebook@Aldermoor 400 x 3.00, lead 5d",
        subscribers=400,
    )
    ordered, today = date(2026, 2, 5), date(2026, 3, 6)
    found = replace(found, books=(Books(bank=Decimal(0), bank_on=date(2026, 2, 4)),))
    found = with_holidays(found, today)
    for stage, day in (("order", ordered), ("deposit", ordered), ("dispatch", dispatched)):
        found = marked(found, f"2026-03.notebook/{stage}", day)
    assert told(cash(found, today, date(2026, 4, 30)), "deposit", "balance") == [
        (ordered, Decimal(-360)),
        (paid, Decimal(-840)),
    ]


def test_without_any_terms_goods_are_paid_with_the_order() -> None:
    found = made("Aldermoor", RAIN)
    order = deadline(found, "2027-03.notebook/order", TODAY)
    assert order
    assert told(curve(found), "goods", "deposit", "balance") == [(order.on, Decimal(-1200))]


def test_after_a_deposit_alone_the_rest_is_paid_at_dispatch() -> None:
    found = made("Aldermoor: deposit 25%", RAIN)
    dispatch = deadline(found, "2027-03.notebook/dispatch", TODAY)
    assert dispatch
    assert told(curve(found), "balance") == [(dispatch.on, Decimal(-900))]
    assert told(curve(found), "deposit")[0][1] == -300


@given(st.integers(0, 90), st.booleans(), st.dates(date(2027, 2, 20), date(2027, 5, 20)))
@settings(max_examples=40, deadline=None)
def test_a_balance_follows_dispatch_day_by_day(net: int, late: bool, ships: date) -> None:
    found = made(f"Aldermoor: net {net}", f"2027-03 Rain, ships {ships}: notebook@Aldermoor 400")
    supplier = replace(found.suppliers[0], end_of_month=late)
    found = replace(found, suppliers=(supplier,))
    dispatch = deadline(found, "2027-03.notebook/dispatch", TODAY)
    balance = deadline(found, "2027-03.notebook/balance", TODAY)
    assert dispatch
    assert balance
    day = dispatch.on
    while late and (day + timedelta(1)).month == day.month:
        day += timedelta(1)
    day += timedelta(net)
    holidays = {off for almanac in found.almanac for off, _ in almanac.off}
    while day.weekday() > 4 or day in holidays:
        day -= timedelta(1)
    assert balance.on == day


def test_what_an_order_costs_besides_its_goods() -> None:
    found = made(
        "Hangfeng CN: net 30",
        "2027-05 Swifts: pin@Hangfeng 400 x 2.00; badge@Hangfeng 400 x 1.00, lead 10d",
        books=Books(import_tax=Decimal(20)),
    )
    supplier = replace(found.suppliers[0], carriage=Decimal(60), duty=Decimal(5))
    pin = replace(found.items[0], setup=Decimal(40))
    found = replace(found, suppliers=(supplier,), items=(pin, found.items[1]))
    flows = curve(found)
    order = [deadline(found, f"{item.id}/order", TODAY) for item in found.items]
    first = min(one.on for one in order if one)
    assert told(flows, "carriage") == [(first, Decimal(-60))]
    assert [amount for _, amount in told(flows, "set-up")] == [-40]
    # Goods 800 + set-up 40 + 40 of the carriage; goods 400 + 20 of the carriage.
    assert sorted(amount for _, amount in told(flows, "duty")) == [-44, -21]
    assert sorted(amount for _, amount in told(flows, "import tax")) == [
        Decimal("-184.80"),
        Decimal("-88.20"),
    ]
    stock = deadline(found, f"{pin.id}/stock", TODAY)
    assert stock
    assert {on for on, _ in told(flows, "duty", "import tax")} == {stock.on}


def test_what_a_box_brings_in_and_costs() -> None:
    books = Books(
        packaging=Decimal("0.50"),
        card=Decimal("0.25"),
        fee_percent=Decimal(2),
        fee_each=Decimal("0.20"),
        overhead=Decimal(600),
        charge_day=31,
        payout_days=2,
    )
    found = made("2027-02 Frost", "2027-03 Rain", books=books)
    found = replace(found, groups=(Group("g", "one-off", 10, "2027-03"),))
    flows = curve(found)
    # 30.00 less 0.60 less 0.20; 28 February is a Sunday, 31 March a Wednesday after Easter.
    assert told(flows, "renewals") == [
        (date(2027, 3, 3), Decimal(11680)),
    ]
    card = deadline(found, "2027-03/card", TODAY)
    assert card
    assert (card.on, Decimal("-307.50")) in told(flows, "packaging")  # 410 boxes
    assert told(flows, "overheads") == [(date(2027, m, 1), Decimal(-600)) for m in (2, 3)]
    further = cash(found, TODAY, date(2027, 4, 30))
    assert told(further, "renewals")[1] == (date(2027, 4, 2), Decimal(11680))
    assert told(further, "sales") == [(date(2027, 4, 2), Decimal(292))]


def test_a_price_in_another_currency_is_paid_at_the_owners_rate() -> None:
    found = made("Aldermoor", "2027-03 Rain: notebook@Aldermoor 400 x 3.00 EUR, lead 20d")
    assert Gap("rate", ("2027-03.notebook",)) in curve(found).gaps
    assert told(curve(found), "goods") == []
    rated = replace(found, rates=(Rate("EUR/x", "EUR", TODAY, Decimal("0.8512")),))
    assert told(curve(rated), "goods")[0][1] == Decimal("-1021.44")
    assert not [one for one in curve(rated).gaps if one.what == "rate"]


# --- the ledger -----------------------------------------------------------------------------

TERMS = "Aldermoor: deposit 30%, net 30"


def test_what_was_paid_before_the_bank_was_told_is_out() -> None:
    found = made(TERMS, RAIN, books=BOOKS)
    paid = marked(found, "2027-03.notebook/deposit", TODAY - timedelta(3))
    assert told(curve(found), "deposit") != []
    assert told(curve(paid), "deposit") == []
    assert told(curve(paid), "balance") == told(curve(found), "balance")


def test_what_was_paid_since_the_bank_was_told_has_left_it() -> None:
    found = made(TERMS, RAIN, books=replace(BOOKS, bank_on=date(2027, 1, 4)))
    paid = curve(marked(found, "2027-03.notebook/deposit", date(2027, 1, 7)))
    assert told(paid, "deposit") == [(date(2027, 1, 7), Decimal(-360))]
    assert paid.left_on(TODAY) == Decimal(5000) - 360


def test_what_is_overdue_is_paid_today() -> None:
    found = made(TERMS, "2027-01 Ice: notebook@Aldermoor 400 x 3.00, lead 20d", books=BOOKS)
    [deposit] = [one for one in curve(found).flows if one.what == "deposit"]
    assert (deposit.on, deposit.overdue) == (TODAY, True)


def test_what_is_not_needed_is_not_paid() -> None:
    found = made(TERMS, RAIN, books=BOOKS)
    whole = curve(marked(found, "2027-03.notebook/deposit", state="not needed"))
    assert told(whole, "deposit") == []
    assert [amount for _, amount in told(whole, "balance")] == [-1200]
    none = curve(marked(found, "2027-03.notebook/order", state="not needed"))
    assert told(none, "deposit", "balance", "goods") == []


def test_a_balance_is_owed_though_the_box_has_shipped() -> None:
    found = made(TERMS, RAIN, books=Books(bank=Decimal(5000), bank_on=date(2027, 3, 20)))
    for stage in ("ship", "pack"):
        found = marked(found, f"2027-03/{stage}", date(2027, 3, 15))
    for stage in ("order", "deposit"):
        found = marked(found, f"2027-03.notebook/{stage}", date(2027, 2, 1))
    later = date(2027, 3, 22)
    assert [amount for _, amount in told(cash(found, later, date(2027, 5, 31)), "balance")] == [
        -840
    ]


# --- sums -----------------------------------------------------------------------------------

SUPPLIERS = (
    "Aldermoor",
    "Brackenfold: net 30",
    "Hangfeng CN: deposit 33%, net 45",
    "Tannwald DE: deposit 15%",
)
NAMES = [text.partition(":")[0].partition(" ")[0] for text in SUPPLIERS]


@st.composite
def plans(draw: st.DrawFn) -> Shop:
    """Shops of some boxes with items of all kinds of terms, from a day before ordering begins."""
    months = draw(st.lists(st.integers(4, 12), min_size=1, max_size=4, unique=True))
    texts = []
    for month in sorted(months):
        items = [
            f"{'abcdef'[n]}@{draw(st.sampled_from(NAMES))} {draw(st.integers(1, 900))} x "
            f"{draw(st.decimals('0.01', '9.99', places=2))}, lead {draw(st.integers(0, 20))}d"
            for n in range(draw(st.integers(0, 4)))
        ]
        texts.append(f"2027-{month:02} Theme: {'; '.join(items)}")
    figures = Books(
        bank=draw(st.none() | st.decimals("-5000", "9000", places=2)),
        bank_on=TODAY - timedelta(draw(st.integers(0, 20))),
        packaging=draw(st.none() | st.decimals("0", "2", places=2)),
        fee_percent=draw(st.none() | st.decimals("0", "5", places=1)),
        import_tax=draw(st.none() | st.just(Decimal(20))),
        overhead=draw(st.none() | st.decimals("0", "900", places=2)),
        charge_day=draw(st.none() | st.integers(1, 31)),
        payout_days=draw(st.none() | st.integers(0, 9)),
    )
    found = made(*SUPPLIERS, *texts, books=figures, subscribers=draw(st.integers(0, 500)))
    carriage = draw(st.none() | st.decimals("0", "80", places=2))
    suppliers = tuple(replace(one, carriage=carriage) for one in found.suppliers)
    return replace(found, suppliers=suppliers)


AT_RANDOM = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@given(plans())
@AT_RANDOM
def test_an_order_is_paid_in_full_and_no_more(found: Shop) -> None:
    flows = cash(found, TODAY, date(2028, 12, 31)).flows
    for one in amounts(found, TODAY):
        mine = [flow for flow in flows if flow.items == (one.item,)]
        goods = [flow for flow in mine if flow.what in ("goods", "deposit", "balance")]
        assert one.spend is not None
        assert -total(goods) == to_pay(one.spend, "GBP")
        costs_of = landed(found, one.item, TODAY)
        for what, amount in (("duty", costs_of.duty), ("import tax", costs_of.import_tax)):
            assert -total(flow for flow in mine if flow.what == what) == to_pay(amount, "GBP")
    for box in costs(found, TODAY):
        carriage = sum((one.landed.carriage for one in box.items), Decimal(0))
        paid = [flow for flow in flows if flow.box == box.box and flow.what == "carriage"]
        assert abs(total(paid) + carriage) <= PENCE * max(1, len(paid))
        income = total(f for f in flows if f.box == box.box and f.what == "renewals")
        assert box.price is not None
        assert abs(income - (box.price - box.fees) * box.boxes) <= PENCE


# Of each payment for an item, the deadline on whose day it is made.
STAGES = {
    "deposit": ("deposit",),
    "balance": ("balance", "dispatch"),
    "goods": ("order",),
    "set-up": ("order",),
    "duty": ("stock",),
    "import tax": ("stock",),
}


@given(plans(), st.integers(0, 300))
@AT_RANDOM
def test_a_payment_is_made_on_the_day_of_its_deadline_or_today(found: Shop, later: int) -> None:
    today = TODAY + timedelta(later)
    for flow in cash(found, today, date(2028, 12, 31)).flows:
        if flow.what not in STAGES:
            continue
        due = [deadline(found, f"{flow.items[0]}/{stage}", today) for stage in STAGES[flow.what]]
        days = [one.on for one in due if one]
        assert flow.on in [max(day, today) for day in days]
        assert flow.overdue == (min(days) < today) or flow.what == "balance"


@given(plans())
@AT_RANDOM
def test_the_curve_is_a_walk_from_day_to_day(found: Shop) -> None:
    made_of = curve(found)
    left, day, levels = made_of.opening, made_of.opened, {}
    while day <= made_of.last:
        left += sum((one.amount for one in made_of.flows if one.on == day), Decimal(0))
        levels[day] = left
        assert made_of.left_on(day) == left
        day += timedelta(1)
    coming = {day: left for day, left in levels.items() if day >= TODAY}
    assert made_of.lowest == min(coming.values())
    assert made_of.lowest_on == min(d for d in coming if coming[d] == made_of.lowest)
    for steps in (made_of.weeks, made_of.months):
        assert steps[0].first == TODAY
        assert made_of.carried == made_of.left_on(TODAY - timedelta(1))
        assert steps[-1].last == made_of.last
        for one in steps:
            inside = [flow for flow in made_of.flows if one.first <= flow.on <= one.last]
            assert one.into == total(flow for flow in inside if flow.amount > 0)
            assert one.out == total(flow for flow in inside if flow.amount < 0)
            assert one.left == levels[one.last]
            days = (one.first + timedelta(n) for n in range((one.last - one.first).days + 1))
            assert one.least == min(levels[day] for day in days)
    assert all(one.first.weekday() == 0 for one in made_of.weeks[1:])
    assert all(one.first.day == 1 for one in made_of.months[1:])


@given(plans())
@AT_RANDOM
def test_every_flow_is_a_whole_number_of_pence_on_a_day_that_counts(found: Shop) -> None:
    made_of = curve(found)
    for one in made_of.flows:
        assert one.amount == one.amount.quantize(CENT)
        assert one.amount != 0
        assert made_of.opened <= one.on <= made_of.last
    assert list(made_of.flows) == sorted(made_of.flows, key=lambda one: one.on)


def test_without_a_bank_the_curve_begins_at_nothing() -> None:
    found = made(TERMS, RAIN)
    assert not curve(found).known
    assert curve(found).opening == 0
    told_it = replace(found, books=(Books(bank=Decimal(900), bank_on=TODAY),))
    assert curve(told_it).known
    assert curve(told_it).lowest == curve(found).lowest + 900


def test_what_is_not_known_is_named() -> None:
    found = made("2027-03 Rain: a 10; b 10 x 1.00", "2027-04 Sun", price=None, subscribers=0)
    gaps = {gap.what: gap.of for gap in curve(found).gaps}
    assert gaps["cost"] == ("2027-03.a",)
    assert gaps["items"] == ("2027-04",)
    assert gaps["box price"] == ("2027-03", "2027-04")
    assert gaps["subscribers"] == ("2027-03", "2027-04")


def test_an_empty_plan_has_a_flat_curve() -> None:
    found = curve(made(books=BOOKS))
    assert found.flows == ()
    assert found.lowest == 5000
    assert (found.lowest_on, found.last) == (TODAY, date(2027, 1, 31))

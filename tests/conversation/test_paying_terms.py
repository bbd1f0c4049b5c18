"""Terms of suppliers by chat: what is kept, what paying early is worth, what it does to cash.

Suppliers are invented. Amounts are worked by hand.
"""

from decimal import Decimal

import pytest
from msgspec.structs import replace

from assistant.conversation.order_requests import SetRate
from assistant.conversation.replies import terms as say_terms
from assistant.conversation.understand import understand
from assistant.planning.model import Spend, Supplier
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP, TALK, TODAY
from tests.conversation.test_cash import BOOKS, chat


def aldermoor(c: Chat) -> Supplier:
    return next(one for one in c.shop.suppliers if one.name == "Aldermoor")


def test_early_payment_terms_are_kept_and_what_they_are_worth_is_told() -> None:
    c = chat()
    text = c.say("Aldermoor 2/10 net 30")
    assert "balance 30 days after dispatch; 2% off if paid in 10 days" in text
    assert "Not taking it costs 37.2% a year" in text  # HP 10bII+ calculator manual, p. 138
    kept = aldermoor(c)
    assert (kept.net_days, kept.early_days) == (30, 10)
    assert kept.early_percent == Decimal(2)
    worth = c.touch("Is it worth it")
    assert "37.2% a year, 44.6% compounded." in worth
    assert "Money costs you 8% a year (the usual; say: interest 8%), so it is worth it." in worth
    # 651.00 in thirty days against 637.98 in ten, at 8% a year.
    late, early = 651 / 1.08 ** (30 / 365), 637.98 / 1.08 ** (10 / 365)
    assert f"takes off £13.02 and gains £{late - early:.2f} after interest" in worth


def test_a_discount_that_money_costs_more_than_is_not_worth_it() -> None:
    c = chat(replace(BOOKS, interest=Decimal(60)))
    c.say("Aldermoor 1/10 net 30")
    text = c.say("is paying Aldermoor early worth it")
    assert "Money costs you 60% a year, so keep the money." in text
    assert "and loses £" in text


def test_a_supplier_without_a_discount_has_nothing_to_weigh() -> None:
    c = chat()
    assert "I know of no discount of Aldermoor" in c.say("is paying Aldermoor early worth it")
    c.say("Aldermoor gives 2% off within 10 days")
    assert "I do not know when Aldermoor is paid otherwise" in c.say(
        "is paying Aldermoor early worth it"
    )


def test_a_rate_beyond_all_sense_is_not_written_out() -> None:
    c = chat()
    assert "more than 10,000% a year" in c.say("Aldermoor 50/0 net 1")
    assert "more than 10,000% compounded" in c.say("is paying Aldermoor early worth it")


def test_end_of_month_moves_the_balance_and_the_lowest_point_is_told() -> None:
    c = chat(replace(BOOKS, bank=Decimal(700)))
    c.say("Aldermoor net 30")
    text = c.say("Aldermoor net 30 end of month")
    assert "balance 30 days after the end of the month of dispatch" in text
    assert "balance for field notebook (April)" in text
    assert aldermoor(c).end_of_month
    assert "days after the end of the month of dispatch" in c.say("why the balance of the notebook")
    plain = c.say("Aldermoor net 14")
    assert "balance 14 days after dispatch, was" in plain
    assert not aldermoor(c).end_of_month


def test_how_terms_shift_the_lowest_point() -> None:
    c = chat(BOOKS, "Aldermoor", "2027-04 Sea: log@Aldermoor 300 x 3.10, lead 20d")
    text = c.say("Aldermoor net 30 end of month")
    assert "Lowest point of cash: £450.00 on Thu 1 Apr, was −£480.00 on Thu 1 Apr." in text


def test_plain_days_net_let_go_of_a_discount_that_outlasts_them() -> None:
    c = chat()
    c.say("Aldermoor 2/10 net 30")
    assert "no longer 2% off if paid in 10 days" in c.say("Aldermoor net 7")
    assert aldermoor(c).early_percent is None


@pytest.mark.parametrize(
    ("said", "told", "fields"),
    [
        (
            "Aldermoor carriage 25, free from 500",
            "carriage £25.00 an order, free from £500.00",
            {"carriage": Decimal(25), "free_from": Decimal(500)},
        ),
        ("Aldermoor carriage free", "carriage free", {"carriage": Decimal(0)}),
        (
            "Aldermoor minimum order 300",
            "orders from £300.00",
            {"minimum_value": Decimal(300)},
        ),
        (
            "Aldermoor takes 5% off from 2000 a year",
            "5% off from £2,000.00 a year",
            {"spends": (Spend(Decimal(2000), Decimal(5)),)},
        ),
        ("duty on Aldermoor 4%", "duty 4% at import", {"duty": Decimal(4)}),
        ("Aldermoor prices are in euros", "prices in EUR", {"currency": "EUR"}),
    ],
)
def test_terms_are_kept_shown_and_taken_back(
    said: str, told: str, fields: dict[str, object]
) -> None:
    c = chat()
    before = plan_of(c.shop)
    assert told in c.say(said)
    for field, value in fields.items():
        assert getattr(aldermoor(c), field) == value
    assert told.casefold() in c.say("supplier Aldermoor").casefold()
    assert "as I have it already" in c.say(said)
    c.say("undo")
    assert plan_of(c.shop) == before


def test_a_currency_without_a_rate_and_a_duty_without_a_border_are_pointed_out() -> None:
    c = chat()
    assert say_terms.no_rate("EUR") in c.say("Aldermoor prices are in euros")
    assert understand("1 EUR is 0.86", SHOP, TALK, TODAY) == (SetRate("EUR", Decimal("0.86")),)
    assert say_terms.no_border("Aldermoor") in c.say("duty on Aldermoor 4%")
    assert say_terms.CUSTOMS in chat(BOOKS, "Hangfeng CN", "2027-04").say("duty on Hangfeng 4%")


def test_discounts_for_a_years_spend_add_up_and_one_of_nothing_is_gone() -> None:
    c = chat()
    c.say("Aldermoor takes 8% off from 5000 a year")
    c.say("Aldermoor takes 5% off from 2000 a year")
    assert [one.amount for one in aldermoor(c).spends] == [2000, 5000]
    assert "5% off from £2,000.00 a year and 8% off" in c.say("supplier Aldermoor")
    c.say("Aldermoor takes 0% off from 5000 a year")
    assert [one.amount for one in aldermoor(c).spends] == [2000]


def test_a_new_supplier_is_made_by_its_terms() -> None:
    c = chat()
    text = c.say("Tannwald 3/14 net 60")
    assert text.startswith("New supplier: Tannwald: works Mon-Fri; balance 60 days after dispatch")

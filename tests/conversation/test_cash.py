"""Money in and out by chat: what is told, drawn, refused.

Suppliers are invented. Amounts are worked by hand on the plan below.
"""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.order_requests import (
    ShowCash,
    Tightest,
    WhatMovesCash,
    WorthOfTerms,
)
from assistant.conversation.replies import cash as say
from assistant.conversation.replies import terms as say_terms
from assistant.conversation.requests import Question
from assistant.conversation.sentences import cash as says
from assistant.conversation.understand import understand
from assistant.planning.model import Books, Shop, Supplier
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP, TALK, TODAY
from tests.trade import shop, with_holidays

MONDAY = date(2027, 1, 11)  # the day of a chat


def made(*texts: str, books: Books | None = None, **profile: Any) -> Shop:
    told = {"subscribers": 300, "price": Decimal(24), "name": "Mossgate Field Club", **profile}
    texts = texts or (
        "Aldermoor: deposit 30%",
        "2027-04 Sea: field notebook@Aldermoor 300 x 3.10, lead 20d",
    )
    return with_holidays(replace(shop(*texts, **told), books=(books,) if books else ()), MONDAY)


BOOKS = Books(bank=Decimal(900), bank_on=MONDAY, overhead=Decimal(150))


def chat(books: Books | None = BOOKS, *texts: str, **profile: Any) -> Chat:
    return Chat(made(*texts, books=books, **profile))


# --- cash -----------------------------------------------------------------------------------


def test_cash_by_month_says_what_comes_goes_and_is_left() -> None:
    c = chat()
    text = c.say("cash")
    # Overheads on the 1st; 30% of 930.00 on 10 March, the rest at dispatch; 300 x 24.00 in April.
    assert text.splitlines()[:7] == [
        "Cash, Jan to Apr 2027",
        "£900.00 in the bank on Mon 11 Jan.",
        "Jan: nothing paid, £900 left",
        "Feb: £150 out, £750 left",
        "Mar: £429 out, £321 left",
        "Apr: £7,200 in, £801 out, £6,720 left",
        "Lowest: £171.00 on Thu 1 Apr.",
    ]
    assert "Without carriage or duty (1 item) and postage." in text
    assert c.changes == ()
    assert list(c.buttons) == ["As a picture", "By week", "Tightest"]


def test_cash_by_week_leaves_out_weeks_without_payments() -> None:
    text = chat().say("cash by week")
    assert "to Sun 14 Mar: £279 out, £321 left" in text
    assert "to Sun 21 Mar" not in text
    assert "Weeks in which nothing is paid are left out." in text


def test_a_long_plan_is_told_in_parts() -> None:
    months = (f"2027-{month:02} Theme: mug@Aldermoor 300 x 3.10, lead 5d" for month in range(2, 13))
    c = chat(BOOKS, "Aldermoor", *months)
    first = c.say("cash")
    assert len(first.splitlines()) <= 11
    assert "Jun: " in first
    assert "Jul: " not in first
    further = c.touch("Further")
    assert "Jul: " in further
    assert "Jun: " not in further
    assert c.touch("By week").startswith("Cash, Jan to Dec 2027")


def test_until_when_is_said_and_where_the_plan_ends() -> None:
    c = chat()
    assert "Apr" not in c.say("cash until March")
    assert "The plan goes to April 2027, no further." in c.say("cash until November")
    assert "Jan: " not in c.say("cash from 1 March")


def test_without_a_bank_amounts_are_against_today() -> None:
    c = chat(None)
    text = c.say("cash")
    assert "Amounts are against today's." in text
    assert "we have 4,200 in the bank" in text
    assert "Mar: £279 out, £279 down" in text
    assert "Apr: £7,200 in, £651 out, £6,270 up" in text
    assert "Lowest: £279.00 below today's, on Wed 10 Mar." in text
    assert "left" not in text
    assert "Wed 10 Mar: £279.00 less than today." in c.say("when is money tightest")


def test_the_bank_of_some_days_ago_is_carried_to_today() -> None:
    c = chat(replace(BOOKS, bank_on=date(2026, 12, 20)))
    assert "£900.00 in the bank on Sun 20 Dec, £750.00 by now." in c.say("cash")


def test_a_shop_without_boxes_is_told_how_to_begin() -> None:
    c = Chat()
    for said in ("cash", "cash as a picture", "when is money tightest", "what would help the cash"):
        assert c.say(said) == say.NO_PLAN
    assert understand("March theme rain and roots", SHOP, TALK, TODAY)


def test_tax_is_left_to_those_who_decide() -> None:
    text = chat(
        replace(BOOKS, tax=Decimal(20), import_tax=Decimal(20)),
        "Hangfeng CN",
        "2027-04 Sea: pin@Hangfeng 300 x 1.00, lead 5d",
    ).say("cash")
    assert say.TAX in text
    assert say.IMPORT in text
    assert say.TAX not in chat().say("cash")


def test_the_curve_is_sent_as_a_picture() -> None:
    c = chat()
    text = c.say("cash curve")
    [file] = c.outcome.files
    [reply] = c.outcome.replies
    assert reply.photo == file.id
    assert file.content.startswith(b"\x89PNG\r\n\x1a\n")
    assert file.name == "Mossgate Field Club cash (2027-01-11).png"
    assert text.endswith("Lowest: £171.00 on Thu 1 Apr.")
    assert c.touch("By month").startswith("Cash, ")


# --- the lowest point -----------------------------------------------------------------------


def test_when_money_is_tightest_and_why() -> None:
    text = chat().say("when is money tightest")
    assert text.splitlines()[:6] == [
        "When money is tightest",
        "Thu 1 Apr: £171.00 left.",
        "Next in: Tue 6 Apr £7,200.00, renewals (April)",
        "Largest before it:",
        "Wed 10 Mar £279.00, deposit for field notebook (April)",
        "Mon 1 Feb £150.00, overheads",
    ]


def test_the_first_day_below_zero_is_named() -> None:
    text = chat(replace(BOOKS, bank=Decimal(400))).say("when is money tightest")
    assert "Thu 1 Apr: −£329.00 left." in text
    assert "Below zero first on Wed 10 Mar." in text


def test_what_is_overdue_is_said_to_be() -> None:
    c = chat(BOOKS, "Aldermoor: deposit 30%", "2027-01 Ice: log@Aldermoor 300 x 3.10, lead 20d")
    assert "£279.00, deposit for log (January), overdue" in c.say("when is money tightest")


def test_what_would_help_is_ranked_with_its_amount() -> None:
    c = chat(replace(BOOKS, packaging=Decimal("0.40")))
    text = c.say("what would help the cash")
    assert "1. Aldermoor, no deposit: +£279" in text
    assert "2. packaging and cards (April) 30 days later: +£120" in text
    assert say.ALONE in text
    assert c.changes == ()


def test_where_nothing_helps_it_says_so() -> None:
    c = chat(BOOKS, "2027-04 Sea")
    assert say.NOTHING_HELPS in c.say("what would help the cash")


# --- what cannot be read ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("Aldermoor terms when the moon is full", 'cannot read "when the moon is full" as terms'),
        ("Aldermoor net soon", 'cannot read "soon" as terms'),
        ("Aldermoor carriage who knows", 'cannot read "who knows" as terms'),
        ("Aldermoor 2/40 net 30", "within 40 days, but the balance is due after 30 anyway"),
        ("Aldermoor 60/10 net 30", "60% off for paying Aldermoor early, more than half"),
        ("Aldermoor 120/10 net 30", "120 is more than the whole"),
        ("duty on Aldermoor 400%", "400 is more than the whole"),
        ("Aldermoor carriage 25 EUR", "its amounts are in GBP"),
        ("Aldermoor minimum order -300", "below zero"),
        ("we have 300 euros in the bank", "your bank is reckoned in GBP"),
        ("we have 900 in the bank on 20 June", "still to come"),
        ("renewals on the 45th", "no month has a day 45"),
        ("cash from 1 June to March", "that ends before it begins"),
    ],
)
def test_what_cannot_be_read_changes_nothing_and_has_an_example(said: str, why: str) -> None:
    c = chat()
    before = plan_of(c.shop)
    text = c.say(said)
    assert why in text
    assert "For example: " in text
    assert plan_of(c.shop) == before
    example = text.rpartition("For example: ")[2]
    assert not isinstance(understand(example, c.shop, TALK, TODAY), Question)


@pytest.mark.parametrize(
    "said",
    [
        "we have 4,200 in the bank",
        "renewals on the 28th",
        "payouts take 9 days",
        "overheads 600 a month",
    ],
)
def test_figures_of_cash_are_kept_and_move_it(said: str) -> None:
    c = chat()
    first = c.say("cash by week")
    c.say(said)
    assert c.changes
    assert c.say("cash by week") != first


# --- what is said -----------------------------------------------------------------------------


@given(
    st.sampled_from(["week", "month"]),
    st.none() | st.dates(date(2027, 1, 1), date(2029, 12, 31)),
    st.none() | st.integers(0, 400),
    st.booleans(),
)
def test_what_a_button_of_cash_says_is_understood_back(
    by: Any, first: date | None, more: int | None, picture: bool
) -> None:
    last = None if more is None else (first or TODAY) + timedelta(more)
    said = says.show_cash(by, first, last, picture=picture)
    assert understand(said, SHOP, TALK, TODAY) == (ShowCash(by, first, last, picture),)


@pytest.mark.parametrize(
    "name", ["Aldermoor", 'Wick & "Sons", from Leeds', "early worth it", "May"]
)
def test_the_other_buttons_are_understood_back(name: str) -> None:
    known = replace(SHOP, suppliers=(*SHOP.suppliers[1:], Supplier("s", name)))
    said = says.worth_of_terms(name)
    assert understand(said, known, TALK, TODAY) == (WorthOfTerms("s"),)
    assert understand(says.tightest(), known, TALK, TODAY) == (Tightest(),)
    assert understand(says.what_moves_cash(), known, TALK, TODAY) == (WhatMovesCash(),)


def test_examples_in_replies_work() -> None:
    [aldermoor] = (one for one in SHOP.suppliers if one.id == "aldermoor")
    for text in (
        say.ASK_BANK.rpartition(": ")[2],
        say_terms.none_known(aldermoor).rpartition("For example: ")[2],
        say_terms.no_net(aldermoor).rpartition("For example: ")[2],
        say_terms.no_rate("EUR").rpartition("For example: ")[2],
    ):
        assert not isinstance(understand(text, SHOP, TALK, TODAY), Question), text

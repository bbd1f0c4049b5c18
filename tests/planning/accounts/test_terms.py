"""Terms of payment against published examples."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.planning.accounts.terms import days_of_credit, gain, present_value, worth
from assistant.scheduling.paydays import month_end

POINT = Decimal("0.0001")  # a hundredth of a percentage point


@pytest.mark.parametrize(("year", "nominal"), [(365, "0.3724"), (360, "0.3673")])
def test_two_ten_net_thirty(year: int, nominal: str) -> None:
    """HP 10bII+ calculator manual, p. 138 (the form of 360 days); that of 365 days as in public
    exercise answers, originals not identified."""
    found = worth(Decimal(2), 10, 30, year)
    assert found
    assert found.days == 20
    assert abs(found.nominal - Decimal(nominal)) <= POINT


def test_two_ten_net_thirty_compounded() -> None:
    """As in public exercise answers, originals not identified."""
    found = worth(Decimal(2), 10, 30)
    assert found
    assert abs(found.effective - Decimal("0.4459")) <= POINT


def test_net_present_value() -> None:
    """numpy-financial documentation, npv, Examples."""
    amounts = (-40000, 5000, 8000, 12000, 30000)
    flows = [(Decimal(years), Decimal(amount)) for years, amount in enumerate(amounts)]
    found = present_value(Decimal("0.08"), flows)
    assert abs(found - Decimal("3065.22267")) <= Decimal("0.000005")


@pytest.mark.parametrize(
    ("percent", "early", "net"), [("2", 30, 30), ("2", 40, 30), ("0", 10, 30), ("100", 10, 30)]
)
def test_terms_that_gain_nothing_are_worth_nothing(percent: str, early: int, net: int) -> None:
    assert worth(Decimal(percent), early, net) is None


@given(
    st.decimals("0.1", "20", places=1),
    st.integers(0, 20),
    st.integers(1, 60),
    st.decimals("0", "0.6", places=2),
)
def test_paying_early_gains_exactly_when_it_beats_the_cost_of_money(
    percent: Decimal, early: int, more: int, rate: Decimal
) -> None:
    found = worth(percent, early, early + more)
    assert found
    gained = gain(Decimal(1000), percent, early, early + more, rate)
    # A sum paid sooner is a loan at the effective rate: the same comparison, made another way.
    late = Decimal(1000) / (1 + rate) ** (Decimal(more) / 365)
    assert (gained > 0) == (late > Decimal(1000) * (100 - percent) / 100)
    if abs(found.effective - rate) > Decimal("1e-9"):
        assert (gained > 0) == (found.effective > rate)


def test_without_a_cost_of_money_the_gain_is_the_discount() -> None:
    assert gain(Decimal(1000), Decimal(2), 10, 30, Decimal(0)) == 20


def test_end_of_month_gives_half_a_month_more_on_average() -> None:
    assert days_of_credit(30, end_of_month=False) == 30
    days = [date(2027, 1, 1) + timedelta(n) for n in range(365)]
    average = sum((month_end(day) - day).days for day in days) / len(days)
    assert abs(days_of_credit(30, end_of_month=True) - 30 - average) < 1

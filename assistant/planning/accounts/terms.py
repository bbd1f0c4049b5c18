"""What a discount for paying early is worth.

Knows: terms as numbers. Must not know: whose they are, or words. Invariants: a percentage is
0..100; a rate is a fraction of one a year (0.08); what is returned is exact to the context's
digits and not rounded.
"""

from collections.abc import Iterable
from decimal import Decimal

from assistant.planning.model import Record

YEAR = 365
HALF_A_MONTH = (
    15  # days from an average day of a month to its end: terms "end of month" begin there
)


class Worth(Record):
    """What paying early is worth: `days` sooner; a year's rate at which not taking the discount
    borrows that time, plain (`nominal`) and compounded (`effective`), as fractions of one."""

    days: int
    nominal: Decimal
    effective: Decimal


def worth(percent: Decimal, early_days: int, net_days: int, year: int = YEAR) -> Worth | None:
    """Return what `percent` off within `early_days` is worth against paying all in `net_days`.

    Not taking 2/10 net 30 costs 2/98 of the amount for 20 days: times the periods of a year, or
    compounded over them. Source: HP 10bII+ calculator manual, p. 138. None where nothing is taken
    off, everything is, or no time is gained.
    """
    days = net_days - early_days
    if days <= 0 or not 0 < percent < 100:
        return None
    each, periods = percent / (100 - percent), Decimal(year) / days
    return Worth(days, each * periods, (1 + each) ** periods - 1)


def present_value(rate: Decimal, flows: Iterable[tuple[Decimal, Decimal]]) -> Decimal:
    """Return what flows are worth now at a yearly rate; each is (years from now, amount).

    Net present value, the first flow now. Source: numpy-financial documentation, npv.
    """
    return sum((amount / (1 + rate) ** years for years, amount in flows), Decimal(0))


def gain(
    amount: Decimal, percent: Decimal, early_days: int, net_days: int, rate: Decimal
) -> Decimal:
    """Return what paying an amount early gains, at the day of the invoice, with money that costs
    or earns `rate` a year; negative where keeping the money longer is worth more."""
    early = amount * (100 - percent) / 100
    flows = ((Decimal(net_days) / YEAR, amount), (Decimal(early_days) / YEAR, -early))
    return present_value(rate, flows)


def days_of_credit(net_days: int, *, end_of_month: bool) -> int:
    """Return how long after an invoice its balance is due, on average."""
    return net_days + HALF_A_MONTH if end_of_month else net_days

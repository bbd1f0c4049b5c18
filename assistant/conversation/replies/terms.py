"""What is said of a supplier's terms, and of what paying early is worth.

Knows: terms and how they are written. Must not know: how a discount is reckoned. Invariants: a
refusal says what was read, what is wrong and one example that works; a rate a year is told plain
and compounded, with what money costs beside it.
"""

from decimal import ROUND_HALF_UP, Decimal

from assistant.conversation.replies.plain import money, plural
from assistant.conversation.replies.plan import name
from assistant.conversation.replies.suppliers import balance, percent
from assistant.planning.accounts.terms import HALF_A_MONTH, Worth
from assistant.planning.model import Supplier

TENTH = Decimal("0.1")
MOST = 100  # rates a year beyond this many times the money are not written out


def never_early(who: str, early: int, net: int) -> str:
    """Refuse a discount that lasts as long as the credit."""
    return (
        f"I read a discount for {name(who)} within {plural(early, 'day')}, but the balance is due "
        f"after {net} anyway. For example: {name(who)} 2/10 net 30"
    )


def too_much(who: str, off: Decimal) -> str:
    """Refuse a discount that nobody gives."""
    return (
        f"I read {percent(off)} off for paying {name(who)} early, more than half the price. "
        f"For example: {name(who)} 2/10 net 30"
    )


def no_early_days(who: str) -> str:
    """Ask within how many days a discount holds."""
    return (
        f"I read a discount of {name(who)}, but not within how many days. "
        f"For example: {name(who)} 2/10 net 30"
    )


def no_rate(currency: str) -> str:
    """Say that a currency has no rate yet."""
    return f"I have no rate for {currency} yet. For example: 1 {currency} is 0.86"


def no_border(who: str) -> str:
    """Say that duty does not count for a supplier."""
    return f"No border lies between {name(who)} and you, so no duty is reckoned."


CUSTOMS = "What duty is due, the customs authority or your adviser decides."


def none_known(supplier: Supplier) -> str:
    """Say that no discount for paying early is known."""
    return (
        f"I know of no discount of {name(supplier.name)} for paying early. "
        f"For example: {name(supplier.name)} 2/10 net 30"
    )


def no_net(supplier: Supplier) -> str:
    """Say that it is not known when the balance is due otherwise."""
    return (
        f"I do not know when {name(supplier.name)} is paid otherwise, so I cannot compare. "
        f"For example: {name(supplier.name)} net 30"
    )


def heading(supplier: Supplier) -> str:
    """The heading of what paying early is worth."""
    return f"Paying {name(supplier.name)} early"


def offer(supplier: Supplier) -> str:
    """Say what is taken off, and when it is due otherwise."""
    early = f"{percent(supplier.early_percent or Decimal(0))} off"
    return f"{early} if paid in {plural(supplier.early_days or 0, 'day')}, else {balance(supplier)}"


def rate(found: Worth, *, end_of_month: bool) -> str:
    """Say what a year's rate the discount comes to."""
    half = f" (with {HALF_A_MONTH} to the end of an average month)" if end_of_month else ""
    return (
        f"For {plural(found.days, 'day')} sooner{half} that is {_rate(found.nominal)} a year, "
        f"{_rate(found.effective)} compounded."
    )


def against(found: Worth, interest: Decimal, *, usual: bool) -> str:
    """Compare it with what money costs."""
    assumed = " (the usual; say: interest 8%)" if usual else ""
    verdict = "so it is worth it" if found.effective * 100 > interest else "so keep the money"
    return f"Money costs you {percent(interest)} a year{assumed}, {verdict}."


def gained(amount: Decimal, off: Decimal, gain: Decimal, currency: str) -> str:
    """Say what it comes to on the balances of the plan."""
    if not amount:
        return "Nothing is left to pay in the plan, so it comes to nothing yet."
    verb = "gains" if gain >= 0 else "loses"
    return (
        f"On {money(amount, currency)} of balances in the plan it takes off {money(off, currency)} "
        f"and {verb} {money(abs(gain), currency)} after interest."
    )


def in_short(found: Worth) -> str:
    """Say in a line what not taking a discount costs."""
    return f"Not taking it costs {_rate(found.nominal)} a year on what is paid late."


def _rate(fraction: Decimal) -> str:
    if fraction > MOST:
        return f"more than {MOST * 100:,}%"
    return f"{(fraction * 100).quantize(TENTH, ROUND_HALF_UP):,}%"

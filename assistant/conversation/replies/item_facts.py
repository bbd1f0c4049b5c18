"""What is said of how an item is sold and used up, and of prices that cannot be taken.

Knows: how each fact is written. Must not know: which change was asked for. Invariants: a fact is
written in words in which it is read back; a refusal names what was read and an example that works.
"""

from collections.abc import Sequence
from decimal import Decimal

from assistant.conversation.replies.plain import listed, money, plural, short
from assistant.planning.model import Break, Item

NAME = 40


def number(amount: Decimal) -> str:
    """Write a number without the zeros that say nothing: "2.5", "20"."""
    text = f"{amount:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def percent(amount: Decimal) -> str:
    """Write a percentage: "2.5%"."""
    return f"{number(amount)}%"


def order_facts(item: Item, currency: str) -> dict[str, str]:
    """Write what is known of how an item is sold and used up, a piece for each fact."""
    breaks = [f"from {one.quantity:,} at {money(one.price, currency)}" for one in item.breaks]
    shares = [f"{short(name, 20)} {percent(share)}" for name, share in item.shares]
    days = "" if item.keeps_days is None else plural(item.keeps_days, "day")
    return {
        "minimum": f"minimum {item.minimum:,}" if item.minimum else "",
        "case": f"cases of {item.case_pack:,}" if item.case_pack else "",
        "breaks": ", ".join(breaks),
        "setup": f"set-up {money(item.setup, currency)}" if item.setup else "",
        "units": f"{item.units:,} in each box" if item.units != 1 else "",
        "shares": ", ".join(shares),
        "stock": f"{item.stock:,} in stock" if item.stock else "",
        "damage": "" if item.damage is None else f"{percent(item.damage)} arrive broken",
        "keeps": f"keeps {days}" if days else "",
    }


def price(amount: Decimal, currency: str) -> str:
    """Write a price for a button."""
    return money(amount, currency)


def which_currency(item: str, amount: Decimal, codes: Sequence[str]) -> str:
    """Ask in which of some currencies a price is; the shop's stands first."""
    own, *foreign = codes
    return (
        f"I read {short(item, NAME)} at {amount:f}, but not in which currency: this supplier "
        f"has prices in {listed(foreign)}, the shop reckons in {own}. Nothing was changed yet."
    )


def costs_more(item: str, from_: Break, fewer: Decimal, currency: str) -> str:
    """Refuse a price break that costs more than fewer pieces do."""
    name, less = short(item, NAME), fewer * Decimal("0.9")
    example = f"change {name}: {fewer:.2f}, from {from_.quantity} at {less:.2f}"
    return (
        f"I read {name} from {from_.quantity:,} at {money(from_.price, currency)} each, but fewer "
        f"cost {money(fewer, currency)}: the larger order would cost more apiece. Nothing was "
        f"changed. For example: {example}. Or say: change {name}: no breaks"
    )

"""What buttons say of how an item is sold and used up; invariants as in the package."""

from decimal import Decimal

from assistant.conversation.requests import ItemFacts


def order_facts(facts: ItemFacts) -> list[str]:
    """Facts of an item's orders, a piece each, in the words in which they are read."""
    pieces = [
        _number(facts.minimum, "minimum {}", "no minimum"),
        _number(facts.case_pack, "cases of {}", "no cases"),
        *(_break(one.quantity, one.price) for one in facts.breaks),
        _number(facts.setup, "set-up {}", "no set-up"),
        _number(facts.units, "{} in each box", ""),
        *_shares(facts.shares),
        _number(facts.stock, "{} in stock", "no stock"),
        "" if facts.damage is None else f"{facts.damage:f}% arrive broken",
        _number(facts.keeps_days, "keeps {} days", ""),
    ]
    return [piece for piece in pieces if piece]


def _number(number: int | Decimal | None, some: str, none: str) -> str:
    if number is None:
        return ""
    return some.format(f"{number:f}" if isinstance(number, Decimal) else number) if number else none


def _break(quantity: int, price: Decimal) -> str:
    return f"from {quantity} at {price:f}" if quantity else "no breaks"


def _shares(shares: tuple[tuple[str, Decimal], ...]) -> list[str]:
    if len(shares) == 1:
        return ["one size"]
    told = [f"{name} {percent:f}%" for name, percent in shares]
    return [f"options {told[0]}", *told[1:]] if told else []

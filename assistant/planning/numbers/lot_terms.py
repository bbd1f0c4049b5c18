"""What lots are made of: needs of a row of periods, a supplier's terms.

Knows: the fields of these records, from which quantity on which price holds. Must not know: which
lots are chosen (lot_sizes.py), shops, dates, currencies. Invariant: of two quantities that are
allowed the larger never has the dearer price of a piece.
"""

from collections.abc import Sequence
from decimal import Decimal

from assistant.planning.model import Break, Record


class Period(Record):
    """A need, and what ordering for it and keeping things until the next one cost.

    `need` pieces; `setup` is paid for an order placed for this period, `carriage` too unless the
    order's value reaches the terms' `free_from`. `hold` is the cost of keeping one piece until the
    next period, `share` the same as a part of its price (money tied up); after the last period
    these count for what is left over. A lot bought for this period can be used up to period `last`
    (index; None: always), which never falls from one period to the next.
    """

    need: int
    setup: Decimal = Decimal(0)
    carriage: Decimal = Decimal(0)
    hold: Decimal = Decimal(0)
    share: Decimal = Decimal(0)
    last: int | None = None


class Terms(Record):
    """What a supplier asks: price of one piece, breaks on all units, pieces in a case, the least
    order, the value from which carriage is free. A break that is no cheaper is passed over."""

    price: Decimal = Decimal(0)
    breaks: tuple[Break, ...] = ()
    minimum: int = 1
    case: int = 1
    free_from: Decimal | None = None


class Tier(Record):
    """From `least` pieces on, one costs `price`, and carriage is free or not."""

    least: int
    price: Decimal
    free: bool


def tiers(terms: Terms) -> tuple[Tier, ...]:
    """Return from which allowed quantity on which price holds, the least first. Carriage that is
    free at a quantity is taken to be free at every larger one."""
    least = cases(max(1, terms.minimum), terms.case)
    edges = {least, *(max(least, cases(one.quantity, terms.case)) for one in terms.breaks)}
    free = _free_at(terms, sorted(edges))
    found: list[Tier] = []
    for edge in sorted(edges if free is None else edges | {free}):
        tier = Tier(edge, price_of(terms, edge), free is not None and edge >= free)
        if not found or (tier.price, tier.free) != (found[-1].price, found[-1].free):
            found.append(tier)
    return tuple(found)


def price_of(terms: Terms, pieces: int) -> Decimal:
    """Return what one piece costs in an order of so many."""
    return min([terms.price, *(one.price for one in terms.breaks if one.quantity <= pieces)])


def cases(pieces: int, case: int) -> int:
    """Return pieces rounded up to whole cases."""
    return -(-pieces // case) * case


def _free_at(terms: Terms, edges: Sequence[int]) -> int | None:
    """The least quantity whose value reaches the one from which carriage is free."""
    if terms.free_from is None:
        return None
    for edge, beyond in zip(edges, (*edges[1:], None), strict=True):
        price = price_of(terms, edge)
        if price:
            wanted = cases(-int(-terms.free_from // price), terms.case)
            at = max(edge, wanted if wanted * price >= terms.free_from else wanted + terms.case)
            if beyond is None or at < beyond:
                return at
    return None

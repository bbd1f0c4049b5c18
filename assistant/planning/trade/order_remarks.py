"""What she should know before she sends an order.

Knows: an order, the terms of its items and of its supplier. Must not know: words. Invariants:
nothing here changes an order: what it does not keep to is named, and she decides.
"""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import TypeVar

from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import by_key, deadlines
from assistant.planning.model import Order, Record, Shop
from assistant.planning.numbers.lots import goods_of
from assistant.planning.shipping import ORDER
from assistant.planning.trade.orders import (
    address,
    items_of,
    needed_by,
    pieces_of,
    terms_hold,
    totals,
)

T = TypeVar("T")


class Remarks(Record):
    """What she should know before she sends an order. Names are those of lines.

    `below` is by how much the goods miss the supplier's `minimum`; `few` and `cases` are (name,
    least pieces), (name, pieces in a case) that a line does not keep to; `foreign` (name,
    currency) of prices that are not in the order's; `late` are lines whose order-by date is past;
    `past` is the day by which all had to be in hand, where that is gone; `gone` are lines whose
    item left the plan or its supplier.
    """

    minimum: Decimal | None = None
    below: Decimal | None = None
    few: tuple[tuple[str, int], ...] = ()
    cases: tuple[tuple[str, int], ...] = ()
    unpriced: tuple[str, ...] = ()
    foreign: tuple[tuple[str, str], ...] = ()
    late: tuple[str, ...] = ()
    past: date | None = None
    gone: tuple[str, ...] = ()
    no_address: bool = False


def remarks(shop: Shop, order: Order, today: date) -> Remarks:
    """Return what she should know before she sends an order."""
    items = items_of(shop, order)
    pieces, sums = pieces_of(order, items), totals(order)
    supplier = find(shop.suppliers, order.supplier)
    least = supplier.minimum_value if supplier and terms_hold(shop, supplier, order) else None
    missed = least is not None and not sums.unpriced and sums.goods < least
    dates = by_key(deadlines(shop, today))
    due = [(line.name, dates.get(f"{line.item}/{ORDER}")) for line in order.lines]
    needed = needed_by(shop, order, today)
    own = profile_of(shop).currency
    return Remarks(
        minimum=least,
        below=least - sums.goods if least is not None and missed else None,
        few=_once(
            (i.name, i.minimum)
            for i in items.values()
            if i.minimum and pieces[goods_of(i)] < i.minimum
        ),
        cases=_once(
            (i.name, i.case_pack)
            for i in items.values()
            if i.case_pack and pieces[goods_of(i)] % i.case_pack
        ),
        unpriced=sums.unpriced,
        foreign=_once(
            (i.name, i.currency or own)
            for line in order.lines
            if line.unit_price is None
            and (i := items.get(line.item)) is not None
            and i.unit_cost is not None
            and (i.currency or own) != order.currency
        ),
        late=tuple(dict.fromkeys(name for name, one in due if one is not None and one.late)),
        past=needed if needed is not None and needed < today else None,
        gone=_once(
            line.name
            for line in order.lines
            if (i := items.get(line.item)) is None or i.supplier != order.supplier
        ),
        no_address=not address(shop, order),
    )


def _once(pairs: Iterable[T]) -> tuple[T, ...]:
    return tuple(dict.fromkeys(pairs))

"""Goods of several boxes that are cheaper bought in one order.

Knows: lines of an order, the cheapest way to buy each thing (lots.py). Must not know: prices of an
order. Invariants: a lot is taken whole or not at all; only what is on no order yet is added; the
pieces of a lot are shared out by what each box needs, none gets less.
"""

from collections.abc import Iterable, Set
from datetime import date
from decimal import Decimal

from assistant.planning.changes import find
from assistant.planning.model import Order, OrderLine, Record, Shop
from assistant.planning.numbers.lots import LotOrder, LotPlan, one_or_several
from assistant.planning.numbers.sharing import apportion


class Lot(Record):
    """Goods bought at once for several boxes (ids), and what that saves over an order a box, in the
    shop's currency (0: the least that can be bought is enough for them)."""

    name: str
    boxes: tuple[str, ...]
    saving: Decimal


def with_lots(
    shop: Shop, lines: Iterable[OrderLine], free: Set[str], today: date
) -> tuple[OrderLine, ...]:
    """Return lines with those of further boxes added where one lot is cheaper; `free` are items
    (ids) that may be added."""
    made: dict[str, OrderLine] = {}
    for line in lines:
        if line.item in made:
            continue
        plan, lot = _lot(shop, line.item, today)
        if plan is None or lot is None or not set(lot.items) <= free:
            made[line.item] = line
            continue
        needs = dict(zip(plan.items, plan.needs, strict=True))
        pieces = apportion([needs[id] for id in lot.items], lot.pieces)
        for id, number in zip(lot.items, pieces, strict=True):
            item = find(shop.items, id)
            if item is not None and number > 0:
                made[id] = OrderLine(id, item.name, number, box=item.box)
    return tuple(made.values())


def lots_on(shop: Shop, order: Order, today: date) -> tuple[Lot, ...]:
    """Return the lots that stand on an order whole."""
    held = {line.item: line for line in order.lines}
    found: dict[tuple[str, ...], Lot] = {}
    for id in held:
        plan, lot = _lot(shop, id, today)
        if plan is None or lot is None or not held.keys() >= set(lot.items):
            continue
        boxes = tuple(held[one].box for one in lot.items)
        found[lot.items] = Lot(plan.name, boxes, plan.saving)
    return tuple(found.values())


def _lot(shop: Shop, item_id: str, today: date) -> tuple[LotPlan | None, LotOrder | None]:
    """The cheapest way to buy an item, and the lot of several boxes that it then comes in; None
    where that is an order for its box alone, or the price is not known."""
    plan = one_or_several(shop, item_id, today)
    if plan is None:
        return None, None
    lots = (one for one in plan.best.orders if item_id in one.items)
    return plan, next((one for one in lots if len(one.items) > 1 and one.price is not None), None)

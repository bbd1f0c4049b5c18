"""How much to buy at a time of what is needed steadily.

Knows: a yearly need, the cost of an order, of keeping, a price with breaks. Must not know: shops,
boxes, dates. Invariant: the best of the quantities that are looked at is the best of all.

Source: the economic order quantity, in F. W. Harris, "How Many Parts to Make at Once",
Factory, The Magazine of Management 10(2), 1913 (attribution from memory); with breaks on all units,
each price is looked at where its own cost is least, or at the first quantity that has it.
"""

from collections.abc import Iterable
from decimal import Decimal

from assistant.planning.model import Break, Record


class Batch(Record):
    """So many pieces at a time, and what a year then costs, goods and all."""

    quantity: Decimal
    price: Decimal
    cost: Decimal


def economic_quantity(need: Decimal, order_cost: Decimal, keeping: Decimal) -> Decimal:
    """Return the pieces to buy at a time: `need` a year, `order_cost` for each order, `keeping` one
    piece for a year (above 0)."""
    return (2 * order_cost * need / keeping).sqrt()


def yearly_cost(
    quantity: Decimal,
    need: Decimal,
    order_cost: Decimal,
    keeping: Decimal,
    price: Decimal = Decimal(0),
) -> Decimal:
    """Return what a year costs with so many pieces at a time (above 0): orders, half a batch in
    stock on average, and the goods themselves."""
    return need / quantity * order_cost + quantity / 2 * keeping + need * price


def batches(
    need: Decimal,
    order_cost: Decimal,
    price: Decimal,
    breaks: Iterable[Break] = (),
    *,
    storage: Decimal = Decimal(0),
    interest: Decimal = Decimal(0),
) -> tuple[Batch, ...]:
    """Return the batches worth a look, the cheapest first: one for each price that any quantity has
    at its cheapest. `storage` is of a piece for a year, `interest` percent of its price a year; one
    of the two must be above 0, and so must `order_cost`."""
    steps = [(Decimal(0), price)]
    for one in sorted(breaks, key=lambda one: one.quantity):
        if one.price < steps[-1][1]:
            steps.append((Decimal(one.quantity), one.price))
    ends = [*(start for start, _ in steps[1:]), None]
    found = []
    for (start, paid), end in zip(steps, ends, strict=True):
        keeping = storage + paid * interest / 100
        quantity = max(start, economic_quantity(need, order_cost, keeping))
        if end is None or quantity < end:
            cost = yearly_cost(quantity, need, order_cost, keeping, paid)
            found.append(Batch(quantity, paid, cost))
    return tuple(sorted(found, key=lambda one: (one.cost, one.quantity)))

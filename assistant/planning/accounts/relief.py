"""What would lift the lowest point of cash, and by how much.

Knows: cash, terms, quantities. Must not know: whether a supplier would agree, words. Invariants:
nothing is estimated: each change is made on a copy and the cash is reckoned again; what lifts
nothing is left out; the best comes first.
"""

from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from msgspec.structs import replace

from assistant.planning.accounts.cash import Cash, cash, with_flows
from assistant.planning.accounts.payments import Flow
from assistant.planning.changes import apply, find
from assistant.planning.model import Item, Put, Record, Shop, Supplier
from assistant.planning.numbers.buying import buy
from assistant.planning.numbers.quantity import amounts
from assistant.planning.shipping import is_ordered

LARGEST = 6  # payments before the lowest point that are looked at
MONTH = 30  # days: a usual credit, and what one more month of it is


class Relief(Record):
    """One change and what it does. `what`: "terms" (a balance `number` days after dispatch),
    "deposit" (none), "later" (one payment `number` days later), "fewer" (`number` pieces, without
    buying up). `flow` is the payment that led to it; `lowest`, `lowest_on` are as in Cash."""

    what: Literal["terms", "deposit", "later", "fewer"]
    number: int
    flow: Flow
    lift: Decimal
    lowest: Decimal
    lowest_on: date


def before_lowest(found: Cash) -> tuple[Flow, ...]:
    """Return the payments from today up to the lowest point, the largest first."""
    paid = (one for one in found.flows if one.amount < 0 and one.on >= found.today)
    return tuple(
        sorted((one for one in paid if one.on <= found.lowest_on), key=lambda one: one.amount)
    )


def reliefs(shop: Shop, today: date, last: date) -> tuple[Relief, ...]:
    """Return what would lift the lowest point, the most first."""
    base = cash(shop, today, last)
    found: dict[tuple[str, str], Relief] = {}
    for flow in before_lowest(base)[:LARGEST]:
        for what, number, after in _tries(shop, base, flow):
            key = what, _subject(what, flow)
            lift = after.lowest - base.lowest
            if lift > 0 and key not in found:
                found[key] = Relief(what, number, flow, lift, after.lowest, after.lowest_on)
    return tuple(sorted(found.values(), key=lambda one: -one.lift))


What = Literal["terms", "deposit", "later", "fewer"]


def _subject(what: What, flow: Flow) -> str:
    """What a change is made to, so that it is tried once."""
    if what in ("terms", "deposit"):
        return flow.supplier
    return " ".join(flow.items) or f"{flow.box} {flow.what}"


def _tries(shop: Shop, base: Cash, flow: Flow) -> Iterator[tuple[What, int, Cash]]:
    """The cash as it would be after each change that a payment leads to."""
    supplier = find(shop.suppliers, flow.supplier) if flow.supplier else None
    if supplier is not None and flow.what in ("goods", "balance"):
        days = credit(supplier)
        yield "terms", days, _rerun(shop, base, replace(supplier, net_days=days))
    if supplier is not None and flow.what == "deposit":
        yield "deposit", 0, _rerun(shop, base, replace(supplier, deposit_percent=Decimal(0)))
    if flow.what == "packaging":
        later = tuple(
            replace(one, on=one.on + timedelta(MONTH)) if one is flow else one for one in base.flows
        )
        yield "later", MONTH, with_flows(base, later)
    item = find(shop.items, flow.items[0]) if len(flow.items) == 1 else None
    if item is not None and (fewer := _fewer(shop, item, base.today)):
        yield "fewer", fewer, _rerun(shop, base, replace(item, quantity=fewer))


def credit(supplier: Supplier) -> int:
    """Return the days of credit to ask for: a month, or one month more than there are."""
    days = supplier.net_days or 0
    return MONTH if days < MONTH else days + MONTH


def _rerun(shop: Shop, base: Cash, record: Supplier | Item) -> Cash:
    return cash(apply(shop, (Put(record),)), base.today, base.last)


def _fewer(shop: Shop, item: Item, today: date) -> int:
    """How many pieces an order not yet placed takes without buying up to a price break, 0 where
    that is no fewer."""
    known = next((one for one in amounts(shop, today) if one.item == item.id), None)
    if known is None or is_ordered(shop, item, today):
        return 0
    if not any(known.need < one.quantity <= known.order for one in item.breaks):
        return 0
    below = tuple(one for one in item.breaks if one.quantity <= known.need)
    bought = buy(
        known.need,
        case=item.case_pack,
        minimum=item.minimum,
        price=item.unit_cost,
        breaks=below,
    )
    return bought.order if 0 < bought.order < known.order else 0

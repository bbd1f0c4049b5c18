"""Lot sizing: which needs of a row of periods to buy together, at the least cost.

Knows: needs, order costs, prices with breaks, minimums, cases, storage, best-before. Must not know:
shops, dates, currencies. Invariants: whole pieces; every need is met in its period; a plan that is
not proved to be the cheapest says so.

Source: H. M. Wagner and T. M. Whitin, "Dynamic Version of the Economic Lot Size Model", Management
Science 5(1), 1958, extended by minimums, cases, all-units price breaks, carriage that is free from
a value, and lots that keep for so many periods only. With these an order may be placed while there
is still something left, so the state is what has been supplied up to a period, not the period
alone.

Pieces are used in the order in which they were bought, so a piece's number says when it is used,
and what a lot costs follows from where it begins and ends. Which quantities need a look: take two
orders running and move pieces from one to the other. As long as neither reaches an edge (the least
quantity at which its price holds) the cost bends only where a need ends, or not at all; and going
over an edge upwards is never dearer. So, in some cheapest plan, each lot ends where a need ends (to
a case), or is exactly an edge, or leaves exactly edges for the orders that follow; those must have
rising prices, since otherwise pieces would be moved to them. The tests try every quantity instead.
"""

from bisect import bisect_right
from collections.abc import Sequence
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.model import Record
from assistant.planning.numbers.lot_sums import SHARE, UNIT, Sums
from assistant.planning.numbers.lot_terms import Period as Period
from assistant.planning.numbers.lot_terms import Terms as Terms
from assistant.planning.numbers.lot_terms import price_of

DIVE = 3  # states kept in each period by the first, quick search
STATES = 1500  # and by the second at most; beyond that the answer may be not the best


class Lot(Record):
    """One order: placed for period `first`, it serves up to `last` (indices; `last` is below
    `first` where all of it is left over); `wasted` pieces pass their best-before date."""

    first: int
    last: int
    pieces: int
    price: Decimal
    wasted: int = 0


class Lots(Record):
    """A plan: its lots and what they cost. `goods` + `fixed` + `stock` = `cost`; `stock` is storage
    and money tied up. `left` pieces are over after the last period. No plan costs less than
    `bound`, which is `cost` where the plan is proved to be the cheapest."""

    lots: tuple[Lot, ...]
    goods: Decimal
    fixed: Decimal
    stock: Decimal
    cost: Decimal
    bound: Decimal
    left: int = 0


# --- plans ----------------------------------------------------------------------------------


def cheapest(periods: Sequence[Period], terms: Terms, stock: int = 0) -> Lots:
    """Return the cheapest lots for these needs, `stock` pieces being there at first.

    The plan is the cheapest there is, unless more than 1,500 states of one period were worth a
    look: then `bound` says how much cheaper another could be at most. Holding the opening stock
    costs the same in every plan and is not counted; what passes its best-before date counts as kept
    to the end. Ties go to the plan that is found first.
    """
    sums = Sums(periods, terms, stock)
    plain = (_told(sums, orders) for orders in (_each(sums), _once(sums)) if orders is not None)
    best, cost = min(((one, _whole(one.cost)) for one in plain), key=lambda pair: pair[1])
    floor = cost
    for states in (DIVE, STATES):
        end, floor = _search(sums, states, cost)
        if end is not None:
            best, cost = _told(sums, _quantities(end)), end[0]
    return replace(best, bound=Decimal(min(floor, cost)) / UNIT)


def one_each(periods: Sequence[Period], terms: Terms, stock: int = 0) -> Lots:
    """Return the plan that buys for each need alone, for the least money that covers it; what is
    left over serves the next one."""
    sums = Sums(periods, terms, stock)
    return _told(sums, _each(sums))


def at_once(periods: Sequence[Period], terms: Terms, stock: int = 0) -> Lots | None:
    """Return the plan that buys all of it with the first order, None where it would not keep."""
    sums = Sums(periods, terms, stock)
    orders = _once(sums)
    return None if orders is None else _told(sums, orders)


def _each(sums: Sums) -> dict[int, int]:
    orders: dict[int, int] = {}
    level = sums.stock
    for at, whole in enumerate(sums.needed[1:]):
        if level < whole:
            orders[at] = sums.least_spend(at, whole - level)
            level = min(level + orders[at], sums.until[at])
    return orders


def _once(sums: Sums) -> dict[int, int] | None:
    short = sums.needed[-1] - sums.stock
    if short <= 0:
        return {}
    first = bisect_right(sums.needed, sums.stock) - 1
    if sums.until[first] < sums.needed[-1]:
        return None
    return {first: sums.least_spend(first, short)}


# A state: cost so far, level of supply, the state before, the order that led here.
_State = tuple[int, int, "_State | None", int, int]


def _search(sums: Sums, states: int, limit: int) -> tuple[_State | None, int]:
    """Go through the periods, keeping the cheapest way to each level of supply. Ways that cannot
    beat `limit` are let go, and those beyond `states` too, but no plan costs less than the second
    number returned. The first is the cheapest end, None where none beats the limit."""
    count = len(sums.periods)
    at: list[dict[int, _State]] = [{} for _ in range(count + 1)]
    at[sums.stop(0, sums.stock)][sums.stock] = (0, sums.stock, None, 0, 0)
    floor = limit
    for period in range(count):
        kept = list(at[period].values())
        if len(kept) > states:
            kept.sort(key=lambda one: one[0] + sums.mark(one[1])[2])
            cost, level = kept[states][:2]
            floor = min(floor, cost + sums.mark(level)[2])
            kept = kept[:states]
        for state in kept:
            _go_on(sums, at, period, state, limit)
        at[period].clear()
    end = min(at[count].values(), default=None, key=lambda one: (one[0], one[1]))
    return end, floor if end is None else min(floor, end[0])


def _go_on(sums: Sums, at: list[dict[int, _State]], period: int, state: _State, limit: int) -> None:
    """Try every order worth a look for a period, and none where none is needed."""
    cost, level = state[0], state[1]
    if level >= sums.needed[period + 1]:
        _keep(at[sums.stop(period + 1, level)], state)
    goods = (sums.needed[-1] - level) * sums.best * SHARE
    for size in sums.sizes(period, level, limit - cost - goods):
        goods, fixed, stock, after = sums.parts(period, level, size)
        total = cost + goods + fixed + stock
        if total + sums.mark(after)[2] < limit:
            _keep(at[sums.stop(period + 1, after)], (total, after, state, period, size))


def _whole(amount: Decimal) -> int:
    return int(amount * UNIT)


def _keep(states: dict[int, _State], state: _State) -> None:
    known = states.get(state[1])
    if known is None or state[0] < known[0]:
        states[state[1]] = state


def _quantities(end: _State | None) -> dict[int, int]:
    """The orders that led to a state, by period."""
    found: dict[int, int] = {}
    while end is not None and end[2] is not None:
        found[end[3]] = end[4]
        end = end[2]
    return dict(sorted(found.items()))


def _told(sums: Sums, orders: dict[int, int]) -> Lots:
    """A plan in records, from its orders by period."""
    level, lots = sums.stock, []
    goods = fixed = stock = 0
    for at, pieces in orders.items():
        paid, once, kept, after = sums.parts(at, level, pieces)
        goods, fixed, stock = goods + paid, fixed + once, stock + kept
        last = min(bisect_right(sums.needed, after - 1), len(sums.periods)) - 1
        price = price_of(sums.terms, pieces)
        lots.append(Lot(at, last, pieces, price, level + pieces - after))
        level = after
    cost = goods + fixed + stock
    left = max(0, level - sums.needed[-1])
    return Lots(
        tuple(lots),
        Decimal(goods) / UNIT,
        Decimal(fixed) / UNIT,
        Decimal(stock) / UNIT,
        Decimal(cost) / UNIT,
        Decimal(cost) / UNIT,
        left,
    )

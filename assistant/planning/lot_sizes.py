"""Lot sizing: which needs of a row of periods to buy together, at the least cost.

Knows: needs, order costs, prices with breaks, minimums, cases, storage, best-before. Must not know:
shops, dates, currencies. Invariants: whole pieces; money is counted in whole numbers of a unit so
small that nothing is rounded but `share`, to nine digits; every need is met in its period.

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
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import accumulate

from assistant.planning.model import Break, Record

MONEY, SHARE = 10**6, 10**9  # units of a price, and of a share of it
UNIT = MONEY * SHARE  # units of a sum
NO_END = 10**12  # pieces
DIVE = 3  # states kept in each period by the first, quick search
STATES = 1500  # and by the second at most; beyond that the answer may be not the best


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


class Tier(Record):
    """From `least` pieces on, one costs `price`, and carriage is free or not."""

    least: int
    price: Decimal
    free: bool


def tiers(terms: Terms) -> tuple[Tier, ...]:
    """Return from which allowed quantity on which price holds, the least first. Carriage that is
    free at a quantity is taken to be free at every larger one."""
    least = _cases(max(1, terms.minimum), terms.case)
    edges = {least, *(max(least, _cases(one.quantity, terms.case)) for one in terms.breaks)}
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


def _cases(pieces: int, case: int) -> int:
    """Pieces rounded up to whole cases."""
    return -(-pieces // case) * case


def _free_at(terms: Terms, edges: Sequence[int]) -> int | None:
    """The least quantity whose value reaches the one from which carriage is free."""
    if terms.free_from is None:
        return None
    for edge, beyond in zip(edges, (*edges[1:], None), strict=True):
        price = price_of(terms, edge)
        if price:
            wanted = _cases(-int(-terms.free_from // price), terms.case)
            at = max(edge, wanted if wanted * price >= terms.free_from else wanted + terms.case)
            if beyond is None or at < beyond:
                return at
    return None


# --- plans ----------------------------------------------------------------------------------


def cheapest(periods: Sequence[Period], terms: Terms, stock: int = 0) -> Lots:
    """Return the cheapest lots for these needs, `stock` pieces being there at first.

    The plan is the cheapest there is, unless more than 1,500 states of one period were worth a
    look: then `bound` says how much cheaper another could be at most. Holding the opening stock
    costs the same in every plan and is not counted; what passes its best-before date counts as kept
    to the end. Ties go to the plan that is found first.
    """
    sums = _Sums(periods, terms, stock)
    dive = _search(sums, DIVE, None)
    whole = _search(sums, STATES, dive.cost)
    best = dive if whole.end is None else whole
    return _told(sums, _quantities(best.end), min(whole.floor, best.cost))


def one_each(periods: Sequence[Period], terms: Terms, stock: int = 0) -> Lots:
    """Return the plan that buys for each need alone, for the least money that covers it; what is
    left over serves the next one."""
    sums = _Sums(periods, terms, stock)
    orders: dict[int, int] = {}
    level = stock
    for at, whole in enumerate(sums.needed[1:]):
        if level < whole:
            orders[at] = sums.least_spend(at, whole - level)
            level = min(level + orders[at], sums.until[at])
    return _told(sums, orders)


def at_once(periods: Sequence[Period], terms: Terms, stock: int = 0) -> Lots | None:
    """Return the plan that buys all of it with the first order, None where it would not keep."""
    sums = _Sums(periods, terms, stock)
    short = sums.needed[-1] - stock
    if short <= 0:
        return _told(sums, {})
    first = bisect_right(sums.needed, stock) - 1
    if sums.until[first] < sums.needed[-1]:
        return None
    return _told(sums, {first: sums.least_spend(first, short)})


class _Sums:
    """All that a search adds and compares, in whole units."""

    def __init__(self, periods: Sequence[Period], terms: Terms, stock: int) -> None:
        self.periods, self.terms, self.stock = periods, terms, stock
        self.case = terms.case
        self.tiers = tiers(terms)
        self.edges = [tier.least for tier in self.tiers]
        self.prices = [round(tier.price * MONEY) for tier in self.tiers]
        self.best = min(self.prices)
        self.needed = list(accumulate((one.need for one in periods), initial=0))
        self.setup = [round(one.setup * UNIT) for one in periods]
        self.carriage = [round(one.carriage * UNIT) for one in periods]
        # What keeping a piece from the start until a period costs: in units, as a share of its
        # price; and the same summed over the pieces used before the period.
        self.hold = list(accumulate((round(one.hold * UNIT) for one in periods), initial=0))
        self.share = list(accumulate((round(one.share * SHARE) for one in periods), initial=0))
        self.held, self.shared = self._over(self.hold), self._over(self.share)
        final = len(periods) - 1
        self.last = [final if one.last is None else min(final, one.last) for one in periods]
        # The level up to which a lot of a period can be used; what keeps to the end has no limit.
        self.until = [self.needed[at + 1] if at < final else NO_END for at in self.last]
        self.early = [*(self._cheaper_now(at) for at in range(final)), False]
        self.dues = self._dues()
        self.reserves = self._reserves()
        self.deepest = self.reserves[-1][0] if self.reserves else 0
        self._marks: dict[int, tuple[int, int, int]] = {}

    def _over(self, row: Sequence[int]) -> list[int]:
        pairs = zip(self.periods, row, strict=False)
        return list(accumulate((one.need * value for one, value in pairs), initial=0))

    def _cheaper_now(self, at: int) -> bool:
        """Whether an order may be cheaper than one a period later."""
        later = at + 1
        return self.setup[at] < self.setup[later] or self.carriage[at] < self.carriage[later]

    def _dues(self) -> list[list[int]]:
        """By period and tier: less than which all that is needed from it on cannot cost, when it
        begins with a lot of that tier; goods at the best price and what the first need costs above
        it are left to `bound`. A need that two lots share is taken at the better of their prices.
        """
        setup, carriage = list(accumulate(self.setup, min)), list(accumulate(self.carriage, min))
        above = [(price - self.best) * SHARE for price in self.prices]
        count, every = len(self.periods), range(len(self.tiers))
        dues: list[list[int]] = [[]] * count
        after = [[0] * len(self.tiers)] * (count + 1)  # by the tier of the lot before
        for at in reversed(range(count)):
            need = self.periods[at].need
            if not need:
                after[at] = after[at + 1]
                continue
            own = []
            for tier, price in enumerate(self.prices):
                once = setup[at] + (0 if self.tiers[tier].free else carriage[at])
                own.append(once + min(self._lots_from(at, tier, price, after)))
            dues[at] = own
            after[at] = [
                min(own[t] + need * min(above[t], above[before]) for t in every) for before in every
            ]
        return dues

    def _lots_from(self, at: int, tier: int, price: int, after: list[list[int]]) -> Iterator[int]:
        """For each last need that a lot meets whole: what it costs at least beside its order, and
        what follows."""
        start, whole = self.needed[at + 1], self.needed
        for end in range(at, self.last[at] + 1):
            few = whole[end + 1] - start
            many = whole[min(end + 1, self.last[at]) + 1] - whole[at]
            held = self.held[end + 1] - self.held[at + 1] - few * self.hold[at]
            share = self.shared[end + 1] - self.shared[at + 1] - few * self.share[at]
            spare = max(0, self.edges[tier] - many) * price
            above = (price - self.best) * few
            yield held + price * share + (spare + above) * SHARE + after[end + 1][tier]

    def _reserves(self) -> tuple[tuple[int, int], ...]:
        """What an order may leave for those after it, edges of rising prices, one of each; and the
        least order whose own price is lower than theirs."""
        found: dict[int, int] = {}
        for price in sorted(set(self.prices) - {self.best}, reverse=True):
            over = next(one for one, at in zip(self.edges, self.prices, strict=True) if at < price)
            own = [one for one, at in zip(self.edges, self.prices, strict=True) if at == price]
            for left in [edge + other for edge in own for other in (0, *found)]:
                found[left] = min(over, found.get(left, over))
        return tuple(sorted(found.items()))

    def stop(self, at: int, level: int) -> int:
        """The next period, from one on, for which something may be ordered: the number of periods
        where nothing is needed any more."""
        if level >= self.needed[-1]:
            return len(self.periods)
        short = bisect_right(self.needed, level) - 1
        return next((one for one in range(at, short) if self.early[one]), short)

    def mark(self, level: int) -> tuple[int, int, int]:
        """Of a level of supply: what keeping all up to it costs, in units and as a share of the
        price, and what must still be paid at least."""
        found = self._marks.get(level)
        if found is None:
            at = bisect_right(self.needed, level) - 1
            over = level - self.needed[at]
            held, shared = self.held[at] + over * self.hold[at], over * self.share[at]
            found = held, self.shared[at] + shared, self._bound(level, at)
            self._marks[level] = found
        return found

    def _bound(self, level: int, at: int) -> int:
        rest = self.needed[-1] - level
        if rest <= 0:
            return 0
        first = (self.needed[at + 1] - level) * SHARE
        pairs = zip(self.dues[at], self.prices, strict=True)
        return rest * self.best * SHARE + min(
            due + (price - self.best) * first for due, price in pairs
        )

    def parts(self, at: int, level: int, pieces: int) -> tuple[int, int, int, int]:
        """Goods, fixed and stock costs of an order, and the level of supply after it."""
        tier = bisect_right(self.edges, pieces) - 1
        price = self.prices[tier]
        after = max(level, min(level + pieces, self.until[at]))
        (held, shared, _), (held_0, shared_0, _) = self.mark(after), self.mark(level)
        used = after - level
        held -= held_0 + used * self.hold[at]
        shared -= shared_0 + used * self.share[at]
        if wasted := pieces - used:
            held += wasted * (self.hold[-1] - self.hold[at])
            shared += wasted * (self.share[-1] - self.share[at])
        fixed = self.setup[at] if self.tiers[tier].free else self.setup[at] + self.carriage[at]
        return price * SHARE * pieces, fixed, held + price * shared, after

    def least_spend(self, at: int, need: int) -> int:
        """The order that covers a need for the least money, the smaller of equal ones."""
        wanted = max(self.edges[0], _cases(need, self.case))
        sizes = [wanted, *(edge for edge in self.edges if edge > wanted)]
        return min(sizes, key=lambda one: (sum(self.parts(at, 0, one)[:2]), one))

    def sizes(self, at: int, level: int, spare: int | None) -> set[int]:
        """The orders worth a look, given what has been supplied, and what may be paid at most
        beside goods at the best price."""
        must = max(self.edges[0], self.needed[at + 1] - level)
        found = {edge for edge in self.edges if edge >= must}
        most: int | None = None  # pieces beyond which keeping them costs too much
        for end in range(bisect_right(self.needed, level) - 1, len(self.periods)):
            whole = _cases(self.needed[end + 1] - level, self.case)
            if most is None and spare is not None and self._kept(at, level, end) > spare:
                most = whole
            if most is None and end <= self.last[at]:
                found.update(self._about(whole, must, self.edges[self.prices.index(self.best)]))
            for left, over in self.reserves:
                found.update(self._about(whole - left, max(must, over), NO_END))
            if most is not None and whole - self.deepest > most:
                break
        return found

    def _about(self, whole: int, least: int, below: int) -> Iterator[int]:
        """An order of whole cases, not below `least`; and one of a case less that might leave the
        rest of a need to a cheaper order, where it is smaller than `below`."""
        if whole >= least:
            yield whole
            less = whole - self.case
            if self.case > 1 and self.share[-1] and least <= less < below:
                yield less

    def _kept(self, at: int, level: int, end: int) -> int:
        """What it costs at least to keep all that is needed from a level up to a period's end."""
        held, shared, _ = self.mark(level)
        short = self.needed[end + 1] - level
        held = self.held[end + 1] - held - short * self.hold[at]
        return held + self.best * (self.shared[end + 1] - shared - short * self.share[at])


# A state: cost so far, level of supply, the state before, the order that led here.
_State = tuple[int, int, "_State | None", int, int]


class _Found:
    """What a search comes to: the best end, its cost, and a cost that no plan is below."""

    def __init__(self, end: _State | None, floor: int) -> None:
        self.end, self.floor = end, floor
        self.cost = floor if end is None else end[0]


def _search(sums: _Sums, states: int, limit: int | None) -> _Found:
    """Go through the periods, keeping the cheapest way to each level of supply; ways that cannot
    beat `limit` are let go, and those beyond `states` too, but their bound is kept."""
    count = len(sums.periods)
    at: list[dict[int, _State]] = [{} for _ in range(count + 1)]
    start: _State = (0, sums.stock, None, 0, 0)
    at[sums.stop(0, sums.stock)][sums.stock] = start
    floor = None if limit is None else limit
    for period in range(count):
        kept = list(at[period].values())
        if len(kept) > states:
            kept.sort(key=lambda one: one[0] + sums.mark(one[1])[2])
            cut = kept[states]
            least = cut[0] + sums.mark(cut[1])[2]
            floor = least if floor is None else min(floor, least)
            kept = kept[:states]
        for state in kept:
            _go_on(sums, at, period, state, limit)
        at[period].clear()
    end = min(at[count].values(), default=None, key=lambda one: (one[0], one[1]))
    if end is None:
        return _Found(None, floor or 0)
    return _Found(end, end[0] if floor is None else min(floor, end[0]))


def _go_on(
    sums: _Sums, at: list[dict[int, _State]], period: int, state: _State, limit: int | None
) -> None:
    """Try every order worth a look for a period, and none where none is needed."""
    cost, level = state[0], state[1]
    if level >= sums.needed[period + 1]:
        _keep(at[sums.stop(period + 1, level)], state)
    goods = (sums.needed[-1] - level) * sums.best * SHARE
    spare = None if limit is None else limit - cost - goods
    for size in sums.sizes(period, level, spare):
        goods, fixed, stock, after = sums.parts(period, level, size)
        total = cost + goods + fixed + stock
        if limit is not None and total + sums.mark(after)[2] >= limit:
            continue
        _keep(at[sums.stop(period + 1, after)], (total, after, state, period, size))


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


def _told(sums: _Sums, orders: dict[int, int], bound: int | None = None) -> Lots:
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
        Decimal(cost if bound is None else bound) / UNIT,
        left,
    )

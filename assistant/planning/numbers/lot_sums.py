"""What lots cost and must cost: the sums that a search for the cheapest ones adds and compares.

Knows: periods, terms. Must not know: how the search goes (lot_sizes.py). Invariants: money is
counted in whole numbers of a unit so small that nothing is rounded but `share`, to nine digits;
pieces are numbered in the order in which they are used, and bought; a bound is never above what any
plan must still pay.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import accumulate

from assistant.planning.numbers.lot_terms import Period, Terms, cases, tiers

MONEY, SHARE = 10**6, 10**9  # units of a price, and of a share of it
UNIT = MONEY * SHARE  # units of a sum
NO_END = 10**12  # pieces


class Sums:
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
        self.best_edge = self.edges[self.prices.index(self.best)]
        self.uneven = self.case > 1 and self.share[-1] > 0
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
        wanted = max(self.edges[0], cases(need, self.case))
        sizes = [wanted, *(edge for edge in self.edges if edge > wanted)]
        return min(sizes, key=lambda one: (sum(self.parts(at, 0, one)[:2]), one))

    def sizes(self, at: int, level: int, spare: int) -> set[int]:
        """The orders worth a look, given what has been supplied, and what may be paid at most
        beside goods at the best price."""
        case, must = self.case, max(self.edges[0], self.needed[at + 1] - level)
        found = {edge for edge in self.edges if edge >= must}
        most = self.until[at] - level + case  # what is more is wasted
        ends = [(0, must, self.best_edge), *((left, over, NO_END) for left, over in self.reserves)]
        for end in range(bisect_right(self.needed, level) - 1, len(self.periods)):
            whole = cases(self.needed[end + 1] - level, case)
            if whole < most and self._kept(at, level, end) > spare:
                most = whole  # what is more costs too much to keep
            if whole - self.deepest >= most:
                break
            for left, least, below in ends:
                size = whole - left
                if must <= size < most and size >= least:
                    found.add(size)
                    # A case less might leave the rest of a need to a cheaper order.
                    if self.uneven and size - case >= max(must, least) and size - case < below:
                        found.add(size - case)
        return found

    def _kept(self, at: int, level: int, end: int) -> int:
        """What it costs at least to keep all that is needed from a level up to a period's end."""
        held, shared, _ = self.mark(level)
        short = self.needed[end + 1] - level
        held = self.held[end + 1] - held - short * self.hold[at]
        return held + self.best * (self.shared[end + 1] - shared - short * self.share[at])

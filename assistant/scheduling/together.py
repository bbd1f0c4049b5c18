"""The chance that several deliveries all come in time, and how early each must then be ordered.

Knows: chances, groups of those that are late together, order dates as numbers of days. Must not
know: calendars, what is delivered. Invariants: each delivery's own chance is as given, whatever
binds it to the others; groups are independent; what is given out reaches the chance asked for
wherever some choice of dates does.

Deliveries of one group share a delay: a delivery comes in time when sqrt(r) Z + sqrt(1 - r) E stays
below the normal quantile of its chance, Z being the group's and E its own standard normal, r their
correlation (the one-factor normal copula; O. Vasicek, 1987, attribution from memory). The mean over
Z is taken with Gauss-Hermite nodes: M. Abramowitz and I. Stegun, Handbook of Mathematical
Functions, 1964, 25.4.46 and table 25.10 (attribution from memory).
"""

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from math import erfc, log, prod, sqrt
from operator import mul
from statistics import NormalDist
from typing import NamedTuple

NODES = 24  # enough for 1e-5 with correlations up to a half
_REACHED = 1e-12

_quantile = NormalDist().inv_cdf
_SURE = (1.0,)


class Choice(NamedTuple):
    """The order dates that are open to one delivery: `days` latest first, `chances` rising."""

    group: str
    days: Sequence[int]
    chances: Sequence[float]


def all_come(groups: Iterable[Sequence[float]], correlation: float) -> float:
    """Return the chance that all deliveries come, of the chances of each group's.

    `correlation` within a group: 0 up to, not including, 1.
    """
    return prod(_group_chance(chances, correlation) for chances in groups)


def weakest(chances: Sequence[tuple[str, float]], correlation: float) -> tuple[int, float] | None:
    """Return the place of the delivery whose certain arrival would lift the chance of all most,
    and that chance; None where all are certain. `chances` are (group, chance).

    Ties: the smaller chance of its own, then the earlier place.
    """
    lifted = []
    for place, (_, chance) in enumerate(chances):
        if chance < 1:
            others = [*chances[:place], *chances[place + 1 :]]
            lifted.append((-all_come(_grouped(others), correlation), chance, place))
    least = min(lifted, default=None)
    return None if least is None else (least[2], -least[0])


def share_out(choices: Sequence[Choice], confidence: float, correlation: float) -> list[int]:
    """Return the place of a date for each delivery, with which all come with this chance (0..1),
    given out where it costs the fewest days of waiting. Where none reach it: dates before which
    nothing is gained.

    Each begins on its last date with the chance asked of all: no later one can do. Then, while the
    chance of all falls short, the step is taken that gains most of its logarithm for each day
    earlier, steps over several dates among them. Last, what was gained beyond need is given back,
    most days first. With independent deliveries the sum of days exceeds the least possible by less
    than the last step.
    """
    shares = _shares(choices, confidence, correlation)
    moves = {share: share.best() for share in shares}
    while prod(share.chance for share in shares) < confidence - _REACHED:
        share, move = max(moves.items(), key=lambda pair: pair[1].rate)
        if move.rate <= 0:
            break
        share.take(move)
        moves[share] = share.best()
    else:
        _give_back(shares, confidence)
    found = [0] * len(choices)
    for share in shares:
        for place, pick in zip(share.places, share.picks, strict=True):
            found[place] = pick
    return found


class _Move(NamedTuple):
    """A delivery of a share moved to another date; `rate` is what it gains a day."""

    rate: float
    member: int
    pick: int


_STAY = _Move(0.0, 0, 0)


class _Share:
    """The deliveries of one group while dates are given out."""

    def __init__(self, members: Sequence[tuple[int, Choice]], correlation: float) -> None:
        self.places = [place for place, _ in members]
        self.choices = [choice for _, choice in members]
        self.picks = [0] * len(members)
        self.first = [0] * len(members)
        single = len(members) == 1 or not correlation
        self._correlation = 0.0 if single else correlation
        self._weights = _SURE if single else hermite(NODES)[1]
        self._rows: dict[tuple[int, int], Sequence[float]] = {}
        self.chance = 1.0

    def begin(self, confidence: float) -> None:
        """Put each delivery on its last date with this chance, or its first date."""
        for member, choice in enumerate(self.choices):
            enough = (n for n, chance in enumerate(choice.chances) if chance >= confidence)
            self.first[member] = next(enough, len(choice.days) - 1)
        self.picks = list(self.first)
        self.chance = self._value(self._rest(0), 0, self.picks[0])

    def best(self) -> _Move:
        """The move to an earlier date that gains most for each day."""
        return max(map(self._best_of, range(len(self.choices))), default=_STAY)

    def take(self, move: _Move) -> None:
        """Move a delivery."""
        self.picks[move.member] = move.pick
        self.chance = self._value(self._rest(move.member), move.member, move.pick)

    def later(self, member: int, least: float) -> int:
        """The latest date of a delivery with which the group still has the chance `least`."""
        rest = self._rest(member)
        for pick in range(self.first[member], self.picks[member]):
            if self._value(rest, member, pick) >= least:
                return pick
        return self.picks[member]

    def _best_of(self, member: int) -> _Move:
        if self.chance <= 0:
            return _STAY
        rest, now, best = self._rest(member), self.picks[member], _STAY
        days = self.choices[member].days
        most = log(max(sum(rest) / self.chance, 1.0))  # what certainty would gain
        for pick in range(now + 1, len(days)):
            earlier = days[now] - days[pick]
            if most <= best.rate * earlier:
                break
            rate = log(max(self._value(rest, member, pick) / self.chance, 1.0)) / earlier
            if rate > best.rate:
                best = _Move(rate, member, pick)
        return best

    def _rest(self, member: int) -> Sequence[float]:
        """The chance of all others at each node, times the node's weight."""
        rest: Sequence[float] = self._weights
        for other, pick in enumerate(self.picks):
            if other != member:
                rest = list(map(mul, rest, self._row(other, pick)))
        return rest

    def _value(self, rest: Sequence[float], member: int, pick: int) -> float:
        found: float = sum(map(mul, rest, self._row(member, pick)))
        return found

    def _row(self, member: int, pick: int) -> Sequence[float]:
        """The chance of a delivery on one of its dates, at each node."""
        row = self._rows.get((member, pick))
        if row is None:
            chance = self.choices[member].chances[pick]
            row = (chance,) if not self._correlation else _given(chance, self._correlation)
            self._rows[member, pick] = row
        return row


def _shares(choices: Sequence[Choice], confidence: float, correlation: float) -> list[_Share]:
    ordered = sorted(enumerate(choices), key=lambda pair: pair[1].group)
    shares = [
        _Share(list(members), correlation)
        for _, members in groupby(ordered, key=lambda pair: pair[1].group)
    ]
    for share in shares:
        share.begin(confidence)
    return shares


def _give_back(shares: Sequence[_Share], confidence: float) -> None:
    """Move deliveries later while the chance of all allows it, most days first."""
    while True:
        now = prod(share.chance for share in shares)
        saved = [
            (choice.days[pick] - choice.days[share.picks[member]], nth, member, pick)
            for nth, share in enumerate(shares)
            for member, choice in enumerate(share.choices)
            for pick in (share.later(member, (confidence - _REACHED) * share.chance / now),)
        ]
        days, nth, member, pick = max(saved, default=(0, 0, 0, 0))
        if days <= 0:
            return
        shares[nth].take(_Move(0.0, member, pick))


def _grouped(chances: Iterable[tuple[str, float]]) -> list[list[float]]:
    groups: dict[str, list[float]] = {}
    for group, chance in chances:
        groups.setdefault(group, []).append(chance)
    return list(groups.values())


def _group_chance(chances: Sequence[float], correlation: float) -> float:
    """The chance that all of one group come."""
    open_ones = [chance for chance in chances if chance < 1]
    if len(open_ones) < 2 or not correlation or min(open_ones) <= 0:
        return prod(open_ones)
    rows = [_given(chance, correlation) for chance in open_ones]
    return sum(map(prod, zip(hermite(NODES)[1], *rows, strict=True)))


@lru_cache(2048)
def _given(chance: float, correlation: float) -> Sequence[float]:
    """The chance of a delivery given the group's delay, at each node."""
    nodes = hermite(NODES)[0]
    if not 0 < chance < 1:
        return [max(0.0, min(chance, 1.0))] * len(nodes)
    # P(E <= (q - sqrt(r) z) / sqrt(1 - r)) = erfc(-that / sqrt 2) / 2
    scale = 1.0 / sqrt(2.0 * (1.0 - correlation))
    quantile, slope = _quantile(chance) * scale, sqrt(correlation) * scale
    return [0.5 * erfc(slope * z - quantile) for z in nodes]


@lru_cache(8)
def hermite(number: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return nodes and weights with which the mean of f(Z) of a standard normal Z is the sum of
    weight x f(node): exact for polynomials of degree below 2 x number.

    The nodes are the roots of the Hermite polynomial of that degree, found by Newton's method
    between the roots of the one before, which part them.
    """
    roots: list[float] = []
    for degree in range(1, number + 1):
        edge = 2.0 * sqrt(degree) + 1.0
        bounds = [-edge, *roots, edge]
        near = 1e-14 if degree == number else 1e-3  # those before only part those that follow
        half = [_root(degree, bounds[n], bounds[n + 1], near) for n in range(degree // 2)]
        roots = [*half, *([0.0] * (degree % 2)), *(-root for root in reversed(half))]
    # With orthonormal polynomials h the weight is 1 / (number x h_(number-1)(node)^2).
    weights = [1.0 / (number * _hermite(number, root)[1] ** 2) for root in roots]
    return tuple(roots), tuple(weights)


def _root(degree: int, low: float, high: float, near: float) -> float:
    """The one root between two points: Newton's steps, halving where one would leave them."""
    rising = _hermite(degree, high)[0] > 0
    root = (low + high) / 2
    while True:
        value, before = _hermite(degree, root)
        low, high = (low, root) if (value > 0) == rising else (root, high)
        step = value / (sqrt(degree) * before) if before else 0.0
        after = root - step
        if not low < after < high:
            after = (low + high) / 2
        if abs(after - root) <= near * abs(root):
            return after
        root = after


def _hermite(degree: int, x: float) -> tuple[float, float]:
    """The orthonormal Hermite polynomials (of the normal weight) of a degree and the one before."""
    before, value = 0.0, 1.0
    for n in range(1, degree + 1):
        before, value = value, (x * value - sqrt(n - 1) * before) / sqrt(n)
    return value, before

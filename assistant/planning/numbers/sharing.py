"""A whole number of things shared out in proportion.

Knows: weights and seats, as when parliaments are made. Must not know: what is shared. Invariants:
the shares add up to what is shared; with rising weights nobody gets less; of equal claims the first
is served first.
"""

from collections.abc import Callable, Sequence
from decimal import Decimal
from fractions import Fraction
from heapq import heapify, heapreplace
from typing import Literal

Method = Literal["hamilton", "webster", "jefferson"]
Weight = int | Decimal | Fraction

# The divisor that stands against a claim on one more, by how many are held. Source: M. L. Balinski
# and H. P. Young, Fair Representation, 1982 (attribution from memory).
_DIVISORS: dict[Method, Callable[[int], Fraction]] = {
    "webster": lambda held: held + Fraction(1, 2),
    "jefferson": lambda held: Fraction(held + 1),
}


def apportion(
    weights: Sequence[Weight], seats: int, method: Method = "hamilton"
) -> tuple[int, ...]:
    """Share `seats` out in proportion to `weights` (none negative).

    "hamilton": whole quotas, what is left to the largest remainders. "webster" and "jefferson":
    one at a time to the largest weight over its divisor. Weights that are all 0 count as equal.
    """
    if not weights:
        return ()
    exact = [Fraction(weight) for weight in weights]
    if not any(exact):
        exact = [Fraction(1)] * len(exact)
    if method == "hamilton":
        return _hamilton(exact, seats)
    return _highest(exact, seats, _DIVISORS[method])


def _hamilton(weights: Sequence[Fraction], seats: int) -> tuple[int, ...]:
    whole = sum(weights)
    quotas = [weight * seats / whole for weight in weights]
    shares = [int(quota) for quota in quotas]
    order = sorted(range(len(shares)), key=lambda place: shares[place] - quotas[place])
    for place in order[: seats - sum(shares)]:
        shares[place] += 1
    return tuple(shares)


def _highest(
    weights: Sequence[Fraction], seats: int, divisor: Callable[[int], Fraction]
) -> tuple[int, ...]:
    shares = [0] * len(weights)
    claims = [(-weight / divisor(0), place) for place, weight in enumerate(weights)]
    heapify(claims)
    for _ in range(seats):
        place = claims[0][1]
        shares[place] += 1
        heapreplace(claims, (-weights[place] / divisor(shares[place]), place))
    return tuple(shares)

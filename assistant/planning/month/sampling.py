"""How many pieces of a delivery to look at, and how many bad ones are too many.

Knows: the single sampling plans for normal inspection at general level II. Must not know: what was
delivered, what a bad piece is. Invariants: no more pieces are looked at than there are; where the
table points to another plan, that plan's size and number go together; a delivery is refused at one
bad piece more than it may have.

Source of the tables: ISO 2859-1, sampling schemes indexed by acceptance quality limit (AQL), the
code letters and the master table for normal inspection. The values are those of MIL-STD-105E,
tables I and II-A, a public standard with the same letters, sizes and numbers (that they are the
same: from memory).
"""

from bisect import bisect_left
from decimal import Decimal
from math import isqrt
from typing import Literal

from assistant.planning.model import Record
from assistant.planning.numbers.chances import binomial

Limit = Literal["1.0", "2.5", "4.0"]  # percent of pieces: the AQL
USUAL: Limit = "2.5"  # for a fault that spoils a piece; common practice, no source

LETTERS = "ABCDEFGHJKLMNPQ"
# The largest lot of each letter but the last.
LOTS = (8, 15, 25, 50, 90, 150, 280, 500, 1_200, 3_200, 10_000, 35_000, 150_000, 500_000)
SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1_250)
# By letter: bad pieces that may be, or an arrow to the next plan that has a number.
DOWN = "v"  # the other arrow is "^"
MAY_BE: dict[Limit, str] = {
    "1.0": "v v v v 0 ^ v 1 2 3 5 7 10 14 21",
    "2.5": "v v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^",
    "4.0": "v 0 ^ v 1 2 3 5 7 10 14 21 ^ ^ ^",
}


class Plan(Record):
    """Look at `look` pieces of a delivery of `lot`; with up to `may_be` bad ones among them it is
    taken. `letter` is that of the plan used."""

    lot: int
    letter: str
    look: int
    may_be: int

    @property
    def too_many(self) -> int:
        """Bad pieces at which the delivery is not good enough."""
        return self.may_be + 1

    @property
    def all(self) -> bool:
        """Whether every piece is to be looked at."""
        return self.look == self.lot


def plan(lot: int, limit: Limit = USUAL) -> Plan:
    """Return the single sampling plan, normal inspection, general level II, for `lot` pieces.

    Where the plan asks for as many pieces as there are, or more, all are looked at. The standard
    begins at two pieces; a single one is looked at too.
    """
    at = bisect_left(LOTS, lot)
    numbers = MAY_BE[limit].split()
    while not numbers[at].isdigit():
        at += 1 if numbers[at] == DOWN else -1
    return Plan(max(lot, 0), LETTERS[at], min(SIZES[at], max(lot, 0)), int(numbers[at]))


def passes(found: Plan, bad: Decimal) -> float:
    """Return the chance (0..1) that a delivery with `bad` percent of bad pieces is taken: that at
    most `may_be` of those looked at are bad. Source: the binomial distribution, as the standard
    takes it for its operating characteristics. Where all are looked at, nothing is left to it."""
    if found.all:
        return float(found.lot * bad / 100 <= found.may_be)
    return binomial(found.look, float(bad) / 100).at_most(found.may_be)


def to_open(cartons: int) -> int:
    """Return from how many cartons to take the pieces: the square root of their number, rounded
    up. Common practice, no source."""
    return isqrt(cartons - 1) + 1 if cartons > 0 else 0

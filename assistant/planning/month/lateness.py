"""How late suppliers are: what is assumed of a quote, and what their records say.

Knows: deliveries as quoted and as they were. Must not know: the plan, calendars, words. Invariants:
only deliveries up to the day asked for count; a supplier without a record is as its kind, and a
kind without one as the house assumes; the same records give the same object, for what is kept by
identity.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from assistant.planning.model import ChanceRule, Record
from assistant.planning.records import Percents
from assistant.scheduling.lead_times import Lateness, ThreePoint, pooled

Part = Literal["making", "transit"]
Kind = tuple[Part, bool]  # of what, and whether from abroad
Spread = ThreePoint | Lateness


class LeadRecord(Record):
    """One delivery as it was: days of its making (from its start to dispatch, in the supplier's
    working days, or calendar days where the quote was in those) or of its transit (calendar days),
    as `quoted` and `actual`; `on` is the day on which it was through."""

    supplier: str  # Supplier.id
    part: Part
    quoted: int
    actual: int
    on: date


@dataclass(frozen=True, slots=True)
class Assumed:
    """What is assumed while nothing is known.

    `spreads`: how many times what was quoted it takes, for each kind. `weight`: how many deliveries
    a kind counts for beside a supplier's own record. `correlation`, from 0 to below 1, of the
    delays of what one supplier sends.
    """

    spreads: Mapping[Kind, ThreePoint]
    weight: float = 4
    correlation: float = 0.5


@lru_cache(8)
def usual(rule: ChanceRule) -> Assumed:
    """Return what the house assumes."""
    spreads: dict[Kind, ThreePoint] = {
        ("making", False): _times(rule.making_home),
        ("making", True): _times(rule.making_abroad),
        ("transit", False): _times(rule.transit_home),
        ("transit", True): _times(rule.transit_abroad),
    }
    return Assumed(MappingProxyType(spreads), rule.weight, rule.correlation / 100)


def _times(percents: Percents) -> ThreePoint:
    least, likely, most = percents
    return ThreePoint(least / 100, likely / 100, most / 100)


class Records:
    """The spread of each supplier's quotes, from the records up to a day.

    A kind's own spread is that assumed for it, pooled with the deliveries of all its other
    suppliers; a supplier's is its kind's, pooled with its own deliveries (lead_times.pooled, both
    times with the same weight). `abroad` are the suppliers in other countries.
    """

    def __init__(
        self, records: Iterable[LeadRecord], today: date, abroad: Iterable[str], assumed: Assumed
    ) -> None:
        self._assumed = assumed
        away = frozenset(abroad)
        self._ratios: dict[Kind, dict[str, list[float]]] = {}
        self._number: dict[str, int] = {}
        for one in records:
            if one.on <= today and one.quoted > 0 and one.actual >= 0:
                kind = self._ratios.setdefault((one.part, one.supplier in away), {})
                kind.setdefault(one.supplier, []).append(one.actual / one.quoted)
                if one.part == "making":
                    self._number[one.supplier] = self._number.get(one.supplier, 0) + 1
        self._found: dict[tuple[str, Kind], Spread] = {}

    def spread(self, supplier: str, kind: Kind) -> Spread:
        """How many times what it quotes a supplier takes."""
        found = self._found.get((supplier, kind))
        if found is None:
            found = self._found[supplier, kind] = self._pooled(supplier, kind)
        return found

    def deliveries(self, supplier: str) -> int:
        """How many deliveries of a supplier are known, by their making."""
        return self._number.get(supplier, 0)

    def _pooled(self, supplier: str, kind: Kind) -> Spread:
        assumed, weight = self._assumed.spreads[kind], self._assumed.weight
        all_ratios = self._ratios.get(kind, {})
        others = [
            ratio for name, ratios in all_ratios.items() if name != supplier for ratio in ratios
        ]
        own = self._own(supplier, kind)
        if not own and not others:
            return assumed
        return pooled(pooled(assumed.lateness(), weight, others), weight, own)

    def _own(self, supplier: str, kind: Kind) -> Sequence[float]:
        return self._ratios.get(kind, {}).get(supplier, ())

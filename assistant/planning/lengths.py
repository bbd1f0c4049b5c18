"""How long each stage takes: how many days before the one that it hangs on it lies.

Knows: the house's stages, a shop's own lengths, suppliers' terms. Must not know: calendars, which
day anything falls on. Invariants: a number that the owner chose herself goes before all others; a
stage that does not apply has no length; what is not known of one is named with it.
"""

from collections.abc import Callable
from typing import NamedTuple

from msgspec.structs import replace

from assistant.planning.model import House, Lead, Profile, StageRule, Supplier, Unit


class Length(NamedTuple):
    """How many days before the date it hangs on a stage lies, and what is not known about it.
    `month_end`: they count from the end of that date's month."""

    days: int
    unit: Unit
    missing: str = ""
    month_end: bool = False


class Case(NamedTuple):
    """All that a length can depend on."""

    house: House
    profile: Profile
    supplier: Supplier | None
    lead: Lead | None
    made_in: str


def length_of(rule: StageRule, case: Case) -> Length | None:
    """How long a stage takes; None where it does not apply."""
    supplier = case.supplier
    if rule.only_if == "deposit" and not (supplier and supplier.deposit_percent):
        return None
    own = next((days for name, days in case.profile.lengths if name == rule.name), None)
    if own is not None:
        return Length(own, rule.unit)
    if not rule.days_from:
        return Length(rule.days, rule.unit)
    return LENGTHS[rule.days_from](rule, case)


def _packing(rule: StageRule, case: Case) -> Length:
    """Boxes / (boxes an hour x people x hours a day), rounded up, at least one day."""
    profile, house = case.profile, case.house
    a_day = (
        (profile.boxes_per_hour or house.boxes_per_hour)
        * (profile.crew or house.crew)
        * (profile.hours_per_day or house.hours_per_day)
    )
    days = max(1, -(-profile.subscribers // a_day))
    return Length(days, rule.unit, "" if profile.subscribers else "subscriber count")


def _transit(rule: StageRule, case: Case) -> Length:
    """The supplier's own figure, else the house's for home or abroad."""
    supplier, house, home = case.supplier, case.house, case.profile.country
    if supplier is None:
        away = case.made_in not in ("", home)
    elif supplier.transit_days is not None:
        return Length(supplier.transit_days, rule.unit)
    else:
        away = supplier.country not in ("", home)
    days = house.transit_abroad_days if away else house.transit_home_days
    return Length(days, rule.unit, "" if supplier else "supplier")


def _making(rule: StageRule, case: Case) -> Length:
    """The item's lead time, else its supplier's; none known counts as made already."""
    lead = case.lead or (case.supplier.lead if case.supplier else None)
    if lead is None:
        return Length(0, rule.unit, "lead time")
    return Length(lead.days, lead.unit)


def _confirming(rule: StageRule, case: Case) -> Length:
    return Length(case.supplier.confirm_days if case.supplier else 0, rule.unit)


def _balance(rule: StageRule, case: Case) -> Length | None:
    """Days of credit after dispatch or the end of its month, so many days *after* it; none known
    means no balance."""
    if case.supplier is None or case.supplier.net_days is None:
        return None
    return Length(-case.supplier.net_days, rule.unit, "", case.supplier.end_of_month)


LENGTHS: dict[str, Callable[[StageRule, Case], Length | None]] = {
    "packing": _packing,
    "transit": _transit,
    "making": _making,
    "confirming": _confirming,
    "balance": _balance,
}


def packed_in(house: House, profile: Profile, days: int) -> Profile:
    """Return the profile of a shop that packs for so many working days."""
    names = [rule.name for rule in house.stages if rule.days_from == "packing"]
    return replace(profile, lengths=(*((name, days) for name in names), *profile.lengths))

"""What it costs to post a parcel, by the owner's own dated tables.

Knows: weights, sizes, services and their bands. Must not know: a carrier's tariff (every number of
one is the owner's data), what is in a parcel. Invariants: a table holds from its day until the
next of the same service; a parcel is never billed lighter than it is; without the parcel's size, a
service that asks for it is not taken.

Dimensional weight: the volume of the parcel by a divisor; the larger of it and the actual weight,
rounded up to a step, is billed. Source of the rule: International Air Transport Association, cargo
rates by volume (6000 cubic centimetres a kilogram); each carrier has its own numbers.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import ROUND_CEILING, Decimal
from math import prod

from assistant.planning.model import Band, Record, Shop, Tariff
from assistant.planning.year.contents import CUBIC_CM, fits
from assistant.planning.year.measures import Size

# Why a parcel could not be priced.
NO_TABLE, NO_SIZE, TOO_MUCH = "no table", "no size", "too much"


class Parcel(Record):
    """What a parcel costs to post by one service. Grams; `dimensional` is 0 where it does not
    count."""

    service: str
    price: Decimal
    actual: int
    dimensional: Decimal
    billed: Decimal
    since: date  # of the table


def rounded_up(amount: Decimal, step: Decimal) -> Decimal:
    """Round an amount up to whole steps of the same unit."""
    return (amount / step).to_integral_value(ROUND_CEILING) * step


def dimensional_weight(sides: Sequence[Decimal], divisor: Decimal) -> Decimal:
    """Return volume by divisor: centimetres and cubic centimetres a kilogram give kilograms,
    inches and cubic inches a pound give pounds. Right to 28 digits, unrounded."""
    return prod(sides, start=Decimal(1)) / divisor


def billed_weight(actual: Decimal, dimensional: Decimal, step: Decimal) -> Decimal:
    """Return the larger of two weights, rounded up to whole steps; all in one unit."""
    return rounded_up(max(actual, dimensional), step)


def weigh(tariff: Tariff, grams: int, mm: Size | None) -> tuple[Decimal, Decimal] | None:
    """Return the (dimensional, billed) weight of a parcel by a service, in grams; None where the
    service needs a size and there is none."""
    if tariff.divisor is None:
        return Decimal(0), billed_weight(Decimal(grams), Decimal(0), Decimal(tariff.step_grams))
    if mm is None:
        return None
    side = Decimal(tariff.side_mm)
    sides = [rounded_up(Decimal(one), side) for one in mm]
    counts = prod(sides) >= tariff.above_cm3 * CUBIC_CM
    # Cubic millimetres by cubic centimetres a kilogram are grams.
    dimensional = dimensional_weight(sides, tariff.divisor) if counts else Decimal(0)
    return dimensional, billed_weight(Decimal(grams), dimensional, Decimal(tariff.step_grams))


def tables(tariffs: Iterable[Tariff], on: date) -> tuple[Tariff, ...]:
    """Return the table of each service that holds on a day: the newest that is not later."""
    held: dict[str, Tariff] = {}
    for one in sorted(tariffs, key=lambda table: table.since):
        if one.since <= on:
            held[one.service.casefold()] = one
    return tuple(held.values())


def ways(shop: Shop, grams: int, mm: Size | None, on: date) -> tuple[Parcel, ...]:
    """Return what a parcel costs by each service that takes it, the cheapest first."""
    found = (_by(table, grams, mm) for table in tables(shop.tariffs, on))
    return tuple(sorted(filter(None, found), key=lambda one: (one.price, one.service)))


def cheapest(shop: Shop, grams: int, mm: Size | None, on: date) -> Parcel | str:
    """Return the cheapest way to post a parcel on a day, else why there is none."""
    known = tables(shop.tariffs, on)
    if not any(table.bands for table in known):
        return NO_TABLE
    found = ways(shop, grams, mm, on)
    if found:
        return found[0]
    sized = all(table.divisor or any(band.mm for band in table.bands) for table in known)
    return NO_SIZE if mm is None and sized else TOO_MUCH


def _by(table: Tariff, grams: int, mm: Size | None) -> Parcel | None:
    weighed = weigh(table, grams, mm)
    if weighed is None:
        return None
    dimensional, billed = weighed
    band = min(_taking(table.bands, billed, mm), key=lambda one: one.price, default=None)
    if band is None:
        return None
    return Parcel(table.service, band.price, grams, dimensional, billed, table.since)


def _taking(bands: Iterable[Band], billed: Decimal, mm: Size | None) -> Iterator[Band]:
    """The bands that a parcel of a billed weight and a size falls under."""
    for band in bands:
        small = band.mm is None or (mm is not None and fits(mm, band.mm))
        if billed <= band.grams and small:
            yield band

"""What is said of postage and of rates.

Knows: tables, parcels and rates, and how they are written. Must not know: which question was asked.
Invariants: a table is the owner's own, and that the carrier's current one decides is said when the
first is told; a rate is told as what one unit of the currency costs.
"""

from collections.abc import Iterable
from datetime import date

from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.conversation.replies.plan import size, weight
from assistant.planning.accounts import costs, postage
from assistant.planning.accounts.costs import BoxCost
from assistant.planning.accounts.money import plain_number
from assistant.planning.accounts.postage import Parcel
from assistant.planning.model import Band, Rate, Tariff

NAME = 40  # characters of a service that a line shows
BANDS = 4  # that a line names

YOURS = "These are your own figures: the carrier's current tariff decides."
NO_TABLES = (
    "No postage yet. Copy it from your carrier's current tariff, for example: "
    "postage small parcel up to 2 kg 3.45"
)
NO_RATES = "No rates yet, and none is needed. For example: 1 EUR is 0.86"
TABLES, RATES = "Postage", "Rates"


# --- postage --------------------------------------------------------------------------------


def table(tariff: Tariff, currency: str, today: date) -> str:
    """Write a service's table: "Small parcel: up to 1 kg £2.95, up to 2 kg £3.45"."""
    bands = [band(one, currency) for one in tariff.bands[-BANDS:]]
    left = len(tariff.bands) - len(bands)
    told = ", ".join((*((f"{left} lighter",) if left else ()), *bands)) or "no price yet"
    starts = f" from {day(tariff.since, today)}" if tariff.since > today else ""
    return f"{name(tariff.service)}{starts}: {told}"


def name(service: str) -> str:
    """Write a service's name at the start of a line."""
    text = short(service, NAME)
    return text[:1].upper() + text[1:]


def band(one: Band, currency: str) -> str:
    """Write a band: "up to 750 g £2.10 (353 x 250 x 25 mm)"."""
    within = f" ({size(one.mm)})" if one.mm else ""
    return f"up to {weight(one.grams)} {money(one.price, currency)}{within}"


def rule(tariff: Tariff) -> str:
    """Write how a service reckons the weight that it bills; "" for the weight as it is."""
    parts = []
    if tariff.divisor is not None:
        sides = f", sides up to whole {_length(tariff.side_mm)}" if tariff.side_mm > 1 else ""
        above = f", from {tariff.above_cm3:,} cm\u00b3 on" if tariff.above_cm3 else ""
        parts.append(
            f"by volume too: cm\u00b3 \u00f7 {plain_number(tariff.divisor)} in kg{sides}{above}"
        )
    if tariff.step_grams > 1:
        parts.append(f"billed in steps of {weight(tariff.step_grams)}")
    return f"  {'; '.join(parts)}" if parts else ""


def _length(mm: int) -> str:
    """A step for lengths: "cm", "5 mm"."""
    number, unit = (mm // 10, "cm") if mm % 10 == 0 else (mm, "mm")
    return unit if number == 1 else f"{number} {unit}"


def set_to(tariff: Tariff, currency: str, today: date) -> str:
    """Say how a table stands now."""
    return f"Noted. {table(tariff, currency, today)}."


def as_before(tariff: Tariff, currency: str, today: date) -> str:
    """Say that a table stood so already."""
    return f"As I have it already. {table(tariff, currency, today)}."


def kept(stays: Iterable[Band], currency: str) -> str:
    """Point out the bands of a new table that were taken over from the one before."""
    told = [band(one, currency) for one in stays]
    return f"As before: {', '.join(told[:BANDS])}." if told else ""


def posted(box: BoxCost, currency: str, today: date) -> str:
    """Say how a box is posted: "March: £3.45, small parcel, 780 g billed as 1 kg"."""
    return f"{box_name(box.box, today)}: {by(box.parcel, currency)}"


def by(parcel: Parcel | str, currency: str) -> str:
    """Say how a parcel is posted, or why that is not known."""
    if isinstance(parcel, str):
        return _WHY_NOT[parcel]
    what = (
        f"{money(parcel.price, currency)}, {short(parcel.service, NAME)}, {weight(parcel.actual)}"
    )
    billed = int(parcel.billed.to_integral_value())
    if parcel.dimensional > parcel.actual:
        return f"{what}, by volume {weight(billed)}"
    return what if billed == parcel.actual else f"{what} billed as {weight(billed)}"


_WHY_NOT = {
    postage.NO_TABLE: "no postage (say: postage small parcel up to 2 kg 3.45)",
    postage.NO_SIZE: "no postage without its size (say: parcel 350 x 250 x 80 mm)",
    postage.TOO_MUCH: "no postage: no service of yours takes it",
    costs.NO_WEIGHT: "no postage: no weight of an item is known",
}


def dropped(service: str, tables: int) -> str:
    """Say that a service was forgotten."""
    older = f" ({plural(tables, 'table')})" if tables > 1 else ""
    return f"Forgotten: postage by {short(service, NAME)}{older}."


def gone(service: str, known: Iterable[str]) -> str:
    """Say that there is no such service."""
    names = listed([short(one, NAME) for one in known])
    there = f"I know {names}." if names else "No postage is known yet."
    return f"I read postage to forget, {short(service, NAME)}, but have none of that name. {there}"


# --- rates ----------------------------------------------------------------------------------


def rate(one: Rate, own: str, today: date) -> str:
    """Write a rate: "1 EUR = 0.86 GBP from Mon 4 Jan"."""
    return f"1 {one.currency} = {plain_number(one.rate)} {own} from {day(one.on, today)}"


def rate_set(one: Rate, own: str, today: date, was: Rate | None) -> str:
    """Say which rate holds now, and which did before."""
    before = f", was {plain_number(was.rate)}" if was is not None else ""
    return f"Noted: {rate(one, own, today)}{before}."


def rate_stands(one: Rate, own: str, today: date) -> str:
    """Say that a rate was known already."""
    return f"As I have it already: {rate(one, own, today)}."


def counted_by(items: int, currency: str) -> str:
    """Say how many items are reckoned by a rate."""
    return (
        f"{plural(items, 'item is', 'items are')} reckoned by it."
        if items
        else (f"No item costs {currency} yet.")
    )


def no_rate(currency: str, items: int, own: str) -> str:
    """Point out a currency that is in use without a rate."""
    held = plural(items, "item")
    return f"{currency}: no rate, {held} not counted. Say what 1 {currency} is in {own}"


def own_currency(currency: str) -> str:
    """Refuse a rate of the shop's own currency."""
    return (
        f"I read a rate of {currency}, but the shop counts in it. "
        "For a rate of another currency, for example: 1 JPY is 0.0052"
    )


def no_such_rate(currency: str, value: str) -> str:
    """Refuse a rate that cannot be meant."""
    return (
        f"I read a rate of {currency}, {value}, but it must be above 0 and below 100,000. "
        "For example: 1 EUR is 0.86"
    )

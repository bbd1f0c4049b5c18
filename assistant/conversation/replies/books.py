"""What is said of the figures that the shop reckons with.

Knows: the books and how each figure is written. Must not know: what follows from a figure.
Invariants: a figure that the house has where the owner named none is said to be the usual one; a
refusal says what was read, what is wrong and one example that works.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Any

from assistant.conversation.replies.plain import full_day, money, short
from assistant.conversation.replies.plan import size, weight
from assistant.planning.accounts.money import plain_number
from assistant.planning.model import Books, House

TITLE = "What I reckon with"
NOTHING_FORGOTTEN = "I have no such figure of yours, so nothing was forgotten."
TAX_DECIDES = "How tax is reckoned, your tax authority or adviser decides."
CUSTOMS_DECIDES = "What is due at import, the customs authority or your adviser decides."

Write = Callable[[Any, str], str]


def percent(number: Decimal) -> str:
    """Write a percentage: "1.5%"."""
    return f"{plain_number(number)}%"


def _money(words: str) -> Write:
    return lambda amount, currency: words.format(money(amount, currency))


def _percent(words: str) -> Write:
    return lambda number, _currency: words.format(percent(number))


def _number(words: str) -> Write:
    return lambda number, _currency: words.format(f"{number:,}")


# How each figure is written, in the order in which they are told.
WRITTEN: dict[str, Write] = {
    "confidence": _percent("{} sure not to run short"),
    "damage": _percent("{} arrive unusable"),
    "short_cost": _money("one box short costs {}"),
    "resale": _percent("leftovers still fetch {}"),
    "joins": lambda number, _currency: f"{plain_number(number)} join a month",
    "churn": _percent("{} leave a month"),
    "order_cost": _money("one more order costs you {}"),
    "storage": _money("keeping a piece costs {} a month"),
    "interest": _percent("money tied up costs {} a year"),
    "packaging": _money("packaging {} a box"),
    "card": _money("card {} a box"),
    "packaging_grams": lambda grams, _currency: f"an empty parcel weighs {weight(grams)}",
    "parcel_mm": lambda mm, _currency: f"parcel {size(mm)} outside",
    "fee_percent": _percent("fees {}"),
    "fee_each": _money("fees {} a payment"),
    "tax": _percent("prices contain {} tax"),
    "import_tax": _percent("import tax {}"),
    "bank": _money("{} in the bank"),
    "bank_on": lambda day, _currency: f"counted {full_day(day)}",
    "charge_day": _number("renewals charged on day {} of the month"),
    "payout_days": _number("paid out {} working days later"),
    "overhead": _money("{} a month for all that is no box"),
    "deliver_to": lambda place, _currency: f"deliver to {short(place, 80)}",
}
_LINES = (
    ("confidence", "damage", "short_cost", "resale", "joins", "churn"),
    ("order_cost", "storage", "interest"),
    ("packaging", "card", "packaging_grams", "parcel_mm"),
    ("fee_percent", "fee_each", "tax", "import_tax"),
    ("bank", "bank_on", "charge_day", "payout_days", "overhead"),
    ("deliver_to",),
)


def facts(books: Books, currency: str) -> dict[str, str]:
    """Write each figure that is known."""
    known = ((field, getattr(books, field)) for field in WRITTEN)
    return {
        field: WRITTEN[field](value, currency) for field, value in known if value not in (None, "")
    }


def everything(books: Books, house: House, currency: str) -> Iterator[str]:
    """Write all figures, those of the house where the owner named none."""
    told = facts(books, currency)
    for field in WRITTEN:
        usual = getattr(house, field, None)
        if field not in told and usual is not None:
            told[field] = f"{WRITTEN[field](usual, currency)} (usual)"
    for fields in _LINES:
        line = ", ".join(told[field] for field in fields if field in told)
        yield line[:1].upper() + line[1:]


def differences(old: Mapping[str, str], new: Mapping[str, str]) -> str:
    """Say which figures changed: "Noted: packaging £0.85 a box, was packaging £0.80 a box."."""
    changed = [
        f"{text}{f' (was: {old[field]})' if field in old else ''}"
        for field, text in new.items()
        if text != old.get(field)
    ]
    gone = [f"no longer {text}" for field, text in old.items() if field not in new]
    return f"Noted: {'; '.join((*changed, *gone))}."


def as_before(pieces: Iterable[str]) -> str:
    """Say that all this was known already."""
    return f"As I have it already: {'; '.join(pieces)}."


def out_of_range(what: str, value: object, least: object, most: object, example: str) -> str:
    """Refuse a number that cannot be meant."""
    return f"I read {what}: {value}, but it must be from {least} to {most}. For example: {example}"

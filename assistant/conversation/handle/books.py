"""The figures that the shop reckons with: told, shown, forgotten.

Knows: the books and in which range each figure can be meant. Must not know: how a figure is
written (replies/books), what it is used for. Invariants: a figure that cannot be meant is refused
whole, with its range, and nothing is changed; what a box costs is told again where it changed.
"""

from decimal import Decimal
from typing import Any, NamedTuple

from msgspec.structs import asdict, replace

from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import ChangeBooks, ShowBooks
from assistant.conversation.replies import books as say
from assistant.conversation.replies import costs as say_costs
from assistant.conversation.replies.plain import box_name
from assistant.conversation.sentences import costs as says
from assistant.planning.accounts.costs import BoxCost, costs
from assistant.planning.accounts.landed import books_of
from assistant.planning.changes import apply, profile_of
from assistant.planning.model import Books, Put, Shop


class Limit(NamedTuple):
    """The range in which a figure can be meant; both ends can be."""

    what: str
    least: Decimal
    most: Decimal
    example: str


def _limit(what: str, least: str, most: str, example: str) -> Limit:
    return Limit(what, Decimal(least), Decimal(most), example)


LIMITS: dict[str, Limit] = {
    "confidence": _limit("how sure you want to be, in percent", "50", "99.9", "be 95% sure"),
    "short_cost": _limit("what one box short costs", "0", "10000", "one box short costs 25"),
    "resale": _limit("what leftovers fetch, in percent", "0", "100", "leftovers fetch 40%"),
    "damage": _limit("what arrives unusable, in percent", "0", "50", "2% arrive damaged"),
    "storage": _limit("what keeping a piece costs a month", "0", "1000", "storage 0.05 a piece"),
    "interest": _limit("what money costs a year, in percent", "0", "100", "interest 8%"),
    "order_cost": _limit("what one more order costs", "0", "100000", "an order costs me 25"),
    "packaging": _limit("what packaging costs", "0", "1000", "packaging 0.85 a box"),
    "card": _limit("what a card costs", "0", "1000", "card 0.12 a box"),
    "packaging_grams": _limit("grams of an empty parcel", "1", "100000", "packaging weighs 120 g"),
    "fee_percent": _limit("fees in percent", "0", "50", "fees 1.5% + 20p"),
    "fee_each": _limit("fees of a payment", "0", "1000", "fees 1.5% + 20p"),
    "tax": _limit("tax in your prices, in percent", "0", "100", "my prices include 20% VAT"),
    "import_tax": _limit("import tax in percent", "0", "100", "import tax 20%"),
    "bank": _limit("money in the bank", "-100000000", "100000000", "4,200 in the bank"),
    "charge_day": _limit("the day of renewals", "1", "31", "renewals are charged on the 1st"),
    "payout_days": _limit("working days to the bank", "0", "60", "paid out after 3 days"),
    "overhead": _limit("what a month costs beside boxes", "0", "10000000", "overhead 900 a month"),
}
# Figures from which the cost of a box follows.
OF_A_BOX = frozenset(
    (
        *("packaging", "card", "packaging_grams", "parcel_mm", "fee_percent", "fee_each"),
        *("tax", "import_tax", "damage"),
    )
)


def change_books(shop: Shop, request: ChangeBooks, asked: Asked) -> Outcome:
    """Change figures that the shop reckons with, or forget them."""
    said = _said(request)
    if refusal := _refused(said):
        return answer(asked, (refusal,))
    old, currency = books_of(shop), profile_of(shop).currency
    empty = Books()
    forgotten = {field: getattr(empty, field) for field in request.forget}
    new = replace(old, **forgotten, **said)
    before, now = say.facts(old, currency), say.facts(new, currency)
    if new == old:
        known = [now[field] for field in said if field in now]
        told = say.as_before(known) if known else say.NOTHING_FORGOTTEN
        return answer(asked, (told,), (reckoned_with(),), stands=bool(known))
    after = apply(shop, (Put(new),))
    touched = {*said, *forgotten}
    first = (say.differences(before, now), _decides(old, new))
    box = _next(after, asked) if touched & OF_A_BOX else None
    buttons = (*((of_box(box, asked),) if box else ()), reckoned_with())
    lines = (*first, say_costs.in_short(box, currency, asked.today) if box else "")
    return changed(shop, asked, (Put(new),), lines, buttons, brief=first)


def show_books(shop: Shop, request: ShowBooks, asked: Asked) -> Outcome:
    """Show every figure that the shop reckons with."""
    del request
    lines = say.everything(books_of(shop), shop.house, profile_of(shop).currency)
    buttons = (
        Button("Costs of the year", says.show_costs()),
        Button("Rates", says.show_rates()),
        Button("Postage", says.show_postage()),
    )
    return answer(asked, lines, buttons, title=say.TITLE)


def _said(request: ChangeBooks) -> dict[str, Any]:
    """The figures that a request names."""
    fields = asdict(request)
    return {
        field: value for field, value in fields.items() if field != "forget" and value is not None
    }


def _refused(said: dict[str, Any]) -> str:
    for field, limit in LIMITS.items():
        value = said.get(field)
        if value is not None and not limit.least <= value <= limit.most:
            return say.out_of_range(limit.what, value, limit.least, limit.most, limit.example)
    return ""


def _decides(old: Books, new: Books) -> str:
    """Who decides on taxes, the first time that one is named."""
    if old.import_tax is None and new.import_tax is not None:
        return say.CUSTOMS_DECIDES
    return say.TAX_DECIDES if old.tax is None and new.tax is not None else ""


def _next(shop: Shop, asked: Asked) -> BoxCost | None:
    """The next box to ship."""
    return next(iter(costs(shop, asked.today)), None)


def of_box(box: BoxCost, asked: Asked) -> Button:
    """The button that asks what a box costs."""
    return Button(f"Cost of {box_name(box.box, asked.today)}", says.show_costs(box.box))


def reckoned_with() -> Button:
    """The button that shows every figure."""
    return Button("What you reckon with", says.show_books())


HANDLERS: dict[type, Handler] = {ChangeBooks: change_books, ShowBooks: show_books}
WRITES: frozenset[type] = frozenset({ChangeBooks})

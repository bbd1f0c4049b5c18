"""Quotes for one item, compared on cost, time and risk.

Knows: what an item takes, landed costs, a supplier's chain of dates. Must not know: words.
Invariants: a quote is compared by what the plan would be if the item were bought by it: `take` says
which changes those are, and nothing else is reckoned with; there is no score: the verdict on the
whole is RULE, and which part of it decided is told.

RULE, ours, from no source: of the quotes that hold today, the one that costs least of those in hand
with FLOAT working days or more to spare when ordered today; where there is none, the one in time
with the most days to spare; where none is in time, the one that is in hand first; where no dates
are known, the one that costs least. Cost is all that is paid to have what the item takes, so pieces
that a minimum forces on her count.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from msgspec.structs import replace

from assistant.planning.accounts.landed import landed_of
from assistant.planning.calendars import closed_spans
from assistant.planning.chains import outlook
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Closure, Item, Offer, Record, Shop, Supplier
from assistant.planning.numbers.buying import Buy, buy
from assistant.planning.numbers.quantity import Amount, amount
from assistant.planning.shipping import ORDER, is_ordered
from assistant.planning.trade.quotes import take
from assistant.planning.year.offers import is_old

FLOAT = 5  # working days to spare, below which a date is too near
LEFTOVER = Decimal("0.1")  # of what is needed: more than this left over is a risk

Hazard = Literal[
    "expired",
    "ends",
    "old",
    "no lead",
    "first",
    "abroad",
    "deposit",
    "leftover",
    "closure",
]


class Risk(Record):
    """Something that speaks against a quote.

    "expired" and "ends" (before the order-by date): `on` the last day on which it holds. "old":
    `on` the day of the quote. "no lead": no lead time is known, so no day in hand. "first": nothing
    was ordered of the supplier yet. "abroad": in the country `reason`. "deposit": `percent`.
    "leftover": `pieces` more than are needed. "closure": from day `on`, for `reason`.
    """

    code: Hazard
    pieces: int = 0
    percent: Decimal = Decimal(0)
    on: date | None = None
    reason: str = ""


class Quoted(Record):
    """One way to buy an item. `offer` is an Offer.id, "" for the terms that the plan has;
    `planned` says that the plan buys so.

    `order` pieces are bought of which `need` are needed, at `price` each, `spend` in `currency`
    (ISO 4217). `cost` is what they cost landed, `each` that for each piece that goes into a box, in
    the shop's currency; None without a price or a rate. `unknown` is left out of them: codes as in
    landed.Landed. Ordered today they are in hand on `expected`, `float` working days before the
    latest day that works; None without a lead time. `order_by` is the last day to order.
    """

    offer: str
    supplier: str  # Supplier.id
    need: int = 0
    order: int = 0
    price: Decimal | None = None
    currency: str = ""
    spend: Decimal | None = None
    cost: Decimal | None = None
    each: Decimal | None = None
    unknown: tuple[str, ...] = ()
    expected: date | None = None
    float: int | None = None
    order_by: date | None = None
    planned: bool = False
    risks: tuple[Risk, ...] = ()

    @property
    def holds(self) -> bool:
        """Whether the quote has not expired."""
        return all(risk.code != "expired" for risk in self.risks)


Reason = Literal["cheapest in time", "most to spare", "soonest", "cheapest", ""]


class Comparison(Record):
    """Quotes for an item, the best first and then by cost, and who is best at what: places in
    `quotes`, None where two are the same or fewer than two are known. `because` says which part of
    RULE decided."""

    item: str
    quotes: tuple[Quoted, ...] = ()
    cheapest: int | None = None
    soonest: int | None = None
    safest: int | None = None
    best: int | None = None
    because: Reason = ""


# --- compared -------------------------------------------------------------------------------


def compare(shop: Shop, item_id: str, offers: Iterable[Offer], today: date) -> Comparison:
    """Compare offers for an item as they stand on `today`; those of no supplier are left out. An
    item that the plan does not have gives an empty comparison."""
    item = find(shop.items, item_id)
    if item is None:
        return Comparison(item_id)
    quoted = [quote(shop, item, one, today) for one in offers if one.supplier]
    best, because = _best(quoted)
    ranked = sorted(quoted, key=lambda one: (one is not best, *_by_cost(one)))
    return Comparison(
        item=item_id,
        quotes=tuple(ranked),
        cheapest=_least(ranked, lambda one: one.cost),
        soonest=_least(ranked, lambda one: one.expected),
        safest=_least(ranked, lambda one: len(one.risks)),
        best=0 if best is not None else None,
        because=because,
    )


def quote(shop: Shop, item: Item, offer: Offer, today: date) -> Quoted:
    """Work out what an offer comes to for an item, ordered on `today`."""
    open_again = tuple(m for m in shop.ledger if m.id.rpartition("/")[0] != item.id)
    changes = take(shop, item, offer)
    after = apply(replace(shop, ledger=open_again), changes)
    bought = find(after.items, item.id) or item
    need, bill = _bought(after, bought, today)
    paid = landed_of(after, bought, bill.order, today, offer.carriage)
    dates = outlook(after, bought, today) if _has_lead(after, bought) else None
    due = deadline(after, f"{item.id}/{ORDER}", today)
    found = Quoted(
        offer=offer.id,
        supplier=offer.supplier,
        need=need,
        order=bill.order,
        price=bill.price,
        currency=bought.currency or profile_of(shop).currency,
        spend=bill.spend,
        cost=None if paid.each is None else paid.total,
        each=paid.each,
        unknown=paid.unknown,
        expected=dates.expected if dates else None,
        float=dates.float if dates else None,
        order_by=due.on if due else None,
        planned=not changes,
    )
    return replace(found, risks=tuple(_risks(shop, after, item.id, offer, found, today)))


def _bought(shop: Shop, item: Item, today: date) -> tuple[int, Buy]:
    """The pieces that are needed of an item and what is to be bought for them. A number that the
    owner set is what is needed; the supplier's minimum and cases hold for it too."""
    wanted = amount(shop, item.id, today) or Amount(item.id, item.box)
    if not wanted.own:
        return wanted.need, Buy(wanted.order, wanted.price, wanted.spend)
    return wanted.order, buy(
        wanted.order,
        case=item.case_pack,
        minimum=item.minimum,
        price=item.unit_cost,
        breaks=item.breaks,
    )


# --- what speaks against it -----------------------------------------------------------------


def _risks(
    before: Shop, after: Shop, item_id: str, offer: Offer, found: Quoted, today: date
) -> Iterable[Risk]:
    until, own = offer.valid_until, profile_of(after).country
    supplier = find(after.suppliers, offer.supplier) or Supplier(id=offer.supplier, name="")
    if until and until < today:
        yield Risk("expired", on=until)
    elif until and found.order_by and until < found.order_by:
        yield Risk("ends", on=until)
    elif not until and is_old(offer.quoted, today):
        yield Risk("old", on=offer.quoted)
    item = find(after.items, item_id)
    if item is not None and not _has_lead(after, item):
        yield Risk("no lead")
    if not _known(before, offer.supplier, today):
        yield Risk("first")
    if supplier.country not in ("", own):
        yield Risk("abroad", reason=supplier.country)
    if supplier.deposit_percent:
        yield Risk("deposit", percent=supplier.deposit_percent)
    if found.order - found.need > found.need * LEFTOVER:
        yield Risk("leftover", pieces=found.order - found.need)
    if found.expected and (shut := _shut(supplier.closures, today, found.expected)):
        yield shut


def _has_lead(shop: Shop, item: Item) -> bool:
    """Whether it is known how long an item takes to make."""
    supplier = find(shop.suppliers, item.supplier)
    return item.lead is not None or (supplier is not None and supplier.lead is not None)


def _known(shop: Shop, supplier: str, today: date) -> bool:
    """Whether something was ordered of a supplier before."""
    sent = any(one.supplier == supplier and one.sent for one in shop.orders)
    return sent or any(
        item.supplier == supplier and is_ordered(shop, item, today) for item in shop.items
    )


def _shut(closures: Iterable[Closure], first: date, last: date) -> Risk | None:
    """The first closure that falls between two days."""
    years = range(first.year - 1, last.year + 2)
    spans = [span for one in closures for span in closed_spans(one, years)]
    within = [s for s in spans if s.first <= last and (s.last is None or s.last >= first)]
    if not within:
        return None
    span = min(within, key=lambda one: one.first)
    return Risk("closure", on=span.first, reason=span.reason)


# --- verdicts -------------------------------------------------------------------------------


def _by_cost(one: Quoted) -> tuple[bool, Decimal, int, str]:
    return one.cost is None, one.cost or Decimal(0), -(one.float or 0), one.supplier


def _by_float(one: Quoted) -> tuple[int, bool, Decimal, str]:
    return -(one.float or 0), one.cost is None, one.cost or Decimal(0), one.supplier


def _by_day(one: Quoted) -> tuple[date, bool, Decimal, str]:
    return one.expected or date.max, one.cost is None, one.cost or Decimal(0), one.supplier


_RULE: tuple[tuple[Reason, Callable[[Quoted], bool], Callable[[Quoted], tuple[object, ...]]], ...]
_RULE = (
    ("cheapest in time", lambda one: one.cost is not None and _spare(one) >= FLOAT, _by_cost),
    ("most to spare", lambda one: _spare(one) >= 0, _by_float),
    ("soonest", lambda one: one.expected is not None, _by_day),
    ("cheapest", lambda one: one.cost is not None, _by_cost),
)


def _spare(one: Quoted) -> int:
    return -1 if one.float is None else one.float


def _best(quoted: Sequence[Quoted]) -> tuple[Quoted | None, Reason]:
    """The best of several by RULE, and which part of it decided."""
    able = [one for one in quoted if one.holds and one.price is not None]
    for because, fits, key in _RULE:
        left = [one for one in able if fits(one)]
        if left:
            return min(left, key=key), because
    return None, ""


def _least(quoted: Sequence[Quoted], of: Callable[[Quoted], object]) -> int | None:
    """The place of the one that has less than all others of which it is known; None where there
    is none such."""
    values = [of(one) for one in quoted]
    known = [value for value in values if value is not None]
    if len(known) < 2:
        return None
    least = min(known)  # type: ignore[type-var]
    return values.index(least) if values.count(least) == 1 else None

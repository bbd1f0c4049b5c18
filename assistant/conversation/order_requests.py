"""What a person can mean about numbers, orders, costs and cash, as frozen records.

Knows, must not know, invariants: as in requests.py, through which all of these are known. An
`offer` is an Offer.id, an `order` an Order.id.
"""

from datetime import date
from decimal import Decimal
from typing import Literal

from assistant.planning.model import Band, Break, GroupKind, Lead, Record, Spend

# --- how many -------------------------------------------------------------------------------


class CountSubscribers(Record):
    """So many subscribers were counted, on a day (None: today)."""

    number: int
    on: date | None = None


class SetFlow(Record):
    """Joins and churn (percent) a month as told; those named in `learn` go by the counts again."""

    joins: Decimal | None = None
    churn: Decimal | None = None
    learn: tuple[Literal["joins", "churn"], ...] = ()


class NoteGroup(Record):
    """So many subscribers are not as the others; fields as in model.Group."""

    group: GroupKind
    number: int
    first: str = ""
    last: str = ""
    renew: Decimal | None = None


class DropGroup(Record):
    """Forget a group of subscribers (Group.id)."""

    id: str


class NoteCohort(Record):
    """Of those who joined in a month (`2027-01`), so many are left on a day (None: today)."""

    joined: str
    number: int
    left: int
    on: date | None = None


class ShowCounts(Record):
    """How many subscribers are expected in a box ("": in all that come). `part`: what is known of
    joins and churn, or the groups who are not as the others."""

    box: str = ""
    part: Literal["", "flow", "groups"] = ""


class HowMany(Record):
    """How many pieces to order of an item, or of all items of a box. `whole`: every step of it."""

    item: str = ""
    box: str = ""
    whole: bool = False


class ShowLots(Record):
    """Whether to buy an item that comes in several boxes at once or in several orders. `whole`:
    what each way costs."""

    item: str
    whole: bool = False


# --- the shop's own figures -----------------------------------------------------------------


class ChangeBooks(Record):
    """Change what the shop reckons with; fields as in model.Books. `forget` names fields that are
    not known any more."""

    confidence: Decimal | None = None
    short_cost: Decimal | None = None
    resale: Decimal | None = None
    damage: Decimal | None = None
    storage: Decimal | None = None
    interest: Decimal | None = None
    order_cost: Decimal | None = None
    packaging: Decimal | None = None
    card: Decimal | None = None
    packaging_grams: int | None = None
    parcel_mm: tuple[int, int, int] | None = None
    fee_percent: Decimal | None = None
    fee_each: Decimal | None = None
    tax: Decimal | None = None
    import_tax: Decimal | None = None
    bank: Decimal | None = None
    bank_on: date | None = None
    charge_day: int | None = None
    payout_days: int | None = None
    overhead: Decimal | None = None
    deliver_to: str | None = None
    forget: tuple[str, ...] = ()


class ShowBooks(Record):
    """What the shop reckons with."""


class SetRate(Record):
    """What one unit of a currency costs in the shop's, from a day on (None: today)."""

    currency: str
    rate: Decimal
    on: date | None = None


class ShowRates(Record):
    """The rates that are kept."""


class SetPostage(Record):
    """A service's postage for some bands, or its rule for dimensional weight, from a day on."""

    service: str
    bands: tuple[Band, ...] = ()
    divisor: Decimal | None = None
    side_mm: int | None = None
    step_grams: int | None = None
    above_cm3: int | None = None
    since: date | None = None


class DropPostage(Record):
    """Forget a service's table."""

    service: str


class ShowPostage(Record):
    """The tables of postage, and what a box costs by them."""


# --- costs and cash -------------------------------------------------------------------------


class ShowCosts(Record):
    """What a box costs and earns ("": every box of a year, or an item landed). `picture`: as bars;
    `whole`: all of it."""

    box: str = ""
    item: str = ""
    year: int | None = None
    picture: bool = False
    whole: bool = False


class Cheaper(Record):
    """What would bring a box back under its target."""

    box: str


class ShowCash(Record):
    """Money in and out, and what is left, by week or month; `picture`: as a curve."""

    by: Literal["week", "month"] = "month"
    first: date | None = None
    last: date | None = None
    picture: bool = False


class Tightest(Record):
    """When money is tightest, and what makes it so."""


class WhatMovesCash(Record):
    """What would lift the lowest point most."""


# --- suppliers and orders -------------------------------------------------------------------


class WhoToBargain(Record):
    """Which suppliers a better rate can be asked of, and what it is worth."""


class ShowBrief(Record):
    """What to ask of a supplier, as text to paste."""

    supplier: str


class WriteEnquiry(Record):
    """A written enquiry to a supplier (a name as said, it may be new): items, quantities, wanted
    dates. `item`: for the goods of this item alone."""

    supplier: str
    item: str = ""


class NoteQuote(Record):
    """What a supplier (a name as said, it may be new) asks for an item or for goods named
    `name`; fields as in model.Offer. Every amount is in `currency` ("": it was not said)."""

    supplier: str
    item: str = ""
    name: str = ""
    price: Decimal | None = None
    currency: str = ""
    breaks: tuple[Break, ...] = ()
    minimum: int | None = None
    case_pack: int | None = None
    lead: Lead | None = None
    transit_days: int | None = None
    setup: Decimal | None = None
    carriage: Decimal | None = None
    quoted: date | None = None
    valid_until: date | None = None
    made_in: str = ""
    grams: int | None = None
    mm: tuple[int, int, int] | None = None


class CompareQuotes(Record):
    """Compare what suppliers (ids; none: all who quoted) ask for an item."""

    item: str
    suppliers: tuple[str, ...] = ()


class TakeQuote(Record):
    """Buy an item by a quote."""

    offer: str
    item: str
    sure: bool = False


class SetTerms(Record):
    """Terms of a supplier (a name as said); fields as in model.Supplier. `spend`: one more of its
    discounts for a year's spend."""

    supplier: str
    net_days: int | None = None
    end_of_month: bool | None = None
    early_percent: Decimal | None = None
    early_days: int | None = None
    currency: str | None = None
    minimum_value: Decimal | None = None
    carriage: Decimal | None = None
    free_from: Decimal | None = None
    duty: Decimal | None = None
    spend: Spend | None = None


class WorthOfTerms(Record):
    """What paying a supplier early is worth a year."""

    supplier: str


class WriteOrder(Record):
    """Write a purchase order for a supplier, of all that must be ordered next (`items` empty) or
    of these. `sure`: it was shown."""

    supplier: str
    items: tuple[str, ...] = ()
    sure: bool = False


class ShowOrder(Record):
    """An order: in short, as pages to send, or as text to paste."""

    order: str
    form: Literal["short", "page", "text"] = "short"


class ListOrders(Record):
    """The orders that were written, the newest first."""

    supplier: str = ""


class ReviseOrder(Record):
    """Change the quantity or price of one line of an order (quantity 0: take it out)."""

    order: str
    item: str
    quantity: int | None = None
    price: Decimal | None = None


class OrderSent(Record):
    """The order went to its supplier: its items are ordered."""

    order: str
    on: date | None = None


class DropOrder(Record):
    """The order is withdrawn; its number is not used again."""

    order: str


OrderRequest = (
    CountSubscribers
    | SetFlow
    | NoteGroup
    | DropGroup
    | NoteCohort
    | ShowCounts
    | HowMany
    | ShowLots
    | ChangeBooks
    | ShowBooks
    | SetRate
    | ShowRates
    | SetPostage
    | DropPostage
    | ShowPostage
    | ShowCosts
    | Cheaper
    | ShowCash
    | Tightest
    | WhatMovesCash
    | WhoToBargain
    | ShowBrief
    | WriteEnquiry
    | NoteQuote
    | CompareQuotes
    | TakeQuote
    | SetTerms
    | WorthOfTerms
    | WriteOrder
    | ShowOrder
    | ListOrders
    | ReviseOrder
    | OrderSent
    | DropOrder
)

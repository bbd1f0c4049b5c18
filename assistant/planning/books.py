"""What a shop reckons with: counts of subscribers, rates, postage, orders, its own figures.

Knows: the fields of these records. Must not know: how a number follows from them. Invariants:
those of model.py, through which all of these are known; a percentage is 0..100, never a fraction;
an amount without a currency of its own is in the shop's.
"""

from datetime import date
from decimal import Decimal
from typing import Literal

from assistant.planning.records import Record

Size = tuple[int, int, int]  # millimetres


class Break(Record):
    """From so many pieces of one order on, each piece costs `price` (all of them, not only those
    above). Breaks are kept by rising quantity."""

    quantity: int
    price: Decimal


class Spend(Record):
    """From so much bought in twelve months on, a supplier takes `percent` off."""

    amount: Decimal
    percent: Decimal


class Books(Record, tag="books"):
    """The shop's own figures for numbers and money, one record; None is the house's default, or
    not known where the house has none.

    Numbers: `confidence` percent with which a box shall not run short; `short_cost` what one box
    short costs, `resale` percent of a leftover's cost that can still be had for it: these two
    give the confidence where she names none. `damage` percent of pieces that arrive unusable.
    `joins` and `churn` (percent) a month as told, else learned from the counts. Lots: `storage`
    for a piece a month, `interest` percent a year on money tied up, `order_cost` her own cost of
    one more order.

    Costs of a box: `packaging`, `card`; `packaging_grams` of an empty parcel, `parcel_mm` its
    outside; `fee_percent` and `fee_each` of a payment. `tax` percent is contained in her price,
    and what she pays at import comes back to her; `import_tax` percent is due on goods from
    abroad. Cash: `bank` on the day `bank_on`; renewals are charged on day `charge_day` of the
    month and paid out `payout_days` later; `overhead` a month for all that is no box.
    """

    id: str = "books"
    confidence: Decimal | None = None
    short_cost: Decimal | None = None
    resale: Decimal | None = None
    damage: Decimal | None = None
    joins: Decimal | None = None
    churn: Decimal | None = None
    storage: Decimal | None = None
    interest: Decimal | None = None
    order_cost: Decimal | None = None
    packaging: Decimal | None = None
    card: Decimal | None = None
    packaging_grams: int | None = None
    parcel_mm: Size | None = None
    fee_percent: Decimal | None = None
    fee_each: Decimal | None = None
    tax: Decimal | None = None
    import_tax: Decimal | None = None
    bank: Decimal | None = None
    bank_on: date | None = None
    charge_day: int | None = None
    payout_days: int | None = None
    overhead: Decimal | None = None
    deliver_to: str = ""  # address of deliveries, lines parted by commas


class Count(Record, tag="count"):
    """Subscribers counted on a day; `id` is the day, so the last count of a day holds."""

    id: str
    on: date
    subscribers: int


class Cohort(Record, tag="cohort"):
    """Of those who joined in a month (`joined`, "2027-01"), so many were `left` on a day."""

    id: str  # `<joined>/<on>`
    joined: str
    number: int
    left: int
    on: date


GroupKind = Literal["skip", "pause", "gift", "prepaid", "one-off"]


class Group(Record, tag="group"):
    """Subscribers, or boxes, who are not as the others.

    "skip": so many skip box `first`. "pause": they get nothing from `first` to before `last` (""
    is open). "gift" and "prepaid": they are in the count, and their terms end with box `last`;
    `renew` percent stay on. "one-off": boxes of `first` sold singly.
    """

    id: str
    group: GroupKind
    number: int
    first: str = ""  # Box.id
    last: str = ""
    renew: Decimal | None = None


class Rate(Record, tag="rate"):
    """What one unit of a currency costs in the shop's, from a day on. `id`: `EUR/2027-01-05`."""

    id: str
    currency: str
    on: date
    rate: Decimal


class Band(Record):
    """Postage of one parcel up to `grams` and within `mm` (None: any size)."""

    grams: int
    price: Decimal
    mm: Size | None = None


class Tariff(Record, tag="tariff"):
    """What one postal or carrier's service charges, from a day on; the owner's own table.

    `divisor` (cubic centimetres a kilogram) gives the dimensional weight, None where the service
    has none; each side is first rounded up to whole `side_mm`, the billed weight up to whole
    `step_grams`; below `above_cm3` the actual weight alone counts. `id`: `<service>/<since>`.
    """

    id: str
    service: str
    since: date
    bands: tuple[Band, ...] = ()
    divisor: Decimal | None = None
    side_mm: int = 1
    step_grams: int = 1
    above_cm3: int = 0


class OrderLine(Record):
    """One item of an order: pieces, and the price of one in the order's currency; `shares` are
    pieces of each option (size, colour), `setup` what is charged once. `own_price`: agreed for
    this order, so it follows no breaks."""

    item: str  # Item.id
    name: str
    quantity: int
    unit_price: Decimal | None = None
    shares: tuple[tuple[str, int], ...] = ()
    box: str = ""  # Box.id for which it was ordered
    setup: Decimal | None = None
    own_price: bool = False


class Order(Record, tag="order"):
    """A purchase order. `id` is its number as written, `2027-004`; a `revision` keeps the number.
    `in_hand` is the day by which everything must have arrived; `sent` the day she sent it, None
    while it, or its last revision, has not gone yet. `carriage` None: not known."""

    id: str
    supplier: str
    on: date
    lines: tuple[OrderLine, ...]
    revision: int = 0
    currency: str = ""
    carriage: Decimal | None = None
    in_hand: date | None = None
    deliver_to: str = ""
    terms: str = ""
    sent: date | None = None
    dropped: bool = False

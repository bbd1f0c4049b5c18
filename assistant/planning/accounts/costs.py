"""What a box costs, what it earns, and how that stands to its target.

Knows: landed items, packaging, card, postage, payment fees, the price of a box. Must not know:
words, what would be cheaper (cheaper.py). Invariants: nothing is rounded here; what is not known is
named and left out of the sums, never taken for nothing; the target is for the items of a box alone,
as everywhere.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import ROUND_CEILING, Decimal

from assistant.planning.accounts.landed import (
    HUNDRED,
    NOTHING,
    Landed,
    all_landed,
    books_of,
    landed,
)
from assistant.planning.accounts.postage import Parcel, cheapest
from assistant.planning.calendars import cached_by_identity
from assistant.planning.changes import profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Books, Item, Record, Shop
from assistant.planning.numbers.subscribers import expected, forecast
from assistant.planning.shipping import shipped

# What can be unknown of a box beside its items.
PACKAGING, CARD, POSTAGE, FEES = "packaging", "card", "postage", "fees"
BOX_PRICE, WEIGHT = "box price", "weight"
NO_WEIGHT = "no weight"  # why a box could not be posted, beside those of postage.py


class ItemCost(Record):
    """What one item adds to a box: `units` pieces of it, in the shop's currency; None where its
    price or rate is not known."""

    item: str
    units: int
    cost: Decimal | None
    landed: Landed


class BoxCost(Record):
    """What one box of a month costs, in the shop's currency.

    `boxes` go out, as expected. `goods` are the items landed, the dearest first in `items`. `net`
    is the price without the tax that it contains. `over` is by how much the goods are over the
    target, below zero where something is left. `parcel` is how it is posted, or why that is not
    known (postage.py). `unknown` are pairs of what is not known and of which item (Item.id, "" for
    the box); `cost` and `margin` are without these.
    """

    box: str
    boxes: int = 0
    items: tuple[ItemCost, ...] = ()
    goods: Decimal = NOTHING
    packaging: Decimal = NOTHING
    card: Decimal = NOTHING
    postage: Decimal = NOTHING
    fees: Decimal = NOTHING
    parcel: Parcel | str = ""
    price: Decimal | None = None
    net: Decimal | None = None
    target: Decimal | None = None
    unknown: tuple[tuple[str, str], ...] = ()

    @property
    def cost(self) -> Decimal:
        """All that is known of one box's cost."""
        return self.goods + self.packaging + self.card + self.postage + self.fees

    @property
    def margin(self) -> Decimal | None:
        """What one box leaves of its price, None without a price."""
        return None if self.net is None else self.net - self.cost

    @property
    def over(self) -> Decimal | None:
        """By how much the items are over the target, None without a target."""
        return None if self.target is None else self.goods - self.target


class Total(Record):
    """Several boxes together: `boxes` parcels of `planned` boxes, what they cost and earn.
    `margin` is None where the price is not known. `whole`: nothing is unknown."""

    planned: int
    boxes: int
    cost: Decimal
    margin: Decimal | None
    whole: bool


def box_cost(shop: Shop, box_id: str, today: date) -> BoxCost:
    """Return what a box costs; one that the plan does not have costs its packaging and postage."""
    known = next((one for one in costs(shop, today) if one.box == box_id), None)
    if known is not None:
        return known
    inside = [item for item in shop.items if item.box == box_id]
    found = [(item, landed(shop, item.id, today)) for item in inside]
    return _Reckoning(shop, today).of(box_id, round(expected(shop, box_id, today).mean), found)


@cached_by_identity(4)
def costs(shop: Shop, today: date) -> tuple[BoxCost, ...]:
    """Return what each box still to ship costs, in the order of the boxes."""
    reckoning, every = _Reckoning(shop, today), all_landed(shop, today)
    counts = {one.box: round(one.mean) for one in forecast(shop, today)}
    inside: dict[str, list[tuple[Item, Landed]]] = {}
    for item in shop.items:
        if item.id in every:
            inside.setdefault(item.box, []).append((item, every[item.id]))
    coming = sorted(box.id for box in shop.boxes if not shipped(shop, box.id, today))
    return tuple(reckoning.of(id, counts.get(id, 0), inside.get(id, ())) for id in coming)


def total(found: Iterable[BoxCost]) -> Total:
    """Add up boxes, each as often as it goes out."""
    every = tuple(found)
    cost = sum((one.cost * one.boxes for one in every), NOTHING)
    margins = [None if one.margin is None else one.margin * one.boxes for one in every]
    known = [one for one in margins if one is not None]
    return Total(
        planned=len(every),
        boxes=sum(one.boxes for one in every),
        cost=cost,
        margin=sum(known, NOTHING) if len(known) == len(every) and every else None,
        whole=not any(one.unknown for one in every),
    )


def break_even(fixed: Decimal, price: Decimal, cost: Decimal) -> int | None:
    """Return how many units carry a fixed cost, each sold at a price and costing so much; None
    where none ever do. Formula: fixed cost by the margin of one, rounded up to a whole unit."""
    left = price - cost
    return int((fixed / left).to_integral_value(ROUND_CEILING)) if left > 0 else None


def net_of_tax(price: Decimal, tax: Decimal | None) -> Decimal:
    """Return a price without the tax (percent of the net price) that it contains."""
    return price if tax is None else price * HUNDRED / (HUNDRED + tax)


class _Reckoning:
    """All of a shop that the cost of a box follows from."""

    def __init__(self, shop: Shop, today: date) -> None:
        self.shop, self.today = shop, today
        self.profile, self.books = profile_of(shop), books_of(shop)

    def of(self, box: str, boxes: int, inside: Iterable[tuple[Item, Landed]]) -> BoxCost:
        """What a box with these items costs."""
        pairs = tuple(inside)
        items = [_item_cost(item, one) for item, one in pairs]
        items.sort(key=lambda one: (one.cost is None, -(one.cost or NOTHING)))
        price, books = self.profile.price, self.books
        unweighed = [item.id for item, _ in pairs if item.grams is None]
        parcel = self._parcel(box, [item for item, _ in pairs])
        return BoxCost(
            box=box,
            boxes=boxes,
            items=tuple(items),
            goods=sum((one.cost for one in items if one.cost is not None), NOTHING),
            packaging=books.packaging or NOTHING,
            card=books.card or NOTHING,
            postage=parcel.price if isinstance(parcel, Parcel) else NOTHING,
            fees=_fees(books, price),
            parcel=parcel,
            price=price,
            net=None if price is None else net_of_tax(price, books.tax),
            target=self.profile.target,
            unknown=(*_of_items(items), *_of_box(books, price, parcel, unweighed)),
        )

    def _parcel(self, box: str, items: Sequence[Item]) -> Parcel | str:
        """How a box is posted, as far as the weights of its items are known."""
        weighed = [item.grams * item.units for item in items if item.grams is not None]
        whole = sum(weighed) + (self.books.packaging_grams or 0)
        if not whole or (items and not weighed):
            return NO_WEIGHT
        on = ship_date(self.shop, box, self.today) or self.today
        return cheapest(self.shop, whole, self.books.parcel_mm, on)


def _item_cost(item: Item, found: Landed) -> ItemCost:
    cost = None if found.each is None else found.each * item.units
    return ItemCost(item.id, item.units, cost, found)


def _fees(books: Books, price: Decimal | None) -> Decimal:
    """What being paid costs, of one box."""
    return (price or NOTHING) * (books.fee_percent or NOTHING) / HUNDRED + (
        books.fee_each or NOTHING
    )


def _of_items(items: Iterable[ItemCost]) -> Iterator[tuple[str, str]]:
    return ((code, one.item) for one in items for code in one.landed.unknown)


def _of_box(
    books: Books, price: Decimal | None, parcel: Parcel | str, unweighed: Iterable[str]
) -> Iterator[tuple[str, str]]:
    """What is not known beside the cost of the items."""
    lacks = {
        PACKAGING: books.packaging is None,
        CARD: books.card is None,
        POSTAGE: isinstance(parcel, str),
        FEES: books.fee_percent is None and books.fee_each is None,
        BOX_PRICE: price is None,
    }
    yield from ((code, "") for code, lacking in lacks.items() if lacking)
    if isinstance(parcel, Parcel):
        yield from ((WEIGHT, id) for id in unweighed)
        if books.packaging_grams is None:
            yield WEIGHT, ""

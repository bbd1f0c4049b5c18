"""What each supplier supplies in the coming twelve months, and could.

Knows: the items of those months, what is to be ordered of them, offers that are kept. Must not
know: what can be asked of a supplier (bargains.py), words. Invariants: what is ordered is told
apart from what is not; what has no price or no rate is named and left out of a sum, never taken for
nothing; goods are the same by supplier and name, whatever the box.
"""

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from decimal import Decimal

from assistant.planning.accounts.money import in_own
from assistant.planning.changes import profile_of
from assistant.planning.model import Break, Item, Offer, Record, Shop, Supplier
from assistant.planning.numbers.buying import price_at
from assistant.planning.numbers.quantity import Amount, amounts
from assistant.planning.shipping import is_ordered, shipped
from assistant.planning.year.recurring import plain

NOTHING = Decimal(0)


class Goods(Record):
    """The same goods of one supplier in one box or several: pieces and money of the year.

    `boxes` pairs each box (id) with its pieces. `spend` is in `currency` ("" the shop's), None
    without a price; `price` is the highest that holds for an order of one box. `breaks` are those
    of the items, else of the supplier's offer at the same price."""

    name: str
    items: tuple[str, ...]
    boxes: tuple[tuple[str, int], ...]
    currency: str = ""
    spend: Decimal | None = None
    price: Decimal | None = None
    breaks: tuple[Break, ...] = ()

    @property
    def pieces(self) -> int:
        """Pieces of all boxes together."""
        return sum(pieces for _, pieces in self.boxes)


class Quarter(Record):
    """Pieces and money of one quarter (1..4) of a year, by the month of the box."""

    year: int
    quarter: int
    pieces: int
    spend: Decimal


class Could(Record):
    """An item of another supplier that this one could supply, by an offer that is kept.

    `value` is what would be spent on it here, in this supplier's currency; `saves` the difference
    in price in the shop's, negative where it costs more here; None without a price or a rate."""

    item: str
    offer: str
    value: Decimal | None = None
    saves: Decimal | None = None


class Supply(Record):
    """What one supplier supplies in the coming twelve months and is not ordered yet.

    `spend` is in `currency` (ISO 4217), of its `goods`, by `quarters`; `own` the same in the
    shop's, None without a rate. `ordered` is what is ordered already in those months. `unpriced`
    names what has no price. `could`: what others supply and this one could.
    """

    supplier: str
    goods: tuple[Goods, ...] = ()
    boxes: tuple[str, ...] = ()
    pieces: int = 0
    currency: str = ""
    spend: Decimal = NOTHING
    own: Decimal | None = None
    ordered: Decimal = NOTHING
    unpriced: tuple[str, ...] = ()
    quarters: tuple[Quarter, ...] = ()
    could: tuple[Could, ...] = ()


class Year:
    """The coming twelve months of a shop, looked up once."""

    def __init__(self, shop: Shop, today: date) -> None:
        self.shop, self.today = shop, today
        self.currency = profile_of(shop).currency
        self.amounts = {one.item: one for one in amounts(shop, today)}
        end = f"{today.year + 1}-{today:%m}"
        gone = {box.id for box in shop.boxes if shipped(shop, box.id, today)}
        coming = [one for one in shop.items if one.box < end and one.box not in gone]
        self.items = [one for one in coming if one.id in self.amounts]
        self.ordered = {one.id for one in self.items if is_ordered(shop, one, today)}

    def still(self, supplier: str) -> list[Item]:
        """The items of a supplier (id) that are not ordered yet, in the order of the boxes."""
        every = (i for i in self.items if i.supplier == supplier and i.id not in self.ordered)
        return sorted(every, key=lambda one: (one.box, one.id))

    def supply(self, supplier: Supplier) -> Supply:
        """What one supplier supplies."""
        still = self.still(supplier.id)
        theirs = [one for one in self.items if one.supplier == supplier.id]
        currency = supplier.currency or next((i.currency for i in theirs if i.currency), "")
        spends = {one.id: self.spend(one, currency) for one in theirs}
        known = {id: spend for id, spend in spends.items() if spend is not None}
        spend = sum((known.get(one.id, NOTHING) for one in still), NOTHING)
        goods = self.goods(still)
        return Supply(
            supplier=supplier.id,
            goods=goods,
            boxes=tuple(dict.fromkeys(one.box for one in still)),
            pieces=sum(one.pieces for one in goods),
            currency=currency or self.currency,
            spend=spend,
            own=self.own(spend, currency),
            ordered=sum((known[id] for id in known if id in self.ordered), NOTHING),
            unpriced=tuple(one.name for one in still if one.id not in known),
            quarters=self.quarters(still, known),
            could=tuple(self.could(supplier)),
        )

    def order(self, item: Item) -> int:
        """The pieces to order of an item."""
        return self.amounts[item.id].order

    def need(self, item: Item) -> int:
        """The pieces that are needed of an item, before anybody's minimum and cases."""
        found = self.amounts[item.id]
        return found.order if found.own else found.need

    def spend(self, item: Item, currency: str) -> Decimal | None:
        """What an item's pieces cost, in a currency; None without a price or a rate."""
        spend = self.amounts[item.id].spend
        return None if spend is None else self.turned(spend, item.currency, currency)

    def own(self, amount: Decimal, currency: str) -> Decimal | None:
        """An amount in the shop's currency, None without a rate."""
        return in_own(self.shop, amount, currency, self.today)

    def turned(self, amount: Decimal, source: str, target: str) -> Decimal | None:
        """An amount in another currency, by way of the shop's; None without the rates."""
        if (source or self.currency) == (target or self.currency):
            return amount
        own, one = self.own(amount, source), self.own(Decimal(1), target)
        return None if own is None or not one else own / one

    def goods(self, items: Iterable[Item]) -> tuple[Goods, ...]:
        """Items by their goods, those that take the most pieces first."""
        alike: dict[str, list[Item]] = {}
        for item in items:
            alike.setdefault(plain(item.name), []).append(item)
        found = [_goods(some, self.amounts, self.shop.offers) for some in alike.values()]
        return tuple(sorted(found, key=lambda one: (-one.pieces, one.name)))

    def quarters(self, items: Iterable[Item], known: Mapping[str, Decimal]) -> tuple[Quarter, ...]:
        """Pieces and money of items by quarter."""
        sums: dict[tuple[int, int], tuple[int, Decimal]] = {}
        for item in items:
            key = int(item.box[:4]), (int(item.box[5:7]) + 2) // 3
            pieces, spend = sums.get(key, (0, NOTHING))
            sums[key] = pieces + self.order(item), spend + known.get(item.id, NOTHING)
        return tuple(Quarter(*key, *sums[key]) for key in sorted(sums))

    def could(self, supplier: Supplier) -> Iterator[Could]:
        """Items of others, not ordered yet, for which this one has an offer: of the same name, or
        of the same kind, as a recurring type has."""
        theirs = [one for one in self.shop.offers if one.supplier == supplier.id]
        for item in self.items if theirs else ():
            if item.supplier == supplier.id or item.id in self.ordered:
                continue
            if (offer := _offer_for(item, theirs)) is not None:
                yield self._could(item, offer, supplier)

    def _could(self, item: Item, offer: Offer, supplier: Supplier) -> Could:
        count = self.order(item)
        price, now = price_at(offer, count), self.spend(item, "")
        if price is None:
            return Could(item.id, offer.id)
        theirs = self.own(price * count, offer.currency)
        saves = None if theirs is None or now is None else now - theirs
        value = self.turned(price * count, offer.currency, supplier.currency or offer.currency)
        return Could(item.id, offer.id, value, saves)


def _goods(items: list[Item], known: Mapping[str, Amount], offers: Iterable[Offer]) -> Goods:
    """Items of the same goods as one; money only where all have a price in one currency."""
    spends = [one for item in items if (one := known[item.id].spend) is not None]
    prices = [one for item in items if (one := known[item.id].price) is not None]
    whole = len(spends) == len(items) and len({one.currency for one in items}) == 1
    return Goods(
        name=items[0].name,
        items=tuple(one.id for one in items),
        boxes=tuple((one.box, known[one.id].order) for one in items),
        currency=items[0].currency,
        spend=sum(spends, NOTHING) if whole else None,
        price=max(prices) if whole and prices else None,
        breaks=max((one.breaks for one in items), key=len) or _offered(items[0], offers),
    )


def _offered(item: Item, offers: Iterable[Offer]) -> tuple[Break, ...]:
    """The breaks of its supplier's offer for an item's goods, at the price that the item has."""
    own = item.supplier, item.unit_cost, item.currency, plain(item.name)
    same = (o for o in offers if (o.supplier, o.price, o.currency, plain(o.name)) == own)
    return next((one.breaks for one in same), ())


def _offer_for(item: Item, offers: Iterable[Offer]) -> Offer | None:
    """The offer for an item's goods: of its name, else of its kind, the cheapest of several."""
    every = sorted(offers, key=lambda one: (one.price is None, one.price or NOTHING, one.id))
    named = (one for one in every if plain(one.name) == plain(item.name))
    kind = (one for one in every if item.type and one.type and plain(one.type) == plain(item.type))
    return next(named, next(kind, None))

"""One lot or several: the same goods in several boxes, bought together or apart.

Knows: which items are the same goods, what each box needs, what an order of them costs. Must not
know: words, how lots are chosen (lot_sizes.py). Invariants: what is ordered or sent already is left
out; an amount whose rate, price or charge is not known is named in `unknown`, never taken for zero
in silence; holding counts the days between the dates on which things must be in hand.

One order of a supplier serves a box: where other goods of that supplier are bought for the same
box, its carriage and the shop's own cost of an order are paid anyway, and are no reason to buy
together (common practice, no source). Everything is in the shop's currency.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.planning.accounts.money import in_own
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import by_key, deadlines, ship_date
from assistant.planning.model import Books, Break, Item, Record, Shop, Supplier
from assistant.planning.numbers.lot_sizes import Lots, Period, Terms, at_once, cheapest, one_each
from assistant.planning.numbers.quantity import amount, netted
from assistant.planning.numbers.steady import batches
from assistant.planning.shipping import ORDER, is_ordered, shipped
from assistant.planning.year.recurring import plain

ARRIVED = "stock"  # the stage at which things must be in hand
YEAR, MONTHS = 365, 12
STEADY = 3  # boxes from which on a need may go on and on

# What may be missing from the sums: see `LotPlan.unknown`.
PRICE, STORAGE, RATE = "price", "storage", "rate"


class LotOrder(Record):
    """One order: to be placed by `by`, in hand by `arrives`, for these items (ids, the first of
    which it is bought for); `price` of one piece, None where it is not known. `wasted` pieces would
    be too old for the box after."""

    by: date
    arrives: date
    items: tuple[str, ...]
    pieces: int
    price: Decimal | None
    wasted: int = 0


class Way(Record):
    """One way to buy, and its cost: `goods` + `fixed` (set-up, carriage, the shop's own cost of an
    order) + `stock` (storage and money tied up) = `cost`; `left` pieces are over after the last
    box."""

    orders: tuple[LotOrder, ...]
    goods: Decimal
    fixed: Decimal
    stock: Decimal
    cost: Decimal
    left: int = 0


class LotPlan(Record):
    """The cheapest way to buy goods of several boxes, beside the two plain ones.

    `each`: box by box, what is left over of one serving the next; `single`: one order for all, None
    where it would not keep so long. `off`: how much cheaper another way could be at most, 0 where
    this is proved the cheapest. `terms_of`: the box whose price and terms were taken for all, ""
    where they are the same. `shared`: boxes for which the supplier gets an order of other goods
    anyway. `storage` of a piece a month and `interest` percent a year are what was counted.
    `steady`: about how many at a time would be cheapest if the need of these boxes went on and on.
    `unknown` are the codes above.
    """

    name: str
    currency: str
    items: tuple[str, ...]
    boxes: tuple[str, ...]
    needs: tuple[int, ...]
    best: Way
    each: Way
    single: Way | None
    off: Decimal = Decimal(0)
    terms_of: str = ""
    shared: tuple[str, ...] = ()
    storage: Decimal = Decimal(0)
    interest: Decimal = Decimal(0)
    steady: int | None = None
    unknown: tuple[str, ...] = ()

    @property
    def saving(self) -> Decimal:
        """What the cheapest way saves over buying box by box."""
        return self.each.cost - self.best.cost


def alike(shop: Shop, item: Item, today: date) -> tuple[Item, ...]:
    """Return the items of the boxes still to ship that are the same goods, not yet ordered, by
    their boxes: of the same supplier and currency, of the same name and form."""
    found = (
        other
        for other in shop.items
        if (other.supplier, other.currency) == (item.supplier, item.currency)
        and (other.id == item.id or same_goods(other, item))
    )
    return tuple(sorted((one for one in found if _open(shop, one, today)), key=lambda one: one.box))


def goods_of(item: Item) -> tuple[str, str]:
    """Return what tells goods apart for a supplier, whatever box they are for."""
    return plain(item.name), plain(item.form)


def same_goods(one: Item, other: Item) -> bool:
    """Say whether two items are the same goods for a supplier."""
    return goods_of(one) == goods_of(other)


def _open(shop: Shop, item: Item, today: date) -> bool:
    return not shipped(shop, item.box, today) and not is_ordered(shop, item, today)


def one_or_several(shop: Shop, item_id: str, today: date) -> LotPlan | None:
    """Return how to buy an item that comes in several boxes. None where there is no such item, it
    is ordered, fewer than two boxes that are to come want it, or nothing is needed for them."""
    item = find(shop.items, item_id)
    if item is None or not _open(shop, item, today):
        return None
    dated = [(one, *days) for one in alike(shop, item, today) if (days := _days(shop, one, today))]
    dated.sort(key=lambda one: one[2])
    group = tuple(one[0] for one in dated)
    needs = _needs(shop, group, today)
    if sum(need > 0 for need in needs) < 2:
        return None
    reckoned = _Reckoning(shop, item, group, today)
    arrivals = [one[2] for one in dated]
    periods = reckoned.periods(needs, arrivals)
    return _plan(reckoned, dated, needs, periods)


def _days(shop: Shop, item: Item, today: date) -> tuple[date, date] | None:
    """By when an item must be ordered, and when it must be in hand."""
    found = by_key(deadlines(shop, today))
    order, arrived = found.get(f"{item.id}/{ORDER}"), found.get(f"{item.id}/{ARRIVED}")
    return None if order is None or arrived is None else (order.on, arrived.on)


def _needs(shop: Shop, group: Sequence[Item], today: date) -> tuple[int, ...]:
    """What each box still needs; what one box leaves of its stock serves the next."""
    gross = []
    for item in group:
        found = amount(shop, item.id, today)
        if found is None:
            gross.append(0)
        elif found.own:
            gross.append(found.order + (item.stock or 0))
        else:
            gross.append(found.need + found.stock)
    on_hand = sum(item.stock or 0 for item in group)
    return tuple(one.get for one in netted(gross, on_hand))


def _terms(item: Item) -> tuple[object, ...]:
    return item.unit_cost, item.breaks, item.minimum, item.case_pack, item.setup


class _Reckoning:
    """What buying these goods costs, in the shop's currency."""

    def __init__(self, shop: Shop, item: Item, group: tuple[Item, ...], today: date) -> None:
        self.shop, self.group, self.today = shop, group, today
        self.books = shop.books[0] if shop.books else Books()
        self.supplier = find(shop.suppliers, item.supplier) or Supplier(id="", name="")
        self.unknown: list[str] = []
        self.like = self._terms_of(item)
        self.storage = self.books.storage or Decimal(0)
        told = self.books.interest
        self.interest = shop.house.interest if told is None else told
        if self.books.storage is None:
            self._lacks(STORAGE)
        self.shared = tuple(one.box for one in group if self._bought_with_others(one))
        self.terms = self._terms()

    def _terms_of(self, item: Item) -> Item:
        """The item by whose terms all are bought: the one asked about, if it has a price."""
        priced = (one for one in (item, *self.group) if one.unit_cost is not None)
        return next(priced, item)

    def terms_of(self) -> str:
        """The box whose terms were taken, "" where the others have the same or none."""
        told = {_terms(one) for one in self.group if one.unit_cost is not None}
        return self.like.box if len(told) > 1 else ""

    def _own(self, amount: Decimal, currency: str) -> Decimal:
        """An amount in the shop's currency; one without a rate counts nothing, and is named."""
        found = in_own(self.shop, amount, currency, self.today)
        if found is None:
            self._lacks(RATE)
        return Decimal(0) if found is None else found

    def _lacks(self, code: str) -> None:
        if code not in self.unknown:
            self.unknown.append(code)

    def _bought_with_others(self, item: Item) -> bool:
        """Whether an order goes to the supplier for this box anyway."""
        return bool(item.supplier) and any(
            other.box == item.box
            and other.supplier == item.supplier
            and other not in self.group
            and _open(self.shop, other, self.today)
            for other in self.shop.items
        )

    def _terms(self) -> Terms:
        like, supplier = self.like, self.supplier
        if like.unit_cost is None:
            self._lacks(PRICE)
        free = supplier.free_from
        breaks = (Break(one.quantity, self._own(one.price, like.currency)) for one in like.breaks)
        return Terms(
            price=self._own(like.unit_cost or Decimal(0), like.currency),
            breaks=tuple(breaks) if like.unit_cost is not None else (),
            minimum=max(1, like.minimum or 1),
            case=max(1, like.case_pack or 1),
            free_from=None if free is None else self._own(free, supplier.currency),
        )

    def periods(self, needs: Sequence[int], arrivals: Sequence[date]) -> tuple[Period, ...]:
        """A period for each item, with what an order for it costs and what keeping things until
        the next one does."""
        carriage = self._own(self.supplier.carriage or Decimal(0), self.supplier.currency)
        setup = self._own(self.like.setup or Decimal(0), self.like.currency)
        later = (*arrivals[1:], arrivals[-1])
        rows = zip(self.group, needs, arrivals, later, strict=True)
        found = []
        for item, need, on, until in rows:
            days = Decimal((until - on).days) / YEAR
            alone = item.box not in self.shared
            found.append(
                Period(
                    need=need,
                    setup=setup + (self.books.order_cost or 0 if alone else 0),
                    carriage=carriage if alone else Decimal(0),
                    hold=self.storage * MONTHS * days,
                    share=self.interest / 100 * days,
                    last=self._keeps_to(on),
                )
            )
        return tuple(found)

    def _keeps_to(self, arrival: date) -> int | None:
        """The last item of the row that a lot is still fit for when its box ships."""
        keeps = min((one.keeps_days for one in self.group if one.keeps_days), default=None)
        if keeps is None:
            return None
        ships = [ship_date(self.shop, one.box, self.today) or arrival for one in self.group]
        own = sum(ship <= arrival for ship in ships)  # boxes gone when it comes
        fit = sum((ship - arrival).days <= keeps for ship in ships)
        return max(own, fit - 1)

    def steady(self, needs: Sequence[int], arrivals: Sequence[date]) -> int | None:
        """About how many pieces at a time are cheapest if the need goes on as in these boxes."""
        days = (arrivals[-1] - arrivals[0]).days
        most = max(self.periods(needs, arrivals), key=lambda one: one.setup + one.carriage)
        once = most.setup + most.carriage
        if len(needs) < STEADY or not days or not once or not (self.storage or self.interest):
            return None
        year = Decimal(sum(needs[:-1]) * YEAR) / days
        found = batches(
            *(year, once, self.terms.price, self.terms.breaks),
            storage=self.storage * MONTHS,
            interest=self.interest,
        )
        return round(found[0].quantity) if found else None


def _plan(
    reckoned: _Reckoning,
    dated: Sequence[tuple[Item, date, date]],
    needs: tuple[int, ...],
    periods: tuple[Period, ...],
) -> LotPlan:
    terms = reckoned.terms
    best, single = cheapest(periods, terms), at_once(periods, terms)
    known = reckoned.like.unit_cost is not None and RATE not in reckoned.unknown
    return LotPlan(
        name=reckoned.like.name,
        currency=profile_of(reckoned.shop).currency,
        items=tuple(one.id for one in reckoned.group),
        boxes=tuple(one.box for one in reckoned.group),
        needs=needs,
        best=_way(best, dated, periods, known),
        each=_way(one_each(periods, terms), dated, periods, known),
        single=None if single is None else _way(single, dated, periods, known),
        off=best.cost - best.bound,
        terms_of=reckoned.terms_of(),
        shared=reckoned.shared,
        storage=reckoned.storage,
        interest=reckoned.interest,
        steady=reckoned.steady(needs, [one[2] for one in dated]) if known else None,
        unknown=tuple(reckoned.unknown),
    )


def _way(
    lots: Lots,
    dated: Sequence[tuple[Item, date, date]],
    periods: Iterable[Period],
    known: bool,
) -> Way:
    needed = [bool(one.need) for one in periods]
    orders = []
    for lot in lots.lots:
        served = range(lot.first, max(lot.first, lot.last) + 1)
        items = tuple(dated[at][0].id for at in served if at == lot.first or needed[at])
        _, by, arrives = dated[lot.first]
        price = lot.price if known else None
        orders.append(LotOrder(by, arrives, items, lot.pieces, price, lot.wasted))
    return Way(tuple(orders), lots.goods, lots.fixed, lots.stock, lots.cost, lots.left)

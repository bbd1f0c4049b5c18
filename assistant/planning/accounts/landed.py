"""What one piece of an item costs by the time it lies in a box.

Knows: the price at a quantity, carriage, duty, tax at import, set-up, rates, damage. Must not
know: words, what else a box costs (costs.py). Invariants: nothing is rounded here; what is not
known is named in `unknown` and left out, never taken for nothing; without a price or its rate
there is no cost at all.

All that an order costs is borne by the pieces of it that go into boxes: not by those that arrive
unusable, nor by those left over. Pieces on hand are reckoned like new ones. An order is all that
one supplier sells for one box; its carriage is shared by value. Duty is taken on goods, set-up and
carriage, tax at import on these and the duty; some countries reckon otherwise, and the customs
authority decides. All this: common practice, no source.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from msgspec.structs import replace

from assistant.planning.accounts.money import in_own
from assistant.planning.calendars import cached_by_identity
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import by_key, deadlines
from assistant.planning.model import Books, Item, Record, Shop, Supplier
from assistant.planning.numbers.quantity import MOST_DAMAGE, Amount, amount, amounts, price_at

# What can be unknown of an item's cost.
PRICE, RATE, COUNT = "price", "rate", "count"
CARRIAGE, DUTY, IMPORT_TAX = "carriage", "duty", "import tax"
GOODS, SETUP = "goods", "set-up"  # parts of a cost, beside some of these
NOTHING, HUNDRED = Decimal(0), Decimal(100)

# Goods pass between these without duty or tax at a border. Source: European Union, member states
# since 1 February 2020 (ISO 3166 codes).
UNION = frozenset((
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT",
    "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
))  # fmt: skip


class Landed(Record):
    """What an item costs. Money of the whole order in the shop's currency, but `price`: of one
    piece in `currency`, which costs `rate` of the shop's on the day `on` of the order.

    `quantity` pieces are ordered, `used` of them go into boxes, and `each` is what one of those
    costs. `carriage` is the item's share. `import_tax` is due at import; where it comes back
    (`tax_back`) it is no cost.
    """

    item: str
    quantity: int = 0
    used: Decimal = NOTHING
    currency: str = ""
    price: Decimal | None = None
    rate: Decimal | None = None
    on: date = date.min
    goods: Decimal = NOTHING
    carriage: Decimal = NOTHING
    setup: Decimal = NOTHING
    duty: Decimal = NOTHING
    import_tax: Decimal = NOTHING
    tax_back: bool = False
    each: Decimal | None = None
    unknown: tuple[str, ...] = ()

    @property
    def total(self) -> Decimal:
        """What the order's pieces of this item cost, all told."""
        tax = NOTHING if self.tax_back else self.import_tax
        return self.goods + self.carriage + self.setup + self.duty + tax


def landed(shop: Shop, item_id: str, today: date) -> Landed:
    """Return what an item costs, at the quantity that is to be ordered of it; of an item that is
    not there, that its price is not known."""
    found = all_landed(shop, today).get(item_id)
    if found is not None:
        return found
    item = find(shop.items, item_id)
    return Landed(item_id, unknown=(PRICE,)) if item is None else _desk(shop, today).of(item)


def landed_of(
    shop: Shop, item: Item, quantity: int, today: date, carriage: Decimal | None = None
) -> Landed:
    """Return what an item with these facts costs, so many pieces of it ordered, in place of the
    item of the same id. `carriage` is of the whole order, in the item's currency, where it is not
    the supplier's usual one."""
    return _desk(shop, today).of(item, quantity, carriage)


@cached_by_identity(4)
def all_landed(shop: Shop, today: date) -> Mapping[str, Landed]:
    """Return what each item of the boxes still to ship costs, by Item.id."""
    desk = _desk(shop, today)
    return {item.id: desk.of(item) for item in shop.items if item.id in desk.amounts}


def books_of(shop: Shop) -> Books:
    """Return the shop's own figures, or an empty record of a shop that told none."""
    return shop.books[0] if shop.books else Books()


def is_abroad(shop: Shop, supplier: Supplier | None) -> bool:
    """Say whether goods of a supplier pass a customs border."""
    own = profile_of(shop).country
    if supplier is None or supplier.country in ("", own):
        return False
    return not {own, supplier.country} <= UNION


class _Desk:
    """All of a shop that the cost of an item follows from, looked up once."""

    def __init__(self, shop: Shop, today: date) -> None:
        self.shop, self.today = shop, today
        self.books = books_of(shop)
        self.suppliers = {one.id: one for one in shop.suppliers}
        self.items = {one.id: one for one in shop.items}
        self.amounts = {one.item: one for one in amounts(shop, today)}
        self.due = by_key(deadlines(shop, today))
        self.rates: dict[tuple[str, date], Decimal | None] = {}
        self.goods = {item.id: self._goods(item) for item in shop.items if item.id in self.amounts}
        self.values: dict[tuple[str, str], Decimal] = {}
        for item in shop.items:
            order = item.box, item.supplier
            worth = self.goods.get(item.id, NOTHING)
            self.values[order] = self.values.get(order, NOTHING) + worth

    def of(
        self, item: Item, quantity: int | None = None, carriage: Decimal | None = None
    ) -> Landed:
        """What an item costs, at its own quantity or at another."""
        known = self.amounts.get(item.id) or amount(self.shop, item.id, self.today)
        if quantity is None:
            quantity = known.order if known else 0
        start = self._bought(item, quantity, known)
        missing = tuple(code for code in (PRICE, RATE) if getattr(start, code) is None)
        if missing:
            return replace(start, unknown=missing[:1])
        return _divided(self._with_extras(item, start, carriage), self._good(item), known)

    def _bought(self, item: Item, quantity: int, known: Amount | None) -> Landed:
        """The goods alone; a piece of them where none is to be ordered."""
        price = price_at(item, quantity)
        if price is None and known is not None and known.order == quantity:
            price = known.price
        on, pieces = self._ordered_on(item), quantity or 1
        rate = self._rate(item.currency, on)
        worth = NOTHING if price is None or rate is None else price * pieces * rate
        currency = item.currency or profile_of(self.shop).currency
        return Landed(item.id, quantity, NOTHING, currency, price, rate, on, worth)

    def _with_extras(self, item: Item, start: Landed, carriage: Decimal | None) -> Landed:
        """The same with all that comes on top of the goods, and what is not known of it."""
        supplier = self.suppliers.get(item.supplier)
        rate, unknown = start.rate or NOTHING, []
        setup = (item.setup or NOTHING) * rate
        fee = None if carriage is None else carriage * rate
        if fee is None and supplier is not None:
            fee = self._carriage(item, start, supplier)
        if not start.quantity and (setup or fee):  # shared among nobody knows how many
            setup = fee = NOTHING
            unknown.append(COUNT)
        if fee is None and supplier is not None:
            unknown.append(CARRIAGE)
        share = (fee or NOTHING) * self._share(item, start)
        value = start.goods + setup + share
        abroad = is_abroad(self.shop, supplier)
        duty = supplier.duty if abroad and supplier else NOTHING
        tax = self.books.import_tax if abroad else NOTHING
        back = self.books.tax is not None
        unknown += [DUTY] if duty is None else []
        unknown += [IMPORT_TAX] if tax is None and not back else []
        paid = value * (duty or NOTHING) / HUNDRED
        return replace(
            start,
            carriage=share,
            setup=setup,
            duty=paid,
            import_tax=(value + paid) * (tax or NOTHING) / HUNDRED,
            tax_back=back,
            unknown=tuple(unknown),
        )

    def _carriage(self, item: Item, start: Landed, supplier: Supplier) -> Decimal | None:
        """What a supplier asks for carrying the order, in the shop's currency."""
        rate = self._rate(supplier.currency, start.on)
        if supplier.carriage is None:
            return None
        if rate is None:
            return None if supplier.carriage else NOTHING
        free = supplier.free_from
        if free is not None and self._value(item, start) >= free * rate:
            return NOTHING
        return supplier.carriage * rate

    def _share(self, item: Item, start: Landed) -> Decimal:
        """The part of its order's value that an item is."""
        value = self._value(item, start)
        return start.goods / value if value else Decimal(1)

    def _value(self, item: Item, start: Landed) -> Decimal:
        """The value of all goods of an item's order."""
        rest = self.values.get((item.box, item.supplier), NOTHING)
        own = self.items.get(item.id) if item.id in self.goods else None
        if own is not None and (own.box, own.supplier) == (item.box, item.supplier):
            rest -= self.goods[item.id]
        return rest + start.goods

    def _goods(self, item: Item) -> Decimal:
        """The value of the pieces to be ordered, as far as it is known."""
        known = self.amounts[item.id]
        return self._bought(item, known.order, known).goods if known.order else NOTHING

    def _good(self, item: Item) -> Decimal:
        """The part of the pieces that arrives usable."""
        told = (item.damage, self.books.damage, self.shop.house.damage)
        damage = next(one for one in told if one is not None)
        return 1 - min(damage, MOST_DAMAGE) / HUNDRED

    def _ordered_on(self, item: Item) -> date:
        """The day of the order: its order-by date, today where that is past or not known."""
        due = self.due.get(f"{item.id}/order")
        return max(self.today, due.on) if due else self.today

    def _rate(self, currency: str, on: date) -> Decimal | None:
        key = currency, on
        if key not in self.rates:
            self.rates[key] = in_own(self.shop, Decimal(1), currency, on)
        return self.rates[key]


_desk = cached_by_identity(4)(_Desk)


def _divided(found: Landed, good: Decimal, known: Amount | None) -> Landed:
    """The cost of one piece that goes into a box."""
    pieces = (found.quantity or 1) * good
    wanted = Decimal(known.expected - known.stock) if known else NOTHING
    used = min(pieces, wanted) if found.quantity and wanted > 0 else pieces
    if used <= 0:
        return replace(found, unknown=(*found.unknown, COUNT))
    return replace(found, used=used, each=found.total / used)


def by_part(found: Landed) -> tuple[tuple[str, Decimal], ...]:
    """Return the parts of what an order costs as (part, amount in the shop's currency); parts of
    nothing are left out. They add up to `total`."""
    tax = NOTHING if found.tax_back else found.import_tax
    parts = (
        (GOODS, found.goods),
        (SETUP, found.setup),
        (CARRIAGE, found.carriage),
        (DUTY, found.duty),
        (IMPORT_TAX, tax),
    )
    return tuple((name, whole) for name, whole in parts if whole)

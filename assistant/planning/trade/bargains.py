"""What the year's orders could buy her: which suppliers to ask for a better rate, and for what.

Knows: what suppliers supply in twelve months (supplies.py), breaks, terms, discounts for a year's
spend. Must not know: words, what a supplier will say. Invariants: what is ordered cannot be
bargained for any more, but counts towards a year's spend; a worth is in the shop's currency and
worked out from numbers that stand in the plan, else it is None.

What can be asked for (common practice, no source): the price of the next break for all that a year
takes, the discount for a year's spend, carriage free, later payment, goods that suit her theme for
her alone. Money that stays with her longer is worth the interest of the books for those days, of
365 a year.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from assistant.planning.accounts.landed import books_of
from assistant.planning.changes import find
from assistant.planning.deadlines import by_key, deadlines
from assistant.planning.model import Item, Record, Shop, Spend, Supplier
from assistant.planning.trade.supplies import NOTHING, Could, Goods, Supply, Year
from assistant.planning.year.offers import shared, words_in

NEAR = Decimal("0.25")  # of a break's pieces: a year that falls short by no more may still ask
NET = 30  # days to pay that can be asked for: common practice, no source
HUNDRED, YEAR = Decimal(100), Decimal(365)

About = Literal["break", "spend", "rate", "carriage", "deposit", "net", "exclusive"]


class Ask(Record):
    """One thing to ask of a supplier. `worth` a year, in the shop's currency; None: not in money.

    "break": all `pieces` of `goods` at the `price` that holds from `quantity` on, instead of `was`;
    the year is `short` pieces of it (0: it reaches it). "spend": `percent` off from `amount` on,
    `lacks` of it (0: it is reached); `goods` of other suppliers would close the gap. "rate": a
    percent off all of it. "carriage": free on `orders` orders that pay `price` each; ordered
    together they would pay `amount`. "deposit": none instead of `percent`, `days` before dispatch.
    "net": pay `days` days after dispatch. "exclusive": `goods` of `boxes` (ids) for her alone.
    Prices and amounts are in the supplier's currency.
    """

    about: About
    worth: Decimal | None = None
    goods: tuple[str, ...] = ()
    boxes: tuple[str, ...] = ()
    pieces: int = 0
    quantity: int = 0
    short: int = 0
    price: Decimal | None = None
    was: Decimal | None = None
    amount: Decimal = NOTHING
    lacks: Decimal = NOTHING
    percent: Decimal = NOTHING
    orders: int = 0
    days: int = 0


class Bargain(Record):
    """What can be asked of one supplier: `asks` by worth, those without one last. `worth` is of all
    of them, each reckoned alone: of two discounts for a year's spend the better; a percent off
    ("rate") is a unit to reckon with and stands in no sum."""

    supply: Supply
    asks: tuple[Ask, ...] = ()
    worth: Decimal = NOTHING

    @property
    def supplier(self) -> str:
        """Supplier.id."""
        return self.supply.supplier


def bargains(shop: Shop, today: date) -> tuple[Bargain, ...]:
    """Return what can be asked of whom for the coming twelve months, the most worth first.

    A supplier is in it who supplies two boxes or more, who could by offers that are kept, or of
    whom something that is worth money can be asked.
    """
    desk = _Desk(shop, today)
    every = [desk.bargain(one) for one in shop.suppliers]
    able = [one for one in every if _boxes(desk.year, one.supply) > 1 or one.worth]
    return tuple(sorted(able, key=lambda o: (-o.worth, -(o.supply.own or NOTHING), o.supplier)))


def bargain_with(shop: Shop, supplier: str, today: date) -> Bargain | None:
    """Return what can be asked of one supplier (id), None where there is no such supplier."""
    known = find(shop.suppliers, supplier)
    return None if known is None else _Desk(shop, today).bargain(known)


def _boxes(year: Year, supply: Supply) -> int:
    """How many boxes a supplier supplies or could."""
    could = {item.box for one in supply.could if (item := find(year.items, one.item))}
    return len(could.union(supply.boxes))


class _Desk:
    """What all asks are worked out from, looked up once."""

    def __init__(self, shop: Shop, today: date) -> None:
        self.year = Year(shop, today)
        self.own = self.year.own
        self.due = by_key(deadlines(shop, today))
        self.themes = {box.id: words_in(box.theme) for box in shop.boxes}
        interest = books_of(shop).interest
        self.interest = shop.house.interest if interest is None else interest

    def bargain(self, supplier: Supplier) -> Bargain:
        """All that can be asked of one supplier."""
        supply, still = self.year.supply(supplier), self.year.still(supplier.id)
        asks = sorted(self.asks(supplier, supply, still), key=_by_worth)
        told = [one for one in asks if one.worth and one.about not in ("rate", "spend")]
        told += [one for one in asks if one.worth and one.about == "spend"][:1]
        worth = sum((one.worth for one in told if one.worth), NOTHING)
        return Bargain(supply, tuple(asks), worth)

    def asks(self, supplier: Supplier, supply: Supply, still: list[Item]) -> Iterator[Ask]:
        for goods in supply.goods:
            yield from self.of_break(goods)
        yield from self.of_spend(supplier, supply)
        yield from self.of_carriage(supplier, still)
        yield from self.of_payment(supplier, supply, still)
        yield from self.of_exclusive(still)
        if len(supply.boxes) > 1 and supply.own:
            worth = supply.own / HUNDRED
            yield Ask("rate", worth, percent=Decimal(1), amount=supply.spend)

    def of_break(self, goods: Goods) -> Iterator[Ask]:
        """The best break that the year's pieces reach and no order of one box does, else the next
        where they come near it."""
        if goods.spend is None or goods.price is None or len(goods.boxes) < 2:
            return
        dear, single, year = goods.price, max(n for _, n in goods.boxes), goods.pieces
        better = [one for one in goods.breaks if one.quantity > single and one.price < dear]
        reached = [one for one in better if one.quantity <= year]
        near = [one for one in better if one.quantity * (1 - NEAR) <= year]
        for at in (reached[-1:] or near[:1])[:1]:
            yield Ask(
                "break",
                self.own(goods.spend - at.price * year, goods.currency),
                goods=(goods.name,),
                boxes=tuple(box for box, _ in goods.boxes),
                pieces=year,
                quantity=at.quantity,
                short=max(at.quantity - year, 0),
                price=at.price,
                was=dear,
            )

    def of_spend(self, supplier: Supplier, supply: Supply) -> Iterator[Ask]:
        """The discount for a year's spend: the highest that is reached, and the next."""
        year = supply.spend + supply.ordered
        steps = sorted(supplier.spends, key=lambda one: one.amount)
        reached = [one for one in steps if one.amount <= year]
        if not supply.spend:
            return
        for step in reached[-1:]:
            gain = self.own(supply.spend * step.percent / HUNDRED, supplier.currency)
            yield Ask("spend", gain, amount=step.amount, percent=step.percent)
        for step in steps[len(reached) :][:1]:
            yield self.of_next_spend(supplier, supply, step, step.amount - year)

    def of_next_spend(self, supplier: Supplier, supply: Supply, step: Spend, lacks: Decimal) -> Ask:
        """A discount that the year falls short of. It is worth something only where goods of other
        suppliers would close the gap, after what those cost more."""
        moved = enough(supply.could, lacks)
        value = sum((one.value for one in moved if one.value), NOTHING)
        saved = sum((one.saves for one in moved if one.saves), NOTHING)
        gain = self.own((supply.spend + value) * step.percent / HUNDRED, supplier.currency)
        worth = gain + saved if gain is not None and moved else None
        pays = worth is not None and worth > 0
        names = [item.name for one in moved if (item := find(self.year.items, one.item))]
        return Ask(
            "spend",
            worth if pays else None,
            goods=tuple(dict.fromkeys(names)) if pays else (),
            amount=step.amount,
            lacks=lacks,
            percent=step.percent,
        )

    def of_carriage(self, supplier: Supplier, still: Iterable[Item]) -> Iterator[Ask]:
        """Carriage of the orders that pay it, an order for each box."""
        values: dict[str, Decimal] = {}
        for item in still:
            value = self.year.spend(item, supplier.currency) or NOTHING
            values[item.box] = values.get(item.box, NOTHING) + value
        each, free = supplier.carriage or NOTHING, supplier.free_from
        paid = [value for value in values.values() if free is None or value < free]
        if not paid or not each:
            return
        all_free = free is not None and sum(values.values(), NOTHING) >= free
        together = NOTHING if all_free else each
        worth = self.own(each * len(paid), supplier.currency)
        yield Ask("carriage", worth, orders=len(paid), amount=together, price=each)

    def of_payment(
        self, supplier: Supplier, supply: Supply, still: Iterable[Item]
    ) -> Iterator[Ask]:
        """Deposit and days to pay: the interest on the money that she would keep for longer."""
        if not supply.own:
            return
        percent = supplier.deposit_percent or NOTHING
        daily = self.interest / HUNDRED / YEAR
        if percent:
            days = self.longest_making(still)
            worth = supply.own * percent / HUNDRED * daily * days if days else None
            yield Ask("deposit", worth, percent=percent, days=days)
        later = NET - (supplier.net_days or 0)
        if later > 0:
            balance = supply.own * (HUNDRED - percent) / HUNDRED
            yield Ask("net", balance * daily * later, days=NET)

    def longest_making(self, items: Iterable[Item]) -> int:
        """The calendar days from order to dispatch, the longest of some items."""
        days = [0]
        for item in items:
            start, end = (self.due.get(f"{item.id}/{stage}") for stage in ("order", "dispatch"))
            if start and end:
                days.append((end.on - start.on).days)
        return max(days)

    def of_exclusive(self, still: Iterable[Item]) -> Iterator[Ask]:
        """Goods that stand out in their box, or share a word with its theme."""
        fit = [i for i in still if i.main or shared(self.themes.get(i.box, ()), i.name)]
        if fit:
            names = dict.fromkeys(one.name for one in fit)
            yield Ask("exclusive", goods=tuple(names), boxes=tuple(one.box for one in fit))


def enough(could: Sequence[Could], lacks: Decimal) -> tuple[Could, ...]:
    """Return goods of others whose value closes a gap, those that save most by value first; none
    where all of them together do not."""
    able = [one for one in could if one.value and one.saves is not None]
    able.sort(key=lambda one: (-(one.saves or NOTHING) / (one.value or 1), one.item))
    sums = NOTHING
    for place, one in enumerate(able, 1):
        sums += one.value or NOTHING
        if sums >= lacks:
            return tuple(able[:place])
    return ()


def _by_worth(one: Ask) -> tuple[bool, Decimal, str]:
    return one.worth is None, -(one.worth or NOTHING), one.about

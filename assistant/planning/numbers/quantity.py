"""How many pieces of an item to order, and why.

Knows: what is expected of a box, an item's terms, what running short costs. Must not know: words,
lots over several boxes (lots.py). Invariants: a number that the owner set herself is never changed;
the parts of an amount add up to its need; stock that is on hand needs no spares.

Expected boxes are taken for normal with their mean and spread. An option (size, colour) is wanted
by a share of the subscribers, so its number is binomial where their number is certain, else normal
with the variance of both together.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from math import ceil, sqrt
from types import MappingProxyType
from typing import Literal

from msgspec.structs import replace

from assistant.planning.accounts.money import in_own
from assistant.planning.calendars import cached_by_identity
from assistant.planning.changes import find
from assistant.planning.model import Books, Item, Record, Shop, Supplier
from assistant.planning.numbers.buying import Because, Line, in_cases, over_options, up_to
from assistant.planning.numbers.buying import Buy as Buy
from assistant.planning.numbers.buying import buy as buy
from assistant.planning.numbers.buying import price_at as price_at
from assistant.planning.numbers.chances import (
    binomial,
    critical_ratio,
    normal_quantile,
    with_spares,
)
from assistant.planning.numbers.sharing import apportion
from assistant.planning.numbers.subscribers import Expected, expected, forecast
from assistant.planning.shipping import is_ordered, shipped

SUREST, LEAST_SURE = Decimal("99.9"), Decimal(1)  # percent; beyond them a tail is not known
MOST_DAMAGE = Decimal(90)  # percent
_HAIR = 1e-9  # of a box, for what floats make of whole numbers
Sure = Literal["own", "costs", "house"]


class Amount(Record):
    """What to order of one item. Pieces; money in the item's currency.

    `expected` pieces go into the boxes, `safety` more (fewer, below zero) give `confidence` percent
    that they do not run short, `stock` of them are on hand, `spares` make up for `damage` percent:
    `need` is expected + safety - stock + spares. `advised` is what is then to be bought after case,
    minimum and breaks, `cases` of it; `because` says what made it more than `need`; `shares` are
    its options. `order` is `advised`, or where the owner set a number (`own`) hers. `sure` says
    where the confidence comes from: her own percentage, what running short costs against
    `leftover` (a box's worth left over, the shop's currency), or the house.
    """

    item: str
    box: str
    expected: int = 0
    safety: int = 0
    spares: int = 0
    stock: int = 0
    need: int = 0
    order: int = 0
    price: Decimal | None = None  # of one piece, at that quantity
    spend: Decimal | None = None
    own: bool = False
    advised: int = 0
    cases: int = 0
    because: tuple[Because, ...] = ()
    shares: tuple[tuple[str, int], ...] = ()
    confidence: Decimal = Decimal(95)
    sure: Sure = "house"
    leftover: Decimal | None = None
    damage: Decimal = Decimal(0)


def amount(shop: Shop, item_id: str, today: date) -> Amount | None:
    """Return what to order of an item; None where there is no such item."""
    if (found := _known(shop, today).get(item_id)) is not None:
        return found
    item = find(shop.items, item_id)
    return None if item is None else _amount(shop, item, expected(shop, item.box, today), today)


def amounts(shop: Shop, today: date) -> tuple[Amount, ...]:
    """Return what to order of every item of the boxes still to ship, in the plan's order."""
    return tuple(_known(shop, today).values())


@cached_by_identity(8)
def _known(shop: Shop, today: date) -> Mapping[str, Amount]:
    """The amounts by item; several questions about one shop are answered from them."""
    known = {one.box: one for one in forecast(shop, today)}
    over = {box: shipped(shop, box, today) for box in {item.box for item in shop.items}}
    found = {
        item.id: _amount(shop, item, known.get(item.box) or expected(shop, item.box, today), today)
        for item in shop.items
        if not over[item.box]
    }
    return MappingProxyType(_together(shop, found, today))


# --- one item -------------------------------------------------------------------------------


def _amount(shop: Shop, item: Item, boxes: Expected, today: date) -> Amount:
    books = shop.books[0] if shop.books else NO_BOOKS
    sure, percent, leftover = _confidence(shop, item, books, today)
    damage = min(_first(item.damage, books.damage, shop.house.damage), MOST_DAMAGE)
    mean = round(boxes.mean) * item.units
    wanted = [number * item.units for number in _wanted(item, boxes, float(percent) / 100)]
    stock = min(item.stock or 0, sum(wanted))
    held = apportion(wanted, stock) if stock else [0] * len(wanted)
    good = [number - have for number, have in zip(wanted, held, strict=True)]
    needs = [with_spares(one, float(damage) / 100, float(percent) / 100) for one in good]
    need = sum(needs)
    chosen, shares = _bought(item, needs)
    own = item.quantity is not None
    order = chosen.order
    if item.quantity is not None:
        order, shares = item.quantity, _as_set(item, item.quantity)
    price = price_at(item, order) if own else chosen.price
    return Amount(
        item=item.id,
        box=item.box,
        expected=mean,
        safety=sum(wanted) - mean,
        spares=need - sum(good),
        stock=stock,
        need=need,
        order=order,
        price=price,
        spend=None if price is None else price * order,
        own=own,
        advised=chosen.order,
        cases=chosen.cases,
        because=chosen.because,
        shares=shares,
        confidence=percent,
        sure=sure,
        leftover=leftover,
        damage=damage,
    )


NO_BOOKS = Books()


def _bought(item: Item, needs: Sequence[int]) -> tuple[Buy, tuple[tuple[str, int], ...]]:
    """What to buy of all options together, and of each; a case holds one option."""
    total = sum(in_cases(one, item.case_pack) for one in needs) if item.shares else sum(needs)
    chosen = buy(
        total,
        case=item.case_pack,
        minimum=item.minimum,
        price=item.unit_cost,
        breaks=item.breaks,
    )
    if not item.shares:
        return chosen, ()
    if total > sum(needs) and "case" not in chosen.because:
        chosen = replace(chosen, because=("case", *chosen.because))
    return chosen, over_options(item.shares, needs, chosen.order, item.case_pack)


def _as_set(item: Item, order: int) -> tuple[tuple[str, int], ...]:
    """The options of a number that the owner set herself."""
    whole = item.case_pack if item.case_pack and order % item.case_pack == 0 else None
    return over_options(item.shares, [0] * len(item.shares), order, whole)


def _wanted(item: Item, boxes: Expected, chance: float) -> list[int]:
    """The boxes of each option (of all, where there are none) that are enough with a chance."""
    z = normal_quantile(chance)
    if not item.shares:
        return [_at_least(boxes.mean + z * boxes.sd)]
    certain = boxes.sd == 0 and boxes.mean == round(boxes.mean)
    found = []
    for _, percent in item.shares:
        share = float(percent) / 100
        if certain:
            found.append(binomial(round(boxes.mean), share).quantile(chance))
            continue
        spread = sqrt((share * boxes.sd) ** 2 + share * (1 - share) * boxes.mean)
        found.append(_at_least(share * boxes.mean + z * spread))
    return found


def _at_least(number: float) -> int:
    """The whole number of boxes that covers a number, never below zero."""
    return max(ceil(number - _HAIR), 0)


def _confidence(
    shop: Shop, item: Item, books: Books, today: date
) -> tuple[Sure, Decimal, Decimal | None]:
    """How sure to be, in percent, where that comes from, and what a leftover costs: the owner's own
    percentage, else what running short costs against what a leftover costs (newsvendor), else the
    house's."""
    leftover = leftover_cost(shop, item, books, today)
    if books.confidence is not None:
        return "own", _bounded(books.confidence), leftover
    if books.short_cost is None or leftover is None or books.short_cost + leftover <= 0:
        return "house", _bounded(shop.house.confidence), leftover
    ratio = critical_ratio(float(leftover), float(books.short_cost))
    return "costs", _bounded(round(Decimal(ratio * 100), 1)), leftover


def leftover_cost(shop: Shop, item: Item, books: Books, today: date) -> Decimal | None:
    """What one box's worth of an item costs when it is left over, in the shop's currency: its price
    less what can still be had for it. None where price or rate is not known."""
    if item.unit_cost is None:
        return None
    price = in_own(shop, item.unit_cost, item.currency, today)
    lost = 1 - (books.resale or Decimal(0)) / 100
    return None if price is None else price * item.units * lost


def _bounded(percent: Decimal) -> Decimal:
    return min(max(percent, LEAST_SURE), SUREST)


def _first(*values: Decimal | None) -> Decimal:
    return next(value for value in values if value is not None)


# --- items of one supplier that are ordered together -----------------------------------------


def _together(shop: Shop, found: dict[str, Amount], today: date) -> dict[str, Amount]:
    """The amounts with those raised whose supplier takes no smaller order. Items of one supplier
    for one box are ordered together; what is ordered, or set by the owner, counts but stays."""
    least = {one.id: one for one in shop.suppliers if one.minimum_value}
    groups: dict[tuple[str, str], list[Item]] = {}
    for item in shop.items if least else ():
        if item.supplier in least and item.id in found and found[item.id].order > 0:
            groups.setdefault((item.supplier, item.box), []).append(item)
    for (supplier, _), items in groups.items():
        found |= _raised(shop, least[supplier], items, found, today)
    return found


def _raised(
    shop: Shop, supplier: Supplier, items: Sequence[Item], found: Mapping[str, Amount], today: date
) -> dict[str, Amount]:
    """The amounts of one order, raised to the supplier's minimum value; none where that is reached,
    or where a price or rate is not known."""
    value = in_own(shop, supplier.minimum_value or Decimal(0), supplier.currency, today)
    spent = [_spend(shop, found[item.id], item, today) for item in items]
    known = [one for one in spent if one is not None]
    if value is None or len(known) < len(items) or sum(known) >= value:
        return {}
    free = [one for one in items if not found[one.id].own and not is_ordered(shop, one, today)]
    fixed = sum(n for item, n in zip(items, known, strict=True) if item not in free)
    orders = up_to(value - fixed, [_line(shop, item, found[item.id], today) for item in free])
    return {
        item.id: _more(item, found[item.id], order)
        for item, order in zip(free, orders, strict=True)
        if order > found[item.id].order
    }


def _spend(shop: Shop, found: Amount, item: Item, today: date) -> Decimal | None:
    return None if found.spend is None else in_own(shop, found.spend, item.currency, today)


def _line(shop: Shop, item: Item, found: Amount, today: date) -> Line:
    """An item as a line of an order in the shop's currency."""
    rate = in_own(shop, Decimal(1), item.currency, today) or Decimal(1)
    breaks = tuple(replace(one, price=one.price * rate) for one in item.breaks)
    price = None if item.unit_cost is None else item.unit_cost * rate
    return Line(found.order, item.case_pack or 1, price, breaks)


def _more(item: Item, found: Amount, order: int) -> Amount:
    """An amount raised for its supplier's sake."""
    price = price_at(item, order)
    options = [number for _, number in found.shares]
    return replace(
        found,
        order=order,
        advised=order,
        price=price,
        spend=None if price is None else price * order,
        cases=order // item.case_pack if item.case_pack else 0,
        because=(*found.because, "together"),
        shares=over_options(item.shares, options, order, item.case_pack) if options else (),
    )


# --- stock, and minimums that are too much ----------------------------------------------------


class Net(Record):
    """Of one need: what stock covers, what is left to get, and the stock that remains."""

    used: int
    get: int
    left: int


def netted(needs: Iterable[int], on_hand: int) -> tuple[Net, ...]:
    """Let stock cover needs, the first first; what it does not cover is to be got, lot for lot."""
    found = []
    for need in needs:
        used = min(need, on_hand)
        on_hand -= used
        found.append(Net(used, need - used, on_hand))
    return tuple(found)


class Surplus(Record):
    """What an order brings beyond the `need` of its box: `over` pieces; `year` pieces are all that
    the boxes of twelve months need of it; `boxes` boxes of this need would use it all up."""

    need: int
    over: int
    year: int
    boxes: int


def surplus(shop: Shop, item_id: str, today: date) -> Surplus | None:
    """Return what the supplier's minimum makes too much; None where it does not."""
    item, found = find(shop.items, item_id), amount(shop, item_id, today)
    if item is None or found is None or not found.need or not item.minimum:
        return None
    if item.minimum <= found.need:
        return None
    alike = {
        one.id
        for one in shop.items
        if (one.name.casefold(), one.supplier) == (item.name.casefold(), item.supplier)
        and item.box <= one.box < f"{int(item.box[:4]) + 1}{item.box[4:]}"
    }
    year = sum(one.need for one in amounts(shop, today) if one.item in alike)
    least = in_cases(item.minimum, item.case_pack)
    return Surplus(found.need, least - found.need, max(year, found.need), -(-least // found.need))

"""What would bring the items of a dear box back under their target.

Knows: landed costs, offers that are kept, the other boxes. Must not know: words. Invariants: each
way is reckoned as the box is reckoned (landed.py), one change at a time; an item that is ordered,
or that stands out in its box, is not dropped or exchanged; another box is never brought over its
target by it; nothing here changes a plan.
"""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Literal

from msgspec.structs import replace

from assistant.planning.accounts.costs import BoxCost, ItemCost, box_cost, costs
from assistant.planning.accounts.landed import NOTHING, landed_of
from assistant.planning.changes import find
from assistant.planning.model import Item, Offer, Record, Shop
from assistant.planning.numbers.quantity import Amount, amount, buy, price_at
from assistant.planning.shipping import is_ordered, shipped
from assistant.planning.year.offers import item_of
from assistant.planning.year.recurring import plain

How = Literal["break", "lot", "offer", "swap", "drop"]


class Way(Record):
    """One thing that would make a box cheaper.

    `saves` is off the goods of one box, in the shop's currency; `enough` says that it alone brings
    them under the target. `quantity` pieces would be ordered at `price` each, in `currency`
    ("break", "lot", "offer"), `more` of them than now; `offer` is an Offer.id; `others` are the
    items (ids) that would be ordered together ("lot") or exchanged ("swap").
    """

    how: How
    item: str
    saves: Decimal
    enough: bool = False
    quantity: int = 0
    more: int = 0
    price: Decimal | None = None
    currency: str = ""
    offer: str = ""
    others: tuple[str, ...] = ()


class Cheaper(Record):
    """How a box can come under its target. `ways` first those that keep every item in a box, then
    those that drop one; of each first those that are enough, the smallest of them first, then the
    others, the largest first. `together` are ways on different items, none of which is enough
    alone, that are enough together: of those that keep every item, else of all; none where one is
    enough, or where all are not."""

    box: BoxCost
    ways: tuple[Way, ...] = ()
    together: tuple[Way, ...] = ()


def cheaper(shop: Shop, box_id: str, today: date) -> Cheaper:
    """Return what would make a box cheaper; no ways for one that has shipped."""
    found = box_cost(shop, box_id, today)
    if shipped(shop, box_id, today):
        return Cheaper(found)
    over = found.over or NOTHING
    items = {item.id: item for item in shop.items}
    open_items = [
        (items[one.item], one)
        for one in found.items
        if not is_ordered(shop, items[one.item], today)
    ]
    ways = [
        replace(way, enough=over > 0 and way.saves >= over)
        for item, cost in open_items
        for way in _ways(shop, item, cost, today)
    ]
    ways.sort(key=_rank)
    keeping = [way for way in ways if way.how != "drop"]
    return Cheaper(found, tuple(ways), _together(keeping, over) or _together(ways, over))


def _rank(one: Way) -> tuple[bool, bool, Decimal]:
    return one.how == "drop", not one.enough, one.saves if one.enough else -one.saves


def _together(ways: Sequence[Way], over: Decimal) -> tuple[Way, ...]:
    """The fewest ways that are enough together, the largest of each item first."""
    if any(way.enough for way in ways):
        return ()
    chosen: dict[str, Way] = {}
    saved = NOTHING
    for way in ways:
        if 0 < over <= saved:
            break
        if chosen.keys().isdisjoint((way.item, *way.others)):
            chosen[way.item] = way
            saved += way.saves
    return tuple(chosen.values()) if len(chosen) > 1 and 0 < over <= saved else ()


def _ways(shop: Shop, item: Item, cost: ItemCost, today: date) -> Iterator[Way]:
    """Every way that makes one item cheaper."""
    if cost.cost is None:
        return
    found = amount(shop, item.id, today)
    now = cost.cost
    if found is not None and found.order:
        yield from _breaks(shop, item, now, found, today)
        yield from _lot(shop, item, now, found, today)
        yield from _offers(shop, item, now, found, today)
    if not item.main:
        yield from _swaps(shop, item, cost, today)
        yield Way(how="drop", item=item.id, saves=now)


def _breaks(shop: Shop, item: Item, now: Decimal, found: Amount, today: date) -> Iterator[Way]:
    """Reaching the next break, where that costs less though more is left over."""
    reach = next((one.quantity for one in item.breaks if one.quantity > found.order), None)
    if reach is not None:
        yield from _ordering("break", shop, item, reach, now, found, today)


def _ordering(
    how: How, shop: Shop, item: Item, quantity: int, now: Decimal, found: Amount, today: date
) -> Iterator[Way]:
    """The way of ordering so many of an item with these facts, if it costs less."""
    then = landed_of(shop, item, quantity, today)
    if then.each is None or then.each * item.units >= now:
        return
    yield Way(
        how=how,
        item=item.id,
        saves=now - then.each * item.units,
        quantity=quantity,
        more=quantity - found.order,
        price=then.price,
        currency=then.currency,
    )


def _lot(shop: Shop, item: Item, now: Decimal, found: Amount, today: date) -> Iterator[Way]:
    """Ordering once for all boxes that hold the same of the same supplier: the price of so many,
    the set-up once. What keeping them costs is not counted here (lots.py)."""
    name = item.name.casefold()
    others = [
        (one, known.order)
        for one in shop.items
        if one.id != item.id
        and (one.supplier, one.name.casefold()) == (item.supplier, name)
        and not shipped(shop, one.box, today)
        and not is_ordered(shop, one, today)
        and (known := amount(shop, one.id, today))
    ]
    quantity = found.order + sum(order for _, order in others)
    price = price_at(item, quantity)
    if not others or price is None:
        return
    part = None if item.setup is None else item.setup * found.order / quantity
    as_lot = replace(item, unit_cost=price, breaks=(), setup=part)
    for way in _ordering("lot", shop, as_lot, found.order, now, found, today):
        ids = tuple(one.id for one, _ in others)
        yield replace(way, quantity=quantity, more=0, others=ids)


def _offers(shop: Shop, item: Item, now: Decimal, found: Amount, today: date) -> Iterator[Way]:
    """The cheapest offer, of another supplier, of the same type or name."""
    best: Way | None = None
    for offer in shop.offers:
        if not _same_kind(offer, item) or _is_over(offer, today):
            continue
        taken = replace(item_of(offer, item), breaks=offer.breaks, setup=offer.setup)
        bought = buy(
            found.need,
            case=offer.case_pack,
            minimum=offer.minimum,
            price=offer.price,
            breaks=offer.breaks,
        )
        for way in _ordering("offer", shop, taken, bought.order, now, found, today):
            if best is None or way.saves > best.saves:
                best = replace(way, offer=offer.id)
    if best is not None:
        yield best


def _same_kind(offer: Offer, item: Item) -> bool:
    """Whether an offer, of another supplier, is of an item's kind."""
    if offer.supplier == item.supplier or offer.price is None:
        return False
    asked = offer.item == item.id
    same_type = bool(item.type) and plain(offer.type) == plain(item.type)
    return asked or same_type or plain(offer.name) == plain(item.name)


def _is_over(offer: Offer, today: date) -> bool:
    return offer.valid_until is not None and offer.valid_until < today


def _swaps(shop: Shop, item: Item, cost: ItemCost, today: date) -> Iterator[Way]:
    """Exchanging an item with the cheapest of its type in a box that can bear the dearer one."""
    if not item.type or cost.landed.each is None:
        return
    best: Way | None = None
    for box in costs(shop, today):
        for one in box.items if box.box != item.box else ():
            other = find(shop.items, one.item)
            if other is None or other.main or plain(other.type) != plain(item.type):
                continue
            if one.cost is None or cost.cost is None or is_ordered(shop, other, today):
                continue
            saves = cost.cost - one.cost
            bears = box.over is None or box.over + saves <= 0
            if saves > 0 and bears and (best is None or saves > best.saves):
                best = Way(how="swap", item=item.id, saves=saves, others=(other.id,))
    if best is not None:
        yield best

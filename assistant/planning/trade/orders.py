"""Purchase orders: what goes on one, what it comes to, what sending it does.

Knows: items, their terms, deadlines, orders that were written. Must not know: words, pages.
Invariants: a number is given once, whatever becomes of its order; an item stands on one order at a
time, unless she insists: then all its orders count; the same goods for several boxes are priced by
all their pieces together; an amount is rounded line by line, and the lines add up to the total; a
price that is not known is left out and named.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from itertools import chain

from msgspec.structs import replace

from assistant.planning.accounts.money import to_pay
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import Deadline, by_key, deadlines
from assistant.planning.model import (
    Change,
    Item,
    Order,
    OrderLine,
    Put,
    Record,
    Shop,
    Supplier,
)
from assistant.planning.month.purchases import as_bought, by_order, taken_off
from assistant.planning.nudges import mark
from assistant.planning.numbers.buying import over_options, price_at
from assistant.planning.numbers.lots import goods_of
from assistant.planning.numbers.quantity import amounts
from assistant.planning.shipping import ORDER, is_ordered, shipped
from assistant.planning.trade.order_lots import with_lots

STOCK = "stock"  # the stage at which everything has to be in hand


class Totals(Record):
    """What an order comes to, in its currency, rounded: an amount for each line (None: no price),
    `goods` and `setup` their sums, `total` with carriage; `unpriced` are names of lines."""

    lines: tuple[Decimal | None, ...]
    goods: Decimal
    setup: Decimal
    carriage: Decimal | None
    total: Decimal
    unpriced: tuple[str, ...] = ()


# --- numbers --------------------------------------------------------------------------------


def next_number(shop: Shop, year: int) -> str:
    """Return the next number of a year, `2027-004`. A number that was ever given is not given
    again: dropped orders keep theirs, and so do those that the history still knows."""
    changed = chain.from_iterable(entry.changes for entry in shop.recent)
    put = (change.record for change in changed if isinstance(change, Put))
    gone = (record.id for record in put if isinstance(record, Order))
    start = f"{year}-"
    given = {id for id in (*(one.id for one in shop.orders), *gone) if id.startswith(start)}
    return f"{start}{max((int(id[len(start) :]) for id in given), default=0) + 1:03}"


def newest_first(orders: Iterable[Order]) -> list[Order]:
    """Return orders by their number, the last first."""
    return sorted(orders, key=lambda one: _place(one.id), reverse=True)


def _place(number: str) -> tuple[int, int]:
    year, _, place = number.partition("-")
    return int(year), int(place)


def unsent(shop: Shop, supplier_id: str = "") -> list[Order]:
    """Return the orders that still have to be sent, the newest first."""
    return newest_first(
        one
        for one in shop.orders
        if one.sent is None and not one.dropped and supplier_id in ("", one.supplier)
    )


def order_with(shop: Shop, item_id: str) -> Order | None:
    """Return the order on which an item stands, None for none."""
    held = (
        one
        for one in newest_first(shop.orders)
        if not one.dropped and any(line.item == item_id for line in one.lines)
    )
    return next(held, None)


# --- what goes on an order ------------------------------------------------------------------


def to_order(shop: Shop, supplier_id: str, today: date) -> tuple[Item, ...]:
    """Return the items of a supplier that have to be ordered next: those of the box that ships
    next, and those whose order-by date is past or within the house's horizon; by that date."""
    coming = waiting(shop, supplier_id, today)
    boxes = (box.id for box in shop.boxes if not shipped(shop, box.id, today))
    following = min(boxes, default="")
    dates = by_key(deadlines(shop, today))
    return tuple(
        item
        for item in coming
        if item.box == following
        or (due := dates.get(f"{item.id}/{ORDER}")) is None
        or (due.on - today).days <= shop.house.horizon_days
    )


def waiting(shop: Shop, supplier_id: str, today: date) -> tuple[Item, ...]:
    """Return all items of a supplier that are on no order and not ordered yet, by the day by which
    they have to be ordered."""
    dates = by_key(deadlines(shop, today))
    on_order = {line.item for one in shop.orders if not one.dropped for line in one.lines}
    found = [
        item
        for item in shop.items
        if item.supplier == supplier_id
        and item.id not in on_order
        and not shipped(shop, item.box, today)
        and not is_ordered(shop, item, today)
        and ((due := dates.get(f"{item.id}/{ORDER}")) is None or due.state == "open")
    ]
    return tuple(sorted(found, key=lambda item: (_due(dates, item), item.box, item.name)))


def _due(dates: Mapping[str, Deadline], item: Item) -> date:
    due = dates.get(f"{item.id}/{ORDER}")
    return due.on if due else date.max


def draft(shop: Shop, supplier_id: str, items: Sequence[str], today: date) -> Order:
    """Return an order to a supplier, without a number, of these items (ids), or of all that have
    to be ordered next, with the same goods of further boxes where one lot is cheaper. Items of
    which no piece is needed are left out."""
    named = tuple(item for id in items if (item := find(shop.items, id)) is not None)
    lines = _lines(shop, named or to_order(shop, supplier_id, today), today)
    if not named:
        free = {item.id for item in waiting(shop, supplier_id, today)}
        lines = with_lots(shop, lines, free, today)
    return settled(shop, Order("", supplier_id, today, lines), today)


def _lines(shop: Shop, items: Iterable[Item], today: date) -> tuple[OrderLine, ...]:
    known = {one.item: one for one in amounts(shop, today)}
    return tuple(
        OrderLine(one.id, one.name, found.order, shares=found.shares, box=one.box)
        for one in items
        if (found := known.get(one.id)) is not None and found.order > 0
    )


def extended(shop: Shop, order: Order, more: Sequence[OrderLine], today: date) -> Order:
    """Return an order with further lines, settled again."""
    held = {line.item for line in order.lines}
    new = tuple(line for line in more if line.item not in held)
    return settled(shop, replace(order, lines=(*order.lines, *new)), today) if new else order


def revised(
    shop: Shop,
    order: Order,
    item_id: str,
    quantity: int | None,
    price: Decimal | None,
    today: date,
) -> Order:
    """Return an order with a line changed, added or (quantity 0) taken out. One that was sent
    becomes its next revision, which has to be sent again."""
    old = next((line for line in order.lines if line.item == item_id), None)
    item = find(shop.items, item_id)
    if old is None and item is None:
        return order
    if old is None and item is not None:
        made = _lines(shop, (item,), today) or (OrderLine(item_id, item.name, 0, box=item.box),)
        lines = (*order.lines, _changed(made[0], quantity, price))
    else:
        lines = tuple(
            _changed(line, quantity, price) if line is old else line for line in order.lines
        )
    lines = tuple(line for line in lines if line.quantity > 0)
    if lines == order.lines:
        return order
    return revision_of(order, settled(shop, replace(order, lines=lines), today), today)


def _changed(line: OrderLine, quantity: int | None, price: Decimal | None) -> OrderLine:
    if quantity is not None:
        line = replace(line, quantity=quantity)
    if price in (None, line.unit_price):
        return line
    return replace(line, unit_price=price, own_price=True)


def revision_of(old: Order, new: Order, today: date) -> Order:
    """Return a changed order as what it is: the same while the old one was not sent, else its next
    revision of today."""
    if old.sent is None or new == old:
        return new
    return replace(new, revision=old.revision + 1, sent=None, on=today)


# --- prices, carriage, dates ----------------------------------------------------------------


def settled(shop: Shop, order: Order, today: date) -> Order:
    """Return an order with prices, shares, currency, carriage and in-hand date as they follow from
    its lines."""
    items = items_of(shop, order)
    pieces, priced = pieces_of(order, items), dict[object, Item]()
    for item in sorted(items.values(), key=lambda one: not one.breaks):  # those with breaks first
        if item.unit_cost is not None:
            priced.setdefault(goods_of(item), item)
    currency = _currency(shop, order, items)
    lines, set_up = list[OrderLine](), set[object]()
    for line in order.lines:
        if (one := items.get(line.item)) is not None:
            goods = goods_of(one)
            terms = one if one.breaks else priced.get(goods, one)
            own = (terms.currency or profile_of(shop).currency) == currency
            price = price_at(terms, pieces[goods]) if own else None
            setup = terms.setup if own and goods not in set_up else None
            line = replace(line, name=one.name, box=one.box, shares=_shares(one, line), setup=setup)
            line = line if line.own_price else replace(line, unit_price=price)
            set_up.add(goods)
        lines.append(line)
    order = replace(order, lines=tuple(lines), currency=currency)
    order = replace(order, in_hand=_in_hand(shop, order, today))
    return replace(order, carriage=_carriage(shop, order))


def _shares(item: Item, line: OrderLine) -> tuple[tuple[str, int], ...]:
    """Pieces of each option: as they were, where they still add up to the line."""
    names = [name for name, _ in item.shares]
    held = sum(pieces for _, pieces in line.shares) == line.quantity
    if held and [name for name, _ in line.shares] == names:
        return line.shares
    whole = item.case_pack if item.case_pack and line.quantity % item.case_pack == 0 else None
    return over_options(item.shares, [0] * len(names), line.quantity, whole) if names else ()


def items_of(shop: Shop, order: Order) -> dict[str, Item]:
    """Return the items of an order that are still in the plan, by id."""
    return {line.item: item for line in order.lines if (item := find(shop.items, line.item))}


def pieces_of(order: Order, items: Mapping[str, Item]) -> dict[object, int]:
    """Return how many pieces of each goods there are on the whole order."""
    pieces: dict[object, int] = {}
    for line in order.lines:
        if item := items.get(line.item):
            pieces[goods_of(item)] = pieces.get(goods_of(item), 0) + line.quantity
    return pieces


def _currency(shop: Shop, order: Order, items: Mapping[str, Item]) -> str:
    """The supplier's currency; where it names none, the one in which all its prices are."""
    supplier = find(shop.suppliers, order.supplier)
    if supplier is not None and supplier.currency:
        return supplier.currency
    own = profile_of(shop).currency
    said = {one.currency or own for one in items.values() if one.unit_cost is not None}
    return said.pop() if len(said) == 1 else own


def terms_hold(shop: Shop, supplier: Supplier, order: Order) -> bool:
    """Say whether the supplier's carriage and minimum are in the currency of the order."""
    return (supplier.currency or profile_of(shop).currency) == order.currency


def _carriage(shop: Shop, order: Order) -> Decimal | None:
    supplier = find(shop.suppliers, order.supplier)
    if supplier is None or not terms_hold(shop, supplier, order):
        return None
    free = supplier.free_from is not None and totals(order).goods >= supplier.free_from
    return Decimal(0) if free and supplier.carriage is not None else supplier.carriage


def needed_by(shop: Shop, order: Order, today: date) -> date | None:
    """Return the first day by which one of its items has to be in hand."""
    dates = by_key(deadlines(shop, today))
    found = (dates.get(f"{line.item}/{STOCK}") for line in order.lines)
    return min((one.on for one in found if one is not None), default=None)


def _in_hand(shop: Shop, order: Order, today: date) -> date | None:
    needed = needed_by(shop, order, today)
    return needed if needed is not None and needed >= today else None


def current(shop: Shop, order: Order, today: date) -> Order:
    """Return an order as it stands today: one that still has to be sent goes by the prices, terms
    and dates of the plan as it is now; one that was sent or dropped stays as it was."""
    if order.sent is not None or order.dropped:
        return order
    return settled(shop, order, today)


def totals(order: Order) -> Totals:
    """Return what an order comes to, each line rounded to the smallest unit of its currency."""
    currency = order.currency
    amount = tuple(
        None if line.unit_price is None else to_pay(line.unit_price * line.quantity, currency)
        for line in order.lines
    )
    goods = sum((one for one in amount if one is not None), to_pay(Decimal(0), currency))
    setups = (to_pay(line.setup, currency) for line in order.lines if line.setup is not None)
    setup = sum(setups, to_pay(Decimal(0), currency))
    carriage = None if order.carriage is None else to_pay(order.carriage, currency)
    unpriced = tuple(line.name for line in order.lines if line.unit_price is None)
    total = goods + setup + (carriage or 0)
    return Totals(amount, goods, setup, carriage, total, tuple(dict.fromkeys(unpriced)))


def address(shop: Shop, order: Order) -> str:
    """Return where an order is to be delivered: as it was when it was sent, else as the books say
    now."""
    return order.deliver_to or (shop.books[0].deliver_to if shop.books else "")


# --- sent and dropped -----------------------------------------------------------------------


def sent(shop: Shop, order: Order, on: date, now: datetime, by: str) -> tuple[Change, ...]:
    """Return the changes that follow when an order has gone: it carries the day and the address,
    its items are ordered (the ledger says so) in its quantities and at its prices."""
    gone = replace(order, sent=on, deliver_to=address(shop, order))
    changes: list[Change] = [Put(gone)]
    for line in order.lines:
        item = find(shop.items, line.item)
        if item is None:
            continue
        quantity = line.quantity + _pieces_of(shop, item.id, order.id)
        bought = as_bought(shop, item, quantity, line.unit_price, order.currency, line.quantity)
        if bought != item:
            changes.append(Put(bought))
        changes.append(Put(by_order(shop, bought, line, order, on)))
        changes += mark(shop, f"{line.item}/{ORDER}", "done", now, by)
    return tuple(changes)


def _pieces_of(shop: Shop, item_id: str, but: str) -> int:
    """The pieces of an item on the orders that went out, but for one."""
    return sum(
        line.quantity
        for one in shop.orders
        if one.id != but and not one.dropped and went_out(one)
        for line in one.lines
        if line.item == item_id
    )


def went_out(order: Order) -> bool:
    """Say whether an order was sent, in whichever revision."""
    return order.sent is not None or order.revision > 0


def reopened(
    shop: Shop, items: Iterable[str], order: str, now: datetime, by: str
) -> tuple[Change, ...]:
    """Return the changes that follow when items (ids) are taken off an order that went out: they
    have to be ordered again, or what other orders hold of them is all there is."""
    changes: list[Change] = []
    for id in items:
        item, left = find(shop.items, id), _pieces_of(shop, id, order)
        changes += taken_off(shop, id, left)
        if item is not None and left:
            changes.append(Put(replace(item, quantity=left)))
        elif item is not None:
            changes += mark(shop, f"{id}/{ORDER}", "open", now, by)
    return tuple(changes)

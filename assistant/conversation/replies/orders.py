"""What is said of purchase orders.

Knows: orders, what they come to, what is wrong with them. Must not know: which request it was, how
an order stands on a page (sheets/). Invariants: at most nine lines on a phone; amounts carry their
currency; what is missing is named with the words that set it right; it is always she who sends.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.plain import box_name, day, listed, money, plural, short
from assistant.conversation.replies.plan import name
from assistant.planning.accounts.money import to_pay
from assistant.planning.deadlines import Deadline
from assistant.planning.model import Order, OrderLine
from assistant.planning.trade.order_lots import Lot
from assistant.planning.trade.order_remarks import Remarks
from assistant.planning.trade.orders import Totals, totals
from assistant.sheets.order_words import figure
from assistant.sheets.writing import SIGNS

SHOWN = 8  # lines of an order on one screen
ON_A_LINE = 3  # names that one line tells
PARTY = 30  # characters of a supplier's name
ADDRESS = "deliver to 4 Mill Lane, Settle, BD24 9XX"  # an invented example

NO_ORDERS = "No order is written yet. For example: write the order for Aldermoor"
NO_SUPPLIER = "That supplier is not here any more. For example: write the order for Aldermoor"
GONE = "That order is not here any more. To see those that are: orders"
TO_PRINT = "To print or send on. You send it: I never do."
TO_PASTE = "To paste into a letter. You send it: I never do."
REPLACED = "A question mark stands for what the typeface lacks; as text it is whole."


def title(order: Order, supplier: str) -> str:
    """The heading of an order: "Order 2027-004 for Aldermoor"."""
    return f"{called(order)} for {short(supplier, PARTY)}"


def called(order: Order) -> str:
    """Name an order: "Order 2027-004", "Order 2027-004, revision 1"."""
    revision = f", revision {order.revision}" if order.revision else ""
    return f"Order {order.id}{revision}"


def price(amount: Decimal, currency: str) -> str:
    """Write a price with all its digits: "£3.10", "£0.125", "4.00 CHF"."""
    sign = SIGNS.get(currency)
    return f"{sign}{figure(amount, currency)}" if sign else f"{figure(amount, currency)} {currency}"


# --- an order in short ----------------------------------------------------------------------


def lines(order: Order, today: date) -> tuple[str, ...]:
    """Write the lines of an order that fit a phone, and what it comes to."""
    sums = totals(order)
    boxes = len({line.box for line in order.lines})
    shown = zip(order.lines, sums.lines, strict=True)
    every = [_line(line, amount, order, boxes > 1, today) for line, amount in shown]
    more = len(every) - SHOWN
    return (
        *every[:SHOWN],
        f"and {plural(more, 'more line')}, all of them as a page" if more > 0 else "",
        total(order, sums),
    )


def _line(line: OrderLine, amount: Decimal | None, order: Order, several: bool, today: date) -> str:
    where = f" ({box_name(line.box, today)})" if several and line.box else ""
    what = f"{line.quantity:,} {name(line.name)}{where}"
    if line.unit_price is None or amount is None:
        return f"{what}, no price"
    return f"{what} at {price(line.unit_price, order.currency)}: {money(amount, order.currency)}"


def total(order: Order, sums: Totals) -> str:
    """Say what an order comes to, and what of it is not known."""
    extra = [f"set-up {money(sums.setup, order.currency)}"] if sums.setup else []
    if sums.carriage is not None:
        extra.append(
            f"carriage {money(sums.carriage, order.currency)}" if sums.carriage else "free carriage"
        )
    without = ["carriage"] if sums.carriage is None else []
    without += [_names(sums.unpriced)] if sums.unpriced else []
    with_ = f" with {listed(extra)}" if extra else ""
    lacks = f"{',' if extra else ''} without {listed(without)}" if without else ""
    return f"Total {money(sums.total, order.currency)}{with_}{lacks}"


def in_hand(order: Order, today: date) -> str:
    """Say by when all of an order must have arrived, "" where no day is set."""
    return f"All in hand by {day(order.in_hand, today)}" if order.in_hand else ""


def one_lot(lot: Lot, currency: str, today: date) -> str:
    """Say why goods of several boxes stand on one order."""
    boxes = listed([box_name(one, today) for one in lot.boxes])
    if to_pay(lot.saving, currency) <= 0:
        return f"{name(lot.name)}: one lot is enough for {boxes}"
    return f"{name(lot.name)}: one lot for {boxes} saves {money(lot.saving, currency)}"


def state(order: Order, today: date) -> str:
    """Say how far an order is: "sent Mon 11 Jan", "not sent yet"."""
    if order.dropped:
        return "withdrawn"
    if order.sent is not None:
        return f"sent {day(order.sent, today)}"
    return f"revision {order.revision} not sent yet" if order.revision else "not sent yet"


def how_to_send(order: Order) -> str:
    """Say whose turn it is to send it."""
    return f"You send it, I never do. Then say: order {order.id} sent"


# --- what is wrong with it ------------------------------------------------------------------


def remarks(found: Remarks, order: Order, today: date) -> tuple[str, ...]:
    """Say what is missing from an order and what it does not keep to, the worst first."""
    currency = order.currency
    foreign = dict(found.foreign)
    unpriced = [one for one in found.unpriced if one not in foreign]
    return (
        f"Not in the plan with this supplier now: {_names(found.gone)}" if found.gone else "",
        _below(found, currency),
        *(f"{name(who)} is sold from {least:,} pieces" for who, least in found.few),
        *(f"{name(who)} comes in cases of {case:,}: no whole cases" for who, case in found.cases),
        f"No price: {_names(unpriced)}. Say: {name(unpriced[0])} costs 3.10" if unpriced else "",
        *(
            f"{name(who)} is priced in {other}, the order in {currency}"
            for who, other in foreign.items()
        ),
        f"No delivery address. Say: {ADDRESS}" if found.no_address else "",
        _past(found, today),
        f"Late to order: {_names(found.late)}" if found.late and found.past is None else "",
    )


def _below(found: Remarks, currency: str) -> str:
    if found.below is None or found.minimum is None:
        return ""
    short_of, least = money(found.below, currency), money(found.minimum, currency)
    return f"{short_of} below the supplier's minimum of {least}"


def _past(found: Remarks, today: date) -> str:
    if found.past is None:
        return ""
    return f"Needed in hand by {day(found.past, today)}, which is past: agree a day"


def _names(words: Sequence[str]) -> str:
    shown = [name(one) for one in words[:ON_A_LINE]]
    more = len(words) - ON_A_LINE
    return listed([*shown, f"{more} more"]) if more > 0 else listed(shown)


# --- written --------------------------------------------------------------------------------


def added(order: Order, new: Iterable[str]) -> str:
    """Say what was added to an order that was still to be sent."""
    return f"Added to order {order.id}, which is not sent yet: {_names(list(new))}"


def written_already(order: Order) -> str:
    """Say that nothing new goes on an order that is still to be sent."""
    return f"Written already, and not sent yet. Nothing more to order: order {order.id} stands."


def nothing_to_order(supplier: str, due: Deadline | None, today: date) -> str:
    """Say that a supplier has nothing that must be ordered next, and what is next."""
    text = f"Nothing has to be ordered from {name(supplier)} now."
    if due is None:
        return f"{text} To plan something: add to March: field notebook from {name(supplier)}"
    where = box_name(due.box, today)
    return f"{text} Next: {name(due.name)} ({where}), order by {day(due.on, today)}."


def needs_none(item: str) -> str:
    """Say of a named item that no piece of it is needed."""
    return f"No piece of {name(item)} is needed. If you want some, say: order 100 {name(item)}"


def not_theirs(item: str, theirs: str, supplier: str) -> str:
    """Refuse an item of another supplier."""
    whose = f"is bought from {name(theirs)}" if theirs else "has no supplier yet"
    return (
        f"{name(item)} {whose}, so it is not on an order for {name(supplier)}. "
        f"If that changed, say: {name(item)} from {name(supplier)}"
    )


def ordered_already(item: str, box: str, order: Order | None, says: str, today: date) -> str:
    """Refuse an item that is ordered, and say how to insist."""
    by = f" on order {order.id}, {state(order, today)}" if order else ""
    what = f"{name(item)} ({box_name(box, today)})"
    return f"{what} is ordered already{by}. To order it once more, say: {says}"


# --- changed --------------------------------------------------------------------------------


def revised(
    order: Order, old: OrderLine | None, new: OrderLine | None, before: Order, today: date
) -> tuple[str, ...]:
    """Say what was changed on an order, what it comes to now, and that it goes out once more."""
    line = new or old
    where = f" ({box_name(line.box, today)})" if line and line.box else ""
    what = f"{name(line.name)}{where}" if line else ""
    if new is None:
        told = f"{called(order)}: {what} is off."
    elif old is None:
        told = f"{called(order)}: {what} is on, {_terms_of(new, order)}."
    else:
        told = f"{called(order)}: {what} {_terms_of(new, order)}, was {_terms_of(old, before)}."
    was = money(totals(before).total, before.currency)
    again = "The order was sent, so this is a revision: send it again." if order.revision else ""
    bumped = order.revision > before.revision
    return told, f"{total(order, totals(order))}, was {was}", again if bumped else ""


def _terms_of(line: OrderLine, order: Order) -> str:
    each = "no price" if line.unit_price is None else price(line.unit_price, order.currency)
    return f"{line.quantity:,} at {each}" if line.unit_price is not None else f"{line.quantity:,}"


def as_it_stands(order: Order) -> str:
    """Say that an order says so already."""
    return f"{called(order)} says so already."


def would_be_empty(order: Order) -> str:
    """Refuse to take the last line off."""
    return f"That is the last line of order {order.id}. To withdraw it, say: drop order {order.id}"


def is_withdrawn(order: Order) -> str:
    """Refuse to change or send what was withdrawn."""
    return f"Order {order.id} is withdrawn. To write another: write the order for Aldermoor"


def open_again(items: Sequence[str]) -> str:
    """Say which items have to be ordered again."""
    if not items:
        return ""
    verb = "has" if len(items) == 1 else "have"
    return f"{_names(items)} {verb} to be ordered again."


# --- sent, withdrawn, listed ----------------------------------------------------------------


def sent(order: Order, supplier: str, today: date) -> tuple[str, ...]:
    """Say that an order has gone, and what that made of the plan."""
    gone = day(order.sent or today, today)
    return (
        f"{called(order)} went to {name(supplier)} on {gone}.",
        f"Ordered: {_by_goods(order, today)}, pieces and prices as on it.",
        in_hand(order, today),
    )


def _by_goods(order: Order, today: date) -> str:
    """Name the goods of an order, those of several boxes once with their boxes."""
    boxes: dict[str, list[str]] = {}
    for line in order.lines:
        boxes.setdefault(line.name, []).append(box_name(line.box, today) if line.box else "")
    named = [
        f"{name(goods)} ({listed(where)})" if len(where) > 1 and all(where) else name(goods)
        for goods, where in list(boxes.items())[:ON_A_LINE]
    ]
    more = len(boxes) - ON_A_LINE
    return listed([*named, f"{more} more"]) if more > 0 else listed(named)


def sent_already(order: Order, today: date) -> str:
    """Say that an order was sent before."""
    return f"{called(order)} was sent {day(order.sent or today, today)}, as I have it."


def in_the_future(on: date, today: date) -> str:
    """Refuse a day to come."""
    return f"{day(on, today)} is still to come. Say it when the order has gone."


def dropped(order: Order, supplier: str, went_out: bool) -> tuple[str, ...]:
    """Say that an order is withdrawn."""
    return (
        f"Order {order.id} is withdrawn. Its number is not used again.",
        f"It was sent: tell {name(supplier)}, I never do." if went_out else "",
    )


def dropped_already(order: Order) -> str:
    """Say that an order was withdrawn before."""
    return f"Order {order.id} is withdrawn already."


def row(order: Order, supplier: str, today: date) -> str:
    """One order in a list: "2027-004 Aldermoor, £1,562.40, sent Mon 11 Jan"."""
    worth = money(totals(order).total, order.currency)
    return f"{order.id} {short(supplier, PARTY)}, {worth}, {state(order, today)}"


def more(number: int) -> str:
    """Say that a list goes on."""
    return f"and {number:,} older" if number > 0 else ""


def none_for(supplier: str) -> str:
    """Say that a supplier has no orders."""
    return f"No order to {name(supplier)} is written yet. Say: write the order for {name(supplier)}"


def list_title(supplier: str) -> str:
    """The heading of a list of orders."""
    return f"Orders to {short(supplier, PARTY)}" if supplier else "Orders, the newest first"

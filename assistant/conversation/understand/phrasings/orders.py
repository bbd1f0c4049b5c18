"""Ways to speak of purchase orders: write, show, list, change, sent, withdraw; and where goods are
delivered.

Knows: requests of orders. Must not know: how a line is matched. Invariants: what names an order by
its number, or by a supplier that has one, stands before the ledger's rows, so that "the Aldermoor
order is sent" is about the order and "the notebook order is sent" about the item; each example is
understood as its row.
"""

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal

from assistant.conversation.order_requests import (
    ChangeBooks,
    DropOrder,
    ListOrders,
    OrderSent,
    ReviseOrder,
    ShowOrder,
    WriteOrder,
)
from assistant.conversation.sentences import orders as says
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.order_names import (
    NUMBER,
    ORDER,
    REFS,
    box_of,
    item_on,
    item_refs,
    items_of,
    of_supplier,
    quoted_supplier,
    read_address,
    read_order,
    which_line,
)
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find

SHORTHAND: dict[str, str] = {
    "<write-an>": "(write|draft|make|prepare|create|raise|do)[ up| out| me] <an>",
    "<an>": "[the |an |a |our |my |new |next |a new ]",
    "<po>": "(order|purchase order|po)",
    "<pos>": "[purchase ](orders|pos)",
    "<show>": "[show me |show |send me |give me |list |see |print |make ]",
    "<all-my>": "[all |my |our |the |all the |all my ]",
    "<pieces>": "[ pieces| pcs| of them]",
    "<each>": "[ each| a piece| apiece]",
    "<send>": "(sent|posted|emailed|e-mailed|mailed|placed)",
}

KINDS: dict[str, Kind] = {
    "order": Kind(ORDER, read_order),
    "ordernumber": Kind(NUMBER, read_order),
    "orderof": Kind(r"[^:;]{1,60}?", of_supplier),
    "orderto": Kind(r'".+?"', quoted_supplier),
    "orderitems": Kind(REFS, item_refs),
    "address": Kind(r".{3,400}", read_address),
    "goods": Kind(r"[^:;]{2,60}?", lambda text, _c: text.strip() or None),
    "goodslist": Kind(r"[^:;]{2,200}?", lambda text, _c: text.strip() or None),
}


def _row(name: str, pattern: str, build: Build, gist: str, example: str, **more: bool) -> Phrasing:
    for short, words in SHORTHAND.items():
        pattern = pattern.replace(short, words)
    return Phrasing(name, pattern, build, gist, example, **more)


# --- written --------------------------------------------------------------------------------


def _write(_c: Context, supplier: str, items: tuple[str, ...] = ()) -> Built:
    return WriteOrder(supplier, items)


def _write_now(_c: Context, supplier: str, items: tuple[str, ...] = ()) -> Built:
    return WriteOrder(supplier, items, sure=True)


def _write_items(c: Context, supplier: str, goods: str) -> Built:
    found = items_of(supplier, goods, c)
    return WriteOrder(supplier, found) if isinstance(found, tuple) else found


def _write_box(c: Context, supplier: str, box: str) -> Built:
    found = box_of(supplier, box, c)
    return WriteOrder(supplier, found) if isinstance(found, tuple) else found


# --- changed --------------------------------------------------------------------------------


def _revise(
    c: Context, order: str, goods: str, n: int | None = None, price: Price | None = None
) -> Built:
    """A line changed, added or taken off; the price in the order's currency."""
    held = find(c.shop.orders, order)
    if held is None:
        return None
    if price is not None and price.currency not in ("", held.currency):
        return Unclear(f"order {order} is in {held.currency}, not in {price.currency}")
    amount: Decimal | None = None if price is None else price.amount
    found = item_on(held, goods, c)
    if isinstance(found, Unclear):
        said: Callable[[str], str] = lambda id: says.revise(order, id, n, amount)  # noqa: E731
        return which_line(held, found, c, said)
    return ReviseOrder(order, found, n, amount)


# --- sent, shown ----------------------------------------------------------------------------


def _sent(c: Context, order: str, on: date | None = None) -> Built:
    """A day without a year is the last such day, where the order was written by then."""
    held = find(c.shop.orders, order)
    if on is not None and on > c.today and held is not None:
        before = on - timedelta(365 if (on - timedelta(365)).day == on.day else 366)
        on = before if held.on <= before else on
    return OrderSent(order, on)


def _sent_yesterday(c: Context, order: str) -> Built:
    return OrderSent(order, c.today - timedelta(1))


def _which(c: Context) -> Built:
    """Ask for which supplier: those who have something to be ordered."""
    named = [one for one in c.shop.suppliers if any(i.supplier == one.id for i in c.shop.items)]
    offers = tuple((one.name, says.write_order(one.name)) for one in named)
    return Unclear("I do not know for which supplier", offers, whole=True)


_WRITE = "an order to write"
_ALDERMOOR = "write the order for Aldermoor"
_CHANGE = "a change of {order}"
_CHANGED = "order 2027-004: 480 notebooks"
_SENT, _SHOW, _DROP = "an order sent", "an order to show", "an order to drop"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "write order",
        "write the order for {supplier:orderto}[: {items:orderitems}] now",
        _write_now,
        _WRITE,
        'write the order for "Aldermoor" now',
    ),
    _row(
        "write order",
        "write the order for {supplier:orderto}[: {items:orderitems}]",
        _write,
        _WRITE,
        'write the order for "Aldermoor"',
    ),
    _row(
        "orders",
        "orders to {supplier:orderto}",
        lambda _c, supplier: ListOrders(supplier),
        "orders to a supplier",
        'orders to "Aldermoor"',
        asks=True,
    ),
    _row(
        "order sent",
        """
        {order:order}<has> <send> yesterday
        {order:order} (went|went out|went off) yesterday
        <i><send> [off ]{order:order} yesterday
        """,
        _sent_yesterday,
        _SENT,
        "order 2027-004 sent yesterday",
    ),
    _row(
        "order sent",
        """
        {order:order}<has> <send>[ off] on {on:day}
        {order:order}<has> <send>[ off| out][ today| now]
        {order:order}<has> (out|off|gone)[ today| now]
        {order:order} (went|went out|went off)[ today]
        {order:order} (went|went out|went off) on {on:day}
        <i><send> [off ]{order:order} on {on:day}
        <i><send> [off ]{order:order}[ today| off| out]
        """,
        _sent,
        _SENT,
        "order 2027-004 sent",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "deliver to",
        """
        (deliver|delivery|deliveries)[ goods| orders| everything] to[:] {to:address}
        [our |the |my ](delivery address|address for deliveries)( is|:| =) {to:address}
        [our |the |my ](delivery address|address for deliveries) {to:address}
        goods (go|come|are delivered|should go|should come) to {to:address}
        """,
        lambda _c, to: ChangeBooks(deliver_to=to),
        "an address for deliveries",
        "deliver to 4 Mill Lane, Settle, BD24 9XX",
    ),
    _row(
        "drop order",
        """
        (drop|cancel|withdraw|delete|scrap|void|bin|tear up|call off) {order:order}
        {order:order}<has> (cancelled|canceled|withdrawn|dropped|called off|void)
        """,
        lambda _c, order: DropOrder(order),
        _DROP,
        "drop order 2027-004",
    ),
    _row(
        "order as a page",
        """
        <show>{order:order} (as|in) [a ](page|pdf|pages)
        <show>{order:order} (to print|for printing)
        (print|print out) {order:order}
        [the ](pdf|page) (of|for) {order:order}
        """,
        lambda _c, order: ShowOrder(order, "page"),
        _SHOW,
        "order 2027-004 as a page",
        asks=True,
    ),
    _row(
        "order as text",
        """
        <show>{order:order} (as|in) [plain ](text|words)
        <show>{order:order} to (paste|copy)
        [the ](text|words) (of|for) {order:order}
        """,
        lambda _c, order: ShowOrder(order, "text"),
        _SHOW,
        "order 2027-004 as text",
        asks=True,
    ),
    _row(
        "take off order",
        """
        (take|drop|leave|strike|cut|get) {goods:goods} (off|out of|from) {order:order}
        (remove|delete) {goods:goods} from {order:order}
        take off {goods:goods} from {order:order}
        {order:order}[:] (without|no|drop|minus|take off|leave out|remove) {goods:goods}
        (no|no more) {goods:goods} on {order:order}
        """,
        lambda c, order, goods: _revise(c, order, goods, 0),
        _CHANGE,
        "take the tea off order 2027-004",
    ),
    _row(
        "change order",
        """
        {order:order}[:| -] {n:number}<pieces>[ x][ of] {goods:goods} (at|for) {price:money}<each>
        {order:order}(:| -) {goods:goods} {n:number} (at|for) {price:money}<each>
        {n:number}[ x][ of] {goods:goods} at {price:money} on {order:order}
        add {n:number} {goods:goods} at {price:money} to {order:order}
        """,
        _revise,
        _CHANGE,
        "order 2027-004: 480 notebooks at 2.95",
    ),
    _row(
        "change order",
        """
        {order:order}[:| -] {goods:goods} (at|for|costs|cost|is|are) {price:money}<each>
        {goods:goods} on {order:order}[ is| are] (at|for|costs|cost) {price:money}<each>
        {order:order}: price of {goods:goods}[ is] {price:money}
        """,
        _revise,
        _CHANGE,
        "order 2027-004: notebooks at 2.95",
    ),
    _row(
        "change order",
        """
        [the |our ]<po> {order:ordernumber}[:| -] {n:number}<pieces>[ x][ of] {goods:goods}
        [the |our ]<po> {order:ordernumber}(:| -) {goods:goods}[:| to| =] {n:number}<pieces>
        [the |our ]<po> (for|to) {order:orderof}(:| -) {n:number}<pieces>[ x][ of] {goods:goods}
        {n:number}<pieces>[ x][ of] {goods:goods} on {order:order}
        {goods:goods} on {order:order}[:| is| are| to| should be] {n:number}<pieces>
        (change|set|raise|lower|cut|put) {goods:goods} on {order:order} to {n:number}<pieces>
        (add|put) {n:number}[ x][ of] {goods:goods} (to|on|onto) {order:order}
        (add|put) {goods:goods} (to|on|onto) {order:order}
        """,
        _revise,
        _CHANGE,
        _CHANGED,
    ),
    _row(
        "write order",
        """
        <write-an><po> (for|to) {supplier:supplierid} <at-once>
        """,
        _write_now,
        _WRITE,
        "write the order for Aldermoor now",
    ),
    _row(
        "write order",
        """
        <write-an><po> (for|to|with) {supplier:supplierid}
        <write-an>{supplier:supplierid}['s] <po>
        <an><po> for {supplier:supplierid}
        (the |an |a |our |my |new |next |a new |purchase )(order|po) to {supplier:supplierid}
        order (everything|all|what is due|what we need|whatever is due) from {supplier:supplierid}
        """,
        _write,
        _WRITE,
        _ALDERMOOR,
    ),
    _row(
        "write order for a box",
        """
        <write-an><po> (for|to) {supplier:supplierid} for {box:month}
        <an><po> (for|to) {supplier:supplierid} for {box:month}
        <write-an>{box:month} <po> (for|to) {supplier:supplierid}
        """,
        _write_box,
        "an order for a box",
        "write the order for Aldermoor for March",
    ),
    _row(
        "write order of items",
        """
        <write-an><po> (for|to) {supplier:supplierid}(:| for| of| with) {goods:goodslist}
        <an><po> (for|to) {supplier:supplierid}(:| of| with) {goods:goodslist}
        <write-an><po> (for|of) {goods:goodslist} (to|from|with|at) {supplier:supplierid}
        (order|reorder) {goods:goodslist} (from|with|at) {supplier:supplierid}
        """,
        _write_items,
        "an order of {goods}",
        "write the order for Aldermoor: notebook and pencil",
    ),
    _row(
        "orders",
        """
        <show><all-my><pos> (to|for|with|at) {supplier:supplierid}
        <show><all-my>{supplier:supplierid}['s] <pos>
        (what|which orders) did (i|we) (order|send) (from|to|at) {supplier:supplierid}
        (what|which orders) have (i|we) (ordered|sent) (from|to|at) {supplier:supplierid}
        """,
        lambda _c, supplier: ListOrders(supplier),
        "orders to {supplier}",
        "orders to Aldermoor",
        asks=True,
    ),
    _row(
        "orders",
        """
        <show><all-my><pos>
        (what|which) <pos> (are there|have i written|did i write|did i send|have i sent)
        (what|which) <pos> are (open|not sent|unsent|still to send|out)
        <show><all-my>(open|unsent|latest|last|recent) <pos>
        """,
        lambda _c: ListOrders(),
        "the orders",
        "orders",
        asks=True,
    ),
    _row(
        "show order",
        """
        (show me|show|see|open|look at|view) {order:order}
        (what is|what's|whats) (on|in) {order:order}
        (how is|what about|where is) {order:order}
        [the |our ]<po> {order:ordernumber}
        """,
        lambda _c, order: ShowOrder(order),
        _SHOW,
        "show order 2027-004",
        asks=True,
    ),
)

HALVES: tuple[Phrasing, ...] = (
    _row(
        "write order",
        """
        (write|draft|make|prepare|create|raise|draw up)[ up| me] [the |an |a |new ](order|po)
        (new|next) (order|purchase order|po)
        """,
        _which,
        _WRITE,
        _ALDERMOOR,
        half=True,
    ),
)

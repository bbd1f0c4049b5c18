"""What people say of purchase orders, and what it means: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone. The orders that they speak
of are those of meant.ORDERS.
"""

from datetime import date
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
from assistant.conversation.requests import Request
from tests.conversation.meant import CADDY, NOTEBOOK, PENCIL

ALDERMOOR = WriteOrder("aldermoor")
HANGFENG = WriteOrder("hangfeng")
MILL = ChangeBooks(deliver_to="4 Mill Lane, Settle, BD24 9XX")
OLD, OPEN = "2026-003", "2026-004"  # to Aldermoor, sent; to Hangfeng, not sent yet
PAGE, TEXT = ShowOrder(OPEN, "page"), ShowOrder(OPEN, "text")
FRIDAY = date(2026, 11, 20)

ORDERS: list[tuple[str, Request]] = [
    # written
    ("write the order for Aldermoor", ALDERMOOR),
    ("write the order for aldermoor please", ALDERMOOR),
    ("write up an order for Aldermoor", ALDERMOOR),
    ("wriet the order for Aldermoor", ALDERMOOR),
    ("write the order for Aldermor", ALDERMOOR),
    ("order for Aldermoor", ALDERMOOR),
    ("new order for aldermoor", ALDERMOOR),
    ("PO for Aldermoor", ALDERMOOR),
    ("purchase order to Hangfeng", HANGFENG),
    ("draft an order to hangfeng", HANGFENG),
    ("can you make the purchase order for Hangfeng", HANGFENG),
    ("prepare Hangfeng's order", HANGFENG),
    ("order everything from Aldermoor", ALDERMOOR),
    ("write the order for Aldermoor now", WriteOrder("aldermoor", sure=True)),
    ("write the order for Aldermoor: notebook", WriteOrder("aldermoor", (NOTEBOOK,))),
    ("order for aldermoor: notebok, pencil", WriteOrder("aldermoor", (NOTEBOOK, PENCIL))),
    (
        "order the notebook and the pencil from Aldermoor",
        WriteOrder("aldermoor", (NOTEBOOK, PENCIL)),
    ),
    ("write an order for the tea caddy to Hangfeng", WriteOrder("hangfeng", (CADDY,))),
    ("write the order for Aldermoor for March", WriteOrder("aldermoor", (NOTEBOOK,))),
    ("write the sept order for aldermoor", WriteOrder("aldermoor", (PENCIL,))),
    # shown
    ("order 2026-004", ShowOrder(OPEN)),
    ("show order 4", ShowOrder(OPEN)),
    ("show me order no. 4", ShowOrder(OPEN)),
    ("what is on order 2026-004?", ShowOrder(OPEN)),
    ("whats on the hangfeng order", ShowOrder(OPEN)),
    ("show the order for Aldermoor", ShowOrder(OLD)),
    ("show me the order", ShowOrder(OPEN)),
    ("shwo order 3", ShowOrder(OLD)),
    ("po 2026-004", ShowOrder(OPEN)),
    ("order 2026-004 as a page", PAGE),
    ("order 4 as pdf", PAGE),
    ("print order 4", PAGE),
    ("pdf of order 2026-004", PAGE),
    ("the Hangfeng order as a page", PAGE),
    ("send me order 4 as a pdf", PAGE),
    ("order 2026-004 as text", TEXT),
    ("order 4 to paste", TEXT),
    ("give me the order for hangfeng as plain text", TEXT),
    # listed
    ("orders", ListOrders()),
    ("ordres", ListOrders()),
    ("list orders", ListOrders()),
    ("show me all the orders", ListOrders()),
    ("my purchase orders", ListOrders()),
    ("which orders are not sent?", ListOrders()),
    ("open orders", ListOrders()),
    ("which orders have I written?", ListOrders()),
    ("orders to Aldermoor", ListOrders("aldermoor")),
    ("aldermoors orders", ListOrders("aldermoor")),
    ("show me the orders for aldermoor", ListOrders("aldermoor")),
    ("what have I ordered from Aldermoor?", ListOrders("aldermoor")),
    ("what did we order from hangfeng", ListOrders("hangfeng")),
    # changed
    ("order 2026-003: 480 notebooks", ReviseOrder(OLD, NOTEBOOK, 480)),
    ("order 3: 480 notbooks", ReviseOrder(OLD, NOTEBOOK, 480)),
    ("order 3: notebooks 480", ReviseOrder(OLD, NOTEBOOK, 480)),
    ("480 notebooks on order 3", ReviseOrder(OLD, NOTEBOOK, 480)),
    ("notebooks on order 3 to 480", ReviseOrder(OLD, NOTEBOOK, 480)),
    ("order 2026-003: 1,200 pieces of the pencil", ReviseOrder(OLD, PENCIL, 1200)),
    ("notebooks on order 3 at 2.95", ReviseOrder(OLD, NOTEBOOK, price=Decimal("2.95"))),
    ("order 3: notebooks at £2.95 each", ReviseOrder(OLD, NOTEBOOK, price=Decimal("2.95"))),
    ("order 3: notebook costs 2,95", ReviseOrder(OLD, NOTEBOOK, price=Decimal("2.95"))),
    ("order 3: 480 notebooks at 2.95", ReviseOrder(OLD, NOTEBOOK, 480, Decimal("2.95"))),
    ("take the caddy off order 2026-004", ReviseOrder(OPEN, CADDY, 0)),
    ("tkae the caddy off order 4", ReviseOrder(OPEN, CADDY, 0)),
    ("take the caddy off the order for Hangfeng", ReviseOrder(OPEN, CADDY, 0)),
    ("remove the tea caddy from order 4", ReviseOrder(OPEN, CADDY, 0)),
    ("order 2026-004 without the caddy", ReviseOrder(OPEN, CADDY, 0)),
    ("no caddy on the hangfeng order", ReviseOrder(OPEN, CADDY, 0)),
    ("add the caddy to order 4", ReviseOrder(OPEN, CADDY)),
    ("add 50 caddy to order 4", ReviseOrder(OPEN, CADDY, 50)),
    # sent
    ("order 2026-004 sent", OrderSent(OPEN)),
    ("order 4 is sent", OrderSent(OPEN)),
    ("order 4 snet", OrderSent(OPEN)),
    ("I sent the order to Hangfeng", OrderSent(OPEN)),
    ("sent order 4", OrderSent(OPEN)),
    ("i've emailed the hangfeng order", OrderSent(OPEN)),
    ("the order for Hangfeng has gone", OrderSent(OPEN)),
    ("Hangfeng order went out", OrderSent(OPEN)),
    ("the order is sent", OrderSent(OPEN)),
    ("order 4 sent yesterday", OrderSent(OPEN, date(2026, 11, 25))),
    ("order 2026-004 sent on 2026-11-20", OrderSent(OPEN, FRIDAY)),
    ("order 4 sent on 20 nov", OrderSent(OPEN, FRIDAY)),
    # withdrawn
    ("drop order 2026-004", DropOrder(OPEN)),
    ("cancel order 4", DropOrder(OPEN)),
    ("cancle order 4", DropOrder(OPEN)),
    ("withdraw the order to Hangfeng", DropOrder(OPEN)),
    ("order 4 is cancelled", DropOrder(OPEN)),
    ("drop the Hangfeng order", DropOrder(OPEN)),
    ("delete order no 3", DropOrder(OLD)),
    # where to
    ("deliver to 4 Mill Lane, Settle, BD24 9XX", MILL),
    ("Deliver to: 4 Mill Lane, Settle, BD24 9XX", MILL),
    ("our delivery address is 4 Mill Lane, Settle,  BD24 9XX", MILL),
    ("our delivery address: 4 Mill Lane, Settle, BD24 9XX", MILL),
    ("my delivery address 4 Mill Lane ,Settle,BD24 9XX", MILL),
    ("deliver everything to 4 Mill Lane, Settle, BD24 9XX", MILL),
    ("deilver to 4 Mill Lane, Settle, BD24 9XX", MILL),
    ("goods go to Old Dairy, Settle", ChangeBooks(deliver_to="Old Dairy, Settle")),
]

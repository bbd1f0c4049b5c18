"""The invented shop that the tables of utterances speak of, and short ways to write what is meant.

The chat was last about TALK, or about ONE deadline only; it is TODAY.
"""

from datetime import UTC, date, datetime
from typing import Any

from msgspec.structs import replace

from assistant.conversation.requests import (
    AddItem,
    ChangeItem,
    ChangeSupplier,
    Close,
    ItemFacts,
)
from assistant.planning.model import Closure, Lead, Order, OrderLine, Person, Stock, Talk, Variant
from tests.trade import offer, shop

TODAY = date(2026, 11, 26)  # a Thursday
MUGS, NOTEBOOKS = "2026-10.tin mug", "2026-09.field notebook"  # left over

SHOP = shop(
    "Aldermoor DE: lead 20d",
    "Brackenfold",
    "Hangfeng CN: confirm 2d, transit 5d",
    "2027-02 Frost: candle holder@Brackenfold 450 x 2.10",
    "2027-03 Rain and roots: field notebook@Aldermoor 450 x 3.10, lead 20d;"
    " oat biscuits@Brackenfold",
    "2027-05 First swifts: mint tea@Brackenfold 450 x 1.20; enamel pin@Hangfeng; seed packet",
    "2027-09 Harvest: tea caddy@Hangfeng; enamel pin@Hangfeng; drawing pencil@Aldermoor",
    "2027-11 Dark evenings",
)
SHOP = replace(
    SHOP,
    people=(
        Person(id="p1", chat="terminal:you", name="Mara", role="owner"),
        Person(id="p2", chat="telegram:2", name="Anna"),
        Person(id="p3", chat="telegram:3", name="Jo"),
    ),
    stock=(
        Stock(MUGS, "tin mug", 12, date(2026, 10, 20), "2026-10"),
        Stock(NOTEBOOKS, "field notebook", 38, date(2026, 9, 20), "2026-09"),
    ),
    offers=(offer("Brackenfold: enamel pin 1.40, quoted 2026-11-20"),),
    variants=tuple(
        Variant(name.lower(), name, datetime(2026, 11, 2, tzinfo=UTC), SHOP.boxes, SHOP.items)
        for name in ("plan B", "Early orders")
    ),
)

NOTEBOOK, BISCUITS, TEA = "2027-03.field notebook", "2027-03.oat biscuits", "2027-05.mint tea"
CADDY, SEEDS, PENCIL = "2027-09.tea caddy", "2027-05.seed packet", "2027-09.drawing pencil"
PIN_QUOTE = "brackenfold.enamel pin"
MAY_PIN, HOLDER = "2027-05.enamel pin", "2027-02.candle holder"


def order(id: str, supplier: str, *items: str, **fields: Any) -> Order:
    lines = tuple(OrderLine(one, one[8:], 400, box=one[:7]) for one in items)
    return Order(id, supplier, date(2026, 11, 18), lines, currency="GBP", **fields)


ORDERS = (
    order("2026-003", "aldermoor", NOTEBOOK, PENCIL, sent=date(2026, 11, 19)),
    order("2026-004", "hangfeng", MAY_PIN, CADDY, "2027-09.enamel pin"),
)
SHOP = replace(SHOP, orders=ORDERS)
ORDER, PACK, STOCK = f"{NOTEBOOK}/order", "2027-03/pack", f"{TEA}/stock"

TALK = Talk(
    id="terminal:you",
    item=NOTEBOOK,
    box="2027-03",
    ideas=("idea-a", "idea-b"),
    offers=("offer-a", "offer-b"),
    deadlines=(ORDER, PACK, STOCK),
)
ONE = Talk(id="terminal:you", item=TEA, box="2027-05", deadlines=(STOCK,))


def item(name: str, box: str = "2027-03", **facts: Any) -> AddItem:
    return AddItem(box, ItemFacts(name=name, **facts))


def change(id: str, **facts: Any) -> ChangeItem:
    return ChangeItem(id, ItemFacts(**facts))


def closed(who: str, first: date, last: date | None, reason: str = "closed", **more: Any) -> Close:
    return Close(who, Closure(reason, first, last, **more))


def supplier(name: str, **said: Any) -> ChangeSupplier:
    return ChangeSupplier(name, **said)


WEEKS_4 = Lead(28, "calendar")
AUGUST = (date(2027, 8, 2), date(2027, 8, 20))

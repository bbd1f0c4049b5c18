"""What is to be counted in: pieces on their way, how many of them to look at, for what.

Knows: items that are ordered, what came of them. Must not know: pages, words to the owner.
Invariants: what was counted and found good, and what is packed, is not counted in again; a part
that came is counted off; how many to look at follows from the pieces still to come alone.
"""

from datetime import date

from assistant.planning.changes import find
from assistant.planning.model import Item, Record, Shop
from assistant.planning.month.looking import Look, look
from assistant.planning.month.progress import Progress, progress
from assistant.planning.month.sampling import Plan, plan, to_open
from assistant.planning.shipping import shipped
from assistant.planning.trade.orders import order_with

OPEN = ("ordered", "dispatched", "arrived in part", "arrived")  # states with something to count


class Coming(Record):
    """An item that is to be counted in.

    `pieces` are still to come (None: it is not known how many), `came` good ones came before;
    `case` pieces come in a carton; `needed` good ones are enough for the box; `shares` are pieces
    by option; `expected` is the day as things stand, None where it is there or no day is known;
    `order` is the order's number or the supplier's reference.
    """

    item: str  # Item.id
    name: str
    box: str  # Box.id
    supplier: str  # Supplier.id
    order: str
    expected: date | None
    pieces: int | None
    came: int
    case: int | None
    needed: int | None
    shares: tuple[tuple[str, int], ...]
    look: Look

    @property
    def plan(self) -> Plan | None:
        """How many to look at, and how many bad ones are too many."""
        return None if not self.pieces else plan(self.pieces)

    @property
    def cartons(self) -> int | None:
        """Cartons to come, the last perhaps not full; None where it is not known."""
        return -(-self.pieces // self.case) if self.pieces and self.case else None

    @property
    def open(self) -> int | None:
        """From how many cartons to take the pieces to look at, at most one a piece."""
        if self.cartons is None or self.plan is None:
            return None
        return min(to_open(self.cartons), self.plan.look)


def coming(
    shop: Shop, today: date, *, item: str = "", supplier: str = "", box: str = ""
) -> tuple[Coming, ...]:
    """Return what is to be counted in, of an item, a supplier or a box where one is named (by id),
    by the day on which it is expected."""
    wanted = (
        one
        for one in shop.items
        if item in ("", one.id) and supplier in ("", one.supplier) and box in ("", one.box)
    )
    going = (one for one in wanted if not shipped(shop, one.box, today))
    found = ((one, progress(shop, one.id, today)) for one in going)
    rows = [_coming(shop, one, state) for one, state in found if _to_count(state)]
    return tuple(sorted(rows, key=lambda one: (one.expected or today, one.box, one.name)))


def _to_count(state: Progress) -> bool:
    return state.state in OPEN and (not state.came or state.ordered is None or _left(state) > 0)


def _left(state: Progress) -> int:
    return max((state.ordered or 0) - state.good, 0)


def _coming(shop: Shop, item: Item, state: Progress) -> Coming:
    bought = find(shop.purchases, item.id)
    return Coming(
        item=item.id,
        name=item.name,
        box=item.box,
        supplier=item.supplier,
        order=bought.reference if bought is not None else "",
        expected=state.expected,
        pieces=_left(state) if state.ordered else None,
        came=state.good,
        case=item.case_pack,
        needed=state.needed,
        shares=() if state.came else _shares(shop, item, state.ordered),
        look=look(item),
    )


def _shares(shop: Shop, item: Item, ordered: int | None) -> tuple[tuple[str, int], ...]:
    """The options of an item as its order has them; none where another number was ordered."""
    order = order_with(shop, item.id)
    lines = () if order is None else order.lines
    line = next((line for line in lines if line.item == item.id), None)
    return line.shares if line is not None and line.quantity == ordered else ()

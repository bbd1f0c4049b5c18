"""How far an item is: from a thought to a packed box, and when it should be in hand.

Knows: what was bought and came, the ledger, what is needed. Must not know: words, who is told.
Invariants: the ledger alone says that a step is done, purchases and deliveries say how many, when
and by whom; what a later step implies is done here as it is there; the day of need is the plan's
and never moves by what a supplier says, only the expected day does.

The steps: common practice, no source.
"""

from datetime import date
from typing import Literal

from assistant.planning.chains import Outlook, outlook
from assistant.planning.changes import find
from assistant.planning.deadlines import deadline
from assistant.planning.model import Delivery, Item, Purchase, Record, Shop
from assistant.planning.month.coming import Promise
from assistant.planning.numbers.quantity import amount
from assistant.planning.shipping import shipped

State = Literal[
    "thought of",
    "settled",
    "ordered",
    "dispatched",
    "arrived in part",
    "arrived",
    "checked",
    "packed",
]
STATES: tuple[State, ...] = (
    "thought of",
    "settled",
    "ordered",
    "dispatched",
    "arrived in part",
    "arrived",
    "checked",
    "packed",
)
SOURCE, ORDER, DISPATCH, STOCK, PACK = "source", "order", "dispatch", "stock", "pack"


class Progress(Record):
    """How far an item is. Pieces; days; `float` in the shop's working days.

    `ordered` pieces, None where that is not known; `came` of them, `damaged` of those unusable,
    `good` the rest; `short` have not come. `needed` good pieces are enough for the box, None where
    it is not known. `promised` is what its supplier said, `expected` when it should be in hand as
    things stand (None: never, no dates, or it is there), `latest` when it must be.
    """

    item: str
    state: State
    ordered: int | None = None
    came: int = 0
    damaged: int = 0
    needed: int | None = None
    promised: date | None = None
    expected: date | None = None
    latest: date | None = None
    float: int | None = None

    @property
    def good(self) -> int:
        """Pieces that came and can be packed."""
        return self.came - self.damaged

    @property
    def short(self) -> int:
        """Pieces of the order that have not come."""
        return max((self.ordered or 0) - self.came, 0)

    @property
    def lacks(self) -> int:
        """Good pieces that the box still needs beyond what came."""
        return max((self.needed or 0) - self.good, 0)

    @property
    def is_ordered(self) -> bool:
        """Whether its order is placed."""
        return STATES.index(self.state) >= STATES.index("ordered")

    @property
    def is_in(self) -> bool:
        """Whether all of it is in hand."""
        return STATES.index(self.state) >= STATES.index("arrived")


def progress(shop: Shop, item_id: str, today: date) -> Progress:
    """Return how far an item is; one that is not in the plan is only thought of."""
    item = find(shop.items, item_id)
    if item is None:
        return Progress(item_id, "thought of")
    bought, came = find(shop.purchases, item.id), deliveries_of(shop, item.id)
    state = _state(shop, item, bought, came, today)
    open_yet = state in ("thought of", "settled")
    found = outlook(shop, item, today)
    coming = found if found is not None and not found.in_hand else None
    return Progress(
        item=item.id,
        state=state,
        ordered=None if open_yet else _ordered(item, bought),
        came=sum(one.pieces for one in came),
        damaged=sum(one.damaged for one in came),
        needed=needed(shop, item.id, today),
        promised=None if open_yet or bought is None else bought.promised,
        expected=coming.expected if coming else None,
        latest=found.latest if found else None,
        float=coming.float if coming else None,
    )


def expected_in(shop: Shop, item: Item, today: date) -> date | None:
    """Return the day on which an item should be in hand as things stand: as promised, else as what
    is done gives it, else as if it were ordered today. None where it never will be, has no dates,
    or is there."""
    found: Outlook | None = outlook(shop, item, today)
    return None if found is None or found.in_hand else found.expected


def needed(shop: Shop, item_id: str, today: date) -> int | None:
    """Return how many good pieces are enough for the box; None where nobody is expected. What is
    there needs no spares for damage on the way."""
    found = amount(shop, item_id, today)
    if found is None or not found.expected:
        return None
    return max(found.expected + found.safety - found.stock, 0)


def deliveries_of(shop: Shop, item_id: str) -> tuple[Delivery, ...]:
    """Return what came of an item, the first first."""
    found = (one for one in shop.deliveries if one.item == item_id)
    return tuple(sorted(found, key=lambda one: one.on))


def promises(shop: Shop) -> tuple[Promise, ...]:
    """Return what suppliers said last of when items will be in hand."""
    return tuple(
        Promise(one.id, one.promised, one.said or one.ordered or one.promised)
        for one in shop.purchases
        if one.promised is not None
    )


def is_done(shop: Shop, key: str, today: date) -> bool:
    """Say whether a stage is done or not needed, by its key; of a stage without a date the ledger
    says it."""
    if (found := deadline(shop, key, today)) is not None:
        return found.state != "open"
    mark = find(shop.ledger, key)
    return mark is not None and mark.state != "open"


def _state(
    shop: Shop,
    item: Item,
    bought: Purchase | None,
    came: tuple[Delivery, ...],
    today: date,
) -> State:
    def done(stage: str, owner: str = item.id) -> bool:
        return is_done(shop, f"{owner}/{stage}", today)

    if done(PACK, item.box) or shipped(shop, item.box, today):
        return "packed"
    if done(STOCK):
        return "checked" if bought is not None and bought.checked else "arrived"
    if came:
        return "arrived in part"
    if done(DISPATCH):
        return "dispatched"
    if done(ORDER):
        return "ordered"
    return "settled" if done(SOURCE) else "thought of"


def _ordered(item: Item, bought: Purchase | None) -> int | None:
    """Pieces that were ordered: as agreed, else as the plan says."""
    known = bought.quantity if bought is not None else None
    return item.quantity if known is None else known

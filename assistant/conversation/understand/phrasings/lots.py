"""Ways to ask whether to buy at once, and to tell what an order and keeping things cost.

Knows: requests about lots, ChangeBooks of storage, interest and the cost of an order. Must not
know: how a line is matched. Invariants: the sentences of buttons (EXACT) stand before all others; a
name that stands for the same goods in several boxes names them all; each example is understood as
its row.
"""

from decimal import Decimal

from assistant.conversation.order_requests import ChangeBooks, ShowLots
from assistant.conversation.sentences.lots import lots
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import exact_item, known_item
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find, profile_of
from assistant.planning.model import Item
from assistant.planning.numbers.lots import same_goods

OFFERED = 4  # goods under one question


def _goods(text: str, c: Context) -> str | Unclear | None:
    """An item by its name; where the same goods are in several boxes, the first of them."""
    found = known_item(text, c)
    if not isinstance(found, Unclear):
        return found
    ids = [exact_item(says, c) for _, says in found.offers]
    first, *others = [find(c.shop.items, id) for id in ids if id] or [None]
    same = first and len(ids) == len(others) + 1
    if first and same and all(one and same_goods(one, first) for one in others):
        return first.id
    return found


KINDS: dict[str, Kind] = {"samegoods": Kind(r".+?", _goods)}

# Words that stand in many patterns of this room.
_SHORTHAND = {
    "<one>": "(one|1|a single|a)",
    "<more>": "(several|many|more|two|2|a few|separate ones|more than one)",
    "<lot>": "(lot|order|batch|go)",
    "<buy>": "(buy|order|get|purchase)",
    "<at-once>": "(at once|all at once|in one go|in one lot|in one order|as one lot|together"
    "|in bulk|in advance|for the year|for the whole year|for all boxes|all together|all in one go)",
    "<is-it>": "(is it|would it be|is it not|isn't it)",
    "<should>": "(should|shall|can|could|do|must) (i|we)",
    "<place>": "[ to place| to make| to do| to send| of my time| of our time| each| in my time]",
    "<a-piece>": "[,] (a|per|each|for each|every) (piece|item|unit|one)",
    "<a-month>": "[,] (a|per|each|every) month",
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _SHORTHAND.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example, asks=asks)


def _lots(_c: Context, item: str) -> Built:
    return ShowLots(item)


def _every_way(_c: Context, item: str) -> Built:
    return ShowLots(item, whole=True)


def _spoken_of(c: Context) -> Built:
    if find(c.shop.items, c.talk.item):
        return ShowLots(c.talk.item)
    coming = [item for item in c.shop.items if item.box >= c.month]
    firsts: list[Item] = []
    for item in coming:
        several = sum(same_goods(item, other) for other in coming) > 1
        if several and not any(same_goods(item, other) for other in firsts):
            firsts.append(item)
    offers = tuple((item.name, lots(c.shop, item.id)) for item in firsts[:OFFERED])
    return Unclear("I do not know of what", offers, whole=True)


def _own(c: Context, price: Price, what: str) -> Decimal | Unclear:
    """An amount in the shop's currency."""
    own = profile_of(c.shop).currency
    if price.currency not in ("", own):
        return Unclear(f"{what} is told in {own}")
    return price.amount


def _storage(c: Context, price: Price) -> Built:
    found = _own(c, price, "what keeping a piece costs")
    return found if isinstance(found, Unclear) else ChangeBooks(storage=found)


def _order(c: Context, price: Price) -> Built:
    found = _own(c, price, "what an order costs you")
    return found if isinstance(found, Unclear) else ChangeBooks(order_cost=found)


def _which_time(_c: Context, **_said: object) -> Built:
    return Unclear("storage is told of one piece for a month")


_NOTEBOOK = "field notebook for 2027-03"
_QUESTION = "whether to buy {item} at once"
_STORAGE = "what keeping a piece costs"
_STORAGE_EXAMPLE = "storage costs 0.05 a piece a month"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "lots",
        "one lot or several: {item:exactitem}",
        _lots,
        _QUESTION,
        f"one lot or several: {_NOTEBOOK}",
        asks=True,
    ),
    _row(
        "every way",
        "every way to buy {item:exactitem}",
        _every_way,
        _QUESTION,
        f"every way to buy {_NOTEBOOK}",
        asks=True,
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "lots",
        """
        <one> <lot> or <more>[ lots| orders][ is better][ for| of| with] {item:samegoods}
        <more>[ lots| orders] or <one>[ lot| order] (for|of|with) {item:samegoods}
        {item:samegoods} <one> <lot> or <more>[ lots| orders]
        {item:samegoods}[:|,] in <one> <lot>[ or <more>[ lots| orders]]
        (lots|lot sizes|lot size|batch size) (for|of) {item:samegoods}
        <should> <buy> {item:samegoods} <at-once>
        <should> <buy> all[ the| of the| my] {item:samegoods}[ <at-once>]
        <buy> {item:samegoods} <at-once>
        <buy> all[ the| of the| my] {item:samegoods} <at-once>
        <is-it> (cheaper|better|worth it|worthwhile) to <buy> {item:samegoods} <at-once>
        <is-it> (cheaper|better) to <buy> all[ the| of the| my] {item:samegoods}[ <at-once>]
        (does it|would it) (pay|save) to <buy> {item:samegoods} <at-once>
        how often <should> <buy> {item:samegoods}
        (how many|in how many) (lots|orders|batches) (of|for) {item:samegoods}
        """,
        _lots,
        _QUESTION,
        "one lot or several for the notebooks",
        asks=True,
    ),
    _row(
        "every way",
        """
        [show |show me ]every way to <buy> {item:samegoods}
        [show |show me ]all[ the] ways to <buy> {item:samegoods}
        """,
        _every_way,
        _QUESTION,
        "every way to buy the notebooks",
        asks=True,
    ),
    _row(
        "lots of it",
        """
        <one> <lot> or <more>[ lots| orders]
        <should> <buy> (it |them )all <at-once>
        """,
        _spoken_of,
        "a question about lots",
        "one lot or several for the notebooks",
        asks=True,
    ),
    _row(
        "storage",
        """
        (storage|storing|keeping stock|keeping things|warehousing|stock)[ is| costs[ us| me]][:] \
{price:money}<a-piece><a-month>
        (storing|keeping) (a|one|each) piece[ costs[ us| me]][:] {price:money}<a-month>
        (storage|storing|keeping) costs[ us| me] {price:money}<a-month><a-piece>
        {price:money} storage<a-piece><a-month>
        """.replace("\\\n", ""),
        _storage,
        _STORAGE,
        _STORAGE_EXAMPLE,
    ),
    _row(
        "no storage",
        """
        (storage|storing things|keeping stock) (is free|costs nothing)
        (storage|storing things|keeping stock) costs (us|me) nothing
        (we|i) have room enough
        """,
        lambda _c: ChangeBooks(storage=Decimal(0)),
        _STORAGE,
        "storage costs nothing",
    ),
    _row(
        "interest",
        """
        money[ tied up][ in stock] costs[ us| me] {percent:percent}[ ](%|percent|per cent)<a-year>
        (interest|interest rate|interest on stock|cost of money)[ is| costs| of][:] \
{percent:percent}[ ](%|percent|per cent)<a-year>
        (we|i) pay {percent:percent}[ ](%|percent|per cent) interest<a-year>
        {percent:percent}[ ](%|percent|per cent) interest[ on stock| on money tied up]<a-year>
        """.replace("\\\n", "").replace("<a-year>", "[ a year| per year| yearly| each year| p.a.]"),
        lambda _c, percent: ChangeBooks(interest=percent),
        "what money tied up in stock costs",
        "money costs 8% a year",
    ),
    _row(
        "order cost",
        """
        (an|each|every|one|one more) order costs[ us| me] {price:money}<place>
        (placing|palcing|making|sending|writing) (an|each|one) order costs[ us| me] {price:money}
        [the ](cost of (an|each|one more|placing an) order|order cost|ordering cost)[ is][:] \
{price:money}
        """.replace("\\\n", ""),
        _order,
        "what an order costs you",
        "an order costs me 15 to place",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "storage",
        """
        (storage|storing|keeping stock|warehousing) (costs|is|costs us|costs me) {price:money}
        (storage|storing|keeping stock|warehousing) costs[ us| me] {price:money} {words:words}
        """,
        _which_time,
        _STORAGE,
        _STORAGE_EXAMPLE,
        half=True,
    ),
)

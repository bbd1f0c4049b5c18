"""Ways to ask what boxes and items cost, and what would be cheaper.

Knows: requests about costs; the rows of figures, rates and postage (books.py, postage.py) belong
to this room. Must not know: how a line is matched. Invariants: "it" is the item or box that was
spoken of last; each example is understood as its row.
"""

from assistant.conversation.order_requests import Cheaper, ShowCosts
from assistant.conversation.sentences import costs as say
from assistant.conversation.understand.boxes import BOX, exact_box, next_boxes, read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_item
from assistant.conversation.understand.phrasings import books, postage
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare
from assistant.planning.changes import find


def _costly(text: str, c: Context) -> ShowCosts | Unclear | None:
    """The box or the item whose cost is asked for."""
    box = exact_box(text, c)
    if box is not None:
        return ShowCosts(box)
    said = bare(text)
    if said in ("it", "that", "this") and find(c.shop.items, c.talk.item) is None:
        found = read_box(text, c)
        return ShowCosts(found) if isinstance(found, str) else found
    item = known_item(text, c)
    if isinstance(item, Unclear):
        return item if item.offers and not item.stray else None
    return ShowCosts(item=item) if item else None


def _year(text: str, c: Context) -> int | Unclear:
    year = int(text)
    near = abs(year - c.today.year) <= 30
    return year if near else Unclear(f"{year} is too far from today")


KINDS: dict[str, Kind] = {
    **books.KINDS,
    **postage.KINDS,
    "costly": Kind(r"[^:;]{1,60}?", _costly),
    "costbox": Kind(rf"(?:{BOX}|it|that|(?:this|that|the) (?:box|month))", read_box),
    "costyear": Kind(r"(?:19|20|21)\d\d", _year),
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, written in _WORDS.items():
        says = says.replace(short, written)
    return Phrasing(name, says, build, gist, example, asks=asks)


_WORDS = {
    "<target>": "[ its| their| the| our| my] (budget|target|target cost|cost target)",
    "<all-boxes>": "(the year|this year|the whole year|the plan|the boxes|all boxes|every box)",
    "<drawn>": "(picture|bars|bar chart|chart|graph|drawing)",
    "<in-full>": "(in full|in detail|item by item)",
    "<a-box>": "[ a box| per box| each| for each box| for a box]",
}


def _whole(request: ShowCosts) -> ShowCosts:
    return ShowCosts(request.box, item=request.item, whole=True)


def _costs(_c: Context, year: int | None = None) -> Built:
    return ShowCosts(year=year)


def _which_cheaper(c: Context) -> Built:
    offers = tuple((label, say.cheaper(id)) for label, id in next_boxes(c))
    return Unclear("I do not know which box", offers, whole=True)


_COST, _COSTS = "what does May cost", "costs of the year"

_ASKED: tuple[Phrasing, ...] = (
    _row(
        "picture of costs",
        """
        <drawn> of [the |our |my ](costs|box costs)[ of <all-boxes>]
        <drawn> of [the ]costs (of|for|in) {year:costyear}
        (draw|chart|plot) [me ][the |our |my ](costs|box costs)[ of <all-boxes>]
        (draw|chart|plot) [the ]costs (of|for|in) {year:costyear}
        [show ][the ][box ]costs[ of <all-boxes>] as (a picture|bars|a bar chart|a chart)
        (cost|costs) (bars|picture|chart)
        """,
        lambda _c, year=None: ShowCosts(year=year, picture=True),
        "the costs as a picture",
        "picture of the costs of the year",
        asks=True,
    ),
    _row(
        "every cost",
        """
        [show |show me ][the |our |my |all ][box ]costs[ of <all-boxes>] in full
        [show |show me ][the ]costs (of|for|in) {year:costyear} in full
        [the ]costs (of|for) (each|every) box
        what does (each|every) box cost
        """,
        lambda _c, year=None: ShowCosts(year=year, whole=True),
        "what every box costs",
        "costs of the year in full",
        asks=True,
    ),
    _row(
        "costs",
        """
        [show |show me |what are ][the |our |my |all ][box ]costs[ (of|for|in|over) <all-boxes>]
        [show |show me |what are ][the |our |all ][box ]costs (of|for|in) {year:costyear}
        (what|how much) (does|will|do) <all-boxes> cost[ us| me]
        (what|how much) (does|will) {year:costyear} cost[ us| me]
        [what is |what's |show ][the |our |my ](margin|margins|profit)[ of <all-boxes>| this year]
        [what is |what's |show ][the |our ](margin|margins|profit) (of|for|in) {year:costyear}
        (what|how much) (do|will) (we|i) (earn|make|keep) (in|from|on) (<all-boxes>|{year:costyear})
        (what|how much) (do|will) (we|i) (earn|make)[ a year| this year]
        (is|are) (<all-boxes>|we|anything|any box) (over|within)<target>
        (which|what) (boxes|months) (is|are) (over|above|within)<target>
        (which|what) (boxes|months) (is|are) too (dear|expensive)
        when do (we|i) break even
        (where|how) is [our |the |my ]break[ -]even[ point]
        """,
        _costs,
        "the costs of the boxes",
        _COSTS,
        asks=True,
    ),
    _row(
        "cost in full",
        """
        (what|how much) (does|will|would|do) {what:costly} cost <in-full>
        [show |every |all ][the ](cost|costs) (of|for) {what:costly} <in-full>
        """,
        lambda _c, what: _whole(what),
        "every cost of {what}",
        "what does May cost in full",
        asks=True,
    ),
    _row(
        "cost",
        """
        (what|how much) (does|will|would|do) {what:costly} cost[ us| me][ landed| all in]<a-box>
        how much (is|are) {what:costly}[ landed| all in]
        [what is |what's |whats |show |show me ][the ][landed ](cost|costs) (of|for) {what:costly}
        {what:costly} landed
        """,
        lambda _c, what: what,
        "what {what} costs",
        _COST,
        asks=True,
    ),
    _row(
        "cost of a box",
        """
        (is|are|will) {box:anybox}[ be] (over|under|within|on|above|below|inside)<target>
        (is|will) {box:costbox}[ be] [too |very |so ](dear|expensive|costly|pricey)
        (is|will) {box:costbox}[ be] over[ it| by much]
        how (dear|expensive) is {box:costbox}
        {box:anymonth} (cost|costs|margin|profit|budget)
        [what is |what's |show |show me ][the |our ](margin|profit) (of|on|for|in) {box:anybox}
        (what|how much) (does|will) {box:costbox} (earn|make|leave|bring)[ us| me]
        (what|how much) (do|will) (we|i) (earn|make|keep) (on|with|from|in) {box:costbox}
        (does|will) {box:costbox} (pay|make money|make a profit|lose money)
        how many boxes[ of {box:anymonth}] to break even
        """,
        lambda c, box="": ShowCosts(box or c.talk.box),
        "what a box costs",
        "is May over budget",
        asks=True,
    ),
    _row(
        "cheaper",
        """
        (make|get|bring) {box:costbox} cheaper
        how (can|could|do|would|should) (i|we) (make|get|bring) {box:costbox} cheaper
        (what|what else|how) <could> <bring> {box:anybox} <under>
        <bring> {box:costbox} <under>
        (cut|reduce|lower|bring down|save on) [the ](cost|costs) (of|in|for) {box:costbox}
        (save|save money|where can i save|where can we save|how can we save) (on|in) {box:costbox}
        (what|how) (would|could|can|will) make {box:costbox} cheaper
        {box:costbox} (is|looks|gets) too (dear|expensive|costly|pricey)
        cheaper {box:anymonth}
        """.replace("<could>", "(would|could|can|will|do i|do we|can i|can we)")
        .replace("<bring>", "(bring|get|put|push|take)")
        .replace("<under>", "[back ](under|within|below|down to|inside|in)<target>"),
        lambda _c, box: Cheaper(box),
        "a box to make cheaper",
        "make May cheaper",
        asks=True,
    ),
)

EXACT: tuple[Phrasing, ...] = (
    *postage.EXACT,
    _row(
        "cost",
        "landed cost of {item:exactitem}",
        lambda _c, item: ShowCosts(item=item),
        "what an item costs",
        _COST,
        asks=True,
    ),
)
TABLE: tuple[Phrasing, ...] = (*_ASKED, *books.TABLE, *postage.TABLE)
HALVES: tuple[Phrasing, ...] = (
    *postage.HALVES,
    Phrasing(
        "cost of a box",
        """
        (how much is|what does|what is the cost of|cost of) {box:anybox}[ cost]
        """,
        lambda _c, box: ShowCosts(box),
        "what a box costs",
        _COST,
        asks=True,
        half=True,
    ),
    Phrasing(
        "cheaper",
        """
        (what|how) (would|could|can) (be|make|get|i make|we make)[ it| the box| a box] cheaper
        """,
        _which_cheaper,
        "a box to make cheaper",
        "make May cheaper",
        asks=True,
        half=True,
    ),
)

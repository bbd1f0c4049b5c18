"""Ways to speak of how many to order, of what decides it, and of how an item is sold.

Knows: requests of quantities, ChangeBooks of chances and damage, facts of an item's orders. Must
not know: how a line is matched. Invariants: the sentences of buttons, and words that another room
would take for its own (EXACT), stand before all others; a fact is an item's only where words name
the item, else the shop's; each example is understood as its row.
"""

from decimal import Decimal

from assistant.conversation.order_requests import ChangeBooks, HowMany
from assistant.conversation.requests import ChangeItem, ItemFacts
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.facts import read_facts
from assistant.conversation.understand.facts_of_orders import ANCHORS
from assistant.conversation.understand.names import known_item
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find, profile_of
from assistant.planning.month.sent import sent_on
from assistant.planning.numbers.quantity import LEAST_SURE, MOST_DAMAGE, SUREST

_NOTEBOOK = "field notebook for 2027-03"


def _order_facts(text: str, c: Context) -> ItemFacts | Unclear | None:
    return read_facts(text, c, named=False)


KINDS: dict[str, Kind] = {"orderfacts": Kind(rf"(?:{ANCHORS}).*", _order_facts)}


# Words that stand in many patterns of this room.
_ORDER = (
    "to order| to buy| to get| do i order| do we order| should i order| shall i order| do i need"
    "| do we need| do i buy| must i order| do i need to order"
)
_SHORTHAND = {
    "<to-order>": f"[ {_ORDER}]",
    "<needed>": f"( {_ORDER}| are needed| do i get| should we order| should i buy| needed"
    "| will i need| will we need| ought i to order| does it take| is that| is it)",
    "<all>": "(everything|each|all|all items|each item|every item|all of it)",
    "<quantities>": "(quantities|order quantities|amounts to order)",
    "<percent>": "{percent:percent}[ ](%|percent|per cent)",
    "<enough>": "[ not to run short| of enough| to have enough| that it is enough"
    "| that nothing runs short| we do not run short| we don't run short]",
    "<a-box>": "[ a box| per box| each| for each box| each box| for a box]",
    "<short>": "(running short|running out|a shortage|being short|a box short|each box short"
    "|a missing box|one box too few)",
    "<leftovers>": "(leftovers|left overs|left-overs|what is left over|surplus)",
    "<fetch>": "(fetch|fetches|sell for|sells for|bring|brings|go for|still fetch)",
    "<of-cost>": "[ of what they cost| of their cost| of the cost| of cost| of its cost"
    "| of their price| of the price]",
    "<arrive>": "(arrive|arrives|come|comes|turn up|are|is|get|gets) "
    "(broken|damaged|unusable|faulty|cracked)",
    "<left>": "(left|left over|in stock|on hand)",
    "<minimum>": "(minimum|moq|min)[ order] (of|for)",
    "<sold>": "[:|,| is| are| has| have| come| comes| are sold| is sold| with]",
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _SHORTHAND.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example, asks=asks)


# --- how many -------------------------------------------------------------------------------


def _item(c: Context, words: str, box: str) -> str | Unclear | None:
    return known_item(f"{words} for {box}" if box else words, c)


def _how_many(c: Context, words: str, box: str = "") -> Built:
    found = _item(c, words, box)
    return HowMany(item=found) if isinstance(found, str) else found


def _why_so_many(c: Context, words: str = "it", box: str = "") -> Built:
    found = _item(c, words, box)
    return HowMany(item=found, whole=True) if isinstance(found, str) else found


def _spoken_of(c: Context) -> Built:
    """How many of what the chat was last about."""
    if find(c.shop.items, c.talk.item):
        return HowMany(item=c.talk.item)
    return HowMany(box=c.talk.box)


# --- the shop's own figures -----------------------------------------------------------------


def _sure(_c: Context, percent: Decimal) -> Built:
    if not LEAST_SURE <= percent <= SUREST:
        return Unclear(f"{percent:f}% cannot be had: choose between {LEAST_SURE:f} and {SUREST:f}%")
    return ChangeBooks(confidence=percent)


def _short(c: Context, cost: Price) -> Built:
    own = profile_of(c.shop).currency
    if cost.currency not in ("", own):
        return Unclear(f"what running short costs is told in {own}")
    return ChangeBooks(short_cost=cost.amount)


def _damage(_c: Context, percent: Decimal) -> Built:
    if percent > MOST_DAMAGE:
        return Unclear(f"{percent:f}% broken is more than I can order spares for")
    return ChangeBooks(damage=percent)


# --- items ----------------------------------------------------------------------------------


def _facts(_c: Context, item: str, facts: ItemFacts) -> Built:
    return ChangeItem(item, facts)


def _change(c: Context, item: str, facts: str) -> Built:
    found = read_facts(facts, c, named=False)
    return found if isinstance(found, Unclear) else ChangeItem(item, found)


def _units(_c: Context, count: int, item: str) -> Built:
    if count < 1:
        return Unclear("a box holds one or more of it, else drop the item")
    return ChangeItem(item, ItemFacts(units=count))


def _on_hand(c: Context, count: int, item: str) -> Built:
    """Pieces on hand for a box to come; of one that has gone out they are left over."""
    known = find(c.shop.items, item)
    gone = known is not None and sent_on(c.shop, known.box, c.today) is not None
    return None if gone else ChangeItem(item, ItemFacts(stock=count))


def _item_damage(_c: Context, percent: Decimal, item: str) -> Built:
    if percent > MOST_DAMAGE:
        return Unclear(f"{percent:f}% broken is more than I can order spares for")
    return ChangeItem(item, ItemFacts(damage=percent))


_HOW_MANY = "how many to order of {words}"
_HOW_MANY_EXAMPLE = "how many notebooks for March"
_FACTS = "facts of {item}"

EXACT: tuple[Phrasing, ...] = (
    _row(
        "how many",
        "how many of {item:exactitem}",
        lambda _c, item: HowMany(item=item),
        "a question how many",
        f"how many of {_NOTEBOOK}",
        asks=True,
    ),
    _row(
        "how many of all",
        "how many of everything for {box:id}",
        lambda _c, box: HowMany(box=box),
        "a question how many",
        "how many of everything for 2027-03",
        asks=True,
    ),
    _row(
        "why so many",
        "why so many of {item:exactitem}",
        lambda _c, item: HowMany(item=item, whole=True),
        "a question why so many",
        f"why so many of {_NOTEBOOK}",
        asks=True,
    ),
    _row(
        "quantity",
        "{item:exactitem} quantity {count:count}",
        lambda _c, item, count: ChangeItem(item, ItemFacts(quantity=count)),
        "a quantity of {item}",
        f"{_NOTEBOOK} quantity 460",
    ),
    _row(
        "quantity as reckoned",
        "{item:exactitem} quantity as reckoned",
        lambda _c, item: ChangeItem(item, ItemFacts(quantity=0)),
        "a quantity of {item}",
        f"{_NOTEBOOK} quantity as reckoned",
    ),
    _row(
        "change",
        "change {item:exactitem}: {facts:facts}",
        _change,
        "a change of {item}",
        f"change {_NOTEBOOK}: minimum 200",
    ),
    # Words that rows of other rooms would take for theirs.
    _row(
        "why so many",
        """
        why (so|that|this) many {words:words} (for|in) {box:box}
        why (so|that|this) many {words:words}
        why (so|that|this) many
        """,
        _why_so_many,
        "a question why so many",
        "why so many notebooks",
        asks=True,
    ),
    _row(
        "stock",
        """
        (we|i) (have|have got|still have|'ve got) {count:count} {item:knownitem} <left>
        (we've|i've) (got|still got) {count:count} {item:knownitem} <left>
        [there are |there is ]{count:count} {item:knownitem} <left>
        """,
        _on_hand,
        "what is left of {item}",
        "we have 40 notebooks left",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "how many of all",
        """
        how (many|much) of <all><to-order> (for|in) {box:box}
        how (many|much)<to-order> (for|in) {box:box}
        [what |which |the |all ]<quantities> (for|of|in) {box:box}
        how (many|much) of <all> (for|in) {box:box}<to-order>
        """,
        lambda _c, box: HowMany(box=box),
        "a question how many for {box}",
        "how many of everything for May",
        asks=True,
    ),
    _row(
        "how many",
        """
        how (many|much)[ of] {words:words} (for|in) {box:box}<to-order>
        how (many|much)[ of] {words:words}<needed> for {box:box}
        how (many|much)[ of] {words:words}<needed>
        how (many|much)[ of] {words:words}
        [what |the ](quantity|number|order quantity) (of|for) {words:words}
        """,
        _how_many,
        _HOW_MANY,
        _HOW_MANY_EXAMPLE,
        asks=True,
    ),
    _row(
        "how many of it",
        """
        how (many|much)<needed>
        how (many|much)
        how (many|much) of everything<needed>
        """,
        _spoken_of,
        "a question how many",
        "how many do I order",
        asks=True,
    ),
    _row(
        "sure",
        """
        be <percent> (sure|certain|confident)<enough>
        <percent> (sure|certain|confident|confidence)<enough>
        (confidence|certainty|how sure)[ is| to| at| level][:] <percent>
        [order ]enough in <percent>[ of] (cases|times|boxes|months)
        """,
        _sure,
        "how sure to be that nothing runs short",
        "be 95% sure",
    ),
    _row(
        "sure as costs say",
        """
        (forget|drop) (how sure to be|how sure i want to be|the confidence|my confidence)
        [be as sure as |go by ]what (running short|a shortage) costs
        """,
        lambda _c: ChangeBooks(forget=("confidence",)),
        "how sure to be that nothing runs short",
        "go by what running short costs",
    ),
    _row(
        "short",
        """
        <short> costs[ us| me] {cost:money}<a-box>
        (if|when) (we|i) run (short|out)[,] it costs[ us| me] {cost:money}<a-box>
        [the ]cost of <short>[ is| to][:] {cost:money}<a-box>
        """,
        _short,
        "what running short costs",
        "running short costs 12 a box",
    ),
    _row(
        "leftovers",
        """
        <leftovers> <fetch> <percent><of-cost>
        (a|each|one) leftover <fetch> <percent><of-cost>
        (we|i) (get|can get|still get) <percent>[ back] (for|on) <leftovers>
        """,
        lambda _c, percent: ChangeBooks(resale=percent),
        "what leftovers fetch",
        "leftovers fetch 30%",
    ),
    _row(
        "item damage",
        """
        <percent> of [the ]{item:knownitem} <arrive>
        """,
        _item_damage,
        "how many of {item} arrive broken",
        "3% of the notebooks arrive broken",
    ),
    _row(
        "damage",
        """
        <percent>[ of everything| of all pieces| of the goods| of goods| of pieces] <arrive>
        <percent> (spares|breakages|breakage|damage)
        (spares|breakages|breakage|damage|spares for damage)[ is| are| of][:] <percent>
        """,
        _damage,
        "how many arrive broken",
        "2% arrive broken",
    ),
    _row(
        "units",
        """
        [put ]{count:count} {item:knownitem} (in|into|to|for|per) (each|every|a) box
        [put ]{count:count} {item:knownitem} (a|per) box
        """,
        _units,
        "how many of {item} go into each box",
        "2 notebooks in each box",
    ),
    _row(
        "minimum",
        """
        [the ]<minimum> [the ]{item:knownitem} (is|:) {count:count}[ pieces]
        """,
        lambda _c, item, count: ChangeItem(item, ItemFacts(minimum=count)),
        "a minimum of {item}",
        "the minimum for the notebook is 200",
    ),
    _row(
        "order facts",
        "{item:knownitem}<sold> {facts:orderfacts}",
        _facts,
        _FACTS,
        "notebook minimum 200",
    ),
)
HALVES: tuple[Phrasing, ...] = ()

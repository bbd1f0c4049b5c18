"""Ways to speak of how likely a box is to be complete.

Knows: ShowChance. Must not know: how a line is matched. Invariants: every row asks; a chance that
is asked for is told in percent, or as so many in so many, and read as it was said, whether it can
be had or not; dates at a chance stand before all others (EXACT), since a name would swallow them.
"""

import re
from datetime import date
from decimal import Decimal

from assistant.conversation.month_requests import ShowChance
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find

_SMALL = "one two three four five six seven eight nine ten"
_NUMBERS = {word: number for number, word in enumerate(_SMALL.split(), start=1)}
_NUMBERS |= {"nineteen": 19, "twenty": 20}
_NUMBER = rf"(?:\d{{1,3}}|{'|'.join(sorted(_NUMBERS, reverse=True))})\b"

# How a day begins, so that no word of a name is taken for one.
_WEEKDAY = r"(?:next |this )?(?:mon|tue|wed|thu|fri|sat|sun)\w*"
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)\w*"
_DAY = (
    rf"(?:on (?:the )?|the )?(?:now|today|tomorrow|\d.{{0,30}}|{_WEEKDAY}"
    rf"|{_MONTH} \d.{{0,20}}|(?:in|next) .{{3,20}})"
)


def _level(text: str, _c: Context) -> Decimal | None:
    """A chance in percent: "95%", "nine in ten", "19 times out of 20"."""
    said = text.casefold().replace(",", ".")
    if found := re.fullmatch(r"(-?[\d.]+) ?(?:%|p.*)", said):
        return Decimal(found[1])
    many, of = (_NUMBERS.get(word) or int(word) for word in re.findall(_NUMBER, said))
    return (Decimal(100) * many / of).quantize(Decimal("0.1")).normalize() if of else None


def _order_day(text: str, c: Context) -> date | Unclear | None:
    """A day of an order that is still to come."""
    day = read_day("today" if text.casefold() == "now" else text, c.today)
    if isinstance(day, date) and day < c.today:
        return Unclear(f'"{text[:30]}" is in the past')
    return day


KINDS: dict[str, Kind] = {
    "chancelevel": Kind(
        rf"(?:-?\d{{1,4}}(?:[.,]\d{{1,2}})? ?(?:%|percent|per cent|pct)"
        rf"|{_NUMBER} (?:times )?(?:in|out of) {_NUMBER})",
        _level,
    ),
    "orderday": Kind(_DAY, _order_day),
}
_WORDS = {
    "<chance>": "[what is |what's |whats |what are |show |show me |tell me ][the |our |my ]"
    "(chance|chances|odds|likelihood|probability)",
    "<sure>": "how (sure|certain|likely|safe|probable|confident)",
    "<of>": "(is|are|of|am i of|are we of|are you of|am i about|are we about|are you about)",
    "<in>": "[ to be| to come| to arrive| to make| being| coming| be| is| are| will be| come"
    "| comes| arrive| arrives| make| makes| gets| get][ all][ in| in hand| here| there| it"
    "| complete| ready][ in time| on time| for packing]",
    "<all>": "(all|everything|it all|all of it)",
    "<all-of>": "[all of |everything for |everything in |all for |all in |the ]",
    "<level>": "{confidence:chancelevel}[ sure| certain| sure of it| chance]",
    "<dates>": "[the |what are the |what is the |give me ]"
    "[order |order-by |order by |ordering |latest order ](dates|days|date|day)",
}


def _row(name: str, says: str, build: Build, gist: str, example: str) -> Phrasing:
    for short, words in _WORDS.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example, asks=True)


def _box(_c: Context, box: str, confidence: Decimal | None = None) -> Built:
    return ShowChance(box=box, confidence=confidence)


def _item(
    _c: Context, item: str, confidence: Decimal | None = None, on: date | None = None
) -> Built:
    return ShowChance(item=item, confidence=confidence, on=on)


def _today(c: Context, item: str) -> Built:
    return ShowChance(item=item, on=c.today)


def _spoken_of(c: Context, confidence: Decimal | None = None) -> Built:
    """Of what the chat was last about: at a chance of the item, else of the box."""
    if confidence is not None and find(c.shop.items, c.talk.item):
        return ShowChance(item=c.talk.item, confidence=confidence)
    if c.talk.box:
        return ShowChance(box=c.talk.box, confidence=confidence)
    return Unclear("I do not know which box you mean; name a month")


_OF_BOX, _OF_ITEM = "how likely a box is to be complete", "how likely an item is to be in time"
_DATES = "order dates at a chance"

EXACT: tuple[Phrasing, ...] = (
    _row("chance of a box", "chance of {box:id}", _box, _OF_BOX, "chance of 2027-03"),
    _row(
        "dates at a chance",
        """
        order dates for {box:id} at {confidence:chancelevel}
        <by-when><must> (order|buy)[ for| all for| everything for| all of]\
 {box:month} (for|to be|at) <level>
        <by-when><must> (order|buy)[,] to be <level> of {box:month}
        <dates> (for|of) {box:month} (at|for|with|to be) <level>
        """,
        _box,
        _DATES,
        "order dates for March at 95%",
    ),
    _row(
        "dates at a chance",
        """
        order date of {item:exactitem} at {confidence:chancelevel}
        <by-when><must> (order|buy|get) {item:knownitem}[,] (for|to be|at|with) [a |an ]<level>
        <dates> (for|of) {item:knownitem} (at|for|with|to be) <level>
        """,
        _item,
        _DATES,
        "when must I order the notebook for 95%",
    ),
    _row(
        "dates at a chance",
        """
        <dates> (for|at) <level>
        (and |what about |and what about )(for|at|with) <level>
        """,
        _spoken_of,
        _DATES,
        "order dates for 95%",
    ),
    _row(
        "if ordered on a day",
        """
        chance of {item:exactitem} if ordered on {on:coming}
        """,
        _item,
        _OF_ITEM,
        "chance of field notebook for 2027-03 if ordered on 2027-01-20",
    ),
    _row(
        "chance of an item",
        """
        chance of {item:exactitem}
        <sure> <of> {item:knownitem}<in>
        <sure> is it that {item:knownitem} (is|are|will be|comes|come|arrives|arrive|makes|make)<in>
        """,
        _item,
        _OF_ITEM,
        "how sure is the notebook",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "if ordered on a day",
        """
        (what if|and if|if|what happens if|how likely if) (i|we) (order|ordered|buy)\
 {item:knownitem} {on:orderday}
        (chance|chances|odds) of {item:knownitem} if (ordered|i order|we order)[ it| them]\
 {on:orderday}
        """,
        _item,
        _OF_ITEM,
        "what if I order the notebook on 20 January",
    ),
    _row(
        "if ordered today",
        """
        (is it|am i|are we) too late (to order|for ordering|for) {item:knownitem}[ today| now]
        (can|could) (i|we) still (order|buy) {item:knownitem}[ in time| today| now]
        is there (still time|time) (to order|for) {item:knownitem}
        """,
        _today,
        _OF_ITEM,
        "is it too late to order the notebook",
    ),
    _row(
        "chance of a box",
        """
        <chance> (of|for|that|in|with) <all-of>{box:month}[ box]<in>
        <chance> (that|of) <all>[ is| being| will be| comes| arrives| gets][ in| here| in hand]\
 (for|by|in) {box:month}
        <sure> <of> <all-of>{box:month}[ box]<in>
        <sure> is it that <all> (is|will be|comes|arrives|gets|will come|will arrive)\
[ in| here| in hand| complete| ready][ in time| on time] (for|by|in) {box:month}
        <sure> is it that <all-of>{box:month} (is|will be|comes|gets)<in>
        will <all> (be|come|arrive|get)[ in| here| in hand| complete][ in time| on time]\
 (for|in|by) {box:month}
        will <all-of>{box:month}[ all] (be|come|get) (in|all in|complete|in hand|there|here)\
[ on time| in time| for packing]
        {box:month} (chance|chances|odds)
        """,
        _box,
        _OF_BOX,
        "how sure is March",
    ),
    _row(
        "weak spot",
        """
        [what is |what's |whats |where is ][the |our |my ](weak spot|weakest item|weakest link\
|riskiest item|biggest risk|bottleneck) (of|in|for) [the ]{box:month}[ box]
        (what|which item|which items|which|what item) (should|must|shall|do) (i|we)\
 (worry about|watch)[ most| the most] (in|for|about) {box:month}
        """,
        _box,
        _OF_BOX,
        "weak spot of March",
    ),
    _row(
        "chance of an item",
        """
        <chance> (of|for|that|with) {item:knownitem}<in>
        (will|do|does|can) {item:knownitem} (make it|come|arrive|get here|be in|be here|be there)\
[ in time| on time]
        """,
        _item,
        _OF_ITEM,
        "chance of the notebook",
    ),
    _row(
        "chance of this",
        """
        <sure> (are we|are you|am i|can we be|can i be)
        <sure> is it that <all> (is|will be|comes|arrives)[ in| here| in hand| complete]\
[ in time| on time]
        [what is |what's |what are ](the |our )(chance|chances|odds)
        (what are the|any) (chances|odds)
        """,
        _spoken_of,
        _OF_BOX,
        "how sure are we",
    ),
)
HALVES: tuple[Phrasing, ...] = ()

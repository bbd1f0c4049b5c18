"""Ways to speak of what a box taught: how it went, what is left over, what a year taught.

Knows: requests about what is behind us. Must not know: how a line is matched, opinions
(opinions.py). Invariants: the sentences of buttons (EXACT) stand before all others; each example is
understood as its row.
"""

from datetime import date

from assistant.conversation.month_requests import (
    KeepLeftovers,
    LookBack,
    ShowLessons,
    ShowRecord,
    ShowStock,
    UseStock,
)
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.past import (
    exact_stock,
    item_in,
    known_stock,
    last_box,
    past_box,
    past_item,
    read_stock,
)
from assistant.conversation.understand.phrasings import opinions
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear

_NOTEBOOK = "field notebook for 2027-03"
_WORDS = {
    "<left>": "(left|left over|left-over|leftover|over|remaining|to spare|unused)",
    "<leftover>": "(leftover|left over|left-over|spare|surplus|unused|remaining)",
    "<there>": "[we have |there are |there is |i have |we've got |i've got |we still have |still ]",
    "<best>": "[[,] best before {until:day}]",
}


def _year(text: str, c: Context) -> int | None:
    said = text.lower()
    if said.isdigit():
        return int(said)
    return c.today.year - (said == "last year")


KINDS: dict[str, Kind] = {
    "pastbox": Kind(r"[^,:;]{1,40}?(?:, second box)?", past_box),
    "pastitem": Kind(r".{1,80}?", past_item),
    "stockref": Kind(r"[0-9a-f]{8}", exact_stock),
    "stock": Kind(r".{1,80}?", read_stock),
    "knownstock": Kind(r".{1,80}?", known_stock),
    "lessonyear": Kind(r"(?:20\d\d|last year|this year)", _year),
    **opinions.KINDS,
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _WORDS.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example, asks=asks)


# --- what is built --------------------------------------------------------------------------


def _look(_c: Context, box: str) -> Built:
    return LookBack(box)


def _look_last(c: Context) -> Built:
    box = last_box(c)
    return LookBack(box) if box else Unclear("no box has gone out yet")


def _record(c: Context, supplier: str) -> Built:
    known = next(one.id for one in c.shop.suppliers if one.name == supplier)
    return ShowRecord(known)


def _left(c: Context, count: int, words: str, box: str = "", until: date | None = None) -> Built:
    """So many pieces of an item of a box, or of the last box that has gone out with such an
    item."""
    item = item_in(words, box, c) if box else past_item(words, c)
    if item is None and box:
        inside = tuple(
            (one.name[:30], f"{count} left over of {one.name} for {box}")
            for one in c.shop.items
            if one.box == box
        )
        return Unclear(f'{box} has no item "{words.strip()[:40]}"', inside[:6], whole=True)
    return KeepLeftovers(item, count, until) if isinstance(item, str) else item


def _none_left(c: Context, words: str, box: str) -> Built:
    return _left(c, 0, words, box)


def _use(_c: Context, stock: str, box: str, pieces: int | None = None) -> Built:
    return UseStock(stock, box, pieces)


def _lessons(_c: Context, year: int | None = None) -> Built:
    return ShowLessons(year)


EXACT: tuple[Phrasing, ...] = (
    _row(
        "look back item by item",
        "look back on {box:anyid} item by item",
        lambda _c, box: LookBack(box, whole=True),
        "a box to look back on",
        "look back on 2027-03 item by item",
        asks=True,
    ),
    _row(
        "look back",
        "look back on {box:anyid}",
        _look,
        "a box to look back on",
        "look back on 2027-03",
        asks=True,
    ),
    _row(
        "record",
        'the record of "{supplier:exactsupplier}"',
        lambda _c, supplier: ShowRecord(supplier),
        "a supplier's record",
        'the record of "Aldermoor"',
        asks=True,
    ),
    _row(
        "leftovers",
        "{count:count} left over of {item:exactitem}[ best before {until:day}]",
        lambda _c, count, item, until=None: KeepLeftovers(item, count, until),
        "what is left over of {item}",
        f"38 left over of {_NOTEBOOK}",
    ),
    _row(
        "use leftovers",
        """
        use {pieces:count} of leftover {stock:stockref} in {box:anyid}
        use leftover {stock:stockref} in {box:anyid}
        """,
        _use,
        "leftovers to use",
        "use 12 of leftover fc9cea70 in 2027-05",
    ),
    *opinions.EXACT,
)

TABLE: tuple[Phrasing, ...] = (
    _row(
        "look back on the last",
        """
        how did (it|that|the box|the last box|the last one) go[ in the end]
        look back[ on it| on the last box| on the last one]
        (review|debrief) the last box
        """,
        _look_last,
        "a question how a box went",
        "how did March go",
        asks=True,
    ),
    _row(
        "look back",
        """
        (look|looking) back (on|at|to) {box:pastbox}
        how (did|has) {box:pastbox} (go|do|turn out|work out|fare|gone)[ for us| in the end]
        how was {box:pastbox}[ in the end]
        [the |a ](review|debrief|lookback|look back|post mortem|post-mortem|results|result)\
 (of|on|for|at) {box:pastbox}
        (review|debrief) {box:pastbox}
        {box:pastbox} (in hindsight|in retrospect|looked back on|against plan|against the plan)
        {box:pastbox}[,] (plan against actual|planned and actual|planned against actual)
        how did {box:pastbox} compare (to|with) [the |our ]plan
        what (came|became) of {box:pastbox}
        """,
        _look,
        "a question how {box} went",
        "how did March go",
        asks=True,
    ),
    _row(
        "record",
        """
        how (reliable|punctual|late|good|dependable) (is|are) {supplier:known}[ usually| on dates\
| really| as a rule| on time| so far]
        (is|are) {supplier:known} (reliable|punctual|dependable|usually late|always late|often late\
|usually on time|always on time)
        [what is |what's ][show me the |show the |show me |show |the ](record|track record\
|delivery record) (of|for|with) {supplier:known}
        [show me |show |what is |what's ]{supplier:known}'s (record|track record|delivery record)
        [show me |show ]{supplier:known} (record|track record|delivery record)
        does {supplier:known} (deliver|come|keep|send)[ things] (on time|its word|their word\
|to time|its promises|their promises|what it promises)
        how (long|many days) (does|do) {supplier:known} (really|actually) (take|need)
        how often is {supplier:known} (late|on time)
        """,
        _record,
        "a question about a supplier's record",
        "how reliable is Aldermoor",
        asks=True,
    ),
    _row(
        "leftovers",
        """
        <there>{count:count} {words:words} <left> (from|of|in|after) {box:pastbox}<best>
        <there>{count:count} <leftover> {words:words} (from|of|in|after) {box:pastbox}<best>
        {box:pastbox} (left|left us|left over)[ us][:] {count:count} {words:words}
        (leftovers|left overs|left-overs|left over)[ from| of| in| after] {box:pastbox}[:]\
 {count:count} {words:words}<best>
        (keep|put) {count:count} {words:words} (from|of|in) {box:pastbox} (in stock|to stock|for\
 later|as stock|into stock)
        <there>{count:count} {words:words} <left><best>
        <there>{count:count} <leftover> {words:words}<best>
        """,
        _left,
        "what is left over",
        "38 notebooks left over from March",
    ),
    _row(
        "none left over",
        """
        <there>(no|none of the) {words:words} <left> (from|of|in|after) {box:pastbox}
        """,
        _none_left,
        "what is left over",
        "no notebooks left over from March",
    ),
    _row(
        "stock",
        """
        (what is|what's|whats|what have we got|what do we have|what do i have|what have i got\
|is anything|anything|show what is|show me what is) (left over|leftover|left-over)[ in all\
| now| from all boxes| from the boxes| from before]
        [show me |show |list |what are ][the |our |my |all ](leftovers|left overs|left-overs\
|leftover stock|spare stock|surplus stock)[ list]
        (what|which) (leftovers|left overs|left-overs) (are there|do we have|have we|do i have\
|have we got)
        (show|list|show me) [the |our |my ]stock
        (what is|what's|whats) in stock
        what can (we|i) use up
        """,
        lambda _c: ShowStock(),
        "what is left over",
        "what is left over",
        asks=True,
    ),
    _row(
        "use leftovers",
        """
        (use|use up|put|pack) {pieces:count} of [the |our ]<leftover> {stock:stock} (in|for|into|up\
 in) {box:box}
        (use|use up|put|pack) {pieces:count} <leftover> {stock:stock} (in|for|into) {box:box}
        (use|use up|put|pack) [the |our |all the |all our |all ]<leftover> {stock:stock}\
 (in|for|into|up in) {box:box}
        use {pieces:count}[ of the| of our] {stock:knownstock} from stock (in|for) {box:box}
        use [the |our ]{stock:knownstock} from stock (in|for) {box:box}
        use up {pieces:count}[ of the] {stock:knownstock} in {box:box}
        use up [the |our ]{stock:knownstock} in {box:box}
        """,
        _use,
        "leftovers to use",
        "use 12 of the leftover mugs in May",
    ),
    *opinions.TABLE,
    _row(
        "lessons",
        """
        what (did|have|do) (we|i) (learn|learned|learnt)[ so far]
        what (did|have) (we|i) (learn|learned|learnt)[ from| in| about| of][ {year:lessonyear}]
        [show me |show |what are ][the |our ](lessons|learnings)[ learned| learnt]\
[ (of|from|for|in) {year:lessonyear}]
        what (was|were|is) (loved|liked|popular|a hit|the favourites|most loved)[ most]\
[ (of|from|for|in) {year:lessonyear}]
        what (did|do) (subscribers|they|people|customers|members) (love|like|enjoy|hate|think)\
[ most| best][ (of|from|for|in) {year:lessonyear}]
        (what|which) (items|types|themes|things|boxes) (were|was|are) (loved|liked|popular|hits)\
[ most][ (of|from|for|in) {year:lessonyear}]
        what (went|goes) down (well|best|badly)[ (of|from|for|in) {year:lessonyear}]
        what did {year:lessonyear} teach us
        """,
        _lessons,
        "a question what a year taught",
        "what did we learn",
        asks=True,
    ),
)
HALVES: tuple[Phrasing, ...] = ()

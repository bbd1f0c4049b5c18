"""Ways to speak of what was ordered and came.

Knows: requests of an item's life. Must not know: how a line is matched, how clauses are read
(understand/receiving). Invariants: what is named must be an item of the plan; which of several is
asked, each choice being the whole sentence; what was told with it is kept whole.
"""

import re
from collections.abc import Callable
from datetime import date

from assistant.conversation.month_requests import (
    ItemArrived,
    ItemChecked,
    ItemDispatched,
    ItemOrdered,
    ItemPromised,
    ItemStory,
)
from assistant.conversation.sentences import item_name, one_line
from assistant.conversation.sentences import receiving as says
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import exact_item, known_item
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing, Resolver
from assistant.conversation.understand.receiving import (
    Facts,
    Way,
    each,
    how_many,
    read_facts,
    read_past,
    read_promise,
)
from assistant.conversation.understand.tasks import Task, task_of
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find

IT = ("they", "the rest", "the remainder", "all of it", "all of them", "they all")
_ELSE = re.compile(
    r"(?:add|put|change|take|move|drop|rename|swap|set|use|keep|undo|done|idea)\b", re.IGNORECASE
)
_BEHIND = re.compile(r"(?P<name>[^:]*[^:\d])[:,] ?(?P<n>\d[\d,]*)(?: (?:pieces|of them))?")
Said = Callable[[str], str]


def _row(name: str, pattern: str, build: Build, gist: str, example: str, **more: bool) -> Phrasing:
    for short, words in SHORTHAND.items():
        pattern = pattern.replace(short, words)
    return Phrasing(name, pattern, build, gist, example, **more)


SHORTHAND: dict[str, str] = {
    "<came>": "(arrived|came|came in|come in|has come|have come|turned up|received|delivered)",
    "<left>": "(dispatched|despatched|on its way|on their way|on the way|sent off|sent out"
    "|left the supplier|left the factory)",
    "<delayed>": "(delayed|put back|pushed back|held up|postponed|late|running late|slipped)",
    "<now>": " (now|is now|are now)",
    "<on>": "[ on| for| by]",
    "<they-say>": "they[ now] (say|said|promise|promised)",
    "<good>": "(good|fine|ok|okay|well|in order)",
}


# --- which item -----------------------------------------------------------------------------


def _item(stage: str, what: str, c: Context, said: Said) -> str | Unclear | None:
    """The item (its id) that is named; several are offered as whole sentences."""
    what = "it" if what.lower().strip() in IT else what
    task = task_of(stage, what, c)
    if isinstance(task, Task):
        return task.item
    if task is None or not task.offers:
        return task
    named = [(label, exact_item(offer.partition(" ")[2], c)) for label, offer in task.offers]
    offers = tuple((label, said(id)) for label, id in named if id is not None)
    return Unclear(task.why, offers, whole=True, stray=task.stray)


def _from_whom(c: Context, item: str, supplier: str, said: str) -> Unclear | None:
    """Ask where an item is said to be from another supplier than the plan has it from."""
    known, named = find(c.shop.items, item), find(c.shop.suppliers, supplier)
    if known is None or named is None or known.supplier == supplier:
        return None
    theirs = find(c.shop.suppliers, known.supplier)
    why = f"{known.name} is from {theirs.name if theirs else 'no supplier yet'}"
    change = f'change {item_name(c.shop, item)}: from "{one_line(named.name)}"'
    offers = [(f"It is from {named.name}", f"{change}; {said}")]
    if theirs is not None:
        offers.append((f"From {theirs.name}", said))
    return Unclear(why, tuple(offers), whole=True)


def _whole(what: str, c: Context) -> bool:
    """Whether words name an item as they stand, commas and numbers too."""
    return isinstance(known_item(what, c), str)


# --- what is built --------------------------------------------------------------------------


def ordered(c: Context, what: str = "") -> Built:
    """Something was ordered, with all that was told of it."""
    read = (what, Facts()) if _whole(what, c) else read_facts(what, "order", c)
    if isinstance(read, Unclear):
        return read
    name, facts = read
    if facts.get("quantity") is None and not _whole(name, c):
        counted = how_many(name if name.strip(" -,").lower()[-1:].isalpha() else f"{name} it")
        if isinstance(counted, Unclear):
            return counted
        name, number = counted
        facts |= {"quantity": number["pieces"]} if "pieces" in number else {}
    if (unclear := each(facts)) is not None:
        return unclear
    supplier = facts.pop("supplier", "")

    def said(id: str) -> str:
        return says.ordered(c.shop, ItemOrdered(id, **facts))

    item = _only_one_of(supplier, _item("order", name, c, said), c)
    if not isinstance(item, str):
        return item
    return _from_whom(c, item, supplier, said(item)) or ItemOrdered(item, **facts)


def _only_one_of(supplier: str, found: str | Unclear | None, c: Context) -> str | Unclear | None:
    """Of several items the only one of a supplier that was named."""
    if not isinstance(found, Unclear) or not supplier:
        return found
    theirs = [item for item in c.shop.items if item.supplier == supplier]
    named = {item.id for item in theirs for _, said in found.offers if _names(c, said, item.id)}
    return named.pop() if len(named) == 1 else found


def _names(c: Context, said: str, item: str) -> bool:
    return f"ordered: {item_name(c.shop, item)}" == said.partition(", ")[0]


def dispatched(c: Context, what: str = "", tail: str = "") -> Built:
    """Something has left its supplier."""
    read = (what, Facts()) if not tail and _whole(what, c) else _told(what, tail, "dispatch", c)
    if isinstance(read, Unclear):
        return read
    name, facts = read

    def said(id: str) -> str:
        return says.dispatched(c.shop, ItemDispatched(id, **facts))

    item = _item("dispatch", name, c, said)
    return ItemDispatched(item, **facts) if isinstance(item, str) else item


def arrived(c: Context, what: str = "", tail: str = "") -> Built:
    """Something came: all of it, or so many pieces, told before its name or behind it."""
    if behind := _BEHIND.fullmatch(what):
        what = f"{behind['n']} {behind['name']}"
    read = (what, Facts()) if not tail and _whole(what, c) else _told(what, tail, "arrival", c)
    if isinstance(read, Unclear):
        return read
    name, facts = read
    if "pieces" not in facts and not _whole(name, c):
        counted = how_many(name if name.strip(" -,").lower()[-1:].isalpha() else f"{name} it")
        if isinstance(counted, Unclear):
            return counted
        name, number = counted
        facts |= number

    def said(id: str) -> str:
        return says.arrived(c.shop, ItemArrived(id, **facts))

    item = _item("stock", name, c, said)
    return ItemArrived(item, **facts) if isinstance(item, str) else item


def _told(what: str, tail: str, way: Way, c: Context) -> tuple[str, Facts] | Unclear:
    return read_facts(", ".join(filter(None, (what.strip(" ,") or "it", tail))), way, c)


def _checked(c: Context, what: str = "", tail: str = "") -> Built:
    if what.lower().startswith(("in ", "out ")):
        return None
    read = _told(what, tail, "check", c)
    if isinstance(read, Unclear):
        return read
    name, facts = read

    def said(id: str) -> str:
        return says.checked(c.shop, ItemChecked(id, **facts))

    item = _item("stock", name, c, said)
    return ItemChecked(item, **facts) if isinstance(item, str) else item


def _promised(_c: Context, item: str, on: date) -> Built:
    return ItemPromised(item, on)


def _they_say(c: Context, on: date) -> Built:
    """A day of the item that was spoken of last."""
    if find(c.shop.items, c.talk.item) is None:
        return Unclear("I do not know of which item; say for example: notebook now the 9th")
    return ItemPromised(c.talk.item, on)


def _later(_c: Context, item: str, days: int) -> Built:
    return ItemPromised(item, days=days) if days else Unclear("no days is no delay")


def _exactly(build: Callable[..., Built], **more: bool) -> Build:
    return lambda _c, item, told: build(item, **told, **more)


# --- kinds and rows -------------------------------------------------------------------------


def _of_way(way: Way) -> Resolver:
    def read(text: str, c: Context) -> Facts | Unclear:
        found = read_facts(f"it{text}", way, c)
        return found if isinstance(found, Unclear) else found[1]

    return read


def _name(text: str, _c: Context) -> str | None:
    """Words that may name goods; None where a line that begins so says something else."""
    return None if _ELSE.match(text) else text.strip()


KINDS: dict[str, Kind] = {
    "ordertold": Kind(r"(?:, .+?)??", _of_way("order")),
    "lefttold": Kind(r"(?:, .+?)??", _of_way("dispatch")),
    "cametold": Kind(r"(?:, .+?)??", _of_way("arrival")),
    "checktold": Kind(r"(?:, .+?)??", _of_way("check")),
    "ofgoods": Kind(r'[^"]{1,80}?', _name),
    "unquoted": Kind(r'[^"]+?', lambda text, _c: text.strip()),
    "lefttail": Kind(
        r'(?:on |yesterday|today|this morning|with |tracking|parcel|due|they |promised)[^"]*',
        lambda text, _c: text.strip(),
    ),
    "cametail": Kind(
        r'(?:on |yesterday|today|this morning|just now|with \d|but \d|and \d|\d|all good)[^"]*',
        lambda text, _c: text.strip(),
    ),
    "promise": Kind(r".{2,40}?", read_promise),
    "goneday": Kind(r".{2,40}?", read_past),
}

_CAME, _LEFT, _DUE = "a delivery", "a dispatch", "a promised day"
_ORDERED, _CHECKED, _STORY = "an order", "goods that were checked", "how far an item is"
_EXACT_NAME = "field notebook for 2027-03"

EXACT: tuple[Phrasing, ...] = (
    *(
        _row("ordered", f"ordered: {{item:exactitem}}{{told:ordertold}}{end}", build, _ORDERED,
             f"ordered: {_EXACT_NAME}, 460 pieces, promised 2027-03-03{end}")
        for end, build in (
            (" now", _exactly(ItemOrdered, sure=True)),
            ("", _exactly(ItemOrdered)),
        )
    ),
    *(
        _row("arrived", f"arrived: {{item:exactitem}}{{told:cametold}}{end}", build, _CAME,
             f"arrived: {_EXACT_NAME}, 412 of 460 came, 6 bent{end}")
        for end, build in (
            (" now", _exactly(ItemArrived, sure=True)),
            ("", _exactly(ItemArrived)),
        )
    ),
    _row("promised", "promised: {item:exactitem}, promised {on:promise} now",
         lambda _c, item, on: ItemPromised(item, on, sure=True), _DUE,
         f"promised: {_EXACT_NAME}, promised 2027-03-09 now"),
    _row("promised", "promised: {item:exactitem}, promised {on:promise}", _promised, _DUE,
         f"promised: {_EXACT_NAME}, promised 2027-03-09"),
    _row("promised", "promised: {item:exactitem}, {days:length} later", _later, _DUE,
         f"promised: {_EXACT_NAME}, 3 days later"),
    *(
        _row("dispatched", f"dispatched: {{item:exactitem}}{{told:lefttold}}{end}", build, _LEFT,
             f"dispatched: {_EXACT_NAME}, tracking 12345{end}")
        for end, build in (
            (" now", _exactly(ItemDispatched, sure=True)),
            ("", _exactly(ItemDispatched)),
        )
    ),
    _row("checked", "checked: {item:exactitem}{told:checktold}", _exactly(ItemChecked), _CHECKED,
         f"checked: {_EXACT_NAME}"),
    _row("story", "story of {item:exactitem}", lambda _c, item: ItemStory(item), _STORY,
         f"story of {_EXACT_NAME}", asks=True),
)  # fmt: skip

TABLE: tuple[Phrasing, ...] = (
    _row(
        "ordered",
        "{what:ofgoods}<has> (ordered|on order)(,|:| -) {tail:unquoted}",
        lambda c, what, tail: ordered(c, f"{what}, {tail}"),
        _ORDERED,
        "notebooks ordered, they say 3 March",
    ),
    _row(
        "promised",
        """
        {item:knownitem}<now>[ due| expected| coming| promised]<on> {on:promise}
        {item:knownitem}<has> <delayed>( to| until| till) {on:promise}
        {item:knownitem} (will|should) (come|arrive|be here)<on> {on:promise}
        {item:knownitem}[ is| are] (due|expected|promised|coming|arriving)<on> {on:promise}
        {item:knownitem} (comes|come|arrives|arrive) (on|by) {on:promise}
        {item:knownitem}(:|,) <they-say> {on:promise}
        <they-say> {on:promise} for {item:knownitem}
        """,
        _promised,
        _DUE,
        "notebook now the 9th",
    ),
    _row(
        "promised for it",
        """
        <they-say>[ it is| they are][ due| coming][ on| by| for] {on:promise}
        """,
        _they_say,
        _DUE,
        "they say 9 March",
    ),
    _row(
        "later than promised",
        """
        {item:knownitem}<has> <delayed>[ by] {days:length}
        {item:knownitem}[ is| are| will be| come| will come] {days:length} (late|later)
        """,
        _later,
        _DUE,
        "notebook delayed by a week",
    ),
    _row(
        "dispatched",
        """
        they<has> (dispatched|despatched|sent off|sent out) {what:ofgoods}
        {what:ofgoods}<has> <left>(,| and| -) {tail:unquoted}
        {what:ofgoods}<has> <left> {tail:lefttail}
        """,
        dispatched,
        _LEFT,
        "tea is dispatched, tracking 12345",
    ),
    _row(
        "arrived",
        """
        {what:ofgoods}<has> <came>(,|:| -| safely,) {tail:unquoted}
        {what:ofgoods}<has> (here|in hand)(,|:) {tail:unquoted}
        {what:ofgoods}<has> <came>[,] {tail:cametail}
        """,
        arrived,
        _CAME,
        "notebooks: 412 of 460 came, 6 bent",
    ),
    _row(
        "checked",
        """
        {what:ofgoods}<has> (checked|looked through|inspected)(,| and|:| -) {tail:unquoted}
        {what:ofgoods}<has> (checked|looked through|inspected)
        <i>(checked|looked through|inspected) {what:ofgoods}(,| and|:| -) {tail:unquoted}
        <i>(checked|looked through|inspected) {what:ofgoods}
        """,
        _checked,
        _CHECKED,
        "notebooks checked, all good",
    ),
    _row(
        "story",
        """
        (how far|how far along) (is|are)[ we with] {item:knownitem}[ now| along]
        how far (are|have) we[ got| come] with {item:knownitem}
        [the |tell me the |what is the |what's the ](story|state|status) of {item:knownitem}
        (where is|where are|where's|what about|any news of|news of) {item:knownitem}[ now]
        (what happened|what has happened) (to|with) {item:knownitem}
        {item:knownitem} (story|status)
        (how is|how are|how's) {item:knownitem}[ getting on| doing]
        (has|have|did) {item:knownitem} (arrive|arrived|come|turned up)[ yet]
        (is|are) {item:knownitem} (here|in hand|ordered|on order|dispatched|arrived)[ yet]
        """,
        lambda _c, item: ItemStory(item),
        _STORY,
        "how far are the notebooks",
        asks=True,
    ),
)  # fmt: skip
HALVES: tuple[Phrasing, ...] = ()

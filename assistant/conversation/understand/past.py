"""Words for what is behind us: boxes that have gone out, their items, what is left of them.

Knows: which boxes have gone out, and what is kept of them. Must not know: patterns, what is done
with what is named. Invariants: a month alone is the newest such box that has gone out, else the one
that it is everywhere; an item is looked for in boxes that have gone out before all others; what
could be two things is asked about.
"""

import re
from collections.abc import Collection

from msgspec.structs import replace

from assistant.conversation.sentences.learning import stock_ref
from assistant.conversation.understand.boxes import BOX, read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import month_number
from assistant.conversation.understand.names import known_item
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, fold
from assistant.planning.changes import find
from assistant.planning.model import Stock
from assistant.planning.month.leftovers import usable
from assistant.planning.month.sent import sent_boxes
from assistant.planning.year.recurring import plain

Thing = tuple[str, str]  # Box.id, and Item.id or "" for the box itself
OFFERED = 6
_MONTH = re.compile(r"(?:the |our |my )?([a-z]{3,9})\.?(?:'s)?(?: box)?", re.IGNORECASE)
_LAST = re.compile(r"(?:the |our |my )?(?:last|latest|newest|previous) box", re.IGNORECASE)
_IN = re.compile(
    rf"(?P<name>.+?),? (?:for|in|of|from|on) (?:the )?(?P<box>{BOX})"
    rf"|(?:the |our )?(?P<box2>{BOX})(?:'s)? (?P<name2>.+)",
    re.IGNORECASE,
)
_IT = ("it", "that", "this", "that one", "this one", "them", "that item", "this item")


def past_box(text: str, c: Context) -> str | Unclear | None:
    """The id of a box that may have gone out: "March", "the March box", "March 2026", "the last
    box", "it"."""
    said = text.strip().strip("\"'")
    if _LAST.fullmatch(said):
        sent = sent_boxes(c.shop, c.today)
        return sent[0] if sent else Unclear("no box has gone out yet")
    month = month_number(found[1]) if (found := _MONTH.fullmatch(said)) else None
    if month is None:
        return read_box(said, c)
    sent = sent_boxes(c.shop, c.today)
    return next((id for id in sent if int(id[5:7]) == month), None) or read_box(said, c)


def exact_past_box(text: str, c: Context) -> str | None:
    """The same for words that can be nothing but a box."""
    said = text.strip().strip("\"'")
    if not (_LAST.fullmatch(said) or re.fullmatch(rf"(?:our )?{BOX}", said, re.IGNORECASE)):
        return None
    box = past_box(said, c)
    return box if isinstance(box, str) else None


def last_box(c: Context) -> str | None:
    """The box that was spoken of if it has gone out, else the newest that has; None for none."""
    sent = sent_boxes(c.shop, c.today)
    return c.talk.box if c.talk.box in sent else next(iter(sent), None)


def past_item(text: str, c: Context) -> str | Unclear | None:
    """The id of an item, of a box that has gone out where one is so called; None for no item."""
    said = bare(text)
    if said in _IT:
        here = find(c.shop.items, c.talk.item)
        return here.id if here else Unclear("I do not know which item you mean; say its name")
    if found := _IN.fullmatch(text.strip()):
        box = exact_past_box(found["box"] or found["box2"], c)
        if box and (item := item_in(found["name"] or found["name2"], box, c)) is not None:
            return item
    sent = known_item(text, _only(c, sent_boxes(c.shop, c.today)))
    return known_item(text, c) if sent is None else sent


def item_in(name: str, box: str, c: Context) -> str | Unclear | None:
    """The id of the item of one box that is so called; None for none."""
    return known_item(name, _only(c, (box,)))


def past_thing(text: str, c: Context) -> Thing | Unclear | None:
    """A box, or an item with its box."""
    if box := exact_past_box(text, c):
        return box, ""
    item = past_item(text, c)
    if not isinstance(item, str):
        return item
    known = find(c.shop.items, item)
    return (known.box, item) if known else None


def scored_thing(text: str, c: Context) -> Thing | Unclear:
    """The same where a score is told of it: then it must be something."""
    unknown = Unclear(f'I know no item or box "{text.strip()[:40]}"', stray=True)
    return past_thing(text, c) or unknown


def sent_thing(text: str, c: Context) -> Thing | Unclear | None:
    """The same where it has gone out; None where it has not: then the words say something else."""
    thing = past_thing(text, c)
    out = isinstance(thing, tuple) and thing[0] in sent_boxes(c.shop, c.today)
    return thing if out else None


def _only(c: Context, boxes: Collection[str]) -> Context:
    """The same context in which only the items of some boxes are there."""
    items = tuple(item for item in c.shop.items if item.box in boxes)
    return Context(replace(c.shop, items=items), c.talk, c.today)


# --- leftovers ------------------------------------------------------------------------------


def exact_stock(text: str, c: Context) -> str | Unclear:
    """The id of what is left over that a button's sentence names."""
    kept = (one.id for one in usable(c.shop) if stock_ref(one.id) == text.strip().lower())
    return next(kept, None) or Unclear("that is no longer left over")


def read_stock(text: str, c: Context) -> str | Unclear:
    """The id of what is left over that words name: "tins", "notebooks from March"."""
    every, box = usable(c.shop), ""
    name = text
    found = re.fullmatch(rf"(?P<name>.+?) (?:of|from) (?:the )?(?P<box>{BOX})", text, re.IGNORECASE)
    if found:
        name, box = found["name"], exact_past_box(found["box"], c) or ""
    wanted = plain(fold(bare(name)))
    own = [one for one in every if box in ("", one.box)]
    kept = [one for one in own if plain(one.name) == wanted] or _partly(wanted, own)
    if len(kept) == 1:
        return kept[0].id
    offers = tuple((one.name[:30], one.name) for one in every[:OFFERED])
    if not kept:
        return Unclear(f'nothing called "{name.strip()[:40]}" is left over', offers)
    pairs = tuple((f"{one.name[:30]}, {one.box}", f"{one.name} from {one.box}") for one in kept)
    return Unclear(f'"{name.strip()[:40]}" could be {len(kept)} leftovers', pairs[:OFFERED])


def known_stock(text: str, c: Context) -> str | Unclear | None:
    """The same, but None where nothing of such a name is left over."""
    found = read_stock(text, c)
    return None if isinstance(found, Unclear) and "could be" not in found.why else found


def _partly(wanted: str, kept: list[Stock]) -> list[Stock]:
    """What is left over whose names or types have all the words."""
    words = set(wanted.split())
    found = [(one, set(f"{plain(one.name)} {plain(one.type)}".split())) for one in kept]
    return [one for one, own in found if words and words <= own]

"""Ways to speak of ways out for what is late.

Knows: requests of rescue, what the ways are called. Must not know: how a line is matched, which
ways an item has. Invariants: the sentences of buttons (EXACT) name one item; a way that is none is
answered with those that are; words that name no item are left to the other phrasings.
"""

from assistant.conversation.month_requests import Rescue, TakeRescue
from assistant.conversation.sentences import idea_ref
from assistant.conversation.sentences.contents import offer_ref
from assistant.conversation.sentences.rearranging import item_ref
from assistant.conversation.sentences.rescue import BY_BOX, WORDS, rescue_item
from assistant.conversation.understand.boxes import ID, read_coming_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import exact_item
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear

_REFS = {
    "later": ("items", item_ref),
    "offer": ("offers", offer_ref),
    "idea": ("ideas", idea_ref),
    "part": ("offers", offer_ref),
}
Way = tuple[str, str]  # its code, and the id of what it needs


def _way(text: str, c: Context) -> Way | Unclear:
    """A way as a button says it: "pack twice", "swap with 2027-05", "take offer 1a2b3c4d"."""
    said = " ".join(text.lower().split())
    for code, words in WORDS.items():
        if said == words and not (code in _REFS or code in BY_BOX):
            return code, ""
        if said.startswith(f"{words} "):
            return _with_other(code, said[len(words) + 1 :], c)
    known = ", ".join(words for code, words in WORDS.items() if code not in _REFS)
    return Unclear(f'"{text.strip()[:40]}" is no way out I know; there are: {known}')


def _with_other(code: str, named: str, c: Context) -> Way | Unclear:
    if code not in _REFS:
        box = read_coming_box(named, c)
        return (code, box) if isinstance(box, str) else box or Unclear("that is no box")
    table, ref = _REFS[code]
    found = [one.id for one in getattr(c.shop, table) if ref(one.id) == named]
    return (code, found[0]) if len(found) == 1 else Unclear(f"that {table[:-1]} is not there")


KINDS: dict[str, Kind] = {
    "rescued": Kind(rf".+ for {ID}", exact_item),
    "wayout": Kind(r"[^:]{1,60}?", _way),
}


def _of_item(_c: Context, item: str) -> Built:
    return Rescue(item=item)


def _of_box(_c: Context, box: str) -> Built:
    return Rescue(box=box)


def _of_talk(c: Context) -> Built:
    """Nothing named: the item, else the box, that was spoken of last."""
    if any(item.id == c.talk.item for item in c.shop.items):
        return Rescue(item=c.talk.item)
    return Rescue(box=c.talk.box) if c.talk.box else Unclear("I do not know of what; say its name")


def _take(sure: bool) -> Build:
    def build(_c: Context, item: str, way: Way) -> Built:
        return TakeRescue(item, *way, sure=sure)

    return build


def _one(code: str) -> Build:
    """A way that needs nothing but its item."""
    return lambda _c, item: TakeRescue(item, code)


def _no_way(c: Context, item: str, text: str) -> Built:
    """Something that is no way out."""
    offers = (("Ways out", rescue_item(c.shop, item)),)
    return Unclear(f'"{text[:40]}" is no way out I know', offers, whole=True)


EXACT: tuple[Phrasing, ...] = (
    Phrasing(
        "way out now",
        "way out for {item:rescued}: {way:wayout} now",
        _take(True),
        "a way out",
        "way out for field notebook for 2027-03: wait now",
    ),
    Phrasing(
        "way out",
        "way out for {item:rescued}: {way:wayout}",
        _take(False),
        "a way out",
        "way out for field notebook for 2027-03: wait",
    ),
    Phrasing(
        "ways out",
        "ways out for {item:rescued}",
        _of_item,
        "the ways out",
        "ways out for field notebook for 2027-03",
        asks=True,
    ),
    Phrasing(
        "ways out",
        "ways out for {box:id}",
        _of_box,
        "the ways out of a box",
        "ways out for 2027-03",
        asks=True,
    ),
    # Said by people, too; it stands here since "pack ..." means a packing run otherwise.
    Phrasing(
        "pack twice",
        "pack twice (for|because of) {item:knownitem}",
        _one("twice"),
        "a second parcel for {item}",
        "pack twice for the notebook",
    ),
)

_WAYS = "(ways out|way out|a way out|rescue|options|ways|a rescue|rescue options)"
_ABOUT = "(for|of|about|with)"
_IS = "(will be|is|are|is going to be|are going to be|will come|comes|come|runs|run)"
_NOW = (
    "(what now|what next|what can i do|what can we do|what do i do|what do we do|help|now what"
    "|what then)"
)

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "rescue box",
        f"""
        [show |the |what are the |what are my |any ]{_WAYS} {_ABOUT} {{box:month}}
        (rescue|save) {{box:month}}
        what (can|could|should|do|shall) (i|we) do about {{box:month}}[ now]
        what can be done (about|for) {{box:month}}[ now]
        how (can|do|could) (i|we) (rescue|save) {{box:month}}
        {{box:month}} (will be|is|is going to be) late[,|:| -|;][ so| and] {_NOW}
        {{box:month}} (won't|will not|wont|can't|cannot|cant) (make it|ship complete|ship in time\
|go out complete)[,| -][ what now| what can i do| help| now what]
        """,
        _of_box,
        "the ways out for {box}",
        "what can I do about March",
        asks=True,
    ),
    Phrasing(
        "rescue",
        f"""
        [show |the |what are the |what are my |any |are there ]{_WAYS} {_ABOUT} {{item:knownitem}}
        (rescue|save) {{item:knownitem}}
        what (can|could|should|do|shall) (i|we) do about {{item:knownitem}}[ now| being late]
        what can be done (about|for) {{item:knownitem}}[ now]
        how (can|do|could) (i|we) (rescue|save) {{item:knownitem}}
        what (now|if|then|next)[,] {{item:knownitem}} {_IS} late
        {{item:knownitem}} (late|too late|delayed)[,|:| -|;][ so| and] {_NOW}
        {{item:knownitem}} {_IS} (late|too late|delayed)[,|:| -|;][ so| and] {_NOW}
        {{item:knownitem}} (won't|will not|wont|can't|cannot|cant) (make it|come in time|be in time\
|arrive in time|be here in time)[,| -|;|:][ so| and][ what now| what can i do| what do i do| help\
| now what]
        {{item:knownitem}} (will be|are going to be|is going to be|will come) (late|too late)
        """,
        _of_item,
        "the ways out for {item}",
        "what can I do about the notebook",
        asks=True,
    ),
    Phrasing(
        "rescue it",
        """
        (ways out|way out|what are the ways out|what are my options|any way out|what else can i do)
        (what can i do|what can we do|what can be done) (about it|about that|about this)
        """,
        _of_talk,
        "the ways out",
        "ways out",
        asks=True,
    ),
    Phrasing(
        "wait",
        """
        wait (for|on) {item:knownitem}[ and ship late| and ship later| to come]
        ship late (for|because of) {item:knownitem}
        ship (late|later) and wait for {item:knownitem}
        """,
        _one("wait"),
        "a wait for {item}",
        "wait for the notebook",
    ),
    Phrasing(
        "faster",
        """
        (pay for|use|take|get|ask for|order) (faster|express|quicker|air|fast) (carriage|delivery\
|shipping|freight|transport|post) for {item:knownitem}
        (faster|express|quicker|air|fast) (carriage|delivery|shipping|freight|transport|post)\
 for {item:knownitem}
        (send|ship|get|fly) {item:knownitem} (by air|express|faster|by express|by courier)
        """,
        _one("faster"),
        "faster carriage for {item}",
        "faster carriage for the notebook",
    ),
    Phrasing(
        "split",
        """
        split [the ](delivery|order|shipment) (of|for) {item:knownitem}
        split {item:knownitem}[ delivery| order| in two| into two]
        ask for part of {item:knownitem} first
        """,
        _one("split"),
        "a split delivery of {item}",
        "split the delivery of the notebook",
    ),
    Phrasing(
        "twice",
        """
        (send|post|ship) {item:knownitem} (later|afterwards|separately|alone|in a second parcel)
        (send|post|ship) {item:knownitem} [later ](on its own|on their own)
        """,
        _one("twice"),
        "a second parcel for {item}",
        "send the notebook on its own",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "no way out",
        """
        (rescue|save) {item:knownitem} (by|with|using|through) {text:text}
        """,
        _no_way,
        "a rescue of {item}",
        "what can I do about the notebook",
        half=True,
    ),
)

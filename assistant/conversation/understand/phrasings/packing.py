"""Ways to speak of the packing run: its days and hands, what is packed; materials.py has those of
materials.

Knows: requests of the packing run. Must not know: how a line is matched, how what is told of a run
is parted (understand/run_facts). Invariant: a bare "March is packed" marks its stage and counts no
boxes.
"""

from collections.abc import Iterable
from datetime import date

from assistant.conversation.month_requests import (
    ChangeRun,
    Packed,
    RunSheet,
    ShowPacking,
)
from assistant.conversation.sentences import packing as says
from assistant.conversation.understand.amounts import read_count
from assistant.conversation.understand.boxes import next_boxes, read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import read_day
from assistant.conversation.understand.phrasings import materials
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.run_facts import (
    FAR,
    near_day,
    read_run,
)
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find
from assistant.planning.deadlines import ship_date
from assistant.planning.shipping import shipped

_WORDS = {
    "<of-box>": "[ (for|of|in) [the ]{box:anybox}[ box]]",
    "<when>": "[ today| now| this morning| this afternoon| by now| yesterday]",
    "<in-all>": "(so far|in all|altogether|in total|all together|until now)",
    "<carrier>": "[the |our ](carrier|courier|postman|van|post)",
    "<comes>": "(collects|comes|picks up|will collect|will come|is coming|picks the boxes up)",
    "<are>": "(are|have been|were)",
    "<days>": "[working |packing |pack ]days",
    "<sheet>": "(run sheet|runsheet|packing sheet|pack sheet|packing run sheet)",
}


# --- slots ----------------------------------------------------------------------------------


KINDS: dict[str, Kind] = {
    "packedboxes": Kind(r"-?\d[\d,]*", lambda text, _c: read_count(text)),
    "runfacts": Kind(
        r"(?:\d|(?:from|with|for|starting|beginning|collection|collected|two|three|four)\b).*?",
        lambda text, _c: text,
    ),
    "thatbox": Kind(r"it|that box|this box|that one|the box|the next box|next box", read_box),
    "startday": Kind(r".{2,40}?", lambda text, _c: f"from {text}"),
    "runday": Kind(r".{2,40}?", lambda text, _c: text),
    **materials.KINDS,
}


# --- what is built --------------------------------------------------------------------------


def _box_of(c: Context) -> str:
    """The box that a run without a name is of: the one that was spoken of, else the next."""
    if c.talk.box and find(c.shop.boxes, c.talk.box) and not shipped(c.shop, c.talk.box, c.today):
        return c.talk.box
    coming = read_box("next box", c)
    return coming if isinstance(coming, str) else c.month


def _show(c: Context, box: str = "") -> Built:
    return ShowPacking(box or _box_of(c))


def _sheet(page: bool) -> Build:
    return lambda c, box="": RunSheet(box or _box_of(c), page)


def _run(c: Context, facts: str, box: str = "") -> Built:
    box = box or _box_of(c)
    found = read_run(facts, box, c)
    return ChangeRun(box, **found) if isinstance(found, dict) else found


def _collection(c: Context, day: str, box: str = "") -> Built:
    """A collection: of the box that is named, else of the one that ships nearest to its day."""
    on = near_day(day, box, c) if box else read_day(day, c.today)
    if not isinstance(on, date):
        return on
    if on < c.today:
        return Unclear("that day is past")
    if box:
        return ChangeRun(box, collection=on)
    near = sorted(_near(on, c))
    if near:
        return ChangeRun(near[0][1], collection=on)
    offers = [(name, says.change_run(id, collection=on)) for name, id in next_boxes(c)]
    return Unclear("no box ships near that day", tuple(offers), whole=True)


def _near(on: date, c: Context) -> Iterable[tuple[int, str]]:
    for box in c.shop.boxes:
        ships = ship_date(c.shop, box.id, c.today)
        if ships and abs((ships - on).days) <= FAR // 3 and not shipped(c.shop, box.id, c.today):
            yield abs((ships - on).days), box.id


def _packed(count_all: bool) -> Build:
    def build(_c: Context, n: int, box: str = "") -> Built:
        return Packed(n, box, count_all)

    return build


def _row(
    name: str, pattern: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, words in _WORDS.items():
        pattern = pattern.replace(short, words)
    return Phrasing(name, pattern, build, gist, example, asks=asks)


_PACKED = (
    _row(
        "packed so far",
        """
        {box:anybox}(:| -|,) {n:packedboxes}[ boxes] (packed|done) <in-all>
        {box:anybox}(:| -|,) {n:packedboxes} <in-all>
        <i>packed {n:packedboxes}[ boxes] <in-all><of-box>
        {n:packedboxes}[ boxes][ are| have been] packed <in-all><of-box>
        {n:packedboxes}[ boxes] <in-all> packed<of-box>
        <in-all>[ we have]( packed|,|:) {n:packedboxes}[ packed]<of-box>
        {n:packedboxes} of {of:number}[ boxes][ are| have been] packed<of-box>
        packed {n:packedboxes} of {of:number}<of-box>
        """,
        lambda _c, n, box="", **_of: Packed(n, box, True),
        "boxes packed so far",
        "300 packed so far",
    ),
    _row(
        "packed",
        """
        {box:anybox}(:| -|,) {n:packedboxes}[ more][ boxes] packed
        {box:anybox}(:| -|,) packed {n:packedboxes}[ more][ boxes]
        <i>packed[ another| some| about] {n:packedboxes}[ more][ boxes]<of-box><when>
        [another |some |about ]{n:packedboxes}[ more][ boxes] packed<of-box><when>
        [another |some |about ]{n:packedboxes}[ more][ boxes] <are> packed<of-box><when>
        {n:packedboxes}[ more] boxes (done|ready|finished)<of-box><when>
        """,
        _packed(False),
        "boxes packed",
        "packed 140",
    ),
)

_RUNS = (
    _row(
        "as planned",
        """
        pack {box:box} (as planned|as usual|by the plan)[ again]
        """,
        lambda _c, box: ChangeRun(box, clear=("first", "crew", "hours")),
        "a packing run as planned",
        "pack March as planned",
    ),
    _row(
        "no collection",
        """
        no collection[ (for|of) {box:box}]
        [the ]collection[ (for|of) {box:box}] is (off|cancelled|canceled|not booked)
        cancel [the ]collection[ (for|of) {box:box}]
        """,
        lambda c, box="": ChangeRun(box or _box_of(c), clear=("collection",)),
        "no collection",
        "no collection for March",
    ),
    _row(
        "collection",
        """
        [a |the ]collection (of|for) {box:anybox}[ is][ booked]( on| for|:| by) {day:runday}
        [a |the ]collection[ is][ booked][ for| on| by] {day:runday} (for|of) {box:anybox}
        [a |the ]collection[ is][ booked]( for| on|:| by) {day:runday}
        <i>(booked|book|arranged)[ a| the] collection (of|for) {box:anybox} (for|on) {day:runday}
        <i>(booked|book|arranged)[ a| the] collection (for|on) {day:runday}
        {box:anybox} (is|will be|gets) (collected|picked up)[ on| by] {day:runday}
        <carrier> <comes>[ for] {box:anybox} on {day:runday}
        <carrier> <comes>[ on] {day:runday}
        """,
        _collection,
        "a collection",
        "collection booked for 15 March",
    ),
    _row(
        "run",
        """
        pack {box:anymonth}[,] {facts:runfacts}
        pack {box:thatbox}[,] {facts:runfacts}
        (start|begin) packing {box:anybox} on {facts:startday}
        packing[ run][ of| for] {box:anymonth}[:|,] {facts:runfacts}
        {box:anybox} (packing|packing run)[:|,] {facts:runfacts}
        {box:anybox} is packed {facts:runfacts}
        """,
        _run,
        "a packing run",
        "pack March from the 8th with 3 people, 7 hours",
    ),
    _row(
        "run hands",
        """
        {n:count} (people|persons|hands|helpers|of us|packers) (pack|packing|will pack|for packing)\
 {box:anybox}
        """,
        lambda _c, box, n: ChangeRun(box, crew=n),
        "hands for a packing run",
        "pack March with 3 people",
    ),
    _row(
        "run sheet page",
        """
        print [the |a |my |our ]<sheet><of-box>
        <sheet><of-box> (to print|as a page|as pdf|as a pdf|as a file)
        <sheet> {box:anybox} (to print|as a page|as pdf|as a pdf)
        """,
        _sheet(True),
        "a run sheet to print",
        "print the run sheet for March",
        asks=True,
    ),
    _row(
        "run sheet",
        """
        [show |show me |give me |send |send me |write |make ][the |a |my |our ]<sheet><of-box>
        <sheet> {box:anybox}
        {box:anybox} <sheet>
        in what order do (we|i) (place|put|lay) (the goods|things|items|everything)[ in]<of-box>
        (what|how much) (does|should|must) [the |a ]{box:anybox}[ box] weigh (packed|on the scale)
        """,
        _sheet(False),
        "a run sheet",
        "run sheet for March",
        asks=True,
    ),
)

_SHOWS = (
    _row(
        "packing run",
        """
        how long (to pack|for packing|will packing take|does packing take|is packing) {box:anybox}
        how long (does|will|would) [the ]packing[ of| for] {box:anybox} take
        how long (does|will|would) [the ]packing take (of|for|in) {box:anybox}
        how long (does|will|would) it take[ us| me] to pack {box:anybox}
        how long (do|will|shall) (we|i) (need|take) (to pack|for) {box:anybox}
        how many <days> (to pack|for packing|does packing) {box:anybox}[ take]
        how many <days> (do|will) (we|i) need (to pack|for packing) {box:anybox}
        (does|will|would|can) [the ]packing[ of| for| run of| run for] {box:anybox} fit[ in]
        (can|will|do|could) (we|i) (pack|get) {box:anybox}[ packed] in time
        will {box:anybox} be packed in time
        [show |show me |how is |how's ][the ](packing|packing run|pack run|pack days)[ of| for|:]\
 {box:anymonth}[ going]
        {box:anymonth}[:] (packing|packing run|pack days|pack run)
        """,
        _show,
        "how packing goes",
        "does packing March fit",
        asks=True,
    ),
    _row(
        "packing",
        """
        [show |how is |how's |hows ][the |our ](packing|packing run|pack days)[ going| doing]
        how long (to pack|does packing take|will packing take|do we pack)
        how far (are we|is packing|is the packing|are we with packing|are we packing)
        (does|will) [the ]packing fit
        [the ]packing fits
        """,
        _show,
        "how packing goes",
        "packing",
        asks=True,
    ),
)

EXACT: tuple[Phrasing, ...] = materials.EXACT
TABLE: tuple[Phrasing, ...] = (*_PACKED, *_RUNS, *_SHOWS, *materials.TABLE)
HALVES: tuple[Phrasing, ...] = ()

"""Ways to speak of subscribers who are not as the others: skips, pauses, gifts, prepaid terms, and
of boxes that are sold singly.

Knows: requests about groups. Must not know: how a line is matched. Invariants: "more" adds to a
group that is known, any other number takes its place; a pause without a beginning begins with the
next box.
"""

from decimal import Decimal

from msgspec.structs import replace

from assistant.conversation.order_requests import DropGroup, NoteGroup, ShowCounts
from assistant.conversation.understand.boxes import BOX, next_boxes, read_coming_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find
from assistant.planning.model import Group, GroupKind
from assistant.planning.numbers.subscribers import group_id

_BY = {"sk": "skip", "pa": "pause", "gi": "gift", "pr": "prepaid", "on": "one-off", "si": "one-off"}
LONGEST_PAUSE = 36  # months
_SHARES = {"half": 50, "none": 0, "all": 100, "a third": 33, "a quarter": 25}
# Words that stand in several patterns here.
WHO = "[ of us| of them| of our subscribers| subscribers| subscriber| subs| people| members]"
WORDS = {
    "<who>": WHO,
    "<many>": f"{{n:count}}[ {{more:more}}]{WHO}",
    "<n>": "{n:count}[ {more:more}]",
    "<pause>": "(pause|pauses|paused|pausing|are pausing|are paused|is paused|on pause|on hold)",
    "<gifts>": "(gifts|gift|gift subscriptions|gift subs|gift subscribers|gifted|gift boxes)",
    "<prepaid>": "(prepaid|pre-paid|prepaid terms|prepaid subscriptions|prepaid subs|prepays"
    "|annual subscriptions|annual subscribers|annual plans|yearly plans|paid ahead)",
    "<end>": "(end|ends|ending|run out|runs out|expire|expires|stop|finish|until|till|are over)"
    "[ with| in| after| on| by]",
    "<renew>": "[ of them] (renew|renews|will renew|stay|stays|stay on|will stay|carry on)",
    "<and>": "(,|;| and|, and)",
    "<of-box>": "(of|for|in) [the ]{box:box}[ box]",
}


def _share(text: str, _c: Context) -> Decimal:
    return Decimal(_SHARES[text.strip().lower()])


def _said(text: str, _c: Context) -> str:
    return text.strip().lower()


KINDS: dict[str, Kind] = {
    "groupid": Kind(r"(?:skip|pause|gift|prepaid|one-off)/\S+", _said),
    "more": Kind(r"more", _said),
    "share": Kind("|".join(_SHARES), _share),
    "term": Kind(r"gifts?|prepaid(?: terms)?", _said),
    "groupkind": Kind(
        r"skips?|pauses?|gifts?|prepaid(?: terms?)?|one[- ]offs?|singles|single box(?:es)?",
        _said,
    ),
    "monthname": Kind(BOX, read_coming_box),
}


def _skip(c: Context, n: int, box: str, more: str = "") -> Built:
    return _noted(c, NoteGroup("skip", n, first=box), more)


def _single(c: Context, n: int, box: str, more: str = "") -> Built:
    return _noted(c, NoteGroup("one-off", n, first=box), more)


def _pause(
    c: Context,
    n: int,
    first: str = "",
    last: str = "",
    months: int | None = None,
    more: str = "",
) -> Built:
    first = first or min((b.id for b in c.shop.boxes if b.id[:7] >= c.month), default=c.month)
    if months and months > LONGEST_PAUSE:
        return Unclear(f"{months:,} months are more than I plan; leave out the end")
    if months:
        year, month = divmod(int(first[:4]) * 12 + int(first[5:7]) - 1 + months, 12)
        last = f"{year:04}-{month + 1:02}"
    return _noted(c, NoteGroup("pause", n, first=first, last=last), more)


def _term(kind: GroupKind) -> Build:
    def build(
        c: Context,
        n: int,
        box: str,
        renew: Decimal | None = None,
        how: Decimal | None = None,
        more: str = "",
    ) -> Built:
        return _noted(c, NoteGroup(kind, n, last=box, renew=how if renew is None else renew), more)

    return build


def _noted(c: Context, group: NoteGroup, more: str) -> Built:
    """A group, on top of the one that is known where "more" is said."""
    old = find(c.shop.groups, group_id(Group("", group.group, 0, group.first, group.last)))
    return replace(group, number=group.number + old.number) if more and old else group


def _renews(c: Context, renew: Decimal, box: str, term: str) -> Built:
    kind: GroupKind = "gift" if term.startswith("gift") else "prepaid"
    known = find(c.shop.groups, group_id(Group("", kind, 0, last=box)))
    if known is None:
        return Unclear("I know of none that end then")
    return NoteGroup(kind, known.number, last=box, renew=renew)


def _drop(c: Context, group: str, box: str) -> Built:
    """Forget the group of a kind that a box is about."""
    kind = _BY[group[:2]]
    found = [one.id for one in c.shop.groups if one.group == kind and box in (one.first, one.last)]
    return DropGroup(found[0]) if found else Unclear("I know of none there")


def _when(before: str) -> Build:
    def build(c: Context, n: int) -> Built:
        """A group without its box: the next ones are offered."""
        offers = ((label, f"{n} {before} {id}") for label, id in next_boxes(c))
        return Unclear("I do not know which box", tuple(offers), whole=True)

    return build


def _row(
    name: str,
    says: str,
    build: Build,
    gist: str,
    example: str,
    *,
    asks: bool = False,
    half: bool = False,
) -> Phrasing:
    for short, words in WORDS.items():
        says = says.replace(short, words)
    return Phrasing(name, says, build, gist, example, asks=asks, half=half)


EXACT: tuple[Phrasing, ...] = (
    _row(
        "drop group",
        "drop group {id:groupid}",
        lambda _c, id: DropGroup(id),
        "a group to forget",
        "drop group skip/2027-03",
    ),
)
TABLE: tuple[Phrasing, ...] = (
    _row(
        "skip",
        """
        <many> (skip|skips|skipping|skipped|opt out of|opted out of|leave out) [the ]{box:box}[ box]
        <many> (are|is|will|want to|wants to) (skip|skipping) [the ]{box:box}[ box]
        <many> (do not|don't|dont) want [the ]{box:monthname}[ box]
        <n> (skip|skips|skippers) <of-box>
        {box:monthname}[:] {n:count} (skip|skips|skippers|skipping)[ it]
        """,
        _skip,
        "some who skip a box",
        "8 skip March",
    ),
    _row(
        "pause",
        """
        <many> <pause>[ from| since] {first:box}[,] (until|till|to|back in|back with) {last:box}
        <many> <pause>[ for] {months:count} months[ from {first:box}]
        <many> <pause> (until|till|to) {last:box}
        <many> <pause> (from|since|starting|as of) {first:box}[ on]
        """,
        _pause,
        "some who pause",
        "5 pause from March until May",
    ),
    _row(
        "pause one",
        "<many> <pause>[ in| for] {box:monthname}",
        _skip,
        "some who pause",
        "5 pause in March",
    ),
    _row(
        "gifts",
        """
        <n> <gifts> <end> {box:box}[<and> {renew:percent}[ ](%|percent)<renew>]
        <n> <gifts> <end> {box:box}<and> [about |the ]{how:share}<renew>
        """,
        _term("gift"),
        "gifts that end",
        "20 gifts end with May, 40% renew",
    ),
    _row(
        "prepaid",
        """
        <n> <prepaid> <end> {box:box}[<and> {renew:percent}[ ](%|percent)<renew>]
        <n> <prepaid> <end> {box:box}<and> [about |the ]{how:share}<renew>
        """,
        _term("prepaid"),
        "prepaid terms that end",
        "12 prepaid end with June, half renew",
    ),
    _row(
        "renewals",
        """
        {renew:percent}[ ](%|percent) of [the ]{box:monthname} {term:term} (renew|stay|stay on)
        {renew:percent}[ ](%|percent) of [the ]{term:term} (of|ending in|that end with)\
 {box:monthname} (renew|stay|stay on)
        """,
        _renews,
        "a share that renews",
        "20 gifts end with May, 40% renew",
    ),
    _row(
        "single boxes",
        """
        <n> (single|one-off|one off|extra|loose) (boxes|box|sales|orders) <of-box>
        <n> (one-offs|one offs|singles|extras) <of-box>
        <i>(sold|sell) <n> [single |one-off |extra ](boxes|box) <of-box>[ singly]
        <i>(sold|sell) <n> {box:monthname} boxes[ singly| one-off]
        """,
        _single,
        "boxes that are sold singly",
        "15 single boxes for March",
    ),
    _row(
        "drop the skips",
        """
        (drop|forget|remove|delete|cancel) [the |all ]{group:groupkind}\
 (of|for|in|from|that end with|that end in) [the ]{box:monthname}[ box]
        (drop|forget|remove|delete|cancel) [the ]{box:monthname} {group:groupkind}
        """,
        _drop,
        "some to forget",
        "drop group skip/2027-03",
    ),
    _row(
        "groups",
        """
        [show |the |our |all ](groups of subscribers|subscriber groups|skips and gifts)
        [show |the |our |all ](skips|pauses|gifts|one-offs|prepaid terms|gift subscriptions)
        [show |the |our |all ](skips and pauses|skips, pauses and gifts|gifts and pauses)
        (who|how many) (skips|skip|pauses|pause|is paused|are paused|is skipping|are skipping)
        """,
        lambda _c: ShowCounts(part="groups"),
        "skips and gifts",
        "groups of subscribers",
        asks=True,
    ),
)
HALVES: tuple[Phrasing, ...] = (
    _row(
        "skip",
        "{n:number}<who> (skip|skips|skipping)",
        _when("skip"),
        "{n} who skip a box",
        "8 skip March",
        half=True,
    ),
    _row(
        "gifts",
        "{n:number} <gifts>",
        _when("gifts end with"),
        "{n} gifts",
        "20 gifts end with May, 40% renew",
        half=True,
    ),
)

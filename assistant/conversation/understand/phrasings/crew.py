"""Ways to speak of who does what, who may see money, who is away, who did it.

Knows: requests about people. Must not know: how a line is matched, who may ask what. Invariants: a
sentence that begins with a name is about a person only where somebody of that name was let in; who
is meant by "me" is the person whose chat it is.
"""

import re
from collections.abc import Iterable
from datetime import date

from assistant.conversation.month_requests import GiveTo, LetSeeMoney, PersonOff, WhoDid
from assistant.conversation.understand.boxes import read_box
from assistant.conversation.understand.closures import read_closure
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import exact_item, known_item, read_person
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.tasks import Task, task_of
from assistant.conversation.understand.unclear import Unclear
from assistant.planning.changes import find
from assistant.planning.model import Closure, Person


def _speaker(c: Context) -> Person | None:
    """Whose chat it is; nobody's in a group."""
    return next((one for one in c.shop.people if one.chat == c.talk.id), None)


def _who(text: str, c: Context) -> str | Unclear | None:
    """Somebody who was let in; None where nobody of that name is, so that it may be a thing."""
    found = read_person(text, c)
    unknown = isinstance(found, Unclear) and "could be" not in found.why
    return None if unknown else found


def _whom(text: str, c: Context) -> str | Unclear | None:
    """Somebody who was let in, or "me"; a question where nobody of that name is."""
    if text.strip().lower() in ("me", "myself"):
        speaker = _speaker(c)
        return speaker.id if speaker else Unclear("I do not know you; say a name")
    return read_person(text, c)


def _self(_text: str, c: Context) -> str | None:
    """A helper who speaks for herself; what an owner says of herself is said of the shop."""
    speaker = _speaker(c)
    return speaker.id if speaker is not None and speaker.role == "helper" else None


_NAME = r"[^;,]{1,80}?"
KINDS: dict[str, Kind] = {
    "who": Kind(_NAME, _who),
    "whom": Kind(_NAME, _whom),
    "whos": Kind(rf"{_NAME}'s", lambda text, c: _who(text[:-2], c)),
    "self": Kind(r"i", _self),
    "selfm": Kind(r"i'm", _self),
}


# --- requests -------------------------------------------------------------------------------


def _give(_c: Context, keys: tuple[str, ...] = (), who: str = "") -> Built:
    return GiveTo(keys, who)


def _give_one(_c: Context, task: Task, who: str = "") -> Built:
    return GiveTo((task.key,), who)


def _stage(stage: str) -> Build:
    """What a person is to do, where the word for it is the verb."""

    def build(c: Context, who: str, what: str = "") -> Built:
        task = task_of(stage, what, c)
        if isinstance(task, Task):
            return GiveTo((task.key,), who)
        person = find(c.shop.people, who)
        return task and task.said(f"nudge {person.name if person else who} about ")

    return build


def _off(c: Context, who: str, days: str = "") -> Built:
    found = read_closure(days, c)
    if found is None:
        return _off_when(c)
    return PersonOff(who, found) if isinstance(found, Closure) else found


def _off_when(_c: Context, **_: str) -> Built:
    return Unclear("I could not read on which days")


def _for_all(_c: Context, keys: tuple[str, ...], **_: str) -> Built:
    return GiveTo(keys, "")


def _back(c: Context, who: str, day: date | None = None) -> Built:
    return PersonOff(who, back=day or c.today)


def _who_did(c: Context, what: str) -> Built:
    """Who did something of an item or a box; None where it is neither."""
    said = re.sub(r"^(?:the )?(?:box|boxes) (?:of|for) ", "", what.strip(), flags=re.IGNORECASE)
    item = exact_item(said, c) or known_item(said, c)
    if isinstance(item, str):
        return WhoDid(item=item)
    box = read_box(said, c)
    if isinstance(box, str):
        return WhoDid(box=box)
    return item.said("who did what for ") if item else None


def _row(name: str, pattern: str, build: Build, gist: str, example: str, **more: bool) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example, **more)


_SEE = "see[ the| any| our| all the| all] (money|prices|costs|amounts|figures|prices and costs)"
_SEE += "[ too| now| again| as well| any more]"
_AWAY = "(off sick|off ill|off|away|on holiday|on leave|on vacation|not in|not working|not here"
_AWAY += "|ill|sick|unavailable)"
_GIFT = "who is to do a thing"
_WHOSE = "give packing March to Anna"

EXACT: tuple[Phrasing, ...] = (
    _row("give", "give {task:exacttask} to {who:whom}", _give_one, _GIFT, _WHOSE),
    _row("give back", "nudge everybody about {task:exacttask}", _give_one, _GIFT, _WHOSE),
)


def _verbs(stage: str, forms: str, doing: str) -> Phrasing:
    """A row for a stage whose verb says what a person is to do: "Anna orders the pins"."""
    does, do = forms.split("/")
    pattern = f"""
        {{who:who}} {does} {{what:words}}
        {{who:who}} (will|is to|shall|should|must|can|has to|to|is going to) {do} {{what:words}}
        {{who:who}} is {doing} {{what:words}}
        (let|have) {{who:who}} {do} {{what:words}}
        """
    return _row("give", pattern, _stage(stage), _GIFT, _WHOSE)


def _given_by_verb() -> Iterable[Phrasing]:
    yield _verbs("order", "orders/order", "ordering")
    yield _verbs("pack", "packs/pack", "packing")
    yield _verbs("stock", "(receives|checks in|counts in)/(receive|check in|count in)", "receiving")
    yield _verbs("source", "sources/source", "sourcing")
    yield _verbs("ship", "(ships|posts)/(ship|post)", "posting")


TABLE: tuple[Phrasing, ...] = (
    _row(
        "see money",
        f"""
        {{who:who}} (may|can|is allowed to|is to|should|shall|might) {_SEE}
        (let|allow) {{who:who}} [to ]{_SEE}
        (show|tell) {{who:who}} [the |all the ](money|prices|costs)
        """,
        lambda _c, who: LetSeeMoney(who, may=True),
        "who may see money",
        "Anna may see money",
    ),
    _row(
        "see no money",
        f"""
        {{who:who}} (may not|can not|cannot|can't|cant|must not|mustn't|may no longer) {_SEE}
        {{who:who}} (should not|shouldn't|shouldnt|is not to|is not allowed to|shall not) {_SEE}
        (don't|dont|do not|no longer|never) (let|allow) {{who:who}} [to ]{_SEE}
        (hide|keep) [the |all ](money|prices|costs) from {{who:whom}}
        (show|tell) {{who:who}} no (money|prices|costs)
        no (money|prices|costs) for {{who:who}}
        """,
        lambda _c, who: LetSeeMoney(who, may=False),
        "who may see money",
        "Anna may not see money",
    ),
    _row(
        "give back",
        """
        (nudge|remind|tell) (everybody|everyone|all of us|us all|all) (about|of|for) {keys:tasks}
        (give|hand) {keys:tasks} [back ]to (everybody|everyone|all|all of us|us all)
        {keys:tasks} (is|are) (for everybody|for everyone|everybody's|everyone's)[ again]
        take {keys:tasks} (back|away) from {person:who}
        """,
        _for_all,
        "who is to do a thing",
        "nudge everybody about packing March",
    ),
    _row(
        "give",
        """
        (give|assign|hand|pass|hand over|leave) {keys:tasks} to {who:whom}
        (hand|pass) {keys:tasks} over to {who:whom}
        nudge {who:whom}[ alone] (about|of|for|to do) {keys:tasks}
        remind {who:who}[ alone] (about|of|for|to do) {keys:tasks}
        remind me alone (about|of|for) {keys:tasks}
        nudge (me alone|me) (about|of|for) {keys:tasks}
        {who:who} (takes|does|handles|will do|will take|takes over|looks after) {keys:tasks}
        {who:who} (takes care of|is in charge of|is responsible for|sees to) {keys:tasks}
        {keys:tasks} (is for|are for|goes to|go to|is up to) {who:who}
        """,
        lambda c, keys, who="": GiveTo(keys, who or _me(c)),
        _GIFT,
        _WHOSE,
    ),
    *_given_by_verb(),
    _row(
        "away",
        f"""
        {{who:who}} (is|will be|has been) {_AWAY} {{days:text}}
        {{who:whos}} {_AWAY} {{days:text}}
        {{who:who}} (has|takes|is taking|gets)[ a day| days| time| a week] off {{days:text}}
        {{who:who}} has {{days:words}} off
        {{who:who}} (does not work|doesn't work|doesnt work|won't work) {{days:text}}
        {{who:who}} (cannot work|can't work|cant work|isn't here|isnt here|isn't in) {{days:text}}
        {{who:who}} (won't be in|won't be here|can't come|cannot come|is not coming) {{days:text}}
        {{who:who}} (off|away|on holiday|on leave) {{days:text}}
        {{who:whos}} (holiday|holidays|leave|day off|days off)[ is| are][:] {{days:text}}
        {{who:self}} am {_AWAY} {{days:text}}
        {{who:selfm}} {_AWAY} {{days:text}}
        {{who:self}} (have|take)[ a day| days| time] off {{days:text}}
        """,
        _off,
        "days off of {who}",
        "Anna is off 2-6 March",
    ),
    _row(
        "back",
        """
        {who:who} (is|will be) (back|in|here|working)[ again| after all] (on|from) {day:day}
        {who:who} (is|will be) (back|working again|in again|here again) {day:day}
        {who:whos} back[ again] (on|from) {day:day}
        {who:whos} back[ again] {day:day}
        {who:who} (works|comes|comes back|returns|starts) [again |after all ](on|from) {day:day}
        {who:who} is (back|here again|in again|back again|working again|well again)
        {who:whos} (back|here again|in again|back again)
        {who:who} back (on|from) {day:day}
        {who:self} am back[ again] (on|from) {day:day}
        {who:self} am back[ again]
        """,
        _back,
        "when {who} is back",
        "Anna is back on 4 March",
    ),
    _row(
        "who did",
        """
        who (ordered|bought|placed the order for|settled|sourced|received|got|took in) {what:words}
        who (checked in|counted in|counted|checked|approved|paid|paid for|dispatched) {what:words}
        who (packed|shipped|posted|sent|added|changed|moved|dropped|did|touched) {what:words}
        who (did|has done) (what|anything|things) (for|in|with|on|about|to) {what:words}
        who (worked|has worked|is working) on {what:words}
        what was done (for|on|with) {what:words} by whom
        """,
        _who_did,
        "who did a thing",
        "who ordered the notebook",
        asks=True,
    ),
    _row(
        "what they did",
        """
        what did {who:who} do[ today| yesterday| this week| lately| so far| last| last week]
        what (has|did) {who:who} (done|been doing|been up to)[ today| this week| lately| so far]
        what (has|did) {who:who} (change|changed|order|ordered|pack|packed)
        what {who:who} (did|has done)
        """,
        lambda _c, who: WhoDid(person=who),
        "what {who} did",
        "what did Anna do",
        asks=True,
    ),
    _row(
        "who did",
        """
        (who did what|who has done what|who did which|what was done by whom)
        """,
        lambda _c: WhoDid(),
        "who did what",
        "who did what",
        asks=True,
    ),
)


def _me(c: Context) -> str:
    speaker = _speaker(c)
    return speaker.id if speaker else ""


HALVES: tuple[Phrasing, ...] = (
    _row(
        "away",
        f"""
        {{who:who}} (is|will be) {_AWAY}
        """,
        _off_when,
        "days off of {who}",
        "Anna is off 2-6 March",
        half=True,
    ),
)

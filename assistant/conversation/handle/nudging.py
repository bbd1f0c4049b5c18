"""Nudges: what is done, put off or not needed, the morning's digest, the rehearsal.

Knows: which marks a request makes and which digests are due. Must not know: how a digest is written
(replies/nudging) or when it is due (planning/nudges). Invariants: what was marked can be taken
back; a digest is recorded in the same commit that sends it, as the assistant's own memory, which
nobody can undo; a key that is no longer in the plan is said, never an error.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from itertools import islice
from typing import NamedTuple

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.answers import PUT_OFF_DAYS, shown, touches
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.replies import nudging as say
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import MarkDone, NotNeeded, PutOff, Rehearse, Reopened
from assistant.conversation.sentences.rescue import rescue_box
from assistant.planning.changes import apply, find, place
from assistant.planning.crew import others
from assistant.planning.deadlines import Deadline, deadline, deadlines
from assistant.planning.model import Change, MarkState, Morning, Person, Put, Shop, Talk
from assistant.planning.month.cautions import before
from assistant.planning.month.risks import AtRisk
from assistant.planning.news import news, with_news
from assistant.planning.nudges import (
    Digest,
    digest_for,
    mark,
    put_off,
    rehearse,
    told,
    working_days_on,
)

DIGEST_LINES = 8
MOST_PUT_OFF = 366  # days
YEAR = timedelta(days=365)
MOST_REHEARSED = timedelta(days=731)


class Marking(NamedTuple):
    """One way to mark: the state, the word that says it, and the word for "already so"."""

    state: MarkState
    word: str
    already: str


DONE = Marking("done", "Done", "done")
NOT_NEEDED = Marking("not needed", "Not needed", "marked as not needed")
OPEN = Marking("open", "Open again", "open")


def mark_done(shop: Shop, request: MarkDone, asked: Asked) -> Outcome:
    """Mark deadlines as met, and say what comes next."""
    return _marked(shop, request.keys, DONE, asked)


def mark_not_needed(shop: Shop, request: NotNeeded, asked: Asked) -> Outcome:
    """Mark deadlines as not applying."""
    return _marked(shop, request.keys, NOT_NEEDED, asked)


def open_again(shop: Shop, request: Reopened, asked: Asked) -> Outcome:
    """Take marks away. What a later step implies stays done, and that is said."""
    return _marked(shop, request.keys, OPEN, asked)


def _marked(shop: Shop, keys: Sequence[str], way: Marking, asked: Asked) -> Outcome:
    known = _known(shop, keys, asked.today)
    new = [one for one in known if one.state != way.state]
    old = [one for one in known if one.state == way.state]
    lost = [key for key in dict.fromkeys(keys) if key not in {one.key for one in known}]
    changes = tuple(
        change
        for one in new
        for change in mark(shop, one.key, way.state, asked.moment.now, asked.person.id)
    )
    notes = (say.already(way.already, old, asked.today), *_not_found(shop, lost, asked.today))
    if not changes:
        implied = [say.still_done(one, asked.today) for one in new]
        empty = () if keys else (say.nothing_named(),)
        stands = bool(old) and not new and not lost
        return answer(asked, (*implied, *notes, *empty), _further(shop, asked), stands=stands)
    after = apply(shop, changes)
    lines = (
        say.marked(way.word, new, asked.today),
        *notes,
        *_still_done(after, new, way, asked.today),
        _what_follows(after, new, asked.today),
    )
    talk = about(asked, item=new[-1].item, box=new[-1].box)
    return changed(shop, asked, changes, lines, _further(after, asked), talk=talk)


def _not_found(shop: Shop, keys: Iterable[str], today: date) -> Iterable[str]:
    """Say of keys that stand in no list why: their box has shipped, or they are gone."""
    gone = 0
    for key in keys:
        owner = key.rpartition("/")[0]
        item = find(shop.items, owner)
        box = find(shop.boxes, item.box if item else owner)
        on = dates.shipped(shop, box.id, today) if box else None
        if box and on:
            yield say.over(box.id, on, today)
        else:
            gone += 1
    yield say.unknown(gone)


def _further(shop: Shop, asked: Asked) -> tuple[Button, ...]:
    """The buttons under a mark: done for the next of the list that was shown last, what is due."""
    open_ones = {one.key for one in dates.todo(shop, asked.today)}
    numbered = enumerate(asked.talk.deadlines, start=1)
    following = next(((n, key) for n, key in numbered if key in open_ones), None)
    if following is None or len(asked.talk.deadlines) == 1:
        return (_due_button(),)
    number, key = following
    return (Button(f"Done {number}", sentences.done(shop, key)), _due_button())


def _known(shop: Shop, keys: Iterable[str], today: date) -> list[Deadline]:
    by_key = {one.key: one for one in deadlines(shop, today)}
    return [by_key[key] for key in dict.fromkeys(keys) if key in by_key]


def _still_done(after: Shop, new: Iterable[Deadline], way: Marking, today: date) -> Iterable[str]:
    if way.state != "open":
        return ()
    now = (deadline(after, one.key, today) for one in new)
    return [say.still_done(one, today) for one in now if one and one.state == "done"]


def _what_follows(shop: Shop, marked: Sequence[Deadline], today: date) -> str:
    """Name what comes next for what was marked last, else in the whole plan."""
    last, coming = marked[-1], dates.todo(shop, today)
    own = [one for one in coming if one.box == last.box and one.item == last.item]
    if own:
        return say.next_for_it(own[0], today)
    return say.next_at_all(coming[0], today) if coming else say.NOTHING_NEXT


def _due_button() -> Button:
    return Button("What is due", sentences.what_is_due())


# --- put off --------------------------------------------------------------------------------


def put_things_off(shop: Shop, request: PutOff, asked: Asked) -> Outcome:
    """Silence deadlines until a day; their dates stay."""
    today = asked.today
    until = _until(shop, request, today)
    if isinstance(until, str):
        return answer(asked, (until,))
    known = _known(shop, request.keys, today)
    open_ones = [one for one in known if one.state == "open"]
    settled = [one for one in known if one.state != "open"]
    lost = [key for key in dict.fromkeys(request.keys) if key not in {one.key for one in known}]
    notes = (
        say.already("dealt with", settled, today),
        *_not_found(shop, lost, today),
    )
    if not open_ones:
        empty = () if request.keys else (say.nothing_named(),)
        stands = bool(settled) and len(settled) == len(set(request.keys))
        return answer(asked, (*notes, *empty), (_due_button(),), stands=stands)
    marks, mornings = _silenced(shop, open_ones, until, asked)
    beyond = [one for one in open_ones if not one.late and one.on < until]
    lines = (
        say.put_off(open_ones, until, None if request.until else request.days, today),
        say.past_its_date(beyond, today),
        *notes,
    )
    talk = about(asked, item=open_ones[-1].item, box=open_ones[-1].box)
    outcome = changed(shop, asked, marks, lines, (_due_button(),), talk=talk)
    return replace(outcome, notes=(*outcome.notes, *mornings))


def _until(shop: Shop, request: PutOff, today: date) -> date | str:
    """The day until which something is put off, or why it cannot be."""
    if request.until is None:
        days = PUT_OFF_DAYS if request.days is None else request.days
        if not 1 <= days <= MOST_PUT_OFF:
            return say.put_off_so_long(days, MOST_PUT_OFF)
        return working_days_on(shop, days, today)
    if request.until <= today:
        return say.put_off_to_past(request.until, today)
    days = (request.until - today).days
    return request.until if days <= MOST_PUT_OFF else say.put_off_so_long(days, MOST_PUT_OFF)


def _silenced(
    shop: Shop, found: Iterable[Deadline], until: date, asked: Asked
) -> tuple[tuple[Change, ...], tuple[Change, ...]]:
    """Return the marks, which can be undone, and the mornings, which are our own memory."""
    now, changes = shop, list[Change]()
    for one in found:
        silenced = put_off(now, one.key, until, asked.moment.now, asked.person.id)
        now = apply(now, silenced)
        changes += [c for c in silenced if place(c)[0] == "ledger"]
    mornings = (one for one in now.mornings if find(shop.mornings, one.id) != one)
    return tuple(changes), tuple(Put(one) for one in mornings)


# --- the morning ----------------------------------------------------------------------------


def morning(shop: Shop, now: datetime) -> Outcome:
    """Return the digests that are due at `now` (aware), with the notes that record them.

    Pure: the same shop and time give the same outcome. A digest with nothing in it is recorded,
    not sent.
    """
    due = [found for one in shop.people if (found := digest_for(shop, one, now))]
    people = {one.id: one for one in shop.people}
    outcomes = [_digest(shop, people[found.person], found) for found in due]
    return Outcome(
        replies=tuple(reply for one in outcomes for reply in one.replies),
        notes=tuple(note for one in outcomes for note in one.notes),
    )


def _digest(shop: Shop, person: Person, found: Digest) -> Outcome:
    risks = news(shop, person, found.day)
    recorded = _recorded(shop, found, risks)
    if found.empty and not risks:
        return Outcome(notes=recorded)
    every = (*found.late, *found.today, *found.ahead)
    lines = (
        *say.digest(found, DIGEST_LINES, others(shop, person.id)),
        *say.at_risk(risks, found.day),
        *_to_check(shop, found),
    )
    reply = Reply(
        title=say.morning_title(found.day),
        text="\n".join(lines),
        buttons=in_rows((*touches(shop, every), *_ways_out(risks, found.day), *_lists(found))),
        to=person.chat,
    )
    talk = find(shop.talks, person.chat) or Talk(id=person.chat)
    only = every[0] if len(every) == 1 else None
    talk = replace(
        shown(shop, talk, every[:DIGEST_LINES]),
        item=only.item if only else talk.item,
        box=only.box if only else talk.box,
    )
    return Outcome(replies=(reply,), notes=(*recorded, Put(talk)))


def _recorded(shop: Shop, found: Digest, risks: tuple[AtRisk, ...]) -> tuple[Change, ...]:
    """What a digest told, with the boxes at risk."""
    records = (one.record for one in told(found, shop) if isinstance(one, Put))
    mornings = (one for one in records if isinstance(one, Morning))
    return tuple(Put(with_news(one, risks)) for one in mornings)


def _to_check(shop: Shop, found: Digest) -> Iterable[str]:
    """What to check before what is to be ordered or packed now."""
    return say.to_check(before(shop, (*found.today, *found.ahead), found.day))


def _ways_out(risks: Iterable[AtRisk], today: date) -> Iterable[Button]:
    """The buttons that ask what can be done for the boxes that cannot ship complete."""
    for one in islice((one for one in risks if not one.unpacked), say.RISKS):
        yield Button(f"Ways out: {box_name(one.box, today)}", rescue_box(one.box))


def _lists(found: Digest) -> tuple[Button, ...]:
    late = Button("What is late", sentences.what_is_late())
    return (late, _due_button()) if found.late else (_due_button(),)


# --- the rehearsal --------------------------------------------------------------------------


def run_rehearsal(shop: Shop, request: Rehearse, asked: Asked) -> Outcome:
    """Show every nudge of a year to come: in short, and whole as a text file."""
    first = max(request.first or asked.today, asked.today)
    last = request.last or first + YEAR
    if not first <= last <= first + MOST_REHEARSED:
        return answer(asked, (say.bad_stretch(first, last),))
    digests = rehearse(shop, first, last)
    year = Button("The year", sentences.show_year())
    if not digests:
        return answer(asked, (say.no_nudges(first, last),), (year,))
    title = say.rehearsal_title(first, last)
    outcome = answer(asked, say.rehearsal(digests, asked.today), (_due_button(), year), title=title)
    text = f"{title}\n\n{say.whole_rehearsal(digests)}"
    file = File(f"{asked.moment.ref}/rehearsal", f"nudges {first}.txt", text.encode())
    whole = Reply(text=say.WHOLE, document=file.id, document_name=file.name)
    return replace(outcome, replies=(*outcome.replies, whole), files=(file,))


HANDLERS: dict[type, Handler] = {
    MarkDone: mark_done,
    NotNeeded: mark_not_needed,
    Reopened: open_again,
    PutOff: put_things_off,
    Rehearse: run_rehearsal,
}

"""The history: shown, and taken back.

Knows: the newest entries of the shop's history (`shop.recent`). Must not know: what the changes
mean (see replies/history for how they are named). Invariants: an entry is taken back only while
everything it touched still stands as it left it; an entry that was taken back is not taken back
again; taking back an undo puts its change back; a helper takes back only what was their own.
"""

from datetime import date, datetime

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.messages import Button, Outcome, Reply
from assistant.conversation.replies import history as say
from assistant.conversation.replies.doors import called
from assistant.conversation.requests import ShowHistory, Undo
from assistant.planning.changes import apply, conflicts, find, place, profile_of
from assistant.planning.model import Box, Change, Entry, Put, Remove, Shop
from assistant.scheduling.zones import zone

SHOWN = 8  # entries in one answer


def undo(shop: Shop, request: Undo, asked: Asked) -> Outcome:
    """Take back one entry: the one of this number, or the speaker's last that stands."""
    back = taken_back(shop)
    if request.number is None:
        entry = _last_of(shop, asked.person.id, back, undoes=request.again)
        if entry is None:
            return answer(asked, (say.NOTHING_BACK if request.again else say.NOTHING,))
    else:
        entry = next((one for one in shop.recent if one.number == request.number), None)
        if entry is None:
            return answer(asked, (say.unknown(request.number),))
    if entry.number in back:
        return answer(asked, (say.back_already(entry),), stands=True)
    if asked.person.role != "owner" and entry.by != asked.person.id:
        return answer(asked, (say.not_yours(entry, _who(shop, entry, asked)),))
    return _take_back(shop, entry, asked)


def _take_back(shop: Shop, entry: Entry, asked: Asked) -> Outcome:
    clashing = conflicts(shop, entry.changes)
    if clashing:
        return _changed_since(shop, entry, clashing, asked)
    changes = _but_for_what_is_needed(shop, entry.inverse)
    lines = (*say.now_again(shop, changes, asked.today), *_moved_back(shop, changes, asked))
    if entry.number in took_back(shop):
        undone = next((one for one in shop.recent if one.number == entry.undoes), entry)
        text, label, why = say.put_back(undone, lines), "Undo", f"put back: {undone.why}"
    else:
        text, label, why = say.taken_back(entry, lines), "Put it back", f"undo: {entry.why}"
    again = Button(label, sentences.undo(shop.version + 1))
    reply = Reply(text="\n".join(line for line in text if line), buttons=in_rows((again,)))
    return Outcome(
        replies=(reply,),
        changes=changes,
        why=why,
        undoes=entry.number,
    )


def _moved_back(shop: Shop, changes: tuple[Change, ...], asked: Asked) -> tuple[str, ...]:
    """Say which dates of what stays in the plan move by it, if any do."""
    after = apply(shop, changes)
    return dates.moves(shop, after, asked.today, silent=True)


def _but_for_what_is_needed(shop: Shop, inverse: tuple[Change, ...]) -> tuple[Change, ...]:
    """Return the changes without those that would take a supplier or a box away from items which
    came to it later: the supplier stays, the box stays without what the entry gave it."""
    after = apply(shop, inverse)
    suppliers = {item.supplier for item in after.items}
    boxes = {item.box for item in after.items}
    kept: list[Change] = []
    for change in inverse:
        table, id = place(change)
        if isinstance(change, Remove) and table == "suppliers" and id in suppliers:
            continue
        bare = isinstance(change, Remove) and table == "boxes" and id in boxes
        kept.append(Put(Box(id=id)) if bare else change)
    return tuple(kept)


def _changed_since(
    shop: Shop, entry: Entry, clashing: tuple[tuple[str, str], ...], asked: Asked
) -> Outcome:
    """Name what no longer stands, and the entry that changed it last, to be taken back first."""
    names = [say.called(shop, table, id, asked.today) for table, id in clashing]
    later = next(
        (
            one
            for one in reversed(shop.recent)
            if one.number > entry.number and set(clashing) & {place(c) for c in one.changes}
        ),
        None,
    )
    text = say.changed_since(entry, names, later, _who(shop, later, asked) if later else "")
    buttons = (Button("Undo that", sentences.undo(later.number)),) if later else ()
    return answer(asked, (text,), buttons)


def taken_back(shop: Shop) -> frozenset[int]:
    """Return the numbers of entries that are taken back as things stand: an undo that was itself
    taken back does not count."""
    back: set[int] = set()
    for entry in reversed(shop.recent):
        if entry.undoes and entry.number not in back:
            back.add(entry.undoes)
    return frozenset(back)


def took_back(shop: Shop) -> frozenset[int]:
    """Return the numbers of entries that took a change back: not those that put one back."""
    took: set[int] = set()
    for entry in shop.recent:
        if entry.undoes and entry.undoes not in took:
            took.add(entry.number)
    return frozenset(took)


def _last_of(
    shop: Shop, person: str, back: frozenset[int], *, undoes: bool = False
) -> Entry | None:
    """A person's last change that stands, or the last thing they took back (`undoes`)."""
    took = took_back(shop)
    own = (one for one in reversed(shop.recent) if one.by == person and one.number not in back)
    return next((one for one in own if _is_it(one, took, undoes=undoes)), None)


def _is_it(entry: Entry, took: frozenset[int], *, undoes: bool) -> bool:
    return entry.number in took if undoes else not entry.undoes


def show(shop: Shop, request: ShowHistory, asked: Asked) -> Outcome:
    """List the latest changes, newest first, with a touch to take back the newest that stands."""
    del request
    if not shop.recent:
        return answer(asked, (say.NO_HISTORY,))
    back = taken_back(shop)
    lines = [_line(shop, entry, entry.number in back, asked) for entry in shop.recent[-SHOWN:]]
    standing = (one for one in reversed(shop.recent[-SHOWN:]) if one.number not in back)
    buttons = [Button(f"Undo {one.number}", sentences.undo(one.number)) for one in standing][:2]
    return answer(asked, reversed(lines), buttons, title="Latest changes")


def _line(shop: Shop, entry: Entry, back: bool, asked: Asked) -> str:
    return say.line(entry, _who(shop, entry, asked), _day(shop, entry.at), back, asked.today)


def _who(shop: Shop, entry: Entry, asked: Asked) -> str:
    """Name who made an entry, as the speaker would."""
    if entry.by == asked.person.id:
        return "you"
    person = find(shop.people, entry.by)
    return called(person) if person else "a helper"


def _day(shop: Shop, at: datetime) -> date:
    there = zone(profile_of(shop).zone)
    return at.astimezone(there).date() if there else at.date()


HANDLERS: dict[type, Handler] = {Undo: undo, ShowHistory: show}

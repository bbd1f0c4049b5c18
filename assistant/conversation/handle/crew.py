"""Who does what: things given to one person, who may see money, days off, who did it.

Knows: which records a request makes, who may ask for it. Must not know: how a name was understood,
who is nudged on which morning (planning/nudges), what of money is shown (seeing). Invariants: what
a helper says of others is an owner's to say; what is given to one person is told to that person at
once; what is done already is given to nobody.
"""

from collections.abc import Iterable, Sequence
from datetime import date, datetime

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.history import taken_back
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, Outcome, Reply
from assistant.conversation.month_requests import GiveTo, LetSeeMoney, PersonOff, WhoDid
from assistant.conversation.replies import crew as say
from assistant.conversation.replies.doors import called, owners_only
from assistant.conversation.replies.plain import box_name
from assistant.conversation.sentences import crew as sentences_of
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.crew import (
    LATE_DAYS,
    Deed,
    back_on,
    deeds,
    give,
    given,
    off_from,
)
from assistant.planning.deadlines import Deadline, by_key, deadline, deadlines
from assistant.planning.model import Closure, Person, Put, Shop
from assistant.planning.month.packing import packing
from assistant.scheduling.zones import zone

MONTHS_AHEAD = 3  # boxes whose packing is looked at when somebody is off


# --- given to one person --------------------------------------------------------------------


def give_to(shop: Shop, request: GiveTo, asked: Asked) -> Outcome:
    """Let one person alone be nudged for some deadlines, or everybody again."""
    person = find(shop.people, request.person) if request.person else None
    if request.person and person is None:
        return answer(asked, (say.gone(),))
    known = by_key(deadlines(shop, asked.today))
    found = [known[key] for key in dict.fromkeys(request.keys) if key in known]
    if asked.person.role != "owner" and not _own(shop, found, person, asked):
        return answer(asked, (say.owners_give(),))
    still = [one for one in found if one.state == "open"]
    settled = [one for one in found if one.state != "open"]
    changes = give(shop, (one.key for one in still), request.person)
    touched = {change.record.id for change in changes if isinstance(change, Put)}
    new = [one for one in still if one.key in touched]
    old = [one for one in still if one.key not in touched]
    notes = (
        say.given_already(old, person, asked.today),
        say.done_already(settled, asked.today),
        say.not_found(len(set(request.keys)) - len(found)),
    )
    if not new:
        return answer(asked, notes, stands=bool(old) and len(old) == len(set(request.keys)))
    lines = (*_given(new, person, asked), *notes)
    talk = about(asked, item=new[-1].item, box=new[-1].box)
    outcome = changed(shop, asked, changes, lines, _buttons(shop, new, person), talk=talk)
    return replace(outcome, replies=(*outcome.replies, *_told(shop, new, person, asked)))


def _own(shop: Shop, found: Sequence[Deadline], person: Person | None, asked: Asked) -> bool:
    """Whether a helper takes things on herself, or gives back what is hers."""
    if person is not None:
        return person.id == asked.person.id
    whose = given(shop)
    return all(one.key in whose and whose[one.key].id == asked.person.id for one in found)


def _given(new: Sequence[Deadline], person: Person | None, asked: Asked) -> Iterable[str]:
    if person is None:
        return (say.for_everybody(new, asked.today),)
    me = person.id == asked.person.id
    return (
        say.given(new, person, me, LATE_DAYS, asked.today),
        say.silent(person),
        *_away(new, person, asked.today),
    )


def _away(new: Sequence[Deadline], person: Person, today: date) -> Iterable[str]:
    """Warn of days off on which something given is due."""
    for closure in off_from(person, today):
        alone = replace(person, off=(closure,))
        due = [one for one in new if back_on(alone, one.on) != alone]
        if due:
            yield say.away_then(person, closure, due, today)


def _buttons(shop: Shop, new: Sequence[Deadline], person: Person | None) -> tuple[Button, ...]:
    if person is None or len(new) != 1:
        return (Button("What is due", sentences.what_is_due()),)
    back = sentences_of.give_back(shop, new[0].key)
    return (
        Button("Nudge everybody", back),
        Button("What is due", sentences.what_is_due()),
    )


def _told(
    shop: Shop, new: Sequence[Deadline], person: Person | None, asked: Asked
) -> tuple[Reply, ...]:
    """The word to the person who was given something, unless they said it or cannot hear it."""
    if person is None or not person.reachable or person.id == asked.person.id:
        return ()
    text = say.yours_now(new, say.by(asked.person), asked.today)
    done = (Button("Done", sentences.done(shop, new[0].key)),) if len(new) == 1 else ()
    due = Button("What is due", sentences.what_is_due())
    return (Reply(text=text, buttons=in_rows((*done, due)), to=person.chat),)


# --- money ----------------------------------------------------------------------------------


def let_see_money(shop: Shop, request: LetSeeMoney, asked: Asked) -> Outcome:
    """Let a helper see money, or no longer."""
    if asked.person.role != "owner":
        return answer(asked, (owners_only("say who may see money"),))
    person = find(shop.people, request.person)
    if person is None:
        return answer(asked, (say.gone(),))
    if person.role == "owner" or person.money == request.may:
        stands = person.role != "owner" or request.may
        return answer(asked, (say.sees_already(person, may=request.may),), stands=stands)
    new = replace(person, money=request.may)
    other = sentences_of.see_money(shop, person, may=not request.may)
    label = "No money again" if request.may else "Show it again"
    people = Button("Who is in", sentences.people())
    lines = (say.sees(new, may=request.may),)
    return changed(shop, asked, (Put(new),), lines, (Button(label, other), people))


# --- days off -------------------------------------------------------------------------------


def person_off(shop: Shop, request: PersonOff, asked: Asked) -> Outcome:
    """Keep days on which somebody does not work, or end them."""
    person = find(shop.people, request.person)
    if person is None:
        return answer(asked, (say.gone(),))
    if asked.person.role != "owner" and person.id != asked.person.id:
        return answer(asked, (say.owners_or_self(),))
    if request.closure is not None:
        return _off(shop, person, request.closure, asked)
    return _back(shop, person, request.back or asked.today, asked)


def _off(shop: Shop, person: Person, closure: Closure, asked: Asked) -> Outcome:
    today = asked.today
    if closure.first and closure.last and closure.last < closure.first and not closure.yearly:
        return answer(asked, (say.off_backwards(person, closure, today),))
    if closure in person.off:
        return answer(asked, (say.off_already(person, closure, today),), stands=True)
    new = replace(person, off=(*person.off, closure))
    whose = given(shop)
    alone = replace(person, off=(closure,))
    due = [
        one
        for one in deadlines(shop, today)
        if one.key in whose
        and whose[one.key].id == person.id
        and one.state == "open"
        and back_on(alone, one.on) != alone
    ]
    lines = (
        say.off(person, closure, today),
        say.away_then(person, closure, due, today),
        *_runs(shop, new, today),
    )
    back = () if closure.first is None else (_back_button(shop, person, closure.first),)
    return changed(shop, asked, (Put(new),), lines, back)


def _back_button(shop: Shop, person: Person, first: date) -> Button:
    return Button("Not off after all", sentences_of.back_on(shop, person, first))


def _runs(shop: Shop, new: Person, today: date) -> Iterable[str]:
    """Say which of the next packing runs fit no longer without this person."""
    after = apply(shop, (Put(new),))
    coming = sorted(one.id for one in shop.boxes if one.id >= f"{today:%Y-%m}")[:MONTHS_AHEAD]
    for box in coming:
        if packing(shop, box, today).fits and not packing(after, box, today).fits:
            yield say.no_longer_fits(box, today)


def _back(shop: Shop, person: Person, day: date, asked: Asked) -> Outcome:
    new, today = back_on(person, day), asked.today
    left = off_from(new, day)
    if new == person:
        return answer(asked, (say.not_off(person, day, left, today),), stands=True)
    people = Button("Who is in", sentences.people())
    lines = (say.back(person, day, left, today),)
    return changed(shop, asked, (Put(new),), lines, (people,))


# --- who did it -----------------------------------------------------------------------------


def who_did(shop: Shop, request: WhoDid, asked: Asked) -> Outcome:
    """List what was done of an item, a box or by a person, the newest first."""
    person = find(shop.people, request.person) if request.person else None
    if request.person and person is None:
        return answer(asked, (say.gone(),))
    item = find(shop.items, request.item)
    box = item.box if item else request.box
    what = ""
    if item is not None:
        what = f"{item.name} ({box_name(item.box, asked.today)})"
    elif box:
        what = box_name(box, asked.today)
    elif person is not None:
        what = called(person)
    found = deeds(shop, taken_back(shop), item=request.item, box=request.box, person=request.person)
    if not found:
        return answer(asked, (say.nothing_done(what),))
    lines = [_deed_line(shop, one, asked) for one in found[: say.MOST_DEEDS]]
    more = say.more_deeds(len(found) - len(lines))
    talk = about(asked, item=request.item or None, box=box or None)
    history = Button("History", sentences.history())
    return answer(asked, (*lines, more), (history,), title=say.who_did(what), talk=talk)


def _deed_line(shop: Shop, deed: Deed, asked: Asked) -> str:
    person = find(shop.people, deed.by)
    you = deed.by == asked.person.id
    gone = say.SOMEBODY if deed.by else ""  # nobody: it was so when the shop was set up
    who = "you" if you else called(person) if person else gone
    return say.deed(who, _day(shop, deed.at), _words(shop, deed, asked.today), asked.today)


def _words(shop: Shop, deed: Deed, today: date) -> str:
    """The words of a deed; of a mark whose words are not known any more, what it says."""
    if deed.why:
        return deed.why
    found = deadline(shop, deed.key, today)
    task = say.tasks((found,), today) if found else sentences.task(shop, deed.key)
    return f"{deed.state}: {task}"


def _day(shop: Shop, at: datetime) -> date:
    there = zone(profile_of(shop).zone)
    return at.astimezone(there).date() if there else at.date()


HANDLERS: dict[type, Handler] = {
    GiveTo: give_to,
    LetSeeMoney: let_see_money,
    PersonOff: person_off,
    WhoDid: who_did,
}
WRITES: frozenset[type] = frozenset({GiveTo, LetSeeMoney, PersonOff})

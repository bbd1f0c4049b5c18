"""Who is heard: codes, strangers, groups, people who were let in or cannot be reached.

Knows: people, places, invites and strangers of a shop. Must not know: what a let-in person says
(see converse). Invariants: nothing about the shop is said to anyone who was not let in; a stranger
is refused once, then met with silence; a code is kept only as its SHA-256, works once, and every
code but an owner's first one ends after a day; a shop that has an owner keeps one; what happens
at the doors is memory, not plan, so nobody can undo it.
"""

import hashlib
import re
from datetime import UTC, date, datetime, timedelta

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer, in_rows
from assistant.conversation.messages import Button, Heard, Moment, Outcome, Reply
from assistant.conversation.replies import doors as say
from assistant.conversation.replies.crew import tasks
from assistant.conversation.replies.plain import listed
from assistant.conversation.replies.suppliers import span
from assistant.conversation.requests import LetIn, SendAway, ShowPeople
from assistant.planning.changes import find
from assistant.planning.crew import given, given_back, off_from
from assistant.planning.deadlines import deadlines
from assistant.planning.model import (
    Change,
    Invite,
    Person,
    Place,
    Put,
    Remove,
    Role,
    Shop,
    Stranger,
)

CODE_LIFE = timedelta(days=1)
FIRST_CODE_UNTIL = datetime(9999, 12, 31, tzinfo=UTC)  # an owner's first code: until used
TRIES = 5  # wrong codes before silence
SILENCE = timedelta(days=1)
OFF_SHOWN = 2  # days off of a person in the list of who is in
STRANGERS = 1000  # how many are remembered; the longest known go first

# Letters and digits that are not mistaken for each other when read aloud or copied by hand.
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ23456789"
CODE_LENGTH = 12  # 32 ** 12 codes: 60 bits
_SHAPE = re.compile(rf"[{LETTERS}]{{{CODE_LENGTH}}}")


# --- codes ----------------------------------------------------------------------------------


def new_code(
    shop: Shop, moment: Moment, role: Role = "helper", group: bool = False
) -> tuple[str, Outcome]:
    """Make a one-time code such as `AB2C-9XYZ-QR4S`; the outcome keeps its hash.

    It lives a day; without any owner yet, a code for an owner lives until it is used, and takes
    the place of any earlier one. `moment.token` must be fresh and unguessable.
    """
    first = role == "owner" and not any(one.role == "owner" for one in shop.people)
    until = FIRST_CODE_UNTIL if first else moment.now + CODE_LIFE
    digest = hashlib.sha256(f"{moment.token}/{moment.ref}".encode()).digest()
    letters = "".join(LETTERS[byte % len(LETTERS)] for byte in digest[:CODE_LENGTH])
    invite = Invite(id=_hashed(letters), role=role, until=until, group=group)
    gone = [one for one in shop.invites if one.until <= moment.now or (first and _is_first(one))]
    notes: tuple[Change, ...] = (*(Remove("invites", one.id) for one in gone), Put(invite))
    return "-".join(letters[at : at + 4] for at in range(0, CODE_LENGTH, 4)), Outcome(notes=notes)


def _is_first(invite: Invite) -> bool:
    return invite.until == FIRST_CODE_UNTIL


def _letters(text: str) -> str | None:
    """The bare letters of a text that is shaped like a code, else None."""
    bare = re.sub(r"[\s-]", "", text[:64]).upper()
    return bare if _SHAPE.fullmatch(bare) else None


def _hashed(letters: str) -> str:
    return hashlib.sha256(letters.encode()).hexdigest()


# --- the door -------------------------------------------------------------------------------


def lets_in(shop: Shop, heard: Heard) -> bool:
    """Whether this message is heard at all; of others neither words nor files are taken."""
    if _is_group(heard):
        inside = find(shop.places, heard.chat) is not None
        return inside and not _was_sent_away(shop, heard.sender)
    return _person(shop, heard) is not None


def at_the_door(shop: Shop, heard: Heard, moment: Moment) -> Person | Outcome:
    """Return who speaks, or what follows for somebody who is not heard.

    In a group that was let in everybody is heard but those who were sent away: a person of the
    shop as that person, anyone else as a helper who is not kept.
    """
    person = _person(shop, heard)
    if not _is_group(heard):
        return _alone(shop, heard, moment, person)
    if find(shop.places, heard.chat) is None:
        return _new_group(shop, heard, moment, person)
    if person is None and _was_sent_away(shop, heard.sender):
        return Outcome()
    return person or Person(id=heard.sender, chat=heard.sender, name=heard.name)


def welcome_back(shop: Shop, heard: Heard, person: Person) -> tuple[Change, ...]:
    """What is noted of a person who was heard: a name not known yet, and that a message of
    theirs shows that they can be reached again."""
    known = find(shop.people, person.id)
    if known is None:
        return ()
    seen = replace(known, name=known.name or heard.name, reachable=True)
    return () if seen == known else (Put(seen),)


def _is_group(heard: Heard) -> bool:
    return bool(heard.group) or heard.chat != heard.sender


def _person(shop: Shop, heard: Heard) -> Person | None:
    return next((one for one in shop.people if one.chat == heard.sender), None)


def _was_sent_away(shop: Shop, sender: str) -> bool:
    return find(shop.strangers, _away(sender)) is not None


def _away(sender: str) -> str:
    """What somebody who was sent away is remembered by."""
    return f"{sender} sent away"


def _new_group(shop: Shop, heard: Heard, moment: Moment, person: Person | None) -> Outcome:
    """A group that was not let in: a group's code or its owner's word opens it."""
    if _silenced(shop, heard, moment):
        return Outcome()
    invite = _invite(shop, heard.text, moment)
    if invite is not None and invite.group:
        return _let_group_in(shop, heard, Remove("invites", invite.id))
    if _letters(heard.text) is not None:
        return _wrong_code(shop, heard, moment)
    if person is None or person.role != "owner":
        return _refuse(shop, heard, moment, Reply(text=say.GROUP_REFUSAL))
    if _bare(heard.text) == _bare(sentences.let_group_in()):
        return _let_group_in(shop, heard)
    offer = Button("Let this group in", sentences.let_group_in())
    reply = Reply(text=say.GROUP_REFUSAL, buttons=in_rows((offer,)))
    # An owner gets the button once even where others were refused before.
    return _refuse(shop, heard, moment, reply, id=f"{heard.sender} in {heard.chat}")


def _let_group_in(shop: Shop, heard: Heard, *also: Change) -> Outcome:
    reply = Reply(text=say.group_in(heard.group))
    place = Place(id=heard.chat, name=heard.group)
    return Outcome(replies=(reply,), notes=(*also, *_forget(shop, heard), Put(place)))


def _alone(shop: Shop, heard: Heard, moment: Moment, person: Person | None) -> Person | Outcome:
    """A chat with one person; an owner's code makes an owner of a helper too."""
    if person is None and _silenced(shop, heard, moment):
        return Outcome()
    invite = _invite(shop, heard.text, moment)
    if invite is not None and not invite.group:
        return _come_in(shop, heard, invite, person)
    if person is not None:
        return person
    if _letters(heard.text) is not None:
        return _wrong_code(shop, heard, moment)
    return _refuse(shop, heard, moment, Reply(text=say.REFUSAL))


def _come_in(shop: Shop, heard: Heard, invite: Invite, known: Person | None) -> Outcome:
    person = known or Person(id=heard.sender, chat=heard.sender, name=heard.name)
    person = replace(person, role="owner" if "owner" in (person.role, invite.role) else "helper")
    buttons = (Button("Hello", "hello"), Button("What you can say", sentences.help_on()))
    greeting = Reply(text=say.welcome_in(person), buttons=in_rows(buttons))
    told = tuple(
        Reply(text=say.joined(person), to=one.chat)
        for one in shop.people
        if one.role == "owner" and one.reachable and one.id != person.id
    )
    let_go = (Remove("strangers", id) for id in (_away(heard.sender),) if find(shop.strangers, id))
    notes = (Remove("invites", invite.id), *_forget(shop, heard), *let_go, Put(person))
    return Outcome(replies=(greeting, *told), notes=notes)


def _invite(shop: Shop, text: str, moment: Moment) -> Invite | None:
    letters = _letters(text)
    invite = find(shop.invites, _hashed(letters)) if letters else None
    return invite if invite is not None and invite.until > moment.now else None


def _silenced(shop: Shop, heard: Heard, moment: Moment) -> bool:
    known = find(shop.strangers, heard.sender)
    return known is not None and known.tries >= TRIES and moment.now - known.at < SILENCE


def _wrong_code(shop: Shop, heard: Heard, moment: Moment) -> Outcome:
    known = find(shop.strangers, heard.sender)
    fresh = known is None or moment.now - known.at >= SILENCE
    tries = 1 if known is None or fresh else known.tries + 1
    text = say.WRONG_CODE if tries < TRIES else say.LAST_WRONG_CODE
    noted = Stranger(id=heard.sender, at=moment.now, tries=tries)
    return Outcome(replies=(Reply(text=text),), notes=_remember(shop, noted))


def _refuse(shop: Shop, heard: Heard, moment: Moment, reply: Reply, id: str = "") -> Outcome:
    """Refuse a chat once; `id` is what it is remembered by."""
    id = id or heard.chat
    if find(shop.strangers, id) is not None:
        return Outcome()
    return Outcome(replies=(reply,), notes=_remember(shop, Stranger(id=id, at=moment.now)))


def _remember(shop: Shop, stranger: Stranger) -> tuple[Change, ...]:
    """Keep a stranger, letting go of the longest known one when there are too many. One that
    tried codes or was sent away stays as long as there are others, so that a crowd cannot wash it
    out."""
    if len(shop.strangers) < STRANGERS or find(shop.strangers, stranger.id) is not None:
        return (Put(stranger),)
    oldest = min(shop.strangers, key=lambda one: (one.tries > 0, one.at))
    return Remove("strangers", oldest.id), Put(stranger)


def _forget(shop: Shop, heard: Heard) -> tuple[Change, ...]:
    """Let go of what was noted of somebody, or of a group, who is now let in."""
    ids = {heard.chat, heard.sender, f"{heard.sender} in {heard.chat}"}
    return tuple(Remove("strangers", one.id) for one in shop.strangers if one.id in ids)


def _bare(text: str) -> str:
    return " ".join(re.findall(r"\w+", text.casefold()))


# --- who cannot be reached, who owns --------------------------------------------------------


def unreached(shop: Shop, chat: str, moment: Moment) -> Outcome:
    """Note that a chat takes no more messages, and tell the others: the owners, or everybody
    when no other owner can be reached. A group that was left has to be let in again."""
    del moment  # the signature of everything that flow hands a job to
    place = find(shop.places, chat)
    person = next((one for one in shop.people if one.chat == chat and one.reachable), None)
    if place is not None:
        return Outcome(
            replies=_to_others(shop, chat, say.group_left(place)),
            notes=(Remove("places", place.id),),
        )
    if person is None:
        return Outcome()
    return Outcome(
        replies=_to_others(shop, chat, say.cannot_be_reached(person)),
        notes=(Put(replace(person, reachable=False)),),
    )


def _to_others(shop: Shop, chat: str, text: str) -> tuple[Reply, ...]:
    others = tuple(one for one in shop.people if one.reachable and one.chat != chat)
    owners = tuple(one for one in others if one.role == "owner")
    return tuple(Reply(text=text, to=one.chat) for one in owners or others)


def let_owner_in(shop: Shop, address: str, now: datetime) -> Outcome:
    """Let in whoever sits at the machine itself, as an owner; nothing when they are."""
    del now  # as above
    known = next((one for one in shop.people if one.chat == address), None)
    person = replace(known or Person(id=address, chat=address), role="owner", reachable=True)
    return Outcome(notes=() if person == known else (Put(person),))


def gone_away(shop: Shop, address: str) -> Outcome:
    """Note that whoever sat at the machine went away: no digests pile up there until they are
    back, and nobody is told, because nothing is wrong."""
    known = next((one for one in shop.people if one.chat == address and one.reachable), None)
    return Outcome(notes=() if known is None else (Put(replace(known, reachable=False)),))


# --- requests -------------------------------------------------------------------------------


def let_in(shop: Shop, request: LetIn, asked: Asked) -> Outcome:
    """Make a code; a group that is here already is simply said to be in."""
    heard, person = asked.heard, asked.person
    if person.role != "owner":
        return answer(asked, (say.owners_only("let someone in"),))
    if request.group and _is_group(heard):
        return answer(asked, (say.group_in_already(),), stands=True)
    code, outcome = new_code(shop, asked.moment, request.role, request.group)
    text = say.code(code, request.role, request.group)
    shown = Reply(text=text, to=person.chat if _is_group(heard) else "")
    here = (Reply(text=say.code_sent()),) if _is_group(heard) else ()
    return replace(outcome, replies=(*here, shown))


def send_away(shop: Shop, request: SendAway, asked: Asked) -> Outcome:
    """Take a person's access away, with all that was remembered of them; they stay unheard in
    groups too, until a code lets them in again."""
    if asked.person.role != "owner":
        return answer(asked, (say.owners_only("send someone away"),))
    person = find(shop.people, request.person)
    if person is None:
        return answer(asked, (say.not_in(request.person),))
    owners = [one for one in shop.people if one.role == "owner"]
    if owners == [person]:
        return answer(asked, (say.last_owner(person),))
    kept = {"people": person.id, "mornings": person.id, "talks": person.chat}
    kept["drafts"] = person.chat
    gone = (Remove(table, id) for table, id in kept.items() if find(getattr(shop, table), id))
    away = Stranger(id=_away(person.chat), at=asked.moment.now, tries=1)
    theirs = [
        one
        for one in deadlines(shop, asked.today)
        if one.state == "open" and given(shop).get(one.key) == person
    ]
    notes = (*gone, *given_back(shop, person.id), *_remember(shop, away))
    text = say.sent_away(person, tasks(theirs, asked.today))
    return Outcome(replies=(Reply(text=text),), notes=notes)


def show_people(shop: Shop, request: ShowPeople, asked: Asked) -> Outcome:
    """List who is in; an owner can let more in."""
    del request
    codes = sum(one.until > asked.moment.now for one in shop.invites)
    persons = [(one, _off(one, asked.today)) for one in shop.people]
    lines = say.people(persons, asked.person.id, shop.places, codes)
    offer = (Button("Let a helper in", sentences.let_in()),)
    return answer(asked, lines, offer if asked.person.role == "owner" else (), title="Who is in")


def _off(person: Person, today: date) -> str:
    """When a person is off next, "" for never."""
    return listed([span(one, today) for one in off_from(person, today)[:OFF_SHOWN]])


HANDLERS: dict[type, Handler] = {LetIn: let_in, SendAway: send_away, ShowPeople: show_people}

"""The calendar: sent as a file, shared at an address, withdrawn.

Knows: whose calendar it is, which part is meant, who may share it. Must not know: how an event is
written (sheets/), how an address is served (edges/). Invariants: what was issued and which
addresses are out is memory, not plan, so nobody can undo it: an address that was withdrawn stays
so; an address is told once, to its owner alone, and only its SHA-256 is kept; nothing here tells of
money.
"""

import base64
import hashlib

from assistant.conversation.file_requests import SendCalendar, ShareCalendar, WithdrawCalendar
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, in_rows
from assistant.conversation.messages import Button, File, Moment, Outcome, Reply
from assistant.conversation.replies import calendar as say
from assistant.conversation.replies.doors import owners_only
from assistant.conversation.sentences import calendar as says
from assistant.planning.changes import find, profile_of
from assistant.planning.issued import hashed
from assistant.planning.model import Change, Feed, Issue, Put, Remove, Shop
from assistant.sheets.calendar_file import SEED, calendar_file

TOKEN = 22  # characters of 6 bits
_FILE = Button("As a file", says.calendar_file())
_SHARE = Button("Share the calendar", says.share_calendar())
_WITHDRAW = Button("Withdraw it", says.withdraw_calendar())


def send_calendar(shop: Shop, request: SendCalendar, asked: Asked) -> Outcome:
    """Send the calendar of whoever asks as a file, whole or of one box."""
    today, box = asked.today, request.box
    made = calendar_file(shop, asked.person, today, asked.moment.now, _seed(asked.moment), box)
    if made.last is None:
        return answer(asked, (say.nothing_of(box, today) if box else say.NOTHING,))
    name = say.file_name(profile_of(shop).name, box, today)
    file = File(f"{asked.moment.ref}/calendar", name, made.content)
    lines = say.held(made.events, made.gone, made.last, today)
    whole = (Button("The whole year", says.calendar_file()),) if box else ()
    share = (_SHARE,) if asked.person.role == "owner" and shop.house.feed.begins else ()
    reply = Reply(
        title=say.title(box, today),
        text="\n".join(filter(None, lines)),
        buttons=in_rows((*whole, *share)),
        document=file.id,
        document_name=file.name,
    )
    talk = about(asked, box=box) if box else asked.talk
    notes = (*made.changes, *(() if talk == asked.talk else (Put(talk),)))
    return Outcome(replies=(reply,), notes=notes, files=(file,))


def share_calendar(shop: Shop, request: ShareCalendar, asked: Asked) -> Outcome:
    """Make an address for an owner's calendar, in place of the one that she had."""
    del request
    person, rule = asked.person, shop.house.feed
    if person.role != "owner":
        return answer(asked, (owners_only(say.OWNERS_THING),), (_FILE,))
    if not rule.begins:
        return answer(asked, say.NOT_SERVED, (_FILE,))
    token = _token(asked.moment)
    old = [one for one in shop.feeds if one.person == person.id]
    lines = say.address(f"{rule.begins}/calendar/{token}.ics", again=bool(old), public=rule.public)
    alone = asked.heard.chat == person.chat
    reply = Reply(
        title="Your calendar's address",
        text="\n".join(filter(None, lines)),
        buttons=in_rows((_WITHDRAW,)),
        to="" if alone else person.chat,
    )
    here = () if alone else (Reply(text=say.TO_YOU_ALONE),)
    feed = Feed(hashed(token), person.id, asked.moment.now)
    gone: tuple[Change, ...] = tuple(Remove("feeds", one.id) for one in old)
    seed = () if find(shop.issued, SEED) else (Put(Issue(SEED, seed=_seed(asked.moment))),)
    return Outcome(replies=(*here, reply), notes=(*gone, Put(feed), *seed))


def withdraw_calendar(shop: Shop, request: WithdrawCalendar, asked: Asked) -> Outcome:
    """Let no address of the calendar work any more, whoever made it."""
    del request
    if asked.person.role != "owner":
        return answer(asked, (owners_only(say.OWNERS_WITHDRAW),))
    if not shop.feeds:
        return answer(asked, (say.WITHDRAWN_ALREADY,), stands=True)
    notes = tuple(Remove("feeds", one.id) for one in shop.feeds)
    reply = Reply(text=say.withdrawn(len(notes)), buttons=in_rows((_SHARE,)))
    return Outcome(replies=(reply,), notes=notes)


def _token(moment: Moment) -> str:
    """The unguessable part of an address: 132 bits, as 22 characters, so that the whole stays on
    one line of a terminal."""
    digest = hashlib.sha256(f"{moment.token}/{moment.ref}/calendar address".encode()).digest()
    return base64.urlsafe_b64encode(digest).decode()[:TOKEN]


def _seed(moment: Moment) -> str:
    """What the names of a shop's events are made from, the first time."""
    return hashlib.sha256(f"{moment.token}/{moment.ref}/calendar".encode()).hexdigest()[:32]


HANDLERS: dict[type, Handler] = {
    SendCalendar: send_calendar,
    ShareCalendar: share_calendar,
    WithdrawCalendar: withdraw_calendar,
}
WRITES: frozenset[type] = frozenset({ShareCalendar, WithdrawCalendar})

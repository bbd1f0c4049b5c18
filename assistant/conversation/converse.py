"""One message in, everything that follows from it out.

Knows: the order in which a message is looked at (door, edit, file, picture, words), and how the
outcomes of its parts become one. Must not know: phrasings (understand), what a request does
(handle/), sentences (replies/), channels. Invariants: pure; never raises for any message; a
message is done whole or not at all; a stranger's words are never looked at; only questions and
lists leave sentences behind that "1", "2" or "yes" stand for; characters that steer a screen or
turn the direction of writing are neither kept nor said back.
"""

import re
from datetime import UTC

from msgspec.structs import replace

from assistant.conversation.handle import dates, doors, files, ideas, seeing, sitting
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import answer, in_rows, undo
from assistant.conversation.handle.table import HANDLERS, WRITES
from assistant.conversation.joining import join
from assistant.conversation.messages import Button, File, Heard, Moment, Outcome, Reply
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies import ideas as say_ideas
from assistant.conversation.replies import talk as say
from assistant.conversation.replies.plain import short
from assistant.conversation.requests import KeepIdea, OldButton, Question, Request
from assistant.conversation.understand import understand
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Change, Idea, Put, Shop, Talk
from assistant.scheduling.zones import zone

WHY = 200  # characters of the words that are kept in the history
IDEA = 4000  # characters of an idea
SAYS = 200  # characters of a text that a button may say anew
WIDE = 18  # characters of a button's label, above which it gets a row of its own
PICTURE_BYTES = 10_000_000  # what chats take as a picture
PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"GIF8")  # first bytes: JPEG, PNG, GIF
WRITTEN = ("text", "name", "group", "document_name", "forwarded_from")
# Characters that steer a screen instead of standing on it: controls that are no white space, and
# those of Unicode Standard Annex 9, sections 2.1 to 2.6 (directional formatting characters).
_CONTROLS = (code for code in (*range(32), *range(127, 160)) if not chr(code).isspace())
_TURNING = (0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A))
STEERING = dict.fromkeys((*_CONTROLS, *_TURNING))
_LINK = re.compile(r"(?:https?://|www\.)\S{1,2000}", re.IGNORECASE)


def converse(shop: Shop, heard: Heard, moment: Moment) -> Outcome:
    """Return all that follows from one message, to be saved in one commit.

    `moment.content` holds the bytes of the document that was heard, if any.
    """
    heard = _as_it_stands(heard)
    person = doors.at_the_door(shop, heard, moment)
    if isinstance(person, Outcome):
        return person
    heard, picture = _picture_sent_as_file(heard, moment)
    seen = doors.welcome_back(shop, heard, person)
    shop = apply(shop, seen)
    there = zone(profile_of(shop).zone) or UTC
    talk = find(shop.talks, heard.chat) or Talk(id=heard.chat)
    asked = Asked(
        heard=heard,
        moment=moment,
        person=person,
        talk=replace(talk, options=()),
        today=moment.now.astimezone(there).date(),
    )
    outcome = seeing.told(shop, asked, lambda seen, asking: _react(seen, asking, talk))
    kept = picture if any(_shows(change, heard.photo) for change in outcome.changes) else ()
    words = "; ".join(heard.text.split("\n")) or heard.document_name or "a picture"
    return replace(
        outcome,
        notes=(*seen, *_remembered(outcome.notes, talk, asked.talk)),
        files=(*outcome.files, *kept),
        why=(outcome.why or short(words, WHY)) if outcome.changes else "",
    )


def _as_it_stands(heard: Heard) -> Heard:
    """Leave out of all that people write what steers a screen: no name can disguise a reply."""
    written = {field: getattr(heard, field) for field in WRITTEN}
    return replace(heard, **{field: text.translate(STEERING) for field, text in written.items()})


def _picture_sent_as_file(heard: Heard, moment: Moment) -> tuple[Heard, tuple[File, ...]]:
    """Take a document that is a picture for a picture; its file is kept if it is used."""
    content = moment.content or b""
    if not heard.document or not content.startswith(PICTURES) or len(content) > PICTURE_BYTES:
        return heard, ()
    file = File(id=heard.document, name=heard.document_name or "picture", content=content)
    return replace(heard, photo=file.id, document="", document_name=""), (file,)


def _shows(change: Change, photo: str) -> bool:
    record = change.record if isinstance(change, Put) else None
    return isinstance(record, Idea) and record.photo == photo


def _remembered(notes: tuple[Change, ...], before: Talk, cleared: Talk) -> tuple[Change, ...]:
    """Return the notes with one talk at most: the last one, where it differs from `before`.
    Without one the talk stays, but what "1" and "yes" stood for is forgotten."""
    talks = [note.record for note in notes if isinstance(note, Put)]
    last = next((one for one in reversed(talks) if isinstance(one, Talk)), cleared)
    others = (one for one in notes if not (isinstance(one, Put) and isinstance(one.record, Talk)))
    return (*others, *(() if last == before else (Put(last),)))


# --- what kind of message it is -------------------------------------------------------------


def _react(shop: Shop, asked: Asked, talk: Talk) -> Outcome:
    """Look at a message of somebody who was let in; `talk` is what its words may refer to."""
    heard = asked.heard
    if heard.edited or heard.photo or heard.lost:  # no answer to the sitting's question
        talk = replace(talk, sitting="")
    if heard.edited:
        return _edited(shop, asked, talk)
    if heard.document or heard.document_name:
        return files.read(shop, asked)
    if heard.photo or heard.lost or heard.forwarded_from:
        return _caught(shop, asked, talk)
    if heard.pressed and not heard.text.strip():
        return _do(shop, (OldButton(),), asked)
    if not heard.text.strip():
        return answer(asked, (say.NO_WORDS,))
    return _said(shop, asked, _understood(shop, asked, talk))


def _understood(shop: Shop, asked: Asked, talk: Talk) -> tuple[Request, ...] | Question:
    text = asked.heard.text.strip()
    if _LINK.fullmatch(text):
        return (KeepIdea(text=text, link=text),)
    meant = understand(text, shop, talk, asked.today)
    unclear = isinstance(meant, Question) and "\n" in text
    return _line_by_line(shop, asked, talk, text) if unclear else meant


def _line_by_line(
    shop: Shop, asked: Asked, talk: Talk, text: str
) -> tuple[Request, ...] | Question:
    """Understand each line in the light of those before it: a line may name what an earlier one
    would make. The question is about the first line that stays unclear."""
    now, requests = shop, list[Request]()
    for line in filter(None, map(str.strip, text.split("\n"))):
        talk = find(now.talks, talk.id) or talk
        meant = understand(line, now, talk, asked.today)
        if isinstance(meant, Question):
            return understand(text, now, talk, asked.today)
        for request in meant:
            requests.append(request)
            _, now = _handled(now, request, asked, len(requests))
    return tuple(requests)


def _said(shop: Shop, asked: Asked, meant: tuple[Request, ...] | Question) -> Outcome:
    if not isinstance(meant, Question):
        return _do(shop, meant, asked)
    width = 1 if any(len(option.label) > WIDE for option in meant.options) else 2
    reply = Reply(text=meant.text, buttons=in_rows(meant.options, width))
    options = tuple(option.says for option in meant.options)
    return Outcome(replies=(reply,), notes=(Put(replace(asked.talk, options=options)),))


def _caught(shop: Shop, asked: Asked, talk: Talk) -> Outcome:
    """A picture or a forwarded message is an idea, unless its words are plainly a command."""
    heard = asked.heard
    if not heard.text.strip():
        if heard.photo:
            return _do(shop, (KeepIdea(text=""),), asked)
        return answer(asked, (say_ideas.picture_lost() if heard.lost else say.NO_WORDS,))
    meant: tuple[Request, ...] | Question = (_as_idea(shop, asked),)
    if not heard.forwarded_from:
        words = _understood(shop, asked, talk)
        meant = words if not isinstance(words, Question) or not heard.photo else meant
    outcome = _said(shop, asked, meant)
    if heard.lost:
        return _with_line(outcome, say_ideas.picture_lost())
    ideas_too = not isinstance(meant, Question) and any(isinstance(r, KeepIdea) for r in meant)
    return outcome if ideas_too else _with_line(outcome, say_ideas.picture_left())


def _as_idea(shop: Shop, asked: Asked) -> KeepIdea:
    """Take all the words for one idea, with the months and the link found in them."""
    text = asked.heard.text.strip()[:IDEA]
    one_line = " ".join(text.split())
    meant = understand(f"Idea: {one_line}", shop, Talk(id=""), asked.today)
    if isinstance(meant, Question) or len(meant) != 1 or not isinstance(meant[0], KeepIdea):
        return KeepIdea(text=text)
    return replace(meant[0], text=meant[0].text if one_line == text else text)


def _with_line(outcome: Outcome, line: str) -> Outcome:
    first, *others = outcome.replies
    return replace(outcome, replies=(replace(first, text=f"{first.text}\n{line}"), *others))


def _edited(shop: Shop, asked: Asked, talk: Talk) -> Outcome:
    """An edit changes the ideas that the message brought, and nothing else."""
    heard = asked.heard
    text = heard.text.strip()
    anew = (Button(say.again(text), text),) if 0 < len(text) <= SAYS else ()
    olds = ideas.ideas_of(shop, heard.message)
    if not olds:
        return answer(asked, (say_ideas.not_an_idea(text),), anew)
    if not text and not olds[0].photo:
        return Outcome()
    words = _understood(shop, asked, talk) if text else ()
    meant = () if isinstance(words, Question) else words
    news = tuple(request for request in meant if isinstance(request, KeepIdea))
    command = len(news) < len(meant)
    if command or not news:
        news = (_as_idea(shop, asked) if text else KeepIdea(text=""),)
    changes, lines = ideas.edit(olds, news, heard.photo)
    if command:
        lines = (*lines, say_ideas.edit_runs_nothing())
    if not lines:
        return Outcome()
    buttons = (*((undo(shop),) if changes else ()), *(anew if command else ()))
    reply = Reply(text="\n".join(lines), buttons=in_rows(buttons))
    return Outcome(replies=(reply,), changes=changes)


# --- doing it -------------------------------------------------------------------------------


def _do(shop: Shop, requests: tuple[Request, ...], asked: Asked) -> Outcome:
    """Handle the requests of one message in order, each on the shop that the earlier ones left.
    One that is refused keeps all of the message from being done."""
    outcomes: list[Outcome] = []
    now = shop
    for number, request in enumerate(requests, 1):
        outcome, now = _handled(now, request, asked, number)
        if len(requests) > 1 and _refused(request, outcome):
            return _not_done(outcome, number, len(requests))
        outcomes.append(outcome)
    several = len(requests) > 1 and now is not shop
    coming = dates.todo(now, asked.today)[:1] if several else ()
    closing = (say_dates.next_due(one, asked.today) for one in coming)
    joined = join(outcomes, asked.heard.chat, next(closing, ""))
    return sitting.and_on(now, requests, asked, joined)


def _not_done(outcome: Outcome, number: int, of: int) -> Outcome:
    """Say that nothing of a message was done, and which part was refused or has to be asked about
    first; what "yes" then stands for is remembered."""
    first, *_ = outcome.replies
    talks = tuple(note for note in outcome.notes if isinstance(note, Put))
    asks = any(isinstance(note.record, Talk) and note.record.options for note in talks)
    why = say.asked_first if asks else say.nothing_done
    reply = replace(first, text=why(number, of, first.text))
    return Outcome(replies=(reply,), notes=talks if asks else ())


def _handled(shop: Shop, request: Request, asked: Asked, number: int) -> tuple[Outcome, Shop]:
    """Handle the request of this number; return what follows and the shop as it is then."""
    if number > 1:  # every request gives ids of its own
        talk = find(shop.talks, asked.talk.id) or asked.talk
        moment = replace(asked.moment, ref=f"{asked.moment.ref}/{number}")
        asked = replace(asked, moment=moment, talk=talk)
    refused = seeing.refused(shop, request, asked)
    outcome = refused or HANDLERS[type(request)](shop, request, asked)
    return outcome, apply(shop, (*outcome.notes, *outcome.changes))


def _refused(request: Request, outcome: Outcome) -> bool:
    """Whether a request that means to change something was not done, and does not stand."""
    if type(request) not in WRITES or outcome.changes or outcome.stands or not outcome.replies:
        return False
    return all(isinstance(one, Put) and isinstance(one.record, Talk) for one in outcome.notes)

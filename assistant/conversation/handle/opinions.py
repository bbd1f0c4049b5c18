"""What subscribers said: a score or a word, and a survey that comes in as a file.

Knows: when an opinion must be refused, drafts of surveys. Must not know: cells, how an item is
found by a heading (month/opinions). Invariants: only of what has gone out is an opinion noted; a
score that cannot be one changes nothing; a survey changes nothing until it is brought in, and is
worked out anew against the plan as it is then.
"""

import re

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import about, answer, changed, with_rest, without
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import NoteOpinion
from assistant.conversation.replies import opinions as say
from assistant.conversation.replies.files import some, written_out
from assistant.conversation.replies.plain import box_name, short
from assistant.conversation.sentences import learning as says
from assistant.conversation.understand.boxes import BOX
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.past import exact_past_box
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Draft, Put, Remove, Shop
from assistant.planning.month import opinions
from assistant.planning.month.sent import sent_boxes, sent_of
from assistant.sheets.survey import Survey

NAME = 100  # characters of a file's name that are kept
_BOX = re.compile(rf"\b{BOX}\b", re.IGNORECASE)


def note(shop: Shop, request: NoteOpinion, asked: Asked) -> Outcome:
    """Keep a score, or what was said in words, of an item or a box."""
    box = request.box
    if refusal := _refused(shop, request, asked):
        return refusal
    subject = opinions.about(shop, box, request.item)
    made = None
    if request.score is not None:
        made = opinions.scaled(request.score, request.of)
        if made is None:
            return _no_score(shop, request, asked)
        subject = replace(subject, score=made, answers=request.answers)
    words = (request.words,) if request.words else ()
    old = find(shop.opinions, subject.id)
    new = opinions.noted(shop, replace(subject, words=words))
    talk = about(asked, item=request.item, box=box)
    if new == old:
        return answer(asked, (say.stands(new, asked.today),), talk=talk, stands=True)
    after = apply(shop, (Put(new),))
    known = opinions.of_type(after, new.type or new.name) if new.item else None
    lines = (
        *say.noted(new, old, request.words, asked.today),
        say.made_of(request.score, request.of, made) if request.score and made else "",
        say.together(known) if known and len(known.boxes) > 1 and known.score else "",
        say.give_a_number(new.name or box_name(box, asked.today)) if new.score is None else "",
    )
    buttons = (_look(box, asked), Button("Lessons", says.lessons(int(box[:4]))))
    return changed(shop, asked, (Put(new),), lines, buttons, talk=talk, brief=lines[:1])


def _refused(shop: Shop, request: NoteOpinion, asked: Asked) -> Outcome | None:
    """The refusal of an opinion of what has not gone out, or of more people than had it."""
    box, today = request.box, asked.today
    sent = sent_of(shop, box, today)
    talk = about(asked, item=request.item, box=box)
    if sent is None:
        planned, on = find(shop.boxes, box) is not None, ship_date(shop, box, today)
        gone = Button("It has gone out", sentences.done(shop, f"{box}/ship"))
        past = planned and on is not None and on <= today
        text = say.not_sent(box, on, planned, today)
        return answer(asked, (text,), (gone,) if past else (), talk=talk)
    if 0 < sent.boxes < request.answers:
        text = say.too_many_answers(request.answers, sent.boxes, box, today)
        return answer(asked, (text,), (_look(box, asked),), talk=talk)
    return None


def _no_score(shop: Shop, request: NoteOpinion, asked: Asked) -> Outcome:
    """The refusal of a score that cannot be one, with the scale on which it could."""
    value = request.score
    if value is None or not 0 <= value <= 10 or request.of == 10:
        buttons: tuple[Button, ...] = ()
    else:
        told = says.opinion(shop, request.item, request.box, value, 10, request.answers)
        buttons = (Button(f"{value:f} of 10", told),)
    return answer(asked, (say.no_score(value or opinions.LEAST, request.of),), buttons)


def _look(box: str, asked: Asked) -> Button:
    return Button(f"How {box_name(box, asked.today)} went", says.look_back(box))


# --- surveys --------------------------------------------------------------------------------


def show(shop: Shop, survey: Survey, asked: Asked) -> Outcome:
    """Show what a survey would note, or why it cannot."""
    name, box = short(asked.heard.document_name, NAME), _said_box(shop, asked)
    incoming = opinions.bring_in(shop, survey.tallies, box, asked.today)
    if survey.instead and not incoming.found and not incoming.same:
        return answer(asked, (survey.instead.text,))
    draft = Draft(
        id=asked.heard.chat,
        name=name,
        at=asked.moment.now,
        tallies=survey.tallies,
        box=box,
    )
    title = say.heading(name, len(survey.tallies))
    told = (say.assumed(incoming.assumed, asked.today),) if incoming.assumed else ()
    unread = say.unread(incoming, survey.refused, (*told, *survey.notes))
    lines = (
        *say.summary(incoming, asked.today),
        *(line for part in unread for line in some(part)),
    )
    rest = written_out((say.every_line(incoming, survey.tallies, asked.today), *unread))
    if not incoming.found:
        return with_rest(answer(asked, lines, title=title), title, rest, asked)
    yes = Button("Bring it in", sentences.bring_in()), Button("Leave it", sentences.leave_out())
    shown = replace(answer(asked, lines, yes, title=title), notes=(Put(draft),))
    return with_rest(shown, title, rest, asked)


def bring_in(shop: Shop, draft: Draft, asked: Asked) -> Outcome:
    """Note what the survey that waits says."""
    gone = Remove("drafts", draft.id)
    incoming = opinions.bring_in(shop, draft.tallies, draft.box, asked.today)
    if not incoming.changes:
        lines = say.summary(incoming, asked.today)
        return without(answer(asked, lines, stands=bool(incoming.same)), gone)
    boxes = dict.fromkeys(one.box for one in incoming.found)
    newest = max(boxes)
    buttons = (_look(newest, asked), Button("Lessons", says.lessons(int(newest[:4]))))
    lines = say.brought_in(incoming, asked.today)
    outcome = changed(shop, asked, incoming.changes, lines, buttons)
    return replace(without(outcome, gone), why=f"{draft.name} brought in")


def _said_box(shop: Shop, asked: Asked) -> str:
    """The box that the words sent with a file, or its name, say it is about; "" for none."""
    c = Context(shop, asked.talk, asked.today)
    sent = sent_boxes(shop, asked.today)
    named = re.sub(r"[_.]+", " ", asked.heard.document_name)
    for text in (asked.heard.text, named, named.replace("-", " ")):
        for found in _BOX.finditer(text):
            box = exact_past_box(found[0], c)
            if box in sent:
                return box or ""
    return ""

"""The welcome, the help, and buttons that nobody remembers.

Knows: which box and which deadlines a welcome shows, which topics there are. Must not know: how
an answer is written (replies/). Invariants: nothing here changes anything but what "done 1" and
"1" mean; the welcome fits a phone.
"""

import re
from collections.abc import Iterable
from datetime import timedelta

from assistant.conversation import examples, sentences
from assistant.conversation.handle import answers, dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import answers as say_answers
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies import help as say
from assistant.conversation.replies import talk as say_talk
from assistant.conversation.requests import Hello, Help, OldButton
from assistant.planning.changes import profile_of
from assistant.planning.crew import others
from assistant.planning.model import Shop

DUE_LINES = 4

_HELP = Button("What you can say", sentences.help_on())


def hello(shop: Shop, request: Hello, asked: Asked) -> Outcome:
    """Greet with the state of the next box to ship (this month's, if it is still to go) and the
    first things due; a shop without boxes is told how to begin."""
    del request
    title = say.greeting(asked.person.name, profile_of(shop).name)
    if not shop.boxes:
        return answer(asked, say.BEGIN, (_HELP,), title=title)
    lines = [*_box_lines(shop, asked)]
    until = asked.today + timedelta(shop.house.horizon_days)
    due = [
        one
        for one in dates.todo(shop, asked.today)
        if one.on <= until and (one.until is None or one.until <= asked.today)
    ]
    if due:
        lines.append(say_answers.due_by(until, asked.today) + ":")
        whose = others(shop, asked.person.id)
        lines.extend(answers.due_lines(due, asked.today, DUE_LINES, whose=whose))
    else:
        coming = [one for one in dates.todo(shop, asked.today) if one.on > until]
        lines.append(say_answers.nothing_due(until, asked.today))
        lines.append(say_dates.next_due(coming[0], asked.today) if coming else "")
    buttons = (
        Button("What is due", sentences.what_is_due()),
        Button("The year", sentences.show_year()),
        Button("Ideas", sentences.list_ideas()),
        _HELP,
    )
    talk = answers.shown(shop, asked.talk, due[:DUE_LINES])
    return answer(asked, lines, buttons, title=title, talk=talk)


def _box_lines(shop: Shop, asked: Asked) -> tuple[str, ...]:
    month, today = f"{asked.today:%Y-%m}", asked.today
    coming = (
        box for box in shop.boxes if box.id[:7] >= month and not dates.shipped(shop, box.id, today)
    )
    box = min(coming, key=lambda box: box.id, default=None)
    if box is None:
        return ()
    title = say_answers.box_title(box.id, box.theme, today)
    return (title, *answers.in_short(shop, box, today))


def help_(shop: Shop, request: Help, asked: Asked) -> Outcome:
    """Say what can be said: the parts of the work, their topics, the sentences of a topic."""
    del shop
    topics = examples.topics()
    said = request.topic.strip().casefold()
    if not said:
        return answer(asked, say.overview(), _words(say.AREAS), title="What you can say")
    words = set(re.findall(r"\w+", said))
    topic = next((one for one in topics if {one, one.rstrip("s")} & words), None)
    area = next((one for one in say.AREAS if one in words), None)
    if topic is None and area is not None:
        return answer(asked, say.area(area), _words(say.AREAS[area]), title=area.capitalize())
    if topic is None:
        return answer(asked, (say.no_topic(request.topic, topics),), _words(say.AREAS))
    found = examples.on(topic)
    return answer(asked, say.topic(found), (_HELP,), title=found[0].title)


def _words(words: Iterable[str]) -> tuple[Button, ...]:
    """A button of help for each word."""
    return tuple(Button(word.capitalize(), sentences.help_on(word)) for word in words)


def old_button(shop: Shop, request: OldButton, asked: Asked) -> Outcome:
    """Answer a button whose sentence is forgotten."""
    del shop, request
    due = Button("What is due", sentences.what_is_due())
    return answer(asked, (say_talk.OLD_BUTTON,), (due, _HELP))


HANDLERS: dict[type, Handler] = {Hello: hello, Help: help_, OldButton: old_button}

"""Words in, what they mean out: a request for each thing said, or one question back.

Knows: lines, answers to a question that was asked before, several things said in one line. Must not
know: any phrasing (see phrasings/), what follows from a request. Invariants: pure; never raises for
any text; a message is understood whole or not at all; on doubt nothing would change but that a
thought is kept.
"""

import re
from datetime import date

from msgspec.structs import replace

from assistant.conversation.messages import Button
from assistant.conversation.order_requests import ChangeBooks, CountSubscribers, SetFlow
from assistant.conversation.replies.plain import plural, short
from assistant.conversation.requests import (
    BringIn,
    ChangeShop,
    KeepIdea,
    LeaveOut,
    ListIdeas,
    Question,
    Request,
    SetShipRule,
    WhatIsDue,
    WhatIsLate,
)
from assistant.conversation.sentences import what_is_due
from assistant.conversation.sentences.cautions import NO
from assistant.conversation.sentences.rearranging import leave_as_it_is
from assistant.conversation.sentences.sitting import asks_theme
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.own_words import in_own_words
from assistant.conversation.understand.phrasings import TABLE
from assistant.conversation.understand.reading import Compiled, read
from assistant.conversation.understand.sitting import or_a_theme, themes_by_month
from assistant.conversation.understand.thoughts import LONGEST, idea_of
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.unread import NO_ANSWERS, or_an_idea, slipped, thought
from assistant.conversation.understand.words import Line, clean
from assistant.conversation.year_requests import FindOffers, LeaveSitting, ShowPrompts, SkipBox
from assistant.planning.changes import find
from assistant.planning.model import Shop, Talk

__all__ = ["understand"]

LINES = 200  # of one message
_IDEA = re.compile(
    r"(?:(?:an?|new|another) )?idea ?[:\-\u2013\u2014,] ?"
    r"|idea (?=\D)(?!for |inbox|from [^:]{1,40}: )",
    re.IGNORECASE,
)
_FROM = re.compile(r"from (\d{1,5}): (.+)", re.IGNORECASE)
_SEMICOLON = re.compile(r';(?=(?:[^"]*"[^"]*")*[^"]*$)')
_COMMA = re.compile(r",(?: and)? (?=[a-z]|\d|[£€$])", re.IGNORECASE)
_WE_ARE = re.compile(r"(?i:hi,? |hello,? )?(?i:we are|we're|this is|i am|i'm) ([^\W_a-z].{1,60})")
_MORE = "more|more ideas|show more|show me more|the rest|next ones|the next ones|and the rest"
_YES = "yes|y|yes please|yep|yeah|ok|okay|sure|do it|go ahead"
_NO = "no|n|no thanks|nope|never mind|cancel|leave it|don't|stop|forget it"
_NO = f"{_NO}|{leave_as_it_is()}"
_STOP = "stop|cancel|never mind|forget it"  # said to the sitting's question
_PASS = "skip it|skip this|skip this one|skip that|next|next one|next please|pass|not now|none"
_THANKS = (
    "thanks|thank you|thank you very much|thanks a lot|many thanks|cheers|ta|thx|great|good|cool"
    "|perfect|lovely|nice|well done|bye|goodbye|good night"
)
_NEVER_YES = ("Idea: ", "help", leave_as_it_is(), NO)  # how choices begin that "yes" cannot mean

_LISTS = FindOffers | ListIdeas | ShowPrompts | WhatIsDue | WhatIsLate
_OF_SHOP = ChangeBooks | ChangeShop | CountSubscribers | SetFlow | SetShipRule
Understood = tuple[Request, ...] | Question


def understand(text: str, shop: Shop, talk: Talk, today: date) -> Understood:
    """Return what a message means, in order, or a question back.

    `talk` is what the chat was last about; `today` is the shop's local day.
    """
    c = Context(shop, talk, today)
    found = _understood(text, c)
    if not isinstance(found, Question):
        return found
    return in_own_words(found, c, lambda says: not isinstance(_understood(says, c), Question))


def _understood(text: str, c: Context) -> Understood:
    said = clean(text)
    lines = said.split("\n")
    if len(said) > LONGEST or len(lines) > LINES:
        return _too_long(said, len(lines))
    if (answer := _answer(said, c)) is not None:
        return answer
    if (themes := themes_by_month(said, c)) is not None:
        return themes
    if len(lines) == 1:
        return _line(said, c)
    return _lines(said, lines, Context(c.shop, replace(c.talk, options=()), c.today))


def _too_long(said: str, lines: int) -> Question:
    return Question(
        f"I read {plural(lines, 'line')} and {len(said):,} characters that begin "
        f'"{short(said, 40)}". One message takes {LINES} lines and {LONGEST:,} characters: send it '
        "in parts, or as a file."
    )


# --- answers to what was asked --------------------------------------------------------------


def _answer(said: str, c: Context) -> Understood | None:
    """A number or a yes or no, where there is something that it answers."""
    low = said.lower().strip(" .!")
    if re.fullmatch(r"\d{1,2}[.)]?", low):
        return _numbered(int(low.rstrip(".)")), c)
    if low in _MORE.split("|") and c.talk.options and _FROM.fullmatch(c.talk.options[-1]):
        return _chosen(c.talk.options[-1], c)
    if asks_theme(c.talk) and low in _MORE.split("|"):
        return (ShowPrompts(c.talk.sitting, len(c.talk.options) + 1),)
    if asks_theme(c.talk) and low in (*_STOP.split("|"), *_PASS.split("|"), *_NO.split("|")):
        return (LeaveSitting() if low in _STOP.split("|") else SkipBox(c.talk.sitting),)
    shown = c.talk.options[-1:] == (leave_as_it_is(),)  # what something would do
    draft = find(c.shop.drafts, c.talk.id) if c.talk.id and not shown else None
    if low in _YES.split("|"):
        return (BringIn(),) if draft else _yes(c)
    if low in _THANKS.split("|"):
        return Question("You are welcome.", (Button("What is due", what_is_due()),))
    if low not in _NO.split("|"):
        return None
    denial = next((says for says in c.talk.options if says.startswith(NO)), "")
    if denial:
        return _chosen(denial, c)
    if shown or low == leave_as_it_is():
        return Question("Left as it was: nothing was changed.")
    return (LeaveOut(),) if draft else Question("All right, nothing was changed.")


def _numbered(number: int, c: Context) -> Understood:
    options = c.talk.options
    if 1 <= number <= len(options):
        return _chosen(options[number - 1], c)
    if not options:
        return Question(f"I read {number}, but no list or question is open. Say: what is due")
    choices = plural(len(options), "choice")
    return Question(f"I read {number}, but what I asked has {choices}. Say the number of one.")


def _yes(c: Context) -> Understood:
    options = c.talk.options
    others = [says for says in options[1:] if not says.startswith(_NEVER_YES)]
    if options and not others:
        return _chosen(options[0], c)
    if options:
        return Question("I read yes, but there were several choices. Say the number of one.")
    return Question("I read yes, but nothing was asked. Say for example: what is due")


def _chosen(says: str, c: Context) -> Understood:
    """What a choice says, understood without the choices, so that it can never lead to itself."""
    without = replace(c.talk, options=())
    return understand(says, c.shop, without, c.today)


# --- several lines --------------------------------------------------------------------------


def _lines(said: str, lines: list[str], c: Context) -> Understood:
    """Each line on its own; lines of thought that follow each other are one idea."""
    found = [_line(line, c) for line in lines]
    if _is_idea(lines[0]) and not any(_is_said(one) for one in found[1:]):
        return _one_idea(said)
    if not any(_is_said(one) for one in found) and _is_thought(found[0]):
        return _one_thought(said)
    requests: list[Request] = []
    for number, one in enumerate(found, 1):
        if isinstance(one, Question):
            return _about_line(one, number, lines)
        requests += one
    return tuple(requests)


def _about_line(asked: Question, number: int, lines: list[str]) -> Question:
    """The question of one line; each choice says the whole message with that line put right."""
    where = f'Nothing was done yet. Line {number}, "{short(lines[number - 1], 30)}": '
    options = tuple(
        Button(one.label, "\n".join((*lines[: number - 1], one.says, *lines[number:])))
        for one in asked.options
        if one.says not in NO_ANSWERS
    )
    return Question(where + asked.text, options)


def _is_said(found: Understood) -> bool:
    """Whether a line is something said, not a thought or a question about one."""
    return not isinstance(found, Question) and not _is_thought(found)


def _is_thought(found: Understood) -> bool:
    return isinstance(found, tuple) and isinstance(found[0], KeepIdea) and found[0].taken_for_one


def _is_idea(line: str) -> bool:
    return _IDEA.match(Line.of(line).written) is not None


def _one_thought(said: str) -> Understood:
    found = idea_of(said)
    if isinstance(found, Unclear):
        return Question(f"I read a thought, but {found.why}.")
    return (KeepIdea(found.text, found.months, found.link, taken_for_one=True),)


def _one_idea(said: str) -> Understood:
    """An idea that is said to be one, in its own words."""
    start = _IDEA.match(said)
    found = idea_of(said[start.end() :] if start else said)
    if isinstance(found, Unclear):
        example = "For example: Idea: lantern walk for November"
        return Question(f"I read an idea, but {found.why}. {example}")
    return (found,)


# --- one line -------------------------------------------------------------------------------


def _line(text: str, c: Context) -> Understood:
    """One line: an idea, a list that goes on, things said."""
    if _IDEA.match(text):
        return _one_idea(text)
    if (found := _further(text, c)) is not None:
        return (found,)
    return _one(text, Line.of(text), c)


def _further(text: str, c: Context) -> Request | None:
    """A list from a place of it on: "from 9: ideas for November"."""
    place = _FROM.fullmatch(text.strip())
    row = read(Line.of(place[2]), c, TABLE) if place else None
    if place is None or row is None or not isinstance(row[1], _LISTS):
        return None
    return replace(row[1], start=max(int(place[1]), 1))


def _one(text: str, line: Line, c: Context) -> Understood:
    """One thing said, several parted by semicolons, facts of the shop parted by commas, two joined
    by "and", or a thought."""
    if ";" in line.plain and (parts := _parts(_SEMICOLON.split(line.written), c)):
        return parts
    found = read(line, c, TABLE)
    loose = found is None or isinstance(found[1], Question | ChangeShop)
    if loose and ", " in line.plain and (facts := _of_shop(_COMMA.split(line.written), c)):
        return facts
    if found is not None and not isinstance(found[1], Question):
        if line.asks and not found[0].phrasing.asks and not isinstance(found[1], KeepIdea):
            return _shall_i(line)
        return (found[1],)
    if " and " in line.plain and (parts := _joined(line, c)):
        return parts
    if found is not None and isinstance(found[1], Question):
        return or_an_idea(line, found[1]) if _is_loose(found[0]) else found[1]
    other = slipped(line, c) or thought(text, line, c, awaited=asks_theme(c.talk))
    other = or_a_theme(other, line, c)
    return other if isinstance(other, Question) else (other,)


def _is_loose(row: Compiled) -> bool:
    """Whether words that fit a pattern may as well be a thought: it begins with a name, or lacks
    something."""
    return row.phrasing.half or (row.pattern.startswith("{") and not row.phrasing.asks)


def _shall_i(line: Line) -> Question:
    """Ask before something is changed that was said with a question mark."""
    says = line.written
    return Question(f'Shall I? I read: "{short(says, 60)}".', (Button(short(says, 40), says),))


def _parts(texts: list[str], c: Context) -> tuple[Request, ...]:
    """What all the parts say, () unless each is something said."""
    found = [read(Line.of(text), c, TABLE) for text in texts if text.strip()]
    said = [one[1] for one in found if one and not isinstance(one[1], Question)]
    return tuple(said) if len(said) == len(found) else ()


def _of_shop(texts: list[str], c: Context) -> tuple[Request, ...]:
    """What all the parts say of the shop, the first perhaps its name; () unless they do."""
    named = _WE_ARE.fullmatch(texts[0])
    facts = _parts(texts, c) or (_parts(texts[1:], c) if named else ())
    if not all(isinstance(one, _OF_SHOP) for one in facts) or len(texts) < 2 or not facts:
        return ()
    name = (ChangeShop(name=named[1]),) if named and len(facts) < len(texts) else ()
    return (*name, *facts)


def _joined(line: Line, c: Context) -> tuple[Request, ...]:
    """Two things joined by "and", where both are something said."""
    for joint in re.finditer(r" and (?:then )?", line.plain, re.IGNORECASE):
        halves = [line.written[: joint.start()], line.written[joint.end() :]]
        if parts := _parts(halves, c):
            return parts
    return ()

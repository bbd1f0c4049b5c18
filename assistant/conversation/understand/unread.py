"""What a line comes to that no phrasing fits: a thought that is kept, or a question.

Knows: command words and examples of the table, spelling. Must not know: any phrasing by name.
Invariants: a slip is set right and acted on only where the words can hardly be others and, where
the plan would change, only one word was slipped; nothing but a plain thought is kept on doubt.
"""

import re

from assistant.conversation.messages import Button
from assistant.conversation.replies.plain import short
from assistant.conversation.requests import KeepIdea, Question, Request
from assistant.conversation.sentences import help_on, keep_idea, when, why
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.days import month_number, read_day
from assistant.conversation.understand.names import known_item
from assistant.conversation.understand.phrasings import SPOKEN, TABLE
from assistant.conversation.understand.reading import Phrasing, read
from assistant.conversation.understand.thoughts import idea_of
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import WORD, Line, slip, words_of
from assistant.scheduling.weeks import weekday_number

SLIPS = 8  # words at the beginning of a line that are looked at for slips
ALIKE = 84  # of 100: how like an example a line is before it is taken for one half said
NEAR = 45  # of 100: how like an example must be to be offered
_ASKING = (
    "what what's whats when where who who's why how how's which whose is are do does did can "
    "could should shall will would must"
)
_COMMANDS = "swap move drop remove delete undo rename add ship put done rehearse show theme"
# Words of commands that thoughts are full of.
_LITTLE = (
    "a an the of in on to for and or with is are be it at as by from i we you my our me all any"
    " this that not no so up out more new have has could would one each next year box do them"
    " us like card cards set number"
)
_ALWAYS_COMMANDS = "swap undo rename rehearse"


def slipped(line: Line, c: Context) -> Request | Question | None:
    """What the line comes to with its slips set right, None where that is nothing."""
    sure: list[tuple[int, str]] = []
    maybe: list[tuple[int, str]] = []
    for place, word in enumerate(line.words[:SLIPS]):
        for how, right in _rights(word):
            (sure if how == "sure" else maybe).append((place, right))
    for place, right in sure:
        found = read(_with(line, {place: right}), c, TABLE)
        if found is not None:
            return found[1]
    together = dict(reversed([*maybe, *sure]))
    for change in [{place: right} for place, right in maybe] + ([together] if together else []):
        fixed = _with(line, change)
        found = read(fixed, c, TABLE)
        if found is not None:
            return found[1] if found[0].phrasing.asks else _did_you_mean(line, fixed, found[1])
    return None


def _rights(word: str) -> list[tuple[str, str]]:
    """(how sure, word): the command words that a word may be a slip of, surest first."""
    if word in TABLE.vocabulary or len(word) < 3 or word.isdecimal():
        return []
    found = [(how, right) for right in TABLE.vocabulary if (how := slip(word, right))]
    return sorted(found, key=lambda pair: (pair[0] != "sure", pair[1]))[:3]


def _with(line: Line, changes: dict[int, str]) -> Line:
    """The line with some words put right, the rest as it was written."""
    spans = list(WORD.finditer(line.plain))
    written = line.written
    for place in sorted(changes, reverse=True):
        start, end = spans[place].span()
        written = written[:start] + changes[place] + written[end:]
    return Line.exactly(written, line.asks)


def _did_you_mean(line: Line, fixed: Line, meant: Request | Question) -> Question:
    if isinstance(meant, Question):
        return meant
    text = f'Did you mean "{short(fixed.written, 60)}"? Nothing was changed yet.'
    yes = Button(short(fixed.written, 40), fixed.written)
    return Question(text, (yes, Button("Keep it as an idea", keep_idea(line.written))))


# --- no phrasing at all ---------------------------------------------------------------------


def thought(text: str, line: Line, c: Context, *, awaited: bool = False) -> Request | Question:
    """A thought that is kept, or a question where the words look like something else. `awaited`:
    words of any kind were asked for, so that those of commands are no reason to doubt."""
    if not re.search(r"\w\w", line.written):
        return _nothing_read()
    day = read_day(line.plain, c.today) if len(line.words) <= 5 else None
    if isinstance(day, Unclear):
        return not_understood(line, f"I read a date, but {day.why}.")
    if day is not None:
        return not_understood(line, "I read a date, but not what is to be then.")
    if line.asks or any(_is_asking(word) for word in line.words[:1]):
        return not_understood(line, "I read a question, but not what it is about.", idea=True)
    first = line.words[0] if line.words else ""
    if first in _ALWAYS_COMMANDS.split() or _half_said(line):
        return not_understood(line, f'I read "{first}", but not the rest of it.', idea=True)
    if len(line.words) <= 3 and (item := known_item(line.written, c)):
        return _about_item(line, item, c)
    like = (not awaited and _like_a_command(line)) or _likest(line, ALIKE)
    if len(line.words) <= 12 and like:
        return not_understood(line, f'I am not sure what "{short(line.written, 40)}" means.', True)
    found = idea_of(text)
    if isinstance(found, Unclear):
        return Question(f"I read a thought, but {found.why}. Send it in parts, please.")
    return KeepIdea(found.text, found.months, found.link, taken_for_one=True)


def _half_said(line: Line) -> bool:
    """Whether a short line begins with a command or holds nothing but words of commands."""
    words = line.words
    known = [w in TABLE.vocabulary or len(w) <= 2 or month_number(w) is not None for w in words]
    if words and words[0] in _COMMANDS.split():
        return len(words) <= 4 or ":" in line.plain
    return len(words) <= 2 and all(known)


def _like_a_command(line: Line) -> bool:
    """Whether most words that carry meaning are those of commands, dates and numbers; names of
    months are left out, since thoughts have them too."""
    words = [w for w in line.words if w not in _LITTLE.split() and not month_number(w)]
    known = [w for w in words if w in _TELLING or w.isdecimal() or weekday_number(w) is not None]
    return len(known) >= 2 and len(known) * 4 >= len(words) * 3


def _is_asking(word: str) -> bool:
    return any(word == asks or slip(word, asks) == "sure" for asks in _ASKING.split())


def _nothing_read() -> Question:
    text = 'I read no words in that. Send an idea, or say for example "what is due".'
    return Question(text, (Button("What is due", "what is due"), _help()))


def _help() -> Button:
    return Button("What you can say", help_on())


def not_understood(line: Line, text: str, idea: bool = False) -> Question:
    """A question with the sentences that come nearest; those that change nothing are buttons."""
    likest = _likest(line, NEAR)
    safe = [row.example for row in likest if row.asks]
    buttons = [Button(short(example, 40), example) for example in safe]
    if idea:
        buttons.append(Button("Keep it as an idea", keep_idea(line.written)))
    first = f"{line.words[0]} " if line.words else " "
    same = [row.example for row in (*likest, *SPOKEN) if row.example.lower().startswith(first)]
    example = (same or [row.example for row in likest] or ["what is due"])[0]
    return Question(f"{text} For example: {example}", (*buttons, _help()))


def _likest(line: Line, least: int) -> list[Phrasing]:
    """The three phrasings whose examples are most like the line."""
    from rapidfuzz import fuzz, process  # only what was not understood needs it

    said = line.plain.lower()[:80]
    found = process.extract(said, _EXAMPLES, scorer=fuzz.ratio, limit=9, score_cutoff=least)
    rows = dict.fromkeys(SPOKEN[place] for _, _, place in found)
    unlike: dict[str, Phrasing] = {}
    for row in rows:
        unlike.setdefault(row.name, row)
    return list(unlike.values())[:3]


NO_ANSWERS = frozenset((*(row.example for row in SPOKEN), help_on()))
_TELLING = TABLE.vocabulary - frozenset(_LITTLE.split())
_EXAMPLES = [row.example.lower() for row in SPOKEN]


def _about_item(line: Line, item: str | Unclear, c: Context) -> Question:
    """A bare name: an item's, or that of several, so what about it?"""
    name = short(line.written, 40)
    text = f'I read the name of an item, "{name}", but not what about it.'
    keep = Button("Keep it as an idea", keep_idea(line.written))
    if isinstance(item, str):
        order = Button("When to order it", when(c.shop, item))
        return Question(text, (order, Button("Its dates", why(c.shop, item)), keep))
    offers = [
        Button(short(f"When: {label}", 40), f"when order {says}") for label, says in item.offers
    ]
    return Question(text, (*offers, keep))


def or_an_idea(line: Line, asked: Question) -> Question:
    """The same question with one choice more: that the words were a thought."""
    keep = Button("Keep it as an idea", keep_idea(line.written))
    known = keep in asked.options or not words_of(line.written)
    return asked if known else Question(asked.text, (*asked.options, keep))

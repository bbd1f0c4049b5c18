"""What is said of scores and surveys.

Knows: opinions, what a survey would change. Must not know: file formats, what follows for the plan.
Invariants: a score is told of 5, with the number of its answers where that is known; another scale
is told with what it was made; words from outside are shown cut to a line.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.files import PROBLEMS, REMARKS, Part
from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.planning.accounts.money import plain_number
from assistant.planning.bringing_in import Refused
from assistant.planning.model import Opinion, Tally
from assistant.planning.month.opinions import Incoming, Verdict

NAME = 40
NAMED = 5  # things of a survey that a reply names
WORDS = 60


def score(value: Decimal) -> str:
    """Write a score: "4.6", "4"."""
    return f"{value:.1f}".removesuffix(".0")


def scored(value: Decimal | None, answers: int) -> str:
    """Write a score with the number of its answers: "4.6 of 5 from 38 answers"."""
    if value is None:
        return ""
    many = f" from {plural(answers, 'answer')}" if answers else ""
    return f"{score(value)} of 5{many}"


def brief(said: Verdict) -> str:
    """Write what was said of a thing in a list: "lamp 4.6 (38)", "tea"."""
    if said.score is None:
        return short(said.name, NAME)
    many = f" ({said.answers:,})" if said.answers else ""
    return f"{short(said.name, NAME)} {score(said.score)}{many}"


def several(found: Sequence[Verdict], most: int) -> str:
    """Write what was said of several things, so many of them at most."""
    told = [brief(one) for one in found[:most]]
    if len(found) > most:
        told.append(f"{len(found) - most} more")
    return listed(told)


def who(one: Opinion, today: date) -> str:
    """Name what an opinion is of: "lamp, March", "March"."""
    where = box_name(one.box, today)
    return f"{short(one.name, NAME)}, {where}" if one.item else where


def noted(new: Opinion, old: Opinion | None, word: str, today: date) -> tuple[str, ...]:
    """Acknowledge an opinion; `word` is what was said in words, "" for a score."""
    what = f"\u201c{short(word, WORDS)}\u201d" if word else scored(new.score, new.answers)
    first = f"{who(new, today)}: {what}."
    was = scored(old.score, old.answers) if old else ""
    if word or not was:
        return (first,)
    return first, f"Before: {was}."


def made_of(value: Decimal, of: int, made: Decimal) -> str:
    """Say what a score on another scale was taken as."""
    return "" if of == 5 else f"{plain_number(value)} of {of} is {score(made)} of 5."


def give_a_number(name: str) -> str:
    """Say how words get comparable."""
    return f"A number makes it comparable: say {short(name, NAME)} scored 4.6 from 38 answers"


def stands(new: Opinion, today: date) -> str:
    """Say that an opinion is known."""
    return f"{who(new, today)}: that is what I have already."


def together(said: Verdict) -> str:
    """Say what was said of all of one name or type so far."""
    return (
        f"All of {short(said.name, NAME)} so far: {scored(said.score, said.answers)}, "
        f"{plural(len(said.boxes), 'box', 'boxes')}."
    )


def before(said: Verdict | None) -> str:
    """Say whether a thing that is planned was loved before; "" where neither."""
    if said is None or not said.liked:
        return ""
    name = short(said.name, NAME)
    told = scored(said.score, said.answers)
    verb = "was loved" if said.liked > 0 else "was not loved"
    return f"{name[:1].upper()}{name[1:]} {verb} before{f': {told}' if told else ''}."


# --- refusals -------------------------------------------------------------------------------


def no_score(value: Decimal, of: int) -> str:
    """Refuse a score that cannot be one."""
    said = plain_number(value)
    tail = "scores go from 1 to 5. Nothing was noted. For example: lamp scored 4.6 of 5"
    if of == 5:
        return f"I read a score of {said}, but {tail}"
    return f"I read a score of {said} of {of}, which cannot be; {tail}"


def not_sent(box: str, on: date | None, planned: bool, today: date) -> str:
    """Say that a box has not gone out, and ask whether it has."""
    where = box_name(box, today)
    if not planned:
        return f"{where} is not in the plan, so nobody can have had it. Nothing was noted."
    if on is None or on > today:
        ships = f" ships {day(on, today)}" if on else " has not gone out"
        return f"{where}{ships}, so nobody has had it yet. Nothing was noted."
    return (
        f"{where} was to ship {day(on, today)} and is not marked as gone out. Nothing was noted. "
        "Has it gone out?"
    )


def too_many_answers(answers: int, boxes: int, box: str, today: date) -> str:
    """Refuse more answers than boxes went out."""
    return (
        f"I read {answers:,} answers, but {boxes:,} boxes of {box_name(box, today)} went out. "
        "Nothing was noted. For example: lamp scored 4.6 from 38 answers"
    )


# --- surveys --------------------------------------------------------------------------------

NOTHING_FOUND = "Nothing of it is about an item or a box that has gone out."
EXAMPLE = "A row needs an item and a score: item, score, comment, month"


def heading(name: str, things: int) -> str:
    """The title of a survey that was read."""
    return f"Read {short(name, NAME)}: answers about {plural(things, 'thing')}"


def summary(incoming: Incoming, today: date) -> tuple[str, ...]:
    """Say what bringing a survey in would note."""
    if not incoming.found:
        same = "All of it is noted already." if incoming.same else NOTHING_FOUND
        return (same, "" if incoming.same else EXAMPLE)
    lines = [f"\u2022 {_line(one, today)}" for one in incoming.found[:NAMED]]
    more = len(incoming.found) - NAMED
    return (
        *lines,
        f"and {more} more" if more > 0 else "",
        f"As noted already: {incoming.same}." if incoming.same else "",
    )


def _line(one: Opinion, today: date) -> str:
    told = scored(one.score, one.answers) or "no score"
    words = f", {plural(len(one.words), 'comment')}" if one.words else ""
    return f"{who(one, today)}: {told}{words}"


def unread(
    incoming: Incoming, refused: Iterable[Refused], notes: Iterable[str]
) -> tuple[Part, ...]:
    """What of a survey was not read, and what to look at, as parts of a reply."""
    every = (*refused, *incoming.refused)
    lines = tuple(f"{one.where}: {one.why}" for one in every)
    return Part("Not read", lines, PROBLEMS), Part("Look at", tuple(notes), REMARKS)


def assumed(box: str, today: date) -> str:
    """Say for which box a survey was taken that names none."""
    where = box_name(box, today)
    return f"Taken for {where}, the newest box that went out; else send it with: survey for May"


def brought_in(incoming: Incoming, today: date) -> tuple[str, ...]:
    """Say what a survey noted."""
    many = len(incoming.found)
    first = f"Noted what subscribers said of {plural(many, 'thing')}."
    return first, *(f"\u2022 {_line(one, today)}" for one in incoming.found[:NAMED])


def every_line(incoming: Incoming, tallies: Sequence[Tally], today: date) -> Part:
    """All that a survey notes, and what people said, line by line."""
    lines = [_line(one, today) for one in incoming.found]
    words = [f"{one.name or 'the box'}: {word}" for one in tallies for word in one.words]
    return Part("Answers", (*lines, *words), NAMED)

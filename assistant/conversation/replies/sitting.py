"""What is said in the sitting: prompts for themes, what is open, votes, school holidays.

Knows: boxes, prompts and how they are written on a phone. Must not know: which box comes next.
Invariants: a reply has at most ten lines; a prompt is one line with its reason; every refusal says
what works instead.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from assistant.conversation.replies.ideas import stop
from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.planning.model import Closure, Idea
from assistant.planning.year.themes import Echo, Prompt

TEXT = 40  # characters of a prompt on its line
WHY = 45  # characters of its reason
LABEL = 30  # characters of a button's label
NAMED = 6  # boxes that are named one by one

# --- prompts --------------------------------------------------------------------------------


def of_year(year: int, boxes: int, open_boxes: int) -> str:
    """The title when the sitting begins."""
    if open_boxes == boxes:
        return f"{year}: {plural(boxes, 'box', 'boxes')}, no theme yet"
    return f"{year}: {open_boxes} of {plural(boxes, 'box', 'boxes')} without a theme"


def next_box(box: str, open_boxes: int, today: date) -> str:
    """The title when the sitting goes on to a box."""
    left = "the last one open" if open_boxes == 1 else f"{open_boxes} open"
    return f"{box_name(box, today)} ({left})"


def asked(box: str, theme: str, ships: date | None, named: bool, today: date) -> str:
    """Ask for the theme of a box; `named` says that the title names it."""
    who = "" if named else f"{box_name(box, today)} "
    when = f"{who}{'Ships' if named else 'ships'} {day(ships, today)}. " if ships else who
    if theme:
        return f'{when}Instead of "{short(theme, TEXT)}" it could be:'
    return f"{when}It could be:"


def prompt(number: int, one: Prompt) -> str:
    """Write one prompt: "1. rain and roots (your idea, waiting 5 months)"."""
    why = f" ({short(one.why, WHY)})" if one.why else ""
    return f"{number}. {short(one.text, TEXT)}{why}"


def take(one: Prompt) -> str:
    """The label of the button that makes a prompt the theme."""
    return f"Theme: {short(one.text, LABEL)}"


HOW = "Say a number, or your own words."
NO_PROMPTS = "I have no prompts for it. Say its theme in your own words."


def no_more_prompts(box: str, today: date) -> str:
    """Say that the prompts of a box are at their end."""
    return f"Those are all prompts for {box_name(box, today)}. Say its theme in your own words."


def echo(one: Echo, today: date) -> str:
    """Point out that a theme was had before, or stands next to one like it."""
    where, theme = box_name(one.box, today), short(one.theme, TEXT)
    if one.side_by_side:
        return f'{where}, right beside it, has "{theme}".'
    return f'{where} had "{theme}" already.'


# --- the course of the sitting --------------------------------------------------------------


def complete(year: int) -> str:
    """Say that no box of a year is open."""
    return f"Every box of {year} has a theme."


def over(year: int, example: int) -> str:
    """Refuse to plan a year whose boxes have all shipped."""
    return f"All boxes of {year} have shipped. For example: plan {example}"


def round_done(year: int, boxes: Sequence[str], today: date) -> str:
    """Say that the sitting came to the end of a year, and what was left open on the way."""
    return f"That was the last box of {year}. Still open: {named(boxes, today)}."


def left(year: int, boxes: Sequence[str], today: date) -> tuple[str, ...]:
    """Say what is open when the sitting is left, and how to go on."""
    if not boxes:
        return (complete(year),)
    have = "has" if len(boxes) == 1 else "have"
    return (
        f"All right. {named(boxes, today)} {have} no theme yet.",
        "To go on, any day: carry on planning",
    )


def named(boxes: Sequence[str], today: date) -> str:
    """Name boxes: "March, April and 7 more"."""
    names = [box_name(box, today) for box in boxes]
    if len(names) <= NAMED:
        return listed(names)
    return f"{', '.join(names[: NAMED - 1])} and {len(names) - NAMED + 1} more"


def lacks(what: str, boxes: Sequence[str], all_boxes: int, today: date) -> str:
    """Write which boxes lack something, "" where none does."""
    if not boxes:
        return ""
    which = "all boxes" if len(boxes) == all_boxes and all_boxes > 2 else named(boxes, today)
    return f"{what}: {which}"


def too_few(wanted: int) -> str:
    """Head the boxes that hold fewer items than the shop wants."""
    return "No items" if wanted == 1 else f"Fewer than {wanted} items"


def nothing_open(year: int) -> str:
    """Say that a year is settled as far as the sitting goes."""
    return f"Nothing of {year} is open: every box has a theme and items."


# --- votes and suggestions ------------------------------------------------------------------


def voted(idea: Idea, by: int) -> str:
    """Acknowledge votes, with their sum."""
    text = short(idea.text, TEXT)
    return f"{plural(by, 'vote')} more for {text}: {stop(plural(idea.votes, 'vote') + ' in all')}"


def voted_while(idea: Idea, today: date) -> str:
    """Say that an idea that is voted for does not wait."""
    if idea.state == "used":
        where = f" in {box_name(idea.box, today)}" if idea.box else ""
        return f"It is used{where} already."
    return "It was let go." if idea.state == "let go" else ""


# --- school holidays ------------------------------------------------------------------------


def school(one: Closure, before: Iterable[Closure], today: date) -> tuple[str, ...]:
    """Acknowledge a school holiday; `before` are those that it takes the place of."""
    was = [_days(old, today) for old in before]
    instead = f", instead of {listed(was)}" if was else ""
    yearly = ", every year" if one.yearly else ""
    return (
        f"{_capital(one.reason)}: {_days(one, today)}{yearly}{instead}.",
        "It is offered as a prompt for themes; your working days stay.",
    )


def school_stands(one: Closure, today: date) -> str:
    """Say that this school holiday is known."""
    return f"{_capital(one.reason)}, {_days(one, today)}: that is what I have already."


def school_forgotten(number: int) -> str:
    """Say that school holidays are forgotten."""
    return f"Forgot {plural(number, 'school holiday')}."


NO_SCHOOL = "I know of no school holidays. To tell me: school holidays 15 to 19 February"


def _days(one: Closure, today: date) -> str:
    first, last = (day(on, today) if on else "" for on in (one.first, one.last))
    return first if first == last else f"{first} to {last}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

"""How deadlines are written: when a thing is due, what moved, what is late, what can be done.

Knows: deadlines and how they are read on a phone. Must not know: which of them a request is about.
Invariants: a late date is said to be late in the same line; a date that leans on days that are not
settled says why; what to do is the stage's own words (`todo`).
"""

from collections.abc import Iterable
from datetime import date
from functools import lru_cache

from assistant.conversation.replies.plain import box_name, day, listed, plural, short
from assistant.planning.deadlines import Deadline
from assistant.scheduling.countries import country_name

TODO = 60  # characters of what to do, on one line of a phone


def due(deadline: Deadline, today: date, why_provisional: str = "", whose: str = "") -> str:
    """Write one deadline as a sentence: "Order tea by Thu 28 Jan, in 12 working days.".

    `whose` names its box and supplier where they were not named just before.
    """
    todo, on = _capital(short(deadline.todo, TODO)), day(deadline.on, today)
    todo = f"{todo} ({whose})" if whose else todo
    if deadline.late:
        text = f"{todo}: was due {on}, {_late(deadline)}."
    elif deadline.on == today:
        text = f"{todo} today."
    else:
        text = f"{todo} by {on}, {ahead(deadline.float)}."
    return f"{text[:-1]} ({why_provisional})." if why_provisional else text


def ahead(working_days: int) -> str:
    """Write how far off a day is: "in 12 working days"."""
    if working_days == 0:
        return "before your next working day"
    return f"in {plural(working_days, 'working day')}"


def _late(deadline: Deadline) -> str:
    return f"{plural(-deadline.float, 'working day')} late"


def before_that(deadline: Deadline, today: date) -> str:
    """Write the deadline that comes before the one just named."""
    todo, on = short(deadline.todo, TODO), day(deadline.on, today)
    if deadline.late:
        return f"Before that, late since {on}: {todo}."
    return f"Before that, by {on}: {todo}."


def row(deadline: Deadline, today: date) -> str:
    """Write one deadline as a line of a list: "Fri 27 Nov  order tea (March)"."""
    mark = f", {_late(deadline)}" if deadline.float < 0 else ""
    mark += " (provisional)" if deadline.provisional else ""
    label = _label(deadline.todo, deadline.box, today.year, today.month)
    return f"{day(deadline.on, today)}  {label}{mark}"


@lru_cache(2048)  # a rehearsal writes each deadline twice, a year of them
def _label(todo: str, box: str, year: int, month: int) -> str:
    return f"{short(todo, TODO)} ({box_name(box, date(year, month, 1))})"


def days(first: date, last: date, today: date) -> str:
    """Write a stretch of days: "Mon 2 to Fri 20 Aug", "Mon 30 Aug to Fri 3 Sep"."""
    if first == last:
        return day(first, today)
    start = day(first, today)
    if (first.year, first.month) == (last.year, last.month):
        start = " ".join(start.split()[:2])
    return f"{start} to {day(last, today)}"


def ships(on: date, today: date) -> str:
    """Say when a box ships."""
    return f"Ships {day(on, today)}."


def no_ship_date(box: str, today: date) -> str:
    """Say that a box has no ship date."""
    return f"The ship day gives {box_name(box, today)} no date. Say: ship {box} on the 12th"


def was(on: date, today: date) -> str:
    """Write where a date stood before."""
    return f"It was {day(on, today)}."


def nothing_left(name: str) -> str:
    """Say that nothing is left to be done for something."""
    return f"Nothing is left to be done for {short(name, TODO)}."


def tightest(item: str, box: str, slack: int | None, today: date) -> str:
    """Name the item that binds; `slack` in working days, None when it will never be in hand."""
    if slack is None:
        room = "its supplier never works again"
    elif slack < 0:
        room = f"{plural(-slack, 'working day')} too late"
    else:
        room = f"{plural(slack, 'working day')} of float"
    return f"Tightest: {short(item, TODO)} ({box_name(box, today)}), {room}."


# --- provisional dates ----------------------------------------------------------------------


def unpublished(year: int, country: str = "") -> str:
    """Say why a date is provisional: a year's public holidays, of a country by its code."""
    of = f" of {country_name(country) or country}" if country else ""
    return f"provisional: the {year} holidays{of} are not published yet"


def expected_closure() -> str:
    """Say why a date is provisional: a closure."""
    return "provisional: a closure it rests on is only expected"


# --- what is not known ----------------------------------------------------------------------

UNKNOWN = {
    "lead time": "No lead time is known, so none is counted. Say: {item} lead time 20 working days",
    "supplier": "No supplier is known yet. Say: {item} is from Aldermoor",
    "subscriber count": "Packing counts as one day until I know how many you are. Say: we are 420",
}


def unknown(missing: Iterable[str], item: str) -> tuple[str, ...]:
    """Say what a date rests on that is not known, and how to make it known."""
    return tuple(UNKNOWN[what].format(item=item) for what in missing if what in UNKNOWN)


# --- what moved -----------------------------------------------------------------------------


def moved(count: int, new: Deadline, old: date, today: date) -> str:
    """Say how many dates moved, and which comes first."""
    head = f"{plural(count, 'date moves', 'dates move')}{'' if count == 1 else '; the first'}: "
    todo = f"{short(new.todo, TODO)} ({box_name(new.box, today)})"
    return f"{head}{todo} by {day(new.on, today)}, was {day(old, today)}."


def none_moved(coming: Deadline | None, today: date) -> str:
    """Say that no date moved, and what comes next."""
    return f"No date moves. {next_due(coming, today)}" if coming else "No date moves."


def next_due(deadline: Deadline, today: date) -> str:
    """Name the next thing to be done, or that should have been."""
    where = box_name(deadline.box, today)
    if deadline.late:
        todo = short(deadline.todo, TODO)
        return f"First: {todo} ({where}), late since {day(deadline.on, today)}."
    return f"Next: {day(deadline.on, today)} {short(deadline.todo, TODO)} ({where})."


def late_now(new_ones: int) -> str:
    """Say how many became late by a change."""
    verb = "is" if new_ones == 1 else "are"
    return f"{new_ones} {verb} late because of it." if new_ones else ""


def cannot_be(boxes: Iterable[str], today: date) -> str:
    """Name boxes that have no ship date any more."""
    names = [box_name(box, today) for box in boxes]
    return f"No ship date can be found for {listed(names)}." if names else ""


# --- what can still be done -----------------------------------------------------------------


def still_possible(days_short: int, later: str, today: date) -> str:
    """Say what can still be done for what will not make it."""
    move = f"move it to {box_name(later, today)}, " if later else ""
    quicker = f"find {plural(days_short, 'working day')} with the supplier or faster carriage"
    return f"Still possible: {quicker}, {move}or ship this box later."


def other_supplier(item: str) -> str:
    """Say what can still be done for an item whose supplier does not work again."""
    return f"Still possible: another supplier, for example: {short(item, TODO)} is from Aldermoor"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]

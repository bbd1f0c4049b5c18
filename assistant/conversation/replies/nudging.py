"""What is said of nudges: the morning's digest, done, put off, not needed, the rehearsal.

Knows: deadlines and digests and how they are read on a phone. Must not know: to whom and when they
go. Invariants: a digest is numbered as the talk remembers it; what was marked is named with its
box, so that a wrong touch is seen.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from assistant.conversation.replies.answers import numbered, sections
from assistant.conversation.replies.cautions import more_kinds, with_items
from assistant.conversation.replies.dates import TODO, due, next_due
from assistant.conversation.replies.plain import (
    MONTHS,
    box_name,
    day,
    full_day,
    listed,
    plural,
    short,
)
from assistant.conversation.replies.rescue import cannot_ship
from assistant.planning.deadlines import Deadline
from assistant.planning.model import Person
from assistant.planning.month.cautions import Together
from assistant.planning.month.risks import AtRisk
from assistant.planning.nudges import Digest
from assistant.scheduling.weeks import WEEKDAYS

FIRST_MORNINGS = 3  # of a rehearsal, told in the chat
RISKS = 2  # boxes that cannot ship complete, told one by one in a digest
CHECKS = 2  # kinds of goods to be checked, told in a digest
NAMED = 3  # things that were marked at once, named in the reply


# --- the morning ----------------------------------------------------------------------------


def morning_title(on: date) -> str:
    """The heading of a digest: "Monday 1 March"."""
    return f"{WEEKDAYS[on.weekday()]} {on.day} {MONTHS[on.month - 1]}"


def digest(found: Digest, most: int, whose: Mapping[str, Person] | None = None) -> tuple[str, ...]:
    """Write a digest in at most `most` numbered lines: late, today, ahead; `whose` is who alone is
    nudged, by deadline key."""
    parts = found.late, found.today, found.ahead
    headings = sections(*map(len, parts))
    return numbered(tuple(zip(headings, parts, strict=True)), most, found.day, whose=whose)


def at_risk(found: Sequence[AtRisk], today: date) -> tuple[str, ...]:
    """Say which boxes cannot ship complete, and for which items; the first few of them."""
    lines = [
        f"{box_name(one.box, today)}: {_low(cannot_ship(one, today))}" for one in found[:RISKS]
    ]
    left = len(found) - len(lines)
    more = f"and {plural(left, 'more box', 'more boxes')} that cannot ship complete"
    return (*lines, more) if left else tuple(lines)


def _low(text: str) -> str:
    return text[:1].lower() + text[1:]


def to_check(found: Sequence[Together]) -> tuple[str, ...]:
    """Say what to check for goods that carry duties; the first few kinds of them."""
    own = [one for one in found if not one.implied] or found
    lines = [f"Caution: {with_items(one)}" for one in own[:CHECKS]]
    return (*lines, more_kinds(len(own) - len(lines))) if len(own) > len(lines) else tuple(lines)


# --- marks ----------------------------------------------------------------------------------


def task(deadline: Deadline, today: date) -> str:
    """Name a deadline with its box: "order tea (March)"."""
    return f"{short(deadline.todo, TODO)} ({box_name(deadline.box, today)})"


def _tasks(found: Sequence[Deadline], today: date) -> str:
    """Name deadlines with their boxes, the first few where there are many."""
    tasks = [task(one, today) for one in found]
    left = len(tasks) - NAMED
    return listed([*tasks[:NAMED], f"{left} more"] if left > 1 else tasks)


def marked(word: str, found: Sequence[Deadline], today: date) -> str:
    """Say what was marked: "Done: order tea (March)."."""
    return f"{word}: {_tasks(found, today)}."


def already(word: str, found: Sequence[Deadline], today: date) -> str:
    """Say what had been marked before."""
    return f"Already {word}: {_tasks(found, today)}." if found else ""


def over(box: str, shipped: date, today: date) -> str:
    """Say that a box has shipped, so that nothing of it is left to be marked."""
    return f"{box_name(box, today)} shipped {day(shipped, today)}: nothing of it is open any more."


def unknown(count: int) -> str:
    """Say that something is no longer in the plan."""
    if not count:
        return ""
    what = "One of those" if count == 1 else f"{count} of those"
    return f"{what} can no longer be found in the plan. To see what stands: what is due"


def next_for_it(deadline: Deadline, today: date) -> str:
    """Name what comes next for the same item or box."""
    return f"Next for it: {due(deadline, today)}"


def next_at_all(deadline: Deadline, today: date) -> str:
    """Name what comes next in the plan."""
    return next_due(deadline, today)


NOTHING_NEXT = "Nothing else is open."


def put_off(found: Sequence[Deadline], until: date, days: int | None, today: date) -> str:
    """Say until when something is put off, `days` working days if that was said."""
    tasks = _tasks(found, today)
    length = f" {plural(days, 'working day')}," if days else ""
    return f"Put off{length} until {day(until, today)}: {tasks}."


def past_its_date(found: Iterable[Deadline], today: date) -> str:
    """Warn that something is put off beyond the day on which it is due."""
    tasks = [f"{task(one, today)} is due {day(one.on, today)}" for one in found]
    left = len(tasks) - NAMED
    named = listed([*tasks[:NAMED], f"{left} more by then"] if left > 1 else tasks)
    return f"Mind: {named}." if tasks else ""


def put_off_to_past(until: date, today: date) -> str:
    """Refuse to put something off to a day that is not ahead."""
    return (
        f"I read {day(until, today)} as the day to be told again, but that is not ahead of today. "
        "For example: put off 3 days"
    )


def put_off_so_long(days: int, most: int) -> str:
    """Refuse to put something off for no day, or for longer than a plan lasts."""
    return (
        f"I read {plural(days, 'day')}, but I put things off for 1 to {most}. If it does not "
        "apply, say: not needed. For example: put off 3 days"
    )


def nothing_named() -> str:
    """Say that nothing was named to be marked."""
    return "I could not tell which one you mean. To see what stands: what is due"


def still_done(deadline: Deadline, today: date) -> str:
    """Say that something counts as done because a later step is."""
    return (
        f"{task(deadline, today)} still counts as done, because what follows it is done. "
        "Open that again first."
    )


# --- the rehearsal --------------------------------------------------------------------------


def rehearsal_title(first: date, last: date) -> str:
    """The heading of a rehearsal."""
    whole = "A year" if 360 <= (last - first).days <= 370 else "A run"
    return f"{whole} of nudges, from {full_day(first)}"


def rehearsal(digests: Sequence[Digest], today: date) -> tuple[str, ...]:
    """Write a rehearsal in short: how much, month by month, and the first mornings."""
    total = sum(map(_size, digests))
    mornings = plural(len(digests), "morning")
    return (
        f"{mornings} with something to do, {plural(total, 'line')} in all.",
        *_by_month(digests),
        "The first mornings",
        *(_in_short(one, today) for one in digests[:FIRST_MORNINGS]),
        "It takes each thing as done on its day, and the plan as it stands.",
    )


def _by_month(digests: Sequence[Digest]) -> Iterable[str]:
    """Count the mornings of each month, four months to a line."""
    counts: dict[tuple[int, int], int] = {}
    for one in digests:
        month = one.day.year, one.day.month
        counts[month] = counts.get(month, 0) + 1
    cells = [f"{MONTHS[month - 1][:3]} {count}" for (_, month), count in counts.items()]
    return (", ".join(cells[start : start + 4]) for start in range(0, len(cells), 4))


def _in_short(found: Digest, today: date) -> str:
    first = next(iter((*found.late, *found.today, *found.ahead)))
    more = _size(found) - 1
    return f"{day(found.day, today)}: {task(first, found.day)}{f' and {more} more' if more else ''}"


def _size(found: Digest) -> int:
    return len(found.late) + len(found.today) + len(found.ahead)


def no_nudges(first: date, last: date) -> str:
    """Say that nothing would be told in a stretch of time."""
    return (
        f"From {full_day(first)} to {full_day(last)} there is nothing to be told. "
        "The plan may have no boxes there: show the year"
    )


def bad_stretch(first: date, last: date) -> str:
    """Refuse a rehearsal that ends before it begins, or is too long."""
    return (
        f"I read a rehearsal from {full_day(first)} to {full_day(last)}; it must run forward, for "
        "two years at most. For example: rehearse"
    )


WHOLE = "The whole of it, morning by morning."


def whole_rehearsal(digests: Iterable[Digest]) -> str:
    """Write every morning of a rehearsal, as the text of a file."""
    mornings = (
        "\n".join((f"{morning_title(one.day)} {one.day.year}", *digest(one, _size(one))))
        for one in digests
    )
    return "\n\n".join(mornings) + "\n"

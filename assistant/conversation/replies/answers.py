"""Answers about the plan: what is due, what is late, how a box is, the year, when and why.

Knows: deadlines, boxes, items and how they are read on a phone, the next thing first. Must not
know: which of them was asked for. Invariants: nothing here changes anything; each list is numbered
as the talk remembers it.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal

from assistant.conversation.replies.dates import days, row
from assistant.conversation.replies.doors import called
from assistant.conversation.replies.plain import (
    MONTHS,
    box_name,
    day,
    listed,
    money,
    plural,
    short,
)
from assistant.conversation.replies.plan import THEME, name
from assistant.planning.deadlines import Deadline
from assistant.planning.model import Item, Person

ITEMS_SHOWN = 12
LABEL = 30  # characters of a button's label

# --- lists of what is due -------------------------------------------------------------------


def due_by(until: date, today: date, since: date | None = None) -> str:
    """The heading of what is due up to a day, or between two days."""
    return f"Due {days(since, until, today)}" if since else f"Due by {day(until, today)}"


LATE = "Late"


def sections(late: int, now: int, ahead: int) -> tuple[str, str, str]:
    """The headings of a list's parts, "" where a part is empty; a list that has one part only
    needs no heading but for what is late."""
    several = sum(map(bool, (late, now, ahead))) > 1
    return (
        LATE if late else "",
        "Today" if now else "",
        "Ahead" if ahead and several else "",
    )


def numbered(
    parts: Sequence[tuple[str, Sequence[Deadline]]],
    most: int,
    today: date,
    start: int = 1,
    whose: Mapping[str, Person] | None = None,
) -> tuple[str, ...]:
    """Write the parts of a list, each under its heading, numbered through, `most` at the most
    from the place `start` on; `whose` is who alone is nudged, by deadline key."""
    named = {key: f" ({called(one)})" for key, one in (whose or {}).items()}
    lines: list[str] = []
    before = 0
    for heading, part in parts:
        skipped = max(start - 1 - before, 0)
        shown = part[skipped : max(start - 1 + most - before, 0)]
        if heading and shown:
            lines.append(heading)
        numbers = enumerate(shown, before + skipped + 1)
        lines += [f"{n}. {row(one, today)}{named.get(one.key, '')}" for n, one in numbers]
        before += len(part)
    left = before - (start - 1 + most)
    return (*lines, f"and {left} more") if left > 0 else tuple(lines)


def nothing_due(until: date, today: date, since: date | None = None) -> str:
    """Say that nothing is due up to a day, or between two days."""
    when = days(since, until, today) if since else f"by {day(until, today)}"
    return f"Nothing is due {when}."


def earlier(count: int, late: int) -> str:
    """Say how much is to be done before the days that were asked about."""
    if not count:
        return ""
    return f"{count} more before that{f', {late} of them late' if late else ''}."


NOTHING_LATE = "Nothing is late."
NO_PLAN = (
    "No box is planned yet. Send your year as a CSV or XLSX file, or type a line, for example: "
    "March theme rain and roots"
)


def put_off(count: int) -> str:
    """Say how many things are put off."""
    return f"{count} more put off." if count else ""


# --- one box --------------------------------------------------------------------------------


def box_title(box: str, theme: str, today: date) -> str:
    """The heading of a box: "May: first swifts"."""
    where = box_name(box, today)
    return f"{where}: {short(theme, THEME)}" if theme else f"{where}, no theme yet"


def ships(on: date | None, working_days: int, today: date) -> str:
    """Say when a box ships and how far off that is."""
    if on is None:
        return "No ship date: the ship day gives none in that month."
    if on < today:
        return f"Ship date {day(on, today)}, past."
    if on == today:
        return "Ships today."
    return f"Ships {day(on, today)}, in {plural(working_days, 'working day')}."


def shipped(on: date, today: date) -> str:
    """Say that a box has shipped."""
    return f"Shipped {day(on, today)}."


def late_count(late: int) -> str:
    """Say how many things of a box are late."""
    return f"{late} late" if late else ""


def states(counts: Mapping[str, int]) -> str:
    """Say how far the items of a box are: "5 items: 2 ordered, 3 open", "2 items, all open"."""
    total = sum(counts.values())
    if not total:
        return "No items yet."
    found = [(state, count) for state, count in counts.items() if count]
    if len(found) == 1:
        return f"{plural(total, 'item')}, {'all ' if total > 1 else ''}{found[0][0]}"
    parts = [f"{count} {state}" for state, count in found]
    return f"{plural(total, 'item')}: {', '.join(parts)}"


def done_with(deadline: Deadline) -> str:
    """Label the button that says a thing is done: "Done: order tea"."""
    return short(f"Done: {deadline.stage} {deadline.name}", LABEL)


def cost(total: Decimal, currency: str, price: Decimal | None, without: int, foreign: int) -> str:
    """Say what the items of a box cost so far, and which are not counted."""
    counted = f"{money(total, currency)} a box so far"
    if price is not None:
        counted += f", sold at {money(price, currency)}"
    left = [
        f"{without} without a cost" if without else "",
        f"{foreign} in another currency" if foreign else "",
    ]
    gaps = listed([gap for gap in left if gap])
    return f"{counted} ({gaps})" if gaps else counted


def items(found: Sequence[tuple[Item, str, str]], currency: str) -> tuple[str, ...]:
    """Write the items of a box, a line each: (item, supplier's name, how far it is)."""
    lines = []
    for item, supplier, state in found[:ITEMS_SHOWN]:
        price = "" if item.unit_cost is None else money(item.unit_cost, item.currency or currency)
        parts = filter(None, (name(item.name), name(supplier), price, state))
        lines.append(f"- {', '.join(parts)}")
    left = len(found) - len(lines)
    return (*lines, f"and {plural(left, 'item')} more") if left else tuple(lines)


def nothing_planned(box: str, on: date | None, today: date) -> str:
    """Say that a box is not planned, and when it would ship."""
    would = f" It would ship {day(on, today)}." if on and on >= today else ""
    return f"Nothing is planned for {box_name(box, today)} yet.{would}"


def begin_with(box: str, today: date) -> str:
    """Say how to begin with a box."""
    return f"For example: {box_name(box, today)} theme rain and roots"


def next_box(box: str, theme: str, on: date, today: date) -> str:
    """Name the next box that ships."""
    what = f", {short(theme, THEME)}" if theme else ""
    return f"The next box is {box_name(box, today)}{what}: ships {day(on, today)}."


# --- the year -------------------------------------------------------------------------------


def year_title(first: str, last: str, today: date) -> str:
    """The heading of the year plan, by its first and last box."""
    if first == last:
        return f"The plan: {box_name(first, today)}"
    return f"The plan: {_month(first)} to {_month(last)}"


def _month(box: str) -> str:
    return f"{MONTHS[int(box[5:7]) - 1][:3]} {box[:4]}"


def year_line(box: str, theme: str, on: date | None, items: int, late: int, today: date) -> str:
    """Write a box of the year in one line: "March: rain and roots, 5 items, ships Mon 15 Mar"."""
    parts = (
        short(theme, 28) if theme else "no theme",
        plural(items, "item"),
        f"ships {day(on, _of(box))}" if on else "no ship date",
        late_count(late),
    )
    return f"{box_name(box, today)}: {', '.join(part for part in parts if part)}"


def _of(box: str) -> date:
    """A day of the box's own month, beside whose name a date needs no year."""
    return date(int(box[:4]), int(box[5:7]), 1)


def no_such_year(year: int, years: Iterable[int]) -> str:
    """Say that nothing is planned for a year, and for which years something is."""
    known = listed([str(one) for one in years])
    return f"No box is planned for {year}." + (f" The plan has boxes of {known}." if known else "")

"""Answers about the plan: what is due, what is late, how a box is, the year, when, why.

Knows: which deadlines, boxes and items a question is about. Must not know: how an answer is
written (replies/answers) or how a date is worked back (planning). Invariants: an answer changes
nothing but the talk, so that "done 1" and "it" mean what was shown last.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from decimal import Decimal
from itertools import islice

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import chains, dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.chance import chance_line
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.handle.rescue import at_risk_of, tightest, ways_out_button
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import answers as say
from assistant.conversation.replies import contents as say_contents
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import (
    HowIs,
    ShowYear,
    WhatIsDue,
    WhatIsLate,
)
from assistant.conversation.sentences.contents import what_is_missing
from assistant.conversation.sentences.rescue import rescue_box
from assistant.planning.calendars import calendars
from assistant.planning.changes import find, profile_of
from assistant.planning.crew import others
from assistant.planning.deadlines import Deadline, deadlines, ship_date
from assistant.planning.model import Box, Item, Person, Shop, Talk
from assistant.planning.year.contents import contents

SHOWN = 8  # lines of a list on one screen
TOUCHED = 3  # of a list, how many have buttons of their own
PUT_OFF_DAYS = 3
RESCUED = 2  # late things for which it is said at once what can still be done
YEAR_BOXES = 12

# How far an item is: the last of these stages that is done, and the word for it.
STATES = (
    ("stock", "in hand"),
    ("dispatch", "on its way"),
    ("order", "ordered"),
    ("source", "settled"),
)
OPEN = "open"
SHIPPED = "shipped"


def what_is_due(shop: Shop, request: WhatIsDue, asked: Asked) -> Outcome:
    """List what is open up to a day, late things first, a screen at a time."""
    until = request.until or asked.today + timedelta(shop.house.horizon_days)
    every = [d for d in dates.todo(shop, asked.today) if d.on <= until]
    open_ones = [d for d in every if request.since is None or d.on >= request.since]
    waiting = [d for d in open_ones if d.until is not None and d.until > asked.today]
    due = [d for d in open_ones if d not in waiting]
    earlier = say.earlier(len(every) - len(open_ones), sum(d.late for d in every))
    if not due:
        nothing = say.nothing_due(until, asked.today, request.since)
        return _nothing(shop, asked, f"{nothing}\n{earlier}".strip(), len(waiting))
    first, last = _screen(request.start, len(due))
    whose = others(shop, asked.person.id)
    listed = due_lines(due, asked.today, SHOWN, first, whose)
    lines = (*listed, say.put_off(len(waiting)), earlier)
    more = _more(last, len(due), sentences.what_is_due(request.until, request.since))
    rehearse = () if more else (Button("Rehearse the year", sentences.rehearse()),)
    buttons = (*touches(shop, due, first), *more, *rehearse)
    talk = shown(shop, asked.talk, due[:last], more)
    title = say.due_by(until, asked.today, request.since)
    return answer(asked, lines, buttons, title=title, talk=talk)


def what_is_late(shop: Shop, request: WhatIsLate, asked: Asked) -> Outcome:
    """List what is open and past, a screen at a time; what is put off is late all the same."""
    today = asked.today
    late = [d for d in dates.todo(shop, today) if d.late]
    if not late:
        return _nothing(shop, asked, say.NOTHING_LATE, 0)
    first, last = _screen(request.start, len(late))
    lines = say.numbered((("", late),), SHOWN, today, first, others(shop, asked.person.id))
    items = dict.fromkeys(d.item for d in late[first - 1 : last] if d.item)
    said = ((one, dates.rescue_lines(shop, one, today, named=True)) for one in items)
    rescues = dict(islice(((one, found) for one, found in said if found), RESCUED))
    told = (line for found in rescues.values() for line in found)
    moved = (dates.rescue_button(shop, one, today, named=True) for one in rescues)
    ways_out = (ways_out_button(shop, one) for one in rescues)
    more = _more(last, len(late), sentences.what_is_late())
    talk = shown(shop, asked.talk, late[:last], more)
    buttons = (*touches(shop, late, first), *more, *filter(None, moved), *ways_out)
    return answer(asked, (*lines, *told), buttons, title=say.LATE, talk=talk)


def _screen(start: int, length: int) -> tuple[int, int]:
    """The places of the first and the last line that one screen of a list shows."""
    first = min(start, length)
    return first, min(first - 1 + SHOWN, length)


def _more(last: int, length: int, asked: str) -> tuple[Button, ...]:
    """The button that shows where a list goes on."""
    return (Button("More", sentences.further(last + 1, asked)),) if last < length else ()


def shown(shop: Shop, talk: Talk, due: Iterable[Deadline], more: Iterable[Button] = ()) -> Talk:
    """The talk once it showed these, numbered: "done 1" is said of the first, "1" alone asks for
    its date, or for the chain of a box, and what follows the last number for `more` of them."""
    found = tuple(due)
    options = tuple(
        sentences.when(shop, one.item, one.stage)
        if one.item
        else sentences.why(shop, box=one.box, stage=one.stage)
        for one in found
    )
    options = (*options, *(button.says for button in more))
    return replace(talk, deadlines=tuple(one.key for one in found), options=options)


def due_lines(
    due: Sequence[Deadline],
    today: date,
    most: int,
    start: int = 1,
    whose: Mapping[str, Person] | None = None,
) -> tuple[str, ...]:
    """Write a list of deadlines under its headings: late, today, ahead; `whose` is who alone is
    nudged, by deadline key."""
    late = [d for d in due if d.late]
    now = [d for d in due if not d.late and d.on <= today]
    ahead = [d for d in due if not d.late and d.on > today]
    headings = say.sections(len(late), len(now), len(ahead))
    parts = tuple(zip(headings, (late, now, ahead), strict=True))
    return say.numbered(parts, most, today, start, whose)


def touches(shop: Shop, due: Sequence[Deadline], start: int = 1) -> tuple[Button, ...]:
    """The buttons of the first few of a list, from the place `start` on."""
    buttons: list[Button] = []
    for number, deadline in enumerate(due[start - 1 : start - 1 + TOUCHED], start):
        buttons.append(Button(f"Done {number}", sentences.done(shop, deadline.key)))
        off = sentences.put_off(shop, deadline.key, PUT_OFF_DAYS)
        buttons.append(Button(f"Put off {number}", off))
    return tuple(buttons)


def _nothing(shop: Shop, asked: Asked, text: str, waiting: int) -> Outcome:
    """An answer where there is nothing to list: what comes next, or how to begin."""
    if not shop.boxes:
        return answer(asked, (say.NO_PLAN,))
    coming = [d for d in dates.todo(shop, asked.today) if d.on >= asked.today]
    following = say_dates.next_due(coming[0], asked.today) if coming else ""
    talk = about(asked, deadlines=[d.key for d in coming[:1]])
    year = Button("The year", sentences.show_year())
    return answer(asked, (text, following, say.put_off(waiting)), (year,), talk=talk)


# --- one box --------------------------------------------------------------------------------


def how_is(shop: Shop, request: HowIs, asked: Asked) -> Outcome:
    """The state of one box: ship date, items, cost, what is next, what is tightest."""
    box, today = find(shop.boxes, request.box), asked.today
    on = ship_date(shop, request.box, today)
    talk = about(asked, item="", box=request.box)
    if box is None:
        return _not_planned(shop, request.box, on, asked)
    coming = [d for d in dates.todo(shop, today) if d.box == box.id]
    inside = [item for item in shop.items if item.box == box.id]
    gone = dates.shipped(shop, box.id, today)
    following = _following(shop, today) if gone else None
    risk, bound = at_risk_of(shop, box.id, today), tightest(shop, box.id, today)
    agreed = bound != dates.tightest_of(shop, (box.id,), today)  # with a supplier, not on record
    goals = say_contents.in_short(contents(shop, box.id, today), profile_of(shop).currency)
    lines = (
        _ships(shop, box, on, today),
        *_next_lines(coming, today),
        bound,
        *_contents(shop, inside, today),
        "" if gone else goals,
        "" if gone or risk or agreed else chance_line(shop, box.id, today),
        say.next_box(following[1].id, following[1].theme, following[0], today) if following else "",
    )
    buttons = (
        *((_how_is(following[1], today),) if following else ()),
        *((Button("Ways out", rescue_box(box.id)),) if risk else ()),
        Button("What is due", sentences.what_is_due()),
        Button("Why", sentences.why(shop, box=box.id)),
        *((Button("What is missing", what_is_missing(box.id)),) if goals and not gone else ()),
        *(Button(say.done_with(d), sentences.done(shop, d.key)) for d in coming[:1]),
    )
    talk = about(asked, item="", box=box.id, deadlines=[d.key for d in coming[:1]])
    return answer(asked, lines, buttons, title=say.box_title(box.id, box.theme, today), talk=talk)


def _not_planned(shop: Shop, box: str, on: date | None, asked: Asked) -> Outcome:
    """Say that a box is not planned: the next one that ships, or how to begin."""
    today = asked.today
    talk = about(asked, item="", box=box)
    lines = [say.nothing_planned(box, on, today)]
    following = _following(shop, today)
    if following is None:
        return answer(asked, (*lines, say.begin_with(box, today)), talk=talk)
    ships, coming = following
    lines.append(say.next_box(coming.id, coming.theme, ships, today))
    buttons = (_how_is(coming, today), Button("The year", sentences.show_year()))
    return answer(asked, lines, buttons, talk=talk)


def _following(shop: Shop, today: date) -> tuple[date, Box] | None:
    """Return the next box to ship, with its day."""
    coming = (
        (ships, box)
        for box in shop.boxes
        if (ships := ship_date(shop, box.id, today)) and ships >= today
    )
    return min(coming, key=lambda pair: (pair[0], pair[1].id), default=None)


def _how_is(box: Box, today: date) -> Button:
    return Button(f"How is {box_name(box.id, today)}", sentences.how_is(box.id))


def _ships(shop: Shop, box: Box, on: date | None, today: date) -> str:
    gone = dates.shipped(shop, box.id, today)
    if gone:
        return say.shipped(gone, today)
    days = calendars(shop, today).shop.count(today, on) if on else 0
    return say.ships(on, days, today)


def _next_lines(coming: Sequence[Deadline], today: date) -> tuple[str, ...]:
    late = sum(d.late for d in coming)
    return (say.late_count(late), say_dates.next_due(coming[0], today)) if coming else ()


def in_short(shop: Shop, box: Box, today: date) -> tuple[str, str]:
    """A box in two lines: when it ships, and how far its items are."""
    inside = [item for item in shop.items if item.box == box.id]
    states = _states(shop, inside, today)
    return _ships(shop, box, ship_date(shop, box.id, today), today), say.states(_counts(states))


def _contents(shop: Shop, inside: Sequence[Item], today: date) -> tuple[str, ...]:
    """The items of a box: how far they are, what they cost, a line each; each with its state
    where they are not all alike."""
    states, currency = _states(shop, inside, today), profile_of(shop).currency
    own = states if len(set(states.values())) > 1 else {}
    rows = [(item, supplier_name(shop, item.supplier), own.get(item.id, "")) for item in inside]
    return (say.states(_counts(states)), _cost(shop, inside), *say.items(rows, currency))


def _states(shop: Shop, inside: Sequence[Item], today: date) -> dict[str, str]:
    """How far the items of one box are, by their ids."""
    if inside and dates.shipped(shop, inside[0].box, today):
        return {item.id: SHIPPED for item in inside}
    done = {(d.item, d.stage) for d in deadlines(shop, today) if d.state == "done"}
    return {item.id: how_far(item.id, done) for item in inside}


def _counts(states: Mapping[str, str]) -> dict[str, int]:
    counts = {SHIPPED: 0} | {word: 0 for _, word in STATES} | {OPEN: 0}
    for state in states.values():
        counts[state] += 1
    return counts


def how_far(item: str, done: set[tuple[str, str]]) -> str:
    """Say how far an item is, by the stages of it that are done: (item, stage)."""
    return next((word for stage, word in STATES if (item, stage) in done), OPEN)


def _cost(shop: Shop, inside: Sequence[Item]) -> str:
    """The sum of the unit costs that are in the shop's currency."""
    profile = profile_of(shop)
    known = [item for item in inside if item.unit_cost is not None]
    own = [item for item in known if item.currency in ("", profile.currency)]
    total = sum((item.unit_cost or Decimal(0) for item in own), Decimal(0))
    if not known:
        return ""
    without, foreign = len(inside) - len(known), len(known) - len(own)
    return say.cost(total, profile.currency, profile.price, without, foreign)


# --- the year -------------------------------------------------------------------------------


def show_year(shop: Shop, request: ShowYear, asked: Asked) -> Outcome:
    """The year plan, a line a box: of one year, or the next twelve boxes from this month on."""
    if not shop.boxes:
        return answer(asked, (say.NO_PLAN,))
    boxes = _boxes_of(shop, request.year, asked.today)
    if not boxes:
        years = sorted({int(box.id[:4]) for box in shop.boxes})
        text = say.no_such_year(request.year or asked.today.year, years)
        return answer(asked, (text,), (Button("The year", sentences.show_year()),))
    late = [d.box for d in dates.todo(shop, asked.today) if d.late]
    lines = [
        say.year_line(
            box.id,
            box.theme,
            ship_date(shop, box.id, asked.today),
            sum(item.box == box.id for item in shop.items),
            late.count(box.id),
            asked.today,
        )
        for box in boxes
    ]
    title = say.year_title(boxes[0].id, boxes[-1].id, asked.today)
    buttons = (
        Button("What is due", sentences.what_is_due()),
        Button("Rehearse the year", sentences.rehearse()),
    )
    return answer(asked, lines, buttons, title=title)


def _boxes_of(shop: Shop, year: int | None, today: date) -> list[Box]:
    boxes = sorted(shop.boxes, key=lambda box: box.id)
    if year is not None:
        return [box for box in boxes if box.id.startswith(f"{year:04}-")]
    coming = [box for box in boxes if box.id[:7] >= f"{today:%Y-%m}"]
    return coming[:YEAR_BOXES] or boxes[-YEAR_BOXES:]


HANDLERS: dict[type, Handler] = {
    WhatIsDue: what_is_due,
    WhatIsLate: what_is_late,
    HowIs: how_is,
    ShowYear: show_year,
    **chains.HANDLERS,
}

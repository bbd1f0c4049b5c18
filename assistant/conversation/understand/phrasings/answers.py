"""Ways to ask: what is due, how a box is, when a thing must be done and why then.

Knows: requests that change nothing. Must not know: how a line is matched. Invariant: every row
asks.
"""

from datetime import date

from assistant.conversation.requests import (
    HowIs,
    Rehearse,
    ShowHistory,
    ShowYear,
    WhatIsDue,
    WhatIsLate,
    When,
    Why,
)
from assistant.conversation.understand.boxes import read_box
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Phrasing
from assistant.conversation.understand.tasks import Task, task_of
from assistant.conversation.understand.unclear import Unclear


def _due(_c: Context, until: date | None = None) -> Built:
    return WhatIsDue(until)


def _how(_c: Context, box: str) -> Built:
    return HowIs(box)


def _month(said: str) -> Build:
    def build(c: Context) -> Built:
        box = read_box(said, c)
        return HowIs(box) if isinstance(box, str) else box

    return build


def _when(_c: Context, task: Task) -> Built:
    return When(task.stage, item=task.item, box=task.box)


def _when_item(_c: Context, item: str) -> Built:
    return When("order", item=item)


def _when_stage(stage: str) -> Build:
    def build(c: Context, what: str) -> Built:
        task = task_of(stage, what, c)
        if isinstance(task, Task):
            return When(stage, item=task.item, box=task.box)
        return task and task.said("when ")

    return build


def _why_that(c: Context) -> Built:
    if c.talk.item or c.talk.box:
        return Why(item=c.talk.item, box="" if c.talk.item else c.talk.box)
    if len(c.talk.deadlines) == 1:
        id, _, stage = c.talk.deadlines[0].rpartition("/")
        boxes = {box.id for box in c.shop.boxes}
        return Why(box=id, stage=stage) if id in boxes else Why(item=id, stage=stage)
    return Unclear("I do not know which date you mean; name an item or a month")


def _why_number(c: Context, n: int) -> Built:
    if not 1 <= n <= len(c.talk.deadlines):
        return Unclear(f"the last list has no {n}")
    id, _, stage = c.talk.deadlines[n - 1].rpartition("/")
    boxes = {box.id for box in c.shop.boxes}
    return Why(box=id, stage=stage) if id in boxes else Why(item=id, stage=stage)


def _why_task(_c: Context, task: Task) -> Built:
    return Why(item=task.item, box=task.box, stage=task.stage)


def _rehearse(_c: Context, first: date | None = None, last: date | None = None) -> Built:
    if first and last and last < first:
        return Unclear("it would end before it begins")
    return Rehearse(first, last)


def _year(_c: Context, year: int | None = None) -> Built:
    if year is not None and not 1990 <= year <= 2200:
        return Unclear(f"{year} is no year of a plan")
    return ShowYear(year)


def _ahead(by: int) -> Build:
    return lambda c: ShowYear(c.today.year + by)


def _row(
    name: str, says: str, build: Build, gist: str, example: str, half: bool = False
) -> Phrasing:
    return Phrasing(name, says, build, gist, example, asks=True, half=half)


_HOW, _WHEN, _WHY = "how a box is", "a question when", "a question why"
_ORDER = "when must I order the notebook"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "due then",
        """
        <what-is> [the things ](due|to do|coming up) {ahead:ahead}
        what (must|should|do) (i|we) [have to |need to ](do|order|buy|source|pay) {ahead:ahead}
        """,
        lambda _c, ahead: WhatIsDue(ahead.last, since=ahead.first),
        "what is due",
        "what is due in June",
    ),
    _row(
        "due",
        """
        <what-is> (due|to do|next|coming up|on the list)[ now| today| next]
        (due|to do|todo|deadlines|tasks|next|due now|what next|what now|agenda)
        (show|list|show me) [the |my ](deadlines|tasks)
        <what-is> [the next things ](due|to do|next|coming up) {until:until}
        (due|deadlines|tasks|to do) {until:until}
        what (must|should|do) (i|we) [have to |need to ]do[ next| now]
        what (do|must) (i|we) have to do[ next| now]
        what (must|should|do) (i|we) [have to |need to ](do|order|buy|source|pay) {until:until}
        """,
        _due,
        "what is due",
        "what is due",
    ),
    _row(
        "late",
        """
        <what-is> (late|overdue|missed|behind|running late)
        (are we|am i) (late|behind)[ with anything]
        (late|overdue|what did i miss|what have i missed|what have we missed)
        """,
        lambda _c: WhatIsLate(),
        "what is late",
        "what is late",
    ),
    _row(
        "this month",
        """
        (this month|the month|this box|status|how are we doing|how is it going|how's it going)
        <how-is> (this month|things|it looking|things looking)<going>
        """,
        _month("this month"),
        _HOW,
        "this month",
    ),
    _row(
        "next month",
        """
        next month
        <how-is> next month<going>
        """,
        _month("next month"),
        _HOW,
        "next month",
    ),
    _row(
        "next box",
        """
        [show ]the next box
        next box
        """,
        _month("next box"),
        _HOW,
        "the next box",
    ),
    _row(
        "how",
        """
        <how-is> {box:anymonth}<going>
        (show|show me|see|open|look at|tell me about|status of) {box:anymonth}
        (is|are|will) {box:anymonth}[ be] (late|on time|on track|in time|ready|ok|all right)
        (items in|items of|items for|what is in|what's in|whats in|contents of) {box:anymonth}
        """,
        _how,
        _HOW,
        "how is May",
    ),
    _row(
        "how is an item",
        """
        <how-is> {item:knownitem}<going>
        """,
        lambda _c, item: Why(item=item),
        "how an item is",
        "how is the notebook",
    ),
    _row(
        "items",
        """
        (items|contents|show items)
        """,
        lambda c: HowIs(c.talk.box or c.month),
        _HOW,
        "items",
    ),
    _row(
        "year",
        """
        (show|show me|see|the|list) [the |my |our ](year|year plan|plan|whole year|boxes)
        (year|plan|year plan|boxes|all boxes|my year|our year|the whole year|this year)
        (how is the year|what is the plan|what's the plan)[ looking]
        (show the year|the year|year|show|year plan|show year) {year:count}
        [the ]plan for {year:count}
        """,
        _year,
        "the year plan",
        "show the year",
    ),
    _row(
        "next year",
        """
        [show |how is ]next year
        """,
        _ahead(1),
        "the year plan",
        "next year",
    ),
    _row(
        "when",
        """
        <by-when><must> {task:task}[ to start| start| at the latest| by| due| be]
        <by-when><must> {task:task} (arrive|be done|go to print|be printed)
        """,
        _when,
        _WHEN,
        _ORDER,
    ),
    _row(
        "when in hand",
        """
        <by-when><does>[ the] {what:words} [need to |have to ]be (here|in hand|in stock|in)
        <by-when><does>[ the] {what:words} (arrive|come|get here|in hand|due in)
        """,
        _when_stage("stock"),
        _WHEN,
        "when must the notebook be here",
    ),
    _row(
        "when shipped",
        """
        <by-when><does>[ the] {what:words} (ship|go out|leave|shipping)
        """,
        _when_stage("ship"),
        _WHEN,
        "when does March ship",
    ),
    _row(
        "when ordered",
        """
        <by-when><does>[ the] {what:words} [need to |have to ]be (ordered|bought)
        """,
        _when_stage("order"),
        _WHEN,
        "when must the notebook be ordered",
    ),
    _row(
        "when packed",
        """
        <by-when><does>[ the] {what:words} [need to |have to ]be packed
        """,
        _when_stage("pack"),
        _WHEN,
        "when must March be packed",
    ),
    _row(
        "order date",
        """
        [the |what is the ](order|order-by|latest order|last order) (date|day) (of|for) {item:item}
        {item:knownitem} order[-by| by] (date|day)
        when (is|are) {item:knownitem}[ due]
        who (supplies|makes|sells|has) {item:knownitem}
        (is|are|will) {item:knownitem}[ be] (late|on time|on track|in time|ordered|ok)
        """,
        _when_item,
        _WHEN,
        "order date of the notebook",
    ),
    _row(
        "ship date",
        """
        [the |what is the ](ship date|shipping date|ship day) (of|for) {box:anybox}
        """,
        lambda _c, box: When("ship", box=box),
        _WHEN,
        "ship date of March",
    ),
    _row(
        "why that day",
        """
        why[ that| that day| that date| then| so early| is that| this day]
        (how so|how come)
        """,
        _why_that,
        _WHY,
        "why that day",
    ),
    _row(
        "why a box",
        """
        why {box:anymonth}
        why (does|is|do) {box:anybox} (ship|shipping|ships)[ then| on that day| that day]
        """,
        lambda _c, box: Why(box=box),
        _WHY,
        "why March",
    ),
    _row(
        "why a line",
        """
        why [number |no ]{n:count}
        """,
        _why_number,
        _WHY,
        "why 1",
    ),
    _row(
        "why a task",
        """
        why (do|must|should|shall) [i |we ][have to |need to ]{task:task}[ then| so early| by then]
        why [the ]{task:task}
        """,
        _why_task,
        _WHY,
        "why must I order the notebook then",
    ),
    _row(
        "why an item",
        """
        why (is|are|does) {item:knownitem} [ordered |due |needed ](so early|then|that early|so late)
        why (is|are) {item:knownitem} late
        why [that day for |that date for |so early for ]{item:item}
        """,
        lambda _c, item: Why(item=item),
        _WHY,
        "why the notebook",
    ),
    _row(
        "rehearse",
        """
        [a ](rehearse|rehearsal|rehearse it|rehearse all of it)
        rehearse (the|a|my|the whole) year
        [show me ]a year of nudges
        (rehearse|rehearse the year) from {first:coming} (to|until|till) {last:coming}
        (rehearse|rehearse the year) from {first:coming}
        (rehearse|rehearse the year) (until|till|to) {last:coming}
        """,
        _rehearse,
        "a rehearsal",
        "rehearse",
    ),
    _row(
        "history",
        """
        [show ][the ](history|latest changes|changes|log)
        (what changed|what has changed|what did i change)
        """,
        lambda _c: ShowHistory(),
        "the history",
        "history",
    ),
    _row(
        "month",
        """
        {box:anymonth}
        """,
        _how,
        _HOW,
        "May",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    _row(
        "how",
        """
        <how-is> {box:anybox}<going>
        """,
        _how,
        _HOW,
        "how is May",
        half=True,
    ),
)

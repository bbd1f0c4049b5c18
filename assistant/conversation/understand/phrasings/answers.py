"""Ways to ask: what is due, how a box is, when a thing must be done and why then.

Knows: requests that change nothing. Must not know: how a line is matched. Invariant: every row
asks.
"""

from datetime import date
from typing import Any

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
from assistant.conversation.understand.reading import Built, Phrasing
from assistant.conversation.understand.tasks import Task, task_of
from assistant.conversation.understand.unclear import Unclear


def _due(_c: Context, until: date | None = None) -> Built:
    return WhatIsDue(until)


def _how(_c: Context, box: str) -> Built:
    return HowIs(box)


def _month(said: str) -> Any:
    def build(c: Context) -> Built:
        box = read_box(said, c)
        return HowIs(box) if isinstance(box, str) else box

    return build


def _when(_c: Context, task: Task) -> Built:
    return When(task.stage, item=task.item, box=task.box)


def _when_item(_c: Context, item: str) -> Built:
    return When("order", item=item)


def _when_stage(stage: str) -> Any:
    def build(c: Context, what: str) -> Built:
        task = task_of(stage, what, c)
        return When(stage, item=task.item, box=task.box) if isinstance(task, Task) else task

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


def _ahead(by: int) -> Any:
    return lambda c: ShowYear(c.today.year + by)


def _row(name: str, pattern: str, build: Any, gist: str, example: str) -> Phrasing:
    return Phrasing(name, pattern, build, gist, example, asks=True)


_DUE, _HOW, _WHEN, _WHY = "what is due", "how a box is", "a question when", "a question why"
_MUST = "[ must| do| should| shall| can| need| have| does| is| will| would| are][ i| we| you| it][ need| have| got][ to][ the latest]"
_ORDER = "when must I order the notebook"

TABLE: tuple[Phrasing, ...] = (
    _row(
        "due",
        "(what is|what's|whats|what are|what do i have|what have i got|what will be|anything|is anything|show me what is|show what is|what is there) (due|to do|next|coming up|on the list)[ now| today| next]",
        _due,
        _DUE,
        "what is due",
    ),
    _row(
        "due",
        "(due|to do|todo|deadlines|tasks|next|due now|show deadlines|list deadlines|what next|what now|agenda)",
        _due,
        _DUE,
        "due",
    ),
    _row(
        "due",
        "(what is|what's|whats|what are|what will be|anything) [the next things ](due|to do|next|coming up) {until:until}",
        _due,
        _DUE,
        "what is due by Friday",
    ),
    _row("due", "(due|deadlines|tasks|to do) {until:until}", _due, _DUE, "due this week"),
    _row(
        "due",
        "what (must|should|do) (i|we) [have to |need to ]do[ next| now]",
        _due,
        _DUE,
        "what must I do next",
    ),
    _row(
        "due",
        "what (must|should|do) (i|we) [have to |need to ]do {until:until}",
        _due,
        _DUE,
        "what must I do this week",
    ),
    _row(
        "late",
        "(what is|what's|whats|anything|is anything|show what is|are we|am i|what have i|what is running|who is) (late|overdue|missed|behind)",
        lambda _c: WhatIsLate(),
        "what is late",
        "what is late",
    ),
    _row(
        "late",
        "(late|overdue|what did i miss|what have i missed)",
        lambda _c: WhatIsLate(),
        "what is late",
        "late",
    ),
    _row(
        "this month",
        "(this month|the month|this box|status|how are we doing|how is it going|how is it looking|how's it going|how are things|how is this month|how's this month)",
        _month("this month"),
        _HOW,
        "this month",
    ),
    _row(
        "next month",
        "(next month|how is next month|how's next month)[ looking| doing| going]",
        _month("next month"),
        _HOW,
        "next month",
    ),
    _row("next box", "[show ]the next box", _month("next box"), _HOW, "the next box"),
    _row(
        "how",
        "(how is|how's|hows|how are|how does|how about|what about|how will) {box:anymonth}[ look| looking| doing| going| coming on| coming along| coming| getting on| shaping up| be]",
        _how,
        _HOW,
        "how is May",
    ),
    _row(
        "how",
        "(show|show me|see|open|look at|tell me about|status of|items in|items of|items for|what is in|what's in|whats in|contents of|what have we got for) {box:anymonth}",
        _how,
        _HOW,
        "show May",
    ),
    _row(
        "why item",
        "(how is|how's|what about|how are) {item:knownitem}[ doing| looking| coming on| coming along]",
        lambda _c, item: Why(item=item),
        "how an item is",
        "how is the notebook",
    ),
    _row(
        "items",
        "(items|contents|show items)",
        lambda c: HowIs(c.talk.box or c.month),
        _HOW,
        "items",
    ),
    _row(
        "year",
        "(show|show me|see|the|list) [the |my |our ](year|year plan|plan|whole year|boxes)",
        _year,
        "the year plan",
        "show the year",
    ),
    _row(
        "year",
        "(year|plan|year plan|boxes|all boxes|my year|our year|the whole year|how is the year|this year|what is the plan|what's the plan)[ looking]",
        _year,
        "the year plan",
        "year plan",
    ),
    _row(
        "year",
        "(show the year|year|show|plan|year plan|plan for|the plan for|show year|the year) {year:count}",
        _year,
        "the year plan",
        "show the year 2028",
    ),
    _row("next year", "[show |how is ]next year", _ahead(1), "the year plan", "next year"),
    _row(
        "when",
        f"(when|by when|till when|until when|what day|which day){_MUST} {{task:task}}[ to start| start| at the latest| by| due| be]",
        _when,
        _WHEN,
        _ORDER,
    ),
    _row(
        "when",
        f"(when|by when|what day|which day){_MUST} {{task:task}} (arrive|due|be done)",
        _when,
        _WHEN,
        _ORDER,
    ),
    _row(
        "when",
        "(when|by when)[ does| do| will| must| should| shall][ the] {what:words} [need to ]be (here|in hand|in stock|in)",
        _when_stage("stock"),
        _WHEN,
        "when must the notebook be here",
    ),
    _row(
        "when",
        "(when|by when)[ does| do| will| must| should| is| are][ the] {what:words} (arrive|come|get here|in hand|due in)",
        _when_stage("stock"),
        _WHEN,
        "when does the notebook arrive",
    ),
    _row(
        "when",
        "(when|by when)[ does| do| will| must| should| is| are| must we| do we| do i][ the] {what:words} (ship|go out|leave|shipping)",
        _when_stage("ship"),
        _WHEN,
        "when does March ship",
    ),
    _row(
        "when",
        "(when|by when)[ must| should| do][ the] {what:words} [need to ]be (ordered|bought)",
        _when_stage("order"),
        _WHEN,
        "when must the notebook be ordered",
    ),
    _row(
        "when",
        "(when|by when)[ must| should| do][ the] {what:words} [need to ]be (packed)",
        _when_stage("pack"),
        _WHEN,
        "when must March be packed",
    ),
    _row(
        "when",
        "(order|order-by|latest order|last order) (date|day) (of|for) {item:item}",
        _when_item,
        _WHEN,
        "order date of the notebook",
    ),
    _row(
        "when",
        "{item:knownitem} order[-by| by] (date|day)",
        _when_item,
        _WHEN,
        "notebook order date",
    ),
    _row(
        "when",
        "when (is|are) {item:knownitem}[ due]",
        _when_item,
        _WHEN,
        "when is the notebook due",
    ),
    _row(
        "ship date",
        "[the |what is the ](ship date|shipping date|ship day) (of|for) {box:anybox}",
        lambda _c, box: When("ship", box=box),
        _WHEN,
        "ship date of March",
    ),
    _row(
        "why",
        "(why|why that|why that day|why that date|why then|why so early|how so|how come|why is that|why this day)",
        _why_that,
        _WHY,
        "why that day",
    ),
    _row("why", "why {box:anymonth}", lambda _c, box: Why(box=box), _WHY, "why March"),
    _row("why", "why [number |no ]{n:count}", _why_number, _WHY, "why 1"),
    _row(
        "why",
        "why (do|must|should|shall|does|is|are) [i |we ][have to |need to ]{task:task}[ then| so early| by then| that day]",
        _why_task,
        _WHY,
        "why must I order the notebook then",
    ),
    _row(
        "why",
        "why [that day for |that date for |so early for ]{item:knownitem}",
        lambda _c, item: Why(item=item),
        _WHY,
        "why the notebook",
    ),
    _row("why", "why [the ]{task:task}", _why_task, _WHY, "why order field notebook"),
    _row(
        "why",
        "why (is|are|does) {item:knownitem} [ordered ][so early|then|due then|needed then|that early]",
        lambda _c, item: Why(item=item),
        _WHY,
        "why is the notebook so early",
    ),
    _row(
        "why",
        "why (does|is|do) {box:anybox} (ship|shipping|ships)[ then| on that day| that day]",
        lambda _c, box: Why(box=box),
        _WHY,
        "why does March ship then",
    ),
    _row("why", "why {item:item}", lambda _c, item: Why(item=item), _WHY, "why the notebook"),
    _row(
        "rehearse",
        "(rehearse|rehearsal|rehearse the year|rehearse a year|a rehearsal|rehearse it|rehearse all of it|show me a year of nudges|a year of nudges)",
        _rehearse,
        "a rehearsal",
        "rehearse",
    ),
    _row(
        "rehearse",
        "rehearse [the year ]from {first:coming} (to|until|till) {last:coming}",
        _rehearse,
        "a rehearsal",
        "rehearse from 1 March to 1 June",
    ),
    _row(
        "rehearse",
        "rehearse [the year ](from) {first:coming}",
        _rehearse,
        "a rehearsal",
        "rehearse from 1 March",
    ),
    _row(
        "rehearse",
        "rehearse (until|till|to) {last:coming}",
        _rehearse,
        "a rehearsal",
        "rehearse until 1 June",
    ),
    _row(
        "history",
        "(history|what changed|what has changed|changes|show history|show the history|latest changes|the history|log)",
        lambda _c: ShowHistory(),
        "the history",
        "history",
    ),
    _row("month", "{box:anymonth}", _how, _HOW, "May"),
)
HALVES: tuple[Phrasing, ...] = (
    _row(
        "how",
        "(how is|how's|hows|how does) {box:anybox}[ look| looking| doing| going| coming on| coming along| coming| getting on| shaping up]",
        _how,
        _HOW,
        "how is May",
    ),
)

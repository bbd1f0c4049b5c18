"""The sitting: a theme for each box of a year, in any order; votes and school holidays beside it.

Knows: which box the sitting asks about next. Must not know: where prompts come from
(year/themes), how a theme is set (handle/plan). Invariants: the only memory of a sitting is the
box it asked about last (`Talk.sitting`), so that it can be left and gone on with at any time;
nothing here changes the plan but votes, school holidays and a theme that was said.
"""

from collections.abc import Sequence

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import plan
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, Outcome, Reply
from assistant.conversation.replies import ideas as say_ideas
from assistant.conversation.replies import sitting as say
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import Request, SetTheme, Undo, UseIdea
from assistant.conversation.sentences import sitting as says
from assistant.conversation.year_requests import (
    ForgetSchoolHolidays,
    LeaveSitting,
    PlanYear,
    SchoolHoliday,
    ShowPrompts,
    SkipBox,
    Vote,
    WhatIsOpen,
)
from assistant.planning.changes import find, place, profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Closure, Put, Shop, Talk
from assistant.planning.year import themes
from assistant.planning.year.recurring import type_called

SHOWN = 4  # prompts of one screen

# --- the course of the sitting --------------------------------------------------------------


def plan_year(shop: Shop, request: PlanYear, asked: Asked) -> Outcome:
    """Begin with the first open box of a year, or go on where the sitting stands."""
    here = asked.talk.sitting
    year = request.year or (int(here[:4]) if here else themes.sitting_year(shop, asked.today))
    boxes = themes.year_boxes(shop, year, asked.today)
    open_boxes = themes.open_boxes(shop, year, asked.today)
    if not open_boxes and not request.year and here:
        fresh = replace(asked, talk=replace(asked.talk, sitting=""))
        return plan_year(shop, request, fresh)
    if not open_boxes:
        return _nothing_to_ask(shop, year, boxes, asked)
    box = here if here in open_boxes and not request.year else open_boxes[0]
    title = say.of_year(year, len(boxes), len(open_boxes))
    return _ask(shop, box, asked, title=title)


def _nothing_to_ask(shop: Shop, year: int, boxes: Sequence[str], asked: Asked) -> Outcome:
    """Say that a year has its themes, or is over."""
    talk = replace(about(asked), sitting="")
    if year < asked.today.year or all(_refused(shop, box, asked) for box in boxes):
        coming = themes.sitting_year(shop, asked.today)
        text = say.over(year, coming if coming > year else asked.today.year + 1)
        return answer(asked, (text,), talk=talk)
    return answer(asked, (say.complete(year),), _after(year), talk=talk)


def _after(year: int) -> tuple[Button, ...]:
    """Where to go from a year that has its themes."""
    what = Button("What is open", says.open_boxes(year))
    return what, Button("The year", sentences.show_year())


def show_prompts(shop: Shop, request: ShowPrompts, asked: Asked) -> Outcome:
    """Ask for the theme of one box, from a place of its prompts on."""
    if refusal := _refused(shop, request.box, asked):
        return refusal
    title = box_name(request.box, asked.today)
    return _ask(shop, request.box, asked, title=title, named=True, start=request.start)


def skip(shop: Shop, request: SkipBox, asked: Asked) -> Outcome:
    """Go on to the next open box after one that stays as it is."""
    open_boxes = themes.open_boxes(shop, int(request.box[:4]), asked.today)
    return _go_on(
        shop, next((box for box in open_boxes if box > request.box), ""), open_boxes, asked
    )


def and_on(shop: Shop, requests: Sequence[Request], asked: Asked, outcome: Outcome) -> Outcome:
    """Return what follows from a message with the sitting's next question behind it, where the
    sitting is going and a theme was set last, or taken back; `shop` is the shop as it is then."""
    talk = find(shop.talks, asked.talk.id) or asked.talk
    if not (talk.sitting and (outcome.changes or outcome.stands or len(requests) > 1)):
        return outcome
    open_boxes = themes.open_boxes(shop, int(talk.sitting[:4]), asked.today)
    box = _asked_next(requests, outcome, talk.sitting, open_boxes)
    if box is None:
        return outcome
    further = _go_on(shop, box, open_boxes, replace(asked, talk=replace(talk, options=())))
    return replace(
        outcome,
        replies=(*outcome.replies, *further.replies),
        notes=(*outcome.notes, *further.notes),
    )


def _asked_next(
    requests: Sequence[Request], outcome: Outcome, here: str, open_boxes: Sequence[str]
) -> str | None:
    """The box to ask about after a message, "" at the end of the year, None for no question."""
    if isinstance(requests[0], Undo):
        opened = {id for table, id in map(place, outcome.changes) if table == "boxes"}
        return next((box for box in open_boxes if box in opened), None)
    if not _sets_theme(requests[-1]):
        return None
    return next((box for box in open_boxes if box >= here), "")


def _sets_theme(request: Request) -> bool:
    return isinstance(request, SetTheme) or (isinstance(request, UseIdea) and request.as_theme)


def _go_on(shop: Shop, box: str, open_boxes: Sequence[str], asked: Asked) -> Outcome:
    """Ask for a box; "" is the end of the year, with what was left open on the way."""
    if box:
        title = say.next_box(box, len(open_boxes), asked.today)
        return _ask(shop, box, asked, title=title, named=True)
    talk = replace(about(asked), sitting="")
    year = _year(shop, asked)
    if not open_boxes:
        return answer(asked, (say.complete(year),), _after(year), talk=talk)
    first = open_boxes[0]
    back = Button(f"Back to {box_name(first, asked.today)}", says.prompts(first))
    buttons = (back, Button("What is open", says.open_boxes(year)))
    return answer(asked, (say.round_done(year, open_boxes, asked.today),), buttons, talk=talk)


def _year(shop: Shop, asked: Asked) -> int:
    """The year that is being planned in this chat."""
    here = asked.talk.sitting
    return int(here[:4]) if here else themes.sitting_year(shop, asked.today)


def _ask(
    shop: Shop, box: str, asked: Asked, *, title: str, named: bool = False, start: int = 1
) -> Outcome:
    """Ask for the theme of a box: its prompts by number, and what else can be done."""
    today = asked.today
    found = themes.prompts(shop, box, today)
    last = min(start - 1 + SHOWN, len(found))
    first = min(start - 1, last)
    kept = find(shop.boxes, box)
    lines = [say.asked(box, kept.theme if kept else "", ship_date(shop, box, today), named, today)]
    lines += [say.prompt(n, one) for n, one in enumerate(found[first:last], first + 1)]
    end = say.no_more_prompts(box, today) if found else say.NO_PROMPTS
    lines.append(say.HOW if first < last else end)
    more = last < len(found)
    talk = _asking(asked, box, found[:last], last + 1 if more else 0)
    takes = [Button(say.take(one), _says(box, one)) for one in found[first:last]]
    others = [
        Button("Skip", says.skip(box)),
        Button("What is open", says.open_boxes(int(box[:4]))),
        *((Button("More prompts", talk.options[-1]),) if more else ()),
    ]
    rows = (*in_rows(takes, 1), *in_rows(others, 3))
    reply = Reply(text="\n".join(lines), title=title, buttons=rows)
    return Outcome(replies=(reply,), notes=(Put(talk),))


def _asking(asked: Asked, box: str, shown: Sequence[themes.Prompt], further: int) -> Talk:
    """The talk once it asked for a box: "1" is the first prompt, "more" shows from `further` on."""
    options = [_says(box, one) for one in shown] or [says.skip(box)]
    if further:
        options.append(sentences.further(further, says.prompts(box)))
    return replace(about(asked, box=box, item=""), sitting=box, options=tuple(options))


def _says(box: str, one: themes.Prompt) -> str:
    return says.take_prompt(box, one.text, one.idea)


def _refused(shop: Shop, box: str, asked: Asked) -> Outcome | None:
    return plan.shipped_already(shop, asked, box)


def set_theme(shop: Shop, request: SetTheme, asked: Asked) -> Outcome:
    """Give a box its theme, and point out where it was had before; words that nobody called a
    theme can be made an idea again."""
    planned = plan.set_theme(shop, request, asked)
    if not planned.changes:
        return planned
    echoes = themes.echoes(shop, request.box, request.theme, asked.today)
    line = say.echo(echoes[0], asked.today) if echoes else ""
    first, *others = planned.replies
    rows, said = first.buttons, first.text.split("\n")
    if line and asked.talk.sitting:  # three months at once have to fit a phone
        said = said[:2]
    if request.taken_for_one:
        back = says.was_an_idea(shop.version + 1, request.theme)
        rows = (*rows, (Button("It was an idea", back),))
    text = "\n".join(part for part in (*said, line) if part)
    brief = " ".join(part for part in (planned.brief, line) if part)
    reply = replace(first, text=text, buttons=rows)
    return replace(planned, replies=(reply, *others), brief=brief)


def what_is_open(shop: Shop, request: WhatIsOpen, asked: Asked) -> Outcome:
    """List the boxes of a year that lack a theme, recurring types or items."""
    year, today = request.year or _year(shop, asked), asked.today
    boxes = [b for b in themes.year_boxes(shop, year, today) if not _refused(shop, b, asked)]
    if not boxes:
        return _nothing_to_ask(shop, year, boxes, asked)
    no_theme, wanted = themes.open_boxes(shop, year, today), profile_of(shop).items_a_box or 1
    lacks = (
        ("No theme", no_theme),
        ("No recurring types", [box for box in boxes if _lacks_types(shop, box)]),
        (say.too_few(wanted), [box for box in boxes if _items(shop, box) < wanted]),
    )
    lines = [say.lacks(what, which, len(boxes), today) for what, which in lacks]
    if not any(lines):
        return answer(asked, (say.nothing_open(year),), (_after(year)[1],))
    buttons = (Button("Carry on", says.plan_year(year)),) if no_theme else (_after(year)[1],)
    return answer(asked, lines, buttons, title=f"Open in {year}")


def _lacks_types(shop: Shop, box: str) -> bool:
    """Whether a shop with recurring types has none of them in a box."""
    inside = (item.type for item in shop.items if item.box == box and item.type)
    return bool(shop.types) and not any(type_called(shop.types, type) for type in inside)


def _items(shop: Shop, box: str) -> int:
    return sum(item.box == box for item in shop.items)


def leave(shop: Shop, request: LeaveSitting, asked: Asked) -> Outcome:
    """Stop here, saying what is open."""
    del request
    year = _year(shop, asked)
    open_boxes = themes.open_boxes(shop, year, asked.today)
    buttons = (
        (Button("Carry on", says.plan_year()), _after(year)[0]) if open_boxes else _after(year)
    )
    talk = replace(about(asked), sitting="")
    return answer(asked, say.left(year, open_boxes, asked.today), buttons, talk=talk)


# --- votes ----------------------------------------------------------------------------------


def vote(shop: Shop, request: Vote, asked: Asked) -> Outcome:
    """Count subscribers who ask for an idea."""
    idea = find(shop.ideas, request.idea)
    if idea is None:
        return answer(asked, (say_ideas.gone(),))
    new = replace(idea, votes=idea.votes + request.by)
    lines = (say.voted(new, request.by), say.voted_while(new, asked.today))
    back = Button("Bring it back", sentences.bring_back(idea.id))
    buttons = () if idea.state == "waiting" else (back,)
    talk = about(asked, item=idea.id)
    return changed(shop, asked, (Put(new),), lines, buttons, talk=talk)


# --- school holidays ------------------------------------------------------------------------


def school_holiday(shop: Shop, request: SchoolHoliday, asked: Asked) -> Outcome:
    """Know a school holiday, in place of those that it overlaps."""
    profile, new = profile_of(shop), request.closure
    if new in profile.school:
        return answer(asked, (say.school_stands(new, asked.today),), stands=True)
    gone = [one for one in profile.school if _overlap(one, new)]
    kept = (*(one for one in profile.school if one not in gone), new)
    school = tuple(sorted(kept, key=lambda one: (one.first or asked.today, one.reason)))
    change = Put(replace(profile, school=school))
    return changed(shop, asked, (change,), say.school(new, gone, asked.today))


def _overlap(one: Closure, other: Closure) -> bool:
    if not (one.first and one.last and other.first and other.last):
        return False
    return one.first <= other.last and other.first <= one.last


def forget_school(shop: Shop, request: ForgetSchoolHolidays, asked: Asked) -> Outcome:
    """Forget all school holidays."""
    del request
    profile = profile_of(shop)
    if not profile.school:
        return answer(asked, (say.NO_SCHOOL,), stands=True)
    change = Put(replace(profile, school=()))
    return changed(shop, asked, (change,), (say.school_forgotten(len(profile.school)),))


HANDLERS: dict[type, Handler] = {
    PlanYear: plan_year,
    ShowPrompts: show_prompts,
    SkipBox: skip,
    SetTheme: set_theme,
    WhatIsOpen: what_is_open,
    LeaveSitting: leave,
    Vote: vote,
    SchoolHoliday: school_holiday,
    ForgetSchoolHolidays: forget_school,
}
WRITES: frozenset[type] = frozenset({Vote, SchoolHoliday, ForgetSchoolHolidays})

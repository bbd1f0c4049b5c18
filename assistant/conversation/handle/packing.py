"""The packing run: whether it fits, what was chosen for it, the run sheet, what is packed.

Knows: which records a request changes and when it must be refused. Must not know: how days are
reckoned (month/packing), how a page is laid out (sheets/), materials (handle/materials).
Invariants: more boxes than there are, or boxes of no box in particular, are asked about and never
written; each way out is a whole sentence that does it; the bar of a day is one message that is
changed in place where a channel can.
"""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from decimal import Decimal
from itertools import islice
from typing import NamedTuple

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates, materials
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.handle.plan import shipped_already
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.month_requests import ChangeRun, Packed, RunSheet, ShowPacking
from assistant.conversation.replies import packing as say
from assistant.conversation.replies.plain import box_name
from assistant.conversation.sentences import packing as says
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Change, Put, Remove, Run, Shop, Talk
from assistant.planning.month.materials import coming, supplies
from assistant.planning.month.pace import zone_of
from assistant.planning.month.packing import PACK, Option, Packing, done_at, packing
from assistant.planning.month.placing import placed, scale
from assistant.planning.nudges import mark
from assistant.planning.shipping import shipped
from assistant.sheets import run_words
from assistant.sheets.blocks import paper_of
from assistant.sheets.lettering import lacks
from assistant.sheets.run_page import run_page
from assistant.sheets.writing import file_name

MOST_CREW = 100  # people of one run
LEAST_HOURS, MOST_HOURS = Decimal("0.5"), Decimal(16)  # of a day
SOON = timedelta(days=21)  # a run that begins within it may be the one that is counted
OFFERED = 3  # boxes, or ways out, that are offered
STEP = timedelta(minutes=5)  # to which a time of today is told


# --- shown ----------------------------------------------------------------------------------


def show(shop: Shop, request: ShowPacking, asked: Asked) -> Outcome:
    """Show whether the packing of a box fits, and what would make it fit."""
    if refusal := _refused(shop, request.box, asked):
        return refusal
    found = packing(shop, request.box, asked.today)
    title, lines = say.title(found.box, asked.today), say.run(found, asked.today)
    buttons = (*_ways(found, asked.today), *_pace(found), _sheet(found.box), _materials())
    return answer(
        asked,
        (*lines, *say.options(found, OFFERED, asked.today)),
        buttons,
        title=title,
        talk=_talk(found, asked),
    )


def _talk(found: Packing, asked: Asked) -> Talk:
    """The talk once a run was shown: "1" takes its first way out."""
    says_all = tuple(_says(found, one) for one in found.options[:OFFERED])
    return replace(about(asked, box=found.box, item=""), options=says_all)


def _refused(shop: Shop, box: str, asked: Asked) -> Outcome | None:
    """Refuse a box that has shipped or is not in the plan."""
    if refusal := shipped_already(shop, asked, box):
        return refusal
    if find(shop.boxes, box) is None:
        return answer(asked, (say.not_planned(box, asked.today),))
    return None


def _says(found: Packing, one: Option) -> str:
    """The sentence that takes a way out."""
    match one.way:
        case "earlier":
            return says.change_run(found.box, one.first)
        case "hours":
            return says.change_run(found.box, hours=one.hours)
        case "hands":
            return says.change_run(found.box, crew=one.crew)
        case "both":
            return says.change_run(found.box, one.first, one.crew)
        case _:
            on = one.ships or one.last
            if found.collection:
                return says.change_run(found.box, collection=on)
            return says.ship_on(found.box, on)


def _ways(found: Packing, today: date) -> Iterable[Button]:
    return (Button(say.label(one, today), _says(found, one)) for one in found.options[:OFFERED])


# --- a run changed --------------------------------------------------------------------------


def change(shop: Shop, request: ChangeRun, asked: Asked) -> Outcome:
    """Choose the first day, hands, hours or collection of a run, or leave them to the plan."""
    if refusal := _refused(shop, request.box, asked) or _odd(shop, request, asked):
        return refusal
    told = {f: v for f in FIELDS if (v := getattr(request, f)) is not None}
    old = find(shop.runs, request.box) or Run(request.box)
    new = replace(old, **dict.fromkeys(request.clear), **told)
    talk = about(asked, box=request.box, item="")
    if new == old:
        text = say.stands(request.box, asked.today)
        return answer(asked, (text,), (_show(request.box),), talk=talk, stands=True)
    keep = new != Run(request.box)
    changes: tuple[Change, ...] = (Put(new) if keep else Remove("runs", new.id),)
    after = apply(shop, changes)
    found = packing(after, request.box, asked.today)
    first = say.changed(new, old, asked.today)
    off = new.first is not None and new.first != old.first and _is_off(new.first, found)
    lines = (
        first,
        say.day_off(new.first, found.first, asked.today) if off and new.first else "",
        *islice(say.run(found, asked.today), 1, None),
    )
    moved = dates.moves(shop, after, asked.today, silent=True)
    lines = (*lines, *say.options(found, OFFERED, asked.today), *moved)
    buttons, talk = (*_ways(found, asked.today), _sheet(request.box)), _talk(found, asked)
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=(first,))


FIELDS = ("first", "crew", "hours", "collection")


def _is_off(on: date, found: Packing) -> bool:
    return found.first is not None and on not in {day.on for day in found.days} and found.first > on


def _odd(shop: Shop, request: ChangeRun, asked: Asked) -> Outcome | None:
    """Refuse hands, hours and days that cannot be meant."""
    text, today = "", asked.today
    if request.crew is not None and not 1 <= request.crew <= MOST_CREW:
        text = say.odd_crew(request.crew)
    elif request.hours is not None and not LEAST_HOURS <= request.hours <= MOST_HOURS:
        text = say.odd_hours(request.hours)
    elif past := [on for on in (request.first, request.collection) if on and on < today]:
        text = say.past(past[0], today)
    elif request.first is not None:
        found = packing(shop, request.box, today)
        until = request.collection or found.until
        late = until is not None and request.first >= until
        text = say.too_late(request.first, replace(found, until=until), today) if late else ""
    return answer(asked, (text,), (_show(request.box),)) if text else None


# --- counted --------------------------------------------------------------------------------


class Count(NamedTuple):
    """A count that can be written: the packing before it, and how many more it makes."""

    found: Packing
    more: int


def count(shop: Shop, request: Packed, asked: Asked) -> Outcome:
    """Count boxes that are packed, and say when the run will be done."""
    box = request.box or being_packed(shop, asked.today)
    if not box:
        return _which(shop, request, asked)
    if refusal := _refused(shop, box, asked):
        return refusal
    checked = _checked(shop, box, request, asked)
    if isinstance(checked, Outcome):
        return checked
    old, now = find(shop.runs, box) or Run(box), asked.moment.now
    run = Put(replace(old, packed=(*old.packed, (now, checked.more))))
    start = _start(shop, box, asked)
    after = apply(shop, (run, *start))
    found = packing(after, box, asked.today)
    first = say.counted(found, checked.more, asked.today)
    lines = (
        first,
        say.began(box, asked.today) if start else "",
        "" if found.left else _leftovers(shop, box, asked.today),
    )
    in_all = Button(f"{request.boxes:,} in all", says.packed(box, request.boxes, all=True))
    more = not request.all and checked.found.packed and request.boxes > checked.found.packed
    buttons = (*((in_all,) if more else ()), *_after(after, found))
    talk = about(asked, box=box, item="")
    outcome = changed(shop, asked, (run, *start), lines, buttons, talk=talk, brief=lines[:1])
    return replace(outcome, replies=(*outcome.replies, _bar(shop, found, asked)))


def _leftovers(shop: Shop, box: str, today: date) -> str:
    """How to keep what is left over, where anything was packed."""
    item = next((one for one in shop.items if one.box == box), None)
    return say.leftovers(item.name, box, today) if item else ""


def being_packed(shop: Shop, today: date) -> str:
    """Return the box that is being packed: the one counted last that is not done, else the next
    whose packing begins soon; "" where there is none."""
    begun = [
        run
        for run in shop.runs
        if run.packed and not shipped(shop, run.id, today) and packing(shop, run.id, today).left
    ]
    if begun:
        return max(begun, key=lambda run: run.packed[-1][0]).id
    soon = (one for one in coming(shop, today) if one.first and one.first <= today + SOON)
    return next((one.box for one in soon), "")


def _which(shop: Shop, request: Packed, asked: Asked) -> Outcome:
    """Ask which box was packed."""
    ahead = coming(shop, asked.today)[:OFFERED]
    if not ahead:
        return answer(asked, (say.NO_BOX_AHEAD,))
    buttons = tuple(
        Button(
            box_name(one.box, asked.today),
            says.packed(one.box, request.boxes, all=request.all),
        )
        for one in ahead
    )
    talk = replace(about(asked), options=tuple(button.says for button in buttons))
    return answer(asked, (say.which_box(request.boxes),), buttons, talk=talk)


def _checked(shop: Shop, box: str, request: Packed, asked: Asked) -> Count | Outcome:
    """A count that can be written; else what is said or asked instead."""
    found, today = packing(shop, box, asked.today), asked.today
    had, told = found.packed, request.boxes
    total = told if request.all else had + told
    if not found.boxes:
        return answer(asked, (say.nothing_to_pack(box, today),))
    if not told and not request.all:
        return answer(asked, (say.none(today, box),))
    if total > found.boxes:
        if not request.all and had < told <= found.boxes:
            in_all = Button(f"{told:,} in all", says.packed(box, told, all=True))
            talk = replace(about(asked, box=box), options=(in_all.says,))
            text = say.more_or_all(found, told, today)
            return answer(asked, (text,), (in_all, _show(box)), talk=talk)
        return answer(asked, (say.too_many(found, told, total, today),), (_show(box),))
    if total == had:
        return answer(asked, (say.already(found, today),), (_show(box),), stands=True)
    return Count(found, total - had)


def _start(shop: Shop, box: str, asked: Asked) -> tuple[Change, ...]:
    """The mark that packing has started, where it is still open."""
    key = f"{box}/{PACK}"
    open_yet = (found := deadline(shop, key, asked.today)) is not None and found.state == "open"
    return mark(shop, key, "done", asked.moment.now, asked.person.id) if open_yet else ()


def _bar(shop: Shop, found: Packing, asked: Asked) -> Reply:
    """The bar of today's packing, one message."""
    at = done_at(found, asked.moment.now, asked.today)
    local = _rounded(at.astimezone(zone_of(shop))) if at else None
    lines = say.progress(found, local, asked.today)
    return Reply(
        text="\n".join(lines),
        title=say.title(found.box, asked.today),
        buttons=in_rows((_show(found.box), _sheet(found.box))),
        live=f"packing/{found.box}/{asked.today}",
    )


def _rounded(at: datetime) -> datetime:
    """A time rounded up to whole steps."""
    midnight = at.replace(hour=0, minute=0, second=0, microsecond=0)
    return midnight + -((midnight - at) // STEP) * STEP


def _after(shop: Shop, found: Packing) -> Iterable[Button]:
    """The buttons under a count: what comes when all is packed."""
    key = f"{found.box}/ship"
    return () if found.left else (Button("It has shipped", sentences.done(shop, key)),)


# --- the run sheet --------------------------------------------------------------------------


def sheet(shop: Shop, request: RunSheet, asked: Asked) -> Outcome:
    """Show the run sheet of a box in short, or as a page to print."""
    if refusal := _refused(shop, request.box, asked):
        return refusal
    found = packing(shop, request.box, asked.today)
    title = say.sheet_title(request.box, asked.today)
    if request.page:
        return _page(shop, found, title, asked)
    pieces = placed(shop, request.box, found.boxes)
    short = tuple(
        f"{one.material.name} {run_words.number(use.short)}"
        for one in supplies(shop, asked.today)
        for use in one.uses
        if use.box == request.box and use.short
    )
    checks = tuple(run_words.checks(shop, request.box, asked.today))
    lines = say.sheet(found, pieces, scale(shop, pieces), checks, short, asked.today)
    page = Button("To print", says.run_sheet(request.box, page=True))
    talk = about(asked, box=request.box, item="")
    return answer(asked, lines, (page, _show(request.box), _materials()), title=title, talk=talk)


def _page(shop: Shop, found: Packing, title: str, asked: Asked) -> Outcome:
    facts = run_words.facts(shop, found, asked.today)
    profile = profile_of(shop)
    content = run_page(facts, paper_of(profile.country))
    what = f"run sheet {run_words.month(found.box)}"
    file = File(
        f"{asked.moment.ref}/run", file_name(profile.name, what, asked.today, "pdf"), content
    )
    lost = say.REPLACED if lacks(run_words.text(facts)) else ""
    reply = Reply(
        title=title,
        text="\n".join(filter(None, (say.TO_PRINT, lost))),
        buttons=in_rows((_show(found.box), _sheet(found.box))),
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


# --- buttons --------------------------------------------------------------------------------


def _show(box: str) -> Button:
    return Button("Packing", says.show_packing(box))


def _sheet(box: str) -> Button:
    return Button("Run sheet", says.run_sheet(box))


def _pace(found: Packing) -> Iterable[Button]:
    """Plan with the pace that runs show, where the plan goes by another."""
    shown = int(found.pace.shown or 0)
    if shown and (found.pace.known == "runs" or shown != int(found.pace.boxes)):
        yield Button(f"Plan with {shown} an hour", says.plan_with(shown))


def _materials() -> Button:
    return Button("Materials", says.materials())


HANDLERS: dict[type, Handler] = {
    ShowPacking: show,
    ChangeRun: change,
    Packed: count,
    RunSheet: sheet,
    **materials.HANDLERS,
}
WRITES: frozenset[type] = frozenset({ChangeRun, Packed}) | materials.WRITES

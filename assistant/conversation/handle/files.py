"""A file that comes in: a year is read, shown, brought in or left; a price list, see price_lists;
answers of a survey, see opinions.

Knows: drafts, and in which order a file is read (sheets) and laid over the plan (planning). Must
not know: formats, cells, how rows find their boxes. Invariants: a file changes nothing until its
draft is brought in; one draft a chat, the newest; what is brought in is worked out anew against
the plan as it is then; the same file twice changes nothing.
"""

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates, opinions, price_lists
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.cautions import for_many
from assistant.conversation.handle.outcomes import answer, changed, with_rest, without
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import dates as say_dates
from assistant.conversation.replies import files as say
from assistant.conversation.replies.plain import short
from assistant.conversation.requests import BringIn, LeaveOut
from assistant.conversation.year_requests import PriceListFrom
from assistant.planning import bringing_in
from assistant.planning.changes import apply, find
from assistant.planning.model import Draft, Put, Remove, Shop
from assistant.sheets.cells import Problem
from assistant.sheets.price_list import PriceList
from assistant.sheets.survey import Survey, read_table
from assistant.sheets.year_table import ReadYear

NAME = 100  # characters of a file's name that are kept


def read(shop: Shop, asked: Asked) -> Outcome:
    """Read the file that was heard and show what it would do; a file that is no table is
    answered in a sentence."""
    name, content = asked.heard.document_name, asked.moment.content
    if asked.heard.lost or content is None:
        return answer(asked, (say.LOST,))
    table = read_table(content, name)
    if isinstance(table, Problem):
        return answer(asked, (table.text,))
    if isinstance(table, PriceList):
        return price_lists.show(shop, table, asked)
    if isinstance(table, Survey):
        return opinions.show(shop, table, asked)
    return _show_year(shop, table, asked)


def _show_year(shop: Shop, year: ReadYear, asked: Asked) -> Outcome:
    """Show what a year would do to the plan."""
    name = asked.heard.document_name
    incoming = bringing_in.plan(shop, year.rows, asked.today, asked.moment.ref)
    lines = say.summary(incoming, len(year.rows), year.refused, year.notes, asked.today)
    rest = say.whole(incoming, year.refused, year.notes, asked.today)
    boxes = len({(row.year, row.month, row.letter) for row in year.rows})
    title = say.heading(name, boxes, sum(bool(row.item) for row in year.rows))
    if not incoming.changes:
        return with_rest(answer(asked, lines, title=title), title, rest, asked)
    draft = Draft(
        id=asked.heard.chat,
        name=short(name, NAME),
        at=asked.moment.now,
        rows=year.rows,
    )
    buttons = (
        Button("Bring it in", sentences.bring_in()),
        Button("Leave it", sentences.leave_out()),
    )
    shown = replace(answer(asked, lines, buttons, title=title), notes=(Put(draft),))
    return with_rest(shown, title, rest, asked)


def bring_in(shop: Shop, request: BringIn, asked: Asked) -> Outcome:
    """Lay the rows of the draft over the plan as it is now."""
    del request
    draft = find(shop.drafts, asked.heard.chat)
    if draft is None:
        return answer(asked, (say.NO_DRAFT,))
    if draft.offers:
        return price_lists.bring_in(shop, draft, asked)
    if draft.tallies:
        return opinions.bring_in(shop, draft, asked)
    gone = Remove("drafts", draft.id)
    incoming = bringing_in.plan(shop, draft.rows, asked.today, asked.moment.ref)
    if not incoming.changes:
        return without(answer(asked, (say.nothing_new(draft.name),), stands=True), gone)
    after = apply(shop, incoming.changes)
    goods = for_many(after, incoming.new_items, "plan", asked)
    lines = (
        say.brought_in(incoming),
        *(dates.moves(shop, after, asked.today) if incoming.altered or incoming.ships else ()),
        *_what_is_new(shop, after, asked),
        *goods.lines,
    )
    buttons = (Button("The year", sentences.show_year()), *dates.after_moves(after, asked.today))
    buttons = (*buttons, *goods.buttons)
    outcome = changed(shop, asked, incoming.changes, lines, buttons)
    return replace(without(outcome, gone), why=f"{draft.name} brought in")


def _what_is_new(before: Shop, after: Shop, asked: Asked) -> tuple[str, ...]:
    """Say how much of what came is late at once, what is due next, and what is tightest."""
    known = {one.key for one in dates.todo(before, asked.today)}
    every = dates.todo(after, asked.today)
    new = [one for one in every if one.key not in known]
    if not new:
        return ()
    late = sum(one.late for one in new)
    coming = next((one for one in every if not one.late), None)
    boxes = sorted({one.box for one in new})
    return (
        say.late_at_once(late),
        say_dates.next_due(coming, asked.today) if coming else "",
        dates.tightest_of(after, boxes, asked.today),
    )


def leave_out(shop: Shop, request: LeaveOut, asked: Asked) -> Outcome:
    """Forget the draft."""
    del request
    draft = find(shop.drafts, asked.heard.chat)
    if draft is None:
        return answer(asked, (say.NO_DRAFT,))
    return without(answer(asked, (say.left(draft.name),)), Remove("drafts", draft.id))


HANDLERS: dict[type, Handler] = {
    BringIn: bring_in,
    LeaveOut: leave_out,
    PriceListFrom: price_lists.is_from,
}

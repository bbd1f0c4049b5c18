"""What a box taught: looked back on, a supplier's record, a year's lessons, and what they mean for
the next plan.

Knows: which box, supplier or year a question is about. Must not know: how it is worked out
(month/lessons) or written (replies/learning). Invariants: a question changes nothing but what
was planned of a box that has gone out, which is kept as it was; a lesson is told beside what is
planned anew, and nothing is written because of it.
"""

from collections.abc import Iterable
from typing import Any

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import contents, leftovers, opinions, plan, spreading
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer, in_rows
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import (
    KeepLeftovers,
    LookBack,
    NoteOpinion,
    ShowLessons,
    ShowRecord,
    ShowStock,
    UseStock,
)
from assistant.conversation.replies import learning as say
from assistant.conversation.replies import leftovers as say_left
from assistant.conversation.replies import opinions as say_opinions
from assistant.conversation.replies import suppliers as say_suppliers
from assistant.conversation.replies.plan import lead as written_lead
from assistant.conversation.requests import AddItem, ItemFacts
from assistant.conversation.sentences import learning as says
from assistant.conversation.sentences.sitting import plan_year
from assistant.conversation.year_requests import AddOffer, UseSpread
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Change, Item, Put, Shop
from assistant.planning.month import leftovers as stock
from assistant.planning.month import lessons
from assistant.planning.month.opinions import of_type
from assistant.planning.month.sent import arrivals, sent_boxes
from assistant.planning.month.track import came, supplier_record

LAST = 3  # deliveries of a record that are told
TOLD = 3  # lessons that are told beside something new


# --- one box --------------------------------------------------------------------------------


def look_back(shop: Shop, request: LookBack, asked: Asked) -> Outcome:
    """Show a box that has gone out against its plan; what was planned is kept from then on."""
    box, today = request.box, asked.today
    found = lessons.look_back(shop, box, today)
    if found is None:
        return _not_yet(shop, box, asked)
    kept = () if find(shop.sent, box) == found.sent else (Put(found.sent),)
    if request.whole:
        outcome = _item_by_item(shop, box, asked)
        return replace(outcome, notes=(*outcome.notes, *kept))
    currency = profile_of(shop).currency
    late = lessons.days_late(shop, found.sent, today)
    sent = found.sent
    lines = (
        say.shipped(sent, late, today),
        say.boxes(found),
        say.cost(sent.cost, sent.planned_cost, currency) or say.no_cost(_unpriced(shop, box)),
        *say.came(found.came),
        say.packing(sent.hours, sent.boxes if found.counted else 0),
        say.left(found.left, box, today),
        say.said(found),
    )
    buttons = (
        Button("Item by item", says.look_back(box, whole=True)),
        Button(f"Lessons of {box[:4]}", says.lessons(int(box[:4]))),
    )
    talk = about(asked, item="", box=box)
    outcome = answer(asked, lines, buttons, title=say.title(box, today), talk=talk)
    return replace(outcome, notes=(*outcome.notes, *kept))


def _unpriced(shop: Shop, box: str) -> list[str]:
    """The items of a box whose price is not known, neither as planned nor as paid."""
    paid = {one.id for one in shop.purchases if one.price is not None}
    inside = (item for item in shop.items if item.box == box)
    return [item.name for item in inside if item.unit_cost is None and item.id not in paid]


def _not_yet(shop: Shop, box: str, asked: Asked) -> Outcome:
    """Say that a box has not gone out, and ask whether it has where its day is past."""
    planned, on = find(shop.boxes, box) is not None, ship_date(shop, box, asked.today)
    gone = Button("It has gone out", sentences.done(shop, f"{box}/ship"))
    past = planned and on is not None and on <= asked.today
    buttons = (gone,) if past else (plan.how_is(box, asked),) if planned else ()
    text = say.not_yet(box, on, planned, asked.today)
    return answer(asked, (text,), buttons, talk=about(asked, item="", box=box))


def _item_by_item(shop: Shop, box: str, asked: Asked) -> Outcome:
    """Every item of a box as planned and as it was."""
    known = {one.item: one for one in arrivals(shop, box)}
    inside = [item for item in shop.items if item.box == box]
    currency = profile_of(shop).currency
    lines = [
        say.item_line(i, find(shop.purchases, i.id), known.get(i.id), currency, asked.today)
        for i in inside[: say.SHOWN]
    ]
    lines.append(say.more_items(len(inside) - say.SHOWN))
    buttons = (Button("In short", says.look_back(box)),)
    talk = about(asked, item="", box=box)
    return answer(asked, lines, buttons, title=say.title(box, asked.today), talk=talk)


# --- a supplier -----------------------------------------------------------------------------


def show_record(shop: Shop, request: ShowRecord, asked: Asked) -> Outcome:
    """What a supplier promised and did."""
    supplier = find(shop.suppliers, request.supplier)
    if supplier is None:
        return answer(asked, (say.no_record(request.supplier),))
    show = Button(f"Show {supplier.name[:20]}", sentences.show_supplier(supplier.name))
    known = supplier_record(shop, supplier.id)
    if known is None:
        return answer(asked, (say.no_record(supplier.name),), (show,))
    real = lessons.real_lead(shop, supplier.id)
    own = [one for one in came(shop) if one.supplier == supplier.id][-LAST:]
    lead = real.lead if real else None
    differs = lead is not None and lead != supplier.lead
    lines = (
        *say_suppliers.record(known),
        say.real(real) if real else "",
        *(say.one_came(one, asked.today) for one in reversed(own)),
    )
    use = (
        (Button(f"Plan with {written_lead(lead)}", says.lead_of(supplier.name, lead)),)
        if lead and differs
        else ()
    )
    return answer(asked, lines, (*use, show), title=say.record_title(supplier.name))


# --- a year ---------------------------------------------------------------------------------


def show_lessons(shop: Shop, request: ShowLessons, asked: Asked) -> Outcome:
    """What the boxes of a year that have gone out taught."""
    year = request.year or lessons.latest_year(shop, asked.today)
    if year is None:
        return answer(asked, (say.nothing_yet(),))
    found = lessons.lessons(shop, year, asked.today)
    if not found.boxes:
        others = sorted({int(box[:4]) for box in sent_boxes(shop, asked.today)})
        if not others:
            return answer(asked, (say.nothing_yet(),))
        had = [Button(f"Lessons of {one}", says.lessons(one)) for one in others[-3:]]
        return answer(asked, (say.nothing_of(year, others),), had)
    leads = [
        say.lead_line(supplier_name(shop, one.supplier), one)
        for one in found.leads
        if one.lead is not None
    ][: say.NAMED]
    lines = say.lessons(found, profile_of(shop).currency, leads)
    newest = found.boxes[-1].id
    buttons = (
        Button(f"Plan {year + 1}", plan_year(year + 1)),
        Button("What is left over", says.show_stock()),
        Button("The last box", says.look_back(newest)),
    )
    kept = tuple(Put(one) for one in found.boxes if find(shop.sent, one.id) != one)
    outcome = answer(asked, lines, buttons, title=say.lessons_title(found))
    return replace(outcome, notes=(*outcome.notes, *kept))


# --- beside what is planned anew --------------------------------------------------------------


def with_lessons(handler: Handler) -> Handler:
    """Return a handler that tells beside the items it makes what was learnt of such: what is left
    over, whether it was loved, how long its supplier really takes."""

    def handled(shop: Shop, request: Any, asked: Asked) -> Outcome:
        outcome = handler(shop, request, asked)
        new = _new_items(shop, outcome.changes)
        if not new or not outcome.replies:
            return outcome
        after = apply(shop, outcome.changes)
        told = [_learnt(after, item, asked) for item in new]
        lines = [line for some, _ in told for line in some][:TOLD]
        if not lines:
            return outcome
        first, *others = outcome.replies
        buttons = [one for _, some in told for one in some][:TOLD]
        text = "\n".join((first.text, *lines))
        reply = replace(first, text=text, buttons=(*first.buttons, *in_rows(buttons)))
        brief = "\n".join((outcome.brief, *lines)) if outcome.brief else ""
        return replace(outcome, replies=(reply, *others), brief=brief)

    return handled


def _new_items(shop: Shop, changes: Iterable[Change]) -> list[Item]:
    known = {item.id for item in shop.items}
    put = (one.record for one in changes if isinstance(one, Put))
    return [one for one in put if isinstance(one, Item) and one.id not in known]


def _learnt(shop: Shop, item: Item, asked: Asked) -> tuple[list[str], list[Button]]:
    """What was learnt of things like an item, a line each, and what can be done about it."""
    lines, buttons = [], []
    for one in stock.fitting(shop, item)[:1]:
        lines.append(say_left.waiting(one, item, asked.today))
        use = says.use_stock(one.id, item.box)
        buttons.append(Button(f"Use the {one.pieces:,} left over", use))
    said = of_type(shop, item.type or item.name) or of_type(shop, item.name)
    if told := say_opinions.before(said):
        lines.append(told)
    real = lessons.real_lead(shop, item.supplier) if item.supplier and not item.lead else None
    if real is not None and real.lead is not None:
        supplier = find(shop.suppliers, item.supplier)
        if supplier is not None and supplier.lead != real.lead:
            lines.append(say.took(supplier.name, real))
            facts = ItemFacts(lead=real.lead)
            label = f"Plan with {written_lead(real.lead)}"
            buttons.append(Button(label, sentences.change_item(shop, item.id, facts)))
    return lines, buttons


HANDLERS: dict[type, Handler] = {
    LookBack: look_back,
    ShowRecord: show_record,
    KeepLeftovers: leftovers.keep,
    ShowStock: leftovers.show,
    UseStock: leftovers.use,
    NoteOpinion: opinions.note,
    ShowLessons: show_lessons,
    AddItem: with_lessons(plan.HANDLERS[AddItem]),
    AddOffer: with_lessons(contents.HANDLERS[AddOffer]),
    UseSpread: with_lessons(spreading.HANDLERS[UseSpread]),
}
WRITES: frozenset[type] = frozenset({KeepLeftovers, UseStock, NoteOpinion})

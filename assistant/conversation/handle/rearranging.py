"""Several items moved at once, and a supplier dropped everywhere.

Knows: which items and boxes a request is about and when it must be refused. Must not know: which
box suits an item (year/fitting), how a sentence is written. Invariants: what it does is shown
before it is done, but for one item that is not ordered; what is in boxes that shipped stays.
"""

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.handle.plan import how_is
from assistant.conversation.handle.previewing import as_done, effect_lines, preview
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import rearranging as say
from assistant.conversation.sentences.rearranging import drop_supplier as says_drop
from assistant.conversation.sentences.rearranging import move_items as says_move
from assistant.conversation.sentences.rearranging import or_months
from assistant.conversation.year_requests import DropSupplier, MoveToMonths
from assistant.planning.changes import apply, find
from assistant.planning.model import Item, Shop
from assistant.planning.shipping import is_ordered, shipped
from assistant.planning.year import fitting, rearranging

BUTTONS = 2  # boxes that are offered to be looked at


def move_to_months(shop: Shop, request: MoveToMonths, asked: Asked) -> Outcome:
    """Move items to the boxes of some months that suit them best."""
    items = [item for id in request.items if (item := find(shop.items, id))]
    if not items:
        return answer(asked, (say.all_gone(),), (_the_year(),))
    months = or_months(request.months)
    coming = [item for item in items if not shipped(shop, item.box, asked.today)]
    if not coming:
        return _all_sent(shop, items[0], asked)
    boxes = fitting.boxes_of(shop, request.months, asked.today)
    if not boxes:
        return answer(asked, (say.no_boxes(months),))
    away = [item for item in coming if item.box not in boxes]
    if not away:
        text = say.there_already(months)
        return answer(asked, (text,), (how_is(boxes[0], asked),), stands=True)
    fitted = fitting.fit(shop, away, boxes)
    if not fitted.places:
        return answer(asked, (say.no_room(away, months, asked.today),))
    return _moved(shop, request, fitted, asked)


def _moved(shop: Shop, request: MoveToMonths, fitted: fitting.Fit, asked: Asked) -> Outcome:
    places = dict(fitted.places)
    moving = [item for item in shop.items if item.id in places]
    left = [item for item in shop.items if item.id in fitted.left]
    changes = rearranging.move(shop, places)
    after = apply(shop, changes)
    months = or_months(request.months)
    where = say.places([(item, places[item.id]) for item in moving], asked.today)
    stay = say.stay(left, asked.today)
    what = say.move_several(len(moving), months)
    alone = len(request.items) == 1 and not is_ordered(shop, moving[0], asked.today)
    if not (request.sure or alone):
        says = says_move(request.items, request.months)
        return preview(shop, after, what, says, asked, (where, stay))
    boxes = tuple(sorted(set(places.values())))
    lines = (
        say.moved(where),
        stay,
        *effect_lines(shop, after, asked),
        dates.tightest_of(after, boxes, asked.today),
    )
    talk = about(asked, item=moving[0].id if len(moving) == 1 else "", box=boxes[0])
    buttons = [how_is(box, asked) for box in boxes[:BUTTONS]]
    outcome = changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:2])
    return as_done(outcome, what)


def drop_supplier(shop: Shop, request: DropSupplier, asked: Asked) -> Outcome:
    """Take every item of a supplier out of the boxes to come; the supplier stays known."""
    supplier = find(shop.suppliers, request.supplier)
    if supplier is None:
        return answer(asked, (say.all_gone(),), (_the_year(),))
    items = [item for item in shop.items if item.supplier == supplier.id]
    going = [item for item in items if not shipped(shop, item.box, asked.today)]
    sent = len(items) - len(going)
    if not going:
        text = say.supplies_nothing(supplier.name, sent)
        return answer(asked, (text,), (_the_year(),), stands=True)
    going.sort(key=lambda item: (item.box, item.name))
    changes = rearranging.drop(shop, (item.id for item in going))
    after = apply(shop, changes)
    what = say.drop_supplier(supplier.name)
    if not request.sure:
        lines = (say.supplier_drops(going, asked.today),)
        return preview(shop, after, what, says_drop(supplier.name), asked, lines)
    told = (
        say.supplier_dropped(going, supplier.name, asked.today),
        *effect_lines(shop, after, asked)[1:],
        say.supplier_stays(supplier.name, sent),
        *dates.box_lines(after, going[0].box, asked.today)[1:],
    )
    talk, buttons = about(asked, item="", box=going[0].box), (_the_year(),)
    return as_done(changed(shop, asked, changes, told, buttons, talk=talk, brief=told[:1]), what)


def _all_sent(shop: Shop, item: Item, asked: Asked) -> Outcome:
    on = shipped(shop, item.box, asked.today)
    return answer(asked, (say.all_sent(item, on or asked.today, asked.today),))


def _the_year() -> Button:
    return Button("The year", sentences.show_year())


HANDLERS: dict[type, Handler] = {MoveToMonths: move_to_months, DropSupplier: drop_supplier}
WRITES: frozenset[type] = frozenset({MoveToMonths, DropSupplier})

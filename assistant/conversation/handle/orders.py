"""Purchase orders: written, shown, changed, said to be sent, withdrawn.

Knows: which order a request is about and when it must be refused. Must not know: what goes on an
order (trade/orders), how a page is laid out (sheets/). Invariants: nothing is ever sent to a
supplier from here, she sends it; one order a supplier waits to be sent, and what is due later is
added to it; what she may do against a supplier's terms is done and said; each change is one commit
that can be taken back.
"""

from collections.abc import Iterable, Sequence
from datetime import date

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import dates
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.cautions import Said, for_many
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer, changed, in_rows
from assistant.conversation.messages import Button, File, Outcome, Reply
from assistant.conversation.order_requests import (
    DropOrder,
    ListOrders,
    OrderSent,
    ReviseOrder,
    ShowOrder,
    WriteOrder,
)
from assistant.conversation.replies import orders as say
from assistant.conversation.replies.plain import short
from assistant.conversation.sentences import orders as says
from assistant.conversation.sentences.rearranging import now
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Change, Item, Order, OrderLine, Put, Shop, Supplier
from assistant.planning.shipping import ORDER, is_ordered
from assistant.planning.trade import orders
from assistant.planning.trade.order_lots import lots_on
from assistant.planning.trade.order_remarks import remarks
from assistant.sheets import order_words
from assistant.sheets.lettering import lacks
from assistant.sheets.order_page import order_page, paper_of

LISTED = 8  # orders on one screen
TOUCHED = 4  # of a list, how many have buttons of their own
OFFERED = 4  # lines of an order that are offered
PASTED = 3000  # characters of a message; a longer text is sent as a file


# --- written --------------------------------------------------------------------------------


def write_order(shop: Shop, request: WriteOrder, asked: Asked) -> Outcome:
    """Write an order to a supplier, or add to the one that waits to be sent."""
    supplier, today = find(shop.suppliers, request.supplier), asked.today
    if supplier is None:
        return answer(asked, (say.NO_SUPPLIER,))
    items = [item for id in request.items if (item := find(shop.items, id)) is not None]
    if not request.sure and (refusal := _refused(shop, supplier, items, asked)):
        return refusal
    made = orders.draft(shop, supplier.id, [item.id for item in items], today)
    waiting = [one for one in orders.unsent(shop, supplier.id) if not one.revision]
    if waiting:
        return _added(shop, waiting[0], made, asked)
    if not made.lines:
        return _nothing(shop, supplier, items, asked)
    order = replace(made, id=orders.next_number(shop, today.year))
    order = replace(order, terms=order_words.terms(supplier))
    buttons = (*_forms(order), *_goods(shop, order, asked).buttons)
    outcome = changed(shop, asked, (Put(order),), _in_short(shop, order, asked), buttons)
    return _titled(outcome, say.title(order, supplier.name))


def _refused(shop: Shop, supplier: Supplier, items: Sequence[Item], asked: Asked) -> Outcome | None:
    """Refuse items of another supplier, and, unless she insists, what is ordered already."""
    for item in items:
        if item.supplier != supplier.id:
            theirs = supplier_name(shop, item.supplier)
            return answer(asked, (say.not_theirs(item.name, theirs, supplier.name),))
        held = orders.order_with(shop, item.id)
        if (held is not None and orders.went_out(held)) or is_ordered(shop, item, asked.today):
            insist = now(says.write_order(supplier.name, [item.id]))
            told = say.ordered_already(item.name, item.box, held, insist, asked.today)
            buttons = (Button("Order it again", insist), *([_show(held)] if held else []))
            return answer(asked, (told,), buttons)
    return None


def _added(shop: Shop, waiting: Order, made: Order, asked: Asked) -> Outcome:
    order = orders.extended(shop, waiting, made.lines, asked.today)
    title = say.title(order, supplier_name(shop, order.supplier))
    if order == waiting:
        stands = _as_sent(shop, order, asked.today)
        lines = (say.written_already(order), *_in_short(shop, stands, asked))
        return answer(asked, lines, _touches(order), title=title, stands=True)
    held = {line.item for line in waiting.lines}
    new = [line.name for line in order.lines if line.item not in held]
    lines = (say.added(order, new), *_in_short(shop, order, asked))
    buttons = (*_forms(order), *_goods(shop, order, asked).buttons)
    outcome = changed(shop, asked, (Put(order),), lines, buttons, brief=lines[:1])
    return _titled(outcome, title)


def _nothing(shop: Shop, supplier: Supplier, items: Sequence[Item], asked: Asked) -> Outcome:
    """Say why there is nothing to write, and what could be written instead."""
    if items:
        return answer(asked, [say.needs_none(item.name) for item in items])
    coming = orders.waiting(shop, supplier.id, asked.today)
    due = (deadline(shop, f"{item.id}/{ORDER}", asked.today) for item in coming)
    first = next((one for one in due if one is not None), None)
    every = Button("Orders", says.list_orders(supplier.name))
    early = says.write_order(supplier.name, [first.item]) if first else ""
    buttons = (Button("Order it now", early), every) if early else (every,)
    told = say.nothing_to_order(supplier.name, first, asked.today)
    return answer(asked, (told,), buttons)


def _in_short(shop: Shop, order: Order, asked: Asked) -> tuple[str, ...]:
    """The lines of an order, what it comes to, and what is to be known before it is sent."""
    today = asked.today
    return (
        *say.lines(order, today),
        say.in_hand(order, today),
        *(
            say.one_lot(one, profile_of(shop).currency, today)
            for one in lots_on(shop, order, today)
        ),
        *say.remarks(remarks(shop, order, today), order, today),
        *_goods(shop, order, asked).lines,
        say.how_to_send(order),
    )


def _goods(shop: Shop, order: Order, asked: Asked) -> Said:
    """What is to be checked of the goods on an order before they are ordered."""
    return for_many(shop, orders.items_of(shop, order).values(), "order", asked)


def _titled(outcome: Outcome, title: str) -> Outcome:
    first, *others = outcome.replies
    return replace(outcome, replies=(replace(first, title=title), *others))


# --- shown ----------------------------------------------------------------------------------


def show_order(shop: Shop, request: ShowOrder, asked: Asked) -> Outcome:
    """Show an order in short, as pages, or as text."""
    found = find(shop.orders, request.order)
    if found is None:
        return answer(asked, (say.GONE,), (_all(),))
    order = _as_sent(shop, found, asked.today)
    if request.form == "page":
        return _page(shop, order, asked)
    if request.form == "text":
        return _text(shop, order, asked)
    title = say.title(order, supplier_name(shop, order.supplier))
    if order.sent is None and not order.dropped:
        buttons = (*_touches(order), *_goods(shop, order, asked).buttons)
        return answer(asked, _in_short(shop, order, asked), buttons, title=title)
    state = say.state(order, asked.today)
    lines = (
        f"{state[:1].upper()}{state[1:]}",
        *say.lines(order, asked.today),
        say.in_hand(order, asked.today),
    )
    return answer(asked, lines, (*_forms(order), _all()), title=title)


def _as_sent(shop: Shop, order: Order, today: date) -> Order:
    """An order as it would go out today."""
    order = orders.current(shop, order, today)
    if order.sent is not None or order.dropped:
        return order
    return replace(order, terms=order_words.terms(find(shop.suppliers, order.supplier)))


def _page(shop: Shop, order: Order, asked: Asked) -> Outcome:
    facts = order_words.facts(shop, order)
    content = order_page(facts, paper_of(profile_of(shop).country))
    file = File(f"{asked.moment.ref}/order", order_words.file_name(facts, order, "pdf"), content)
    lost = say.REPLACED if lacks(order_words.text(facts)) else ""
    reply = Reply(
        title=say.title(order, supplier_name(shop, order.supplier)),
        text="\n".join(filter(None, (say.TO_PRINT, lost))),
        buttons=in_rows((_text_button(order), *_sent_button(order))),
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


def _text(shop: Shop, order: Order, asked: Asked) -> Outcome:
    """An order to be pasted: as a message, where it is not too long for one."""
    facts = order_words.facts(shop, order)
    text, title = order_words.text(facts), say.title(order, supplier_name(shop, order.supplier))
    buttons = in_rows((_page_button(order), *_sent_button(order)))
    if len(text) <= PASTED:
        pasted = Reply(text=text)
        return Outcome(replies=(pasted, Reply(text=say.TO_PASTE, buttons=buttons)))
    file = File(
        f"{asked.moment.ref}/order", order_words.file_name(facts, order, "txt"), text.encode()
    )
    reply = Reply(
        title=title,
        text=say.TO_PASTE,
        buttons=buttons,
        document=file.id,
        document_name=file.name,
    )
    return Outcome(replies=(reply,), files=(file,))


def list_orders(shop: Shop, request: ListOrders, asked: Asked) -> Outcome:
    """List the orders, the newest first."""
    supplier = supplier_name(shop, request.supplier)
    if not shop.orders:
        return answer(asked, (say.NO_ORDERS,))
    every = orders.newest_first(
        one for one in shop.orders if request.supplier in ("", one.supplier)
    )
    if not every:
        write = Button(f"Order for {short(supplier, 20)}", says.write_order(supplier))
        return answer(asked, (say.none_for(supplier),), (write, _all()))
    shown = every[:LISTED]
    lines = [say.row(one, supplier_name(shop, one.supplier), asked.today) for one in shown]
    buttons = (Button(one.id, says.show_order(one.id)) for one in shown[:TOUCHED])
    talk = replace(about(asked), options=tuple(says.show_order(one.id) for one in shown))
    lines.append(say.more(len(every) - len(shown)))
    return answer(asked, lines, buttons, title=say.list_title(supplier), talk=talk)


# --- changed --------------------------------------------------------------------------------


def revise_order(shop: Shop, request: ReviseOrder, asked: Asked) -> Outcome:
    """Change, add or take out one line; an order that was sent becomes its next revision."""
    order, today = _open(shop, request.order, asked), asked.today
    if isinstance(order, Outcome):
        return order
    new = orders.revised(shop, order, request.item, request.quantity, request.price, today)
    if new == order:
        return answer(asked, (say.as_it_stands(order),), _touches(order), stands=True)
    if not new.lines:
        drop = Button("Drop the order", says.drop_order(order.id))
        return answer(asked, (say.would_be_empty(order),), (drop,))
    new = replace(new, terms=order_words.terms(find(shop.suppliers, order.supplier)))
    old_line, new_line = (_line(one, request.item) for one in (order, new))
    off = (request.item,) if new_line is None and orders.went_out(order) else ()
    again = orders.reopened(shop, off, order.id, asked.moment.now, asked.person.id)
    lines = (
        *say.revised(new, old_line, new_line, order, today),
        _open_again(order, again),
        *say.remarks(replace(remarks(shop, new, today), no_address=False), new, today),
    )
    return changed(shop, asked, (Put(new), *again), lines, _touches(new), brief=lines[:1])


def _line(order: Order, item: str) -> OrderLine | None:
    return next((one for one in order.lines if one.item == item), None)


def _open(shop: Shop, number: str, asked: Asked) -> Order | Outcome:
    """An order that may be changed or sent; a refusal of one that is gone or withdrawn."""
    order = find(shop.orders, number)
    if order is None:
        return answer(asked, (say.GONE,), (_all(),))
    return answer(asked, (say.is_withdrawn(order),), (_all(),)) if order.dropped else order


def order_sent(shop: Shop, request: OrderSent, asked: Asked) -> Outcome:
    """Take down that she sent an order: its items are ordered."""
    found, today = _open(shop, request.order, asked), asked.today
    if isinstance(found, Outcome):
        return found
    if found.sent is not None:
        told = say.sent_already(found, today)
        return answer(asked, (told,), (*_forms(found), _all()), stands=True)
    on = request.on or today
    if on > today:
        return answer(asked, (say.in_the_future(on, today),))
    order = _as_sent(shop, found, today)
    changes = orders.sent(shop, order, on, asked.moment.now, asked.person.id)
    after = apply(shop, changes)
    gone = find(after.orders, order.id) or order
    lines = (
        *say.sent(gone, supplier_name(shop, order.supplier), today),
        dates.next_of_supplier(after, order.supplier, today),
        *_goods(shop, order, asked).lines,
    )
    buttons = (_page_button(order), Button("What is due", sentences.what_is_due()))
    only = order.lines[0].item if len(order.lines) == 1 else None  # "they say 12 January"
    talk = about(asked, item=only)
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:1])


def drop_order(shop: Shop, request: DropOrder, asked: Asked) -> Outcome:
    """Withdraw an order; what was ordered by it has to be ordered again."""
    order = find(shop.orders, request.order)
    if order is None:
        return answer(asked, (say.GONE,), (_all(),))
    if order.dropped:
        return answer(asked, (say.dropped_already(order),), (_all(),), stands=True)
    gone = Put(replace(order, dropped=True))
    off = [line.item for line in order.lines] if orders.went_out(order) else []
    again = orders.reopened(shop, off, order.id, asked.moment.now, asked.person.id)
    lines = (
        *say.dropped(order, supplier_name(shop, order.supplier), orders.went_out(order)),
        _open_again(order, again),
    )
    return changed(shop, asked, (gone, *again), lines, (_all(),), brief=lines[:1])


def _open_again(order: Order, changes: Iterable[Change]) -> str:
    """Say which items of an order have to be ordered again by these changes."""
    marks = {one.record.id for one in changes if isinstance(one, Put)}
    return say.open_again([one.name for one in order.lines if f"{one.item}/{ORDER}" in marks])


# --- buttons --------------------------------------------------------------------------------


def _all() -> Button:
    return Button("Orders", says.list_orders())


def _show(order: Order) -> Button:
    return Button(f"Order {order.id}", says.show_order(order.id))


def _page_button(order: Order) -> Button:
    return Button("As a page", says.show_order(order.id, "page"))


def _text_button(order: Order) -> Button:
    return Button("As text", says.show_order(order.id, "text"))


def _sent_button(order: Order) -> Iterable[Button]:
    waits = order.sent is None and not order.dropped
    return (Button("I sent it", says.order_sent(order.id)),) if waits else ()


def _forms(order: Order) -> tuple[Button, ...]:
    return (_page_button(order), _text_button(order), *_sent_button(order))


def _touches(order: Order) -> tuple[Button, ...]:
    return (*_forms(order), Button("Drop it", says.drop_order(order.id)))


HANDLERS: dict[type, Handler] = {
    WriteOrder: write_order,
    ShowOrder: show_order,
    ListOrders: list_orders,
    ReviseOrder: revise_order,
    OrderSent: order_sent,
    DropOrder: drop_order,
}
WRITES: frozenset[type] = frozenset({WriteOrder, ReviseOrder, OrderSent, DropOrder})

"""What is left over of boxes that went out: kept, listed, used again.

Knows: when leftovers must be refused. Must not know: what is left to order (numbers/quantity).
Invariants: only a box that has gone out leaves something over; no more is left than there was, no
more is used than is left; goods past their best-before date are not planned; what is used is taken
off in the same commit.
"""

from msgspec.structs import replace

from assistant.conversation.handle import dates, plan
from assistant.conversation.handle.amounts import reason
from assistant.conversation.handle.asked import Asked
from assistant.conversation.handle.outcomes import about, answer, changed, fresh_id
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import KeepLeftovers, ShowStock, UseStock
from assistant.conversation.replies import leftovers as say
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies.plain import box_name
from assistant.conversation.requests import ItemFacts
from assistant.conversation.sentences import change_item
from assistant.conversation.sentences import learning as says
from assistant.planning.changes import apply, find
from assistant.planning.deadlines import ship_date
from assistant.planning.model import Item, Put, Remove, Shop, Stock
from assistant.planning.month import leftovers
from assistant.planning.month.sent import sent_on
from assistant.planning.numbers.quantity import amount

TOUCHED = 3


def keep(shop: Shop, request: KeepLeftovers, asked: Asked) -> Outcome:
    """Keep what is left over of an item; none takes it off."""
    item, today = find(shop.items, request.item), asked.today
    if item is None:
        return plan.gone(asked)
    if refusal := _cannot_be_left(shop, item, request.pieces, asked):
        return refusal
    old, talk = find(shop.stock, item.id), about(asked, item=item.id, box=item.box)
    if not request.pieces:
        text = say.none_left(item, today)
        if old is None:
            return answer(asked, (text,), talk=talk, stands=True)
        return changed(shop, asked, (Remove("stock", item.id),), (text,), talk=talk)
    new = leftovers.kept(shop, item, request.pieces, today, request.best_before)
    lines = say.kept(new, old, today)
    if old and replace(old, on=today) == new:
        return answer(asked, lines, _uses(shop, new, asked), talk=talk, stands=True)
    coming = _who_could_use(shop, new, asked)
    fits = tuple(say.fits(one, today) for one in coming[:1])
    buttons = (*_uses(shop, new, asked), Button("All leftovers", says.show_stock()))
    return changed(shop, asked, (Put(new),), (*lines, *fits), buttons, talk=talk)


def _cannot_be_left(shop: Shop, item: Item, pieces: int, asked: Asked) -> Outcome | None:
    """The refusal of leftovers of a box that has not gone out, or of more than there was."""
    talk = about(asked, item=item.id, box=item.box)
    if sent_on(shop, item.box, asked.today) is None:
        on = ship_date(shop, item.box, asked.today)
        says_stock = change_item(shop, item.id, ItemFacts(stock=pieces))
        button = Button(f"{pieces:,} on hand", says_stock)
        text = say.not_sent(item, pieces, on, asked.today)
        return answer(asked, (text,), (button,) if pieces else (), talk=talk)
    came = leftovers.came_of(shop, item)
    if came is not None and pieces > came:
        return answer(asked, (say.more_than_came(item, pieces, came, asked.today),), talk=talk)
    return None


def _who_could_use(shop: Shop, stock: Stock, asked: Asked) -> list[Item]:
    """Items of boxes to come that are what is left over, by name or type, the next box first."""
    after = apply(shop, (Put(stock),))  # it may only be being kept
    fitting = (item for item in shop.items if stock in leftovers.fitting(after, item))
    coming = (item for item in fitting if sent_on(shop, item.box, asked.today) is None)
    return sorted(coming, key=lambda item: item.box)


def _uses(shop: Shop, stock: Stock, asked: Asked) -> tuple[Button, ...]:
    """The button that uses a leftover in the next box that has such an item."""
    coming = _who_could_use(shop, stock, asked)
    if not coming:
        return ()
    box = coming[0].box
    label = f"Use in {box_name(box, asked.today)}"
    return (Button(label, says.use_stock(stock.id, box)),)


def show(shop: Shop, request: ShowStock, asked: Asked) -> Outcome:
    """List what is left over."""
    del request
    every = leftovers.usable(shop)
    if not every:
        return answer(asked, (say.NOTHING,))
    shown = list(enumerate(every[: say.SHOWN], 1))
    lines = [say.line(n, one, asked.today) for n, one in shown]
    buttons = [
        replace(use, label=use.label.replace("Use", f"Use {n}", 1))
        for n, one in shown
        for use in _uses(shop, one, asked)
    ]
    end = (say.more(len(every) - say.SHOWN), say.HOW)
    return answer(asked, (*lines, *end), buttons[:TOUCHED], title=say.TITLE)


def use(shop: Shop, request: UseStock, asked: Asked) -> Outcome:
    """Use what is left over in a box: its item of that name needs so many fewer, or one is
    made."""
    stock, box, today = find(shop.stock, request.stock), request.box, asked.today
    if stock is None:
        return answer(asked, (say.GONE,))
    if on := sent_on(shop, box, today):
        planned = find(shop.boxes, box) is not None
        return answer(asked, (say_plan.over(box, on, planned, today),))
    if refusal := _cannot_use(shop, stock, request, asked):
        return refusal
    pieces = request.pieces or _enough(shop, stock, box, asked)
    item, changes = leftovers.use(shop, stock, box, pieces, fresh_id(shop, asked))
    after = apply(shop, changes)
    found = amount(after, item.id, today)
    lines = (
        say.used(stock, pieces, stock.pieces - pieces, item, today),
        reason(after, item, found) if found and found.expected else "",
        *dates.item_lines(after, item.id, today),
    )
    buttons = (plan.how_is(box, asked), Button("All leftovers", says.show_stock()))
    talk = about(asked, item=item.id, box=box)
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=lines[:1])


def _cannot_use(shop: Shop, stock: Stock, request: UseStock, asked: Asked) -> Outcome | None:
    """The refusal to use none, more than is left, or what will be past its day."""
    if request.pieces is not None and request.pieces < 1:
        return answer(asked, (say.no_pieces(),))
    if (request.pieces or 0) > stock.pieces:
        use_all = Button(f"Use {stock.pieces:,}", says.use_stock(stock.id, request.box))
        text = say.too_few(stock, request.pieces or 0, asked.today)
        return answer(asked, (text,), (use_all,))
    ships = ship_date(shop, request.box, asked.today)
    if stock.best_before and ships and stock.best_before < ships:
        text = say.past_best(stock, stock.best_before, request.box, ships, asked.today)
        return answer(asked, (text,))
    return None


def _enough(shop: Shop, stock: Stock, box: str, asked: Asked) -> int:
    """All that is left over, or as much as the box can use where that is less."""
    item = leftovers.used_by(shop, stock, box)
    found = amount(shop, item.id, asked.today) if item else None
    if found is None or not found.expected:
        return stock.pieces
    return max(1, min(stock.pieces, found.expected + found.safety - found.stock))

"""The life of an item until it comes: ordered, promised, dispatched, each by one sentence.

Knows: which records a step changes, when it must be asked about or refused. Must not know: how far
an item is (month/progress), how a sentence is written (replies/). Invariants: each step is one
commit, taken back as one; a number or day that does not agree with what is known is asked about,
never written; what is expected moves, the latest day does not.
"""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from msgspec.structs import replace

from assistant.conversation.handle import arriving, stories
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.cautions import Said, for_many
from assistant.conversation.handle.outcomes import answer
from assistant.conversation.handle.steps import Known, ask, ended, from_plan, known_of, marks
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import ItemDispatched, ItemOrdered, ItemPromised
from assistant.conversation.replies import nudging as say_nudging
from assistant.conversation.replies import receiving as say
from assistant.conversation.replies.plain import day, full_day
from assistant.conversation.sentences import receiving as says
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Change, Item, Purchase, Put, Shop
from assistant.planning.month.progress import DISPATCH, ORDER, STOCK
from assistant.planning.month.purchases import as_bought
from assistant.planning.numbers.quantity import amount

WRONG_YEAR = timedelta(days=183)  # a promise so long after the day of need is asked about
SAID: dict[type, Callable[[Shop, Any], str]] = {
    ItemOrdered: says.ordered,
    ItemPromised: says.promised,
    ItemDispatched: says.dispatched,
}


# --- ordered --------------------------------------------------------------------------------


def ordered(shop: Shop, request: ItemOrdered, asked: Asked) -> Outcome:
    """Keep what was agreed for an item, in the plan too where it differs, and mark it ordered."""
    known = known_of(shop, request.item, asked)
    if isinstance(known, Outcome):
        return known
    item, old, found = known
    on = request.on or asked.today
    if on > asked.today:
        return answer(asked, (say.not_yet(on, asked.today),))
    if request.quantity == 0:
        return answer(asked, (say.none_ordered(item),))
    if (refusal := _day_refused(shop, known, request, asked)) is not None:
        return refusal
    if not request.sure and (question := _more_or_all(shop, known, request, asked)) is not None:
        return question
    if found.is_ordered and request == ItemOrdered(item.id):
        return _stands(shop, known, asked)
    bought, new = _agreed(shop, known, request, asked)
    changes: list[Change] = [Put(one) for one, was in ((bought, old), (new, item)) if one != was]
    if not found.is_ordered:
        changes += marks(shop, item, ORDER, asked)
    elif found.is_in and (bought.quantity or 0) > found.came > 0:
        changes += marks(shop, item, STOCK, asked, done=False)
    if not changes:
        return _stands(shop, known, asked)
    lines = _order_lines(shop, known, request, bought, new, asked)
    check = Said() if found.is_ordered else for_many(shop, (new,), "order", asked)
    bare = say.ordered(new, replace(bought, price=None), "", asked.today)  # no money goes on
    every = (*lines, *check.lines)
    return ended(shop, asked, known, changes, every, check.buttons, passed_on=(bare,))


def _stands(shop: Shop, known: Known, asked: Asked) -> Outcome:
    """Say that an item was ordered before."""
    due = deadline(shop, f"{known.item.id}/{ORDER}", asked.today)
    told = say_nudging.already("done", [due] if due else [], asked.today)
    return answer(asked, (told or say.in_hand_already(known.item, asked.today),), stands=True)


def _agreed(shop: Shop, known: Known, request: ItemOrdered, asked: Asked) -> tuple[Purchase, Item]:
    """The purchase as it stands now, and the item as it was bought."""
    item, old, found = known
    own = profile_of(shop).currency
    supplier = find(shop.suppliers, item.supplier)
    usual = item.currency if item.unit_cost is not None else supplier.currency if supplier else ""
    currency = request.currency or usual or own
    quantity = request.quantity or (old.quantity if old else None) or item.quantity
    new = item
    if request.quantity is not None or request.price is not None:
        many = request.quantity if request.quantity is not None else item.quantity
        new = as_bought(shop, item, many, request.price, currency, quantity or 1)
    bought = old or Purchase(item.id)
    told = request.price is not None
    bought = replace(
        bought,
        quantity=quantity,
        price=request.price if told else bought.price,
        currency=currency if told else bought.currency,
        ordered=request.on or bought.ordered or (None if found.is_ordered else asked.today),
        reference=request.reference or bought.reference,
    )
    return _with_promise(bought, request.promised, asked), new


def _with_promise(bought: Purchase, promised: date | None, asked: Asked) -> Purchase:
    """A purchase with the day that was promised last, by whom it was told and when."""
    if promised is None or promised == bought.promised:
        return bought
    return replace(
        bought,
        promised=promised,
        first_promised=bought.first_promised or promised,
        said=asked.today,
        said_by=asked.person.id,
    )


def _order_lines(
    shop: Shop, known: Known, request: ItemOrdered, bought: Purchase, new: Item, asked: Asked
) -> tuple[str, ...]:
    """What is said of an order before what follows: in full where more was told than that it was
    placed."""
    own, due = profile_of(shop).currency, deadline(shop, f"{new.id}/{ORDER}", asked.today)
    if request == ItemOrdered(request.item) and due is not None:
        return (say_nudging.marked("Done", [due], asked.today),)
    need = amount(shop, new.id, asked.today)
    few = say.fewer(request.quantity, need.need) if request.quantity and need else ""
    return (
        say.ordered(new, bought, own, asked.today),
        say.planned(known.item, new, own, agreed=known.bought is not None),
        few,
    )


def _more_or_all(shop: Shop, known: Known, request: ItemOrdered, asked: Asked) -> Outcome | None:
    """Ask whether another number than the one that was agreed is all of it, or more."""
    before = known.bought.quantity if known.bought is not None else None
    if before is None or request.quantity in (None, before):
        return None
    more = request.quantity or 0
    ways = ((f"{more:,} in all", more), (f"{before + more:,} in all", before + more))
    offers = [
        Button(label, says.ordered(shop, replace(request, quantity=number, sure=True)))
        for label, number in ways
    ]
    return ask(asked, say.ordered_already(known.item, before, more, asked.today), offers)


# --- promised, dispatched -------------------------------------------------------------------


def promised(shop: Shop, request: ItemPromised, asked: Asked) -> Outcome:
    """Keep the day on which an item is to come: what is expected moves, the latest day stays."""
    known = known_of(shop, request.item, asked)
    if isinstance(known, Outcome):
        return known
    item, old, found = known
    if found.is_in:
        return answer(asked, (say.in_hand_already(item, asked.today),))
    on = request.promised
    if on is None:
        if found.promised is None:
            return answer(asked, (say.nothing_promised(item),))
        on = found.promised + timedelta(request.days)
        request = ItemPromised(item.id, on)
    if (refusal := _day_refused(shop, known, request, asked)) is not None:
        return refusal
    if not found.is_ordered:
        told = says.ordered(shop, ItemOrdered(item.id, promised=on))
        what = f"is to come {day(on, asked.today)}"
        return ask(asked, say.not_ordered(item, what, asked.today), (Button("Ordered", told),))
    bought = _with_promise(old or from_plan(item), on, asked)
    if bought == old:
        text = say.promised_already(item, on, asked.today)
        return answer(asked, (text, say.forecast(found, asked.today)), stands=True)
    return ended(shop, asked, known, (Put(bought),), (say.promised(item, on, asked.today),))


def _day_refused(
    shop: Shop,
    known: Known,
    request: ItemOrdered | ItemPromised | ItemDispatched,
    asked: Asked,
) -> Outcome | None:
    """Refuse a promised day that is past; ask about one that is long after the day of need."""
    on, latest, today = request.promised, known.found.latest, asked.today
    if on is None:
        return None
    if on < today:
        return answer(asked, (say.past(on, today),))
    if request.sure or latest is None or on - latest <= WRONG_YEAR:
        return None
    said = SAID[type(request)]
    before = on - timedelta(365)
    before = before if (before.month, before.day) == (on.month, on.day) else on - timedelta(366)
    days = [before] if before >= today else []
    offers = [
        Button(full_day(one), said(shop, replace(request, promised=one, sure=one == on)))
        for one in (*days, on)
    ]
    return ask(asked, say.which_year(on, latest, today), offers)


def dispatched(shop: Shop, request: ItemDispatched, asked: Asked) -> Outcome:
    """Keep that an item has left its supplier, and when it is to come where that was told."""
    known = known_of(shop, request.item, asked)
    if isinstance(known, Outcome):
        return known
    item, old, found = known
    on = request.on or asked.today
    if on > asked.today:
        return answer(asked, (say.not_yet(on, asked.today),))
    if found.is_in:
        return answer(asked, (say.in_hand_already(item, asked.today),), stands=True)
    if (refusal := _day_refused(shop, known, request, asked)) is not None:
        return refusal
    if not found.is_ordered and not request.sure:
        sure = says.dispatched(shop, replace(request, sure=True))
        text = say.not_ordered(item, "is on its way", asked.today)
        return ask(asked, text, (Button("It was", sure),))
    if old is not None and old.ordered is not None and on < old.ordered:
        if not request.sure:
            sure = says.dispatched(shop, replace(request, sure=True))
            text = say.before_order(item, "left", on, old.ordered, asked.today)
            return ask(asked, text, (Button("It did", sure),))
        old = replace(old, ordered=on)
    bought = old or from_plan(item)
    again = bought.dispatched is not None and request.on is None
    bought = replace(
        bought,
        dispatched=bought.dispatched if again else on,
        tracking=request.tracking or bought.tracking,
    )
    bought = _with_promise(bought, request.promised, asked)
    changes = list(marks(shop, item, DISPATCH, asked))
    if bought != known.bought:
        changes.append(Put(bought))
    if not changes:
        return answer(asked, (say.dispatched_already(item, asked.today),), stands=True)
    return ended(shop, asked, known, changes, (say.dispatched(item, bought, asked.today),))


HANDLERS: dict[type, Handler] = {
    ItemOrdered: ordered,
    ItemPromised: promised,
    ItemDispatched: dispatched,
    **arriving.HANDLERS,
    **stories.HANDLERS,
}
WRITES: frozenset[type] = frozenset({ItemOrdered, ItemPromised, ItemDispatched, *arriving.HANDLERS})

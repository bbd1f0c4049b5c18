"""The life of an item once it comes: arrived in parts, counted, checked.

Knows: which records a delivery changes, when it must be asked about or refused. Must not know: how
far an item is (month/progress), how a sentence is written (replies/). Invariants: a delivery has
the id of the message that told it, so that it is counted once; the stock deadline is done when all
that was ordered has come, and open while something is missing; more than was ordered, or what was
never ordered, is asked about.
"""

from collections.abc import Iterable

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.outcomes import answer
from assistant.conversation.handle.steps import Known, ask, ended, from_plan, known_of, marks
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.month_requests import ItemArrived, ItemChecked, ItemOrdered
from assistant.conversation.replies import receiving as say
from assistant.conversation.sentences import receiving as says
from assistant.planning.changes import apply, find
from assistant.planning.model import Change, Delivery, Put, Shop
from assistant.planning.month.progress import DISPATCH, STOCK, deliveries_of, progress


def arrived(shop: Shop, request: ItemArrived, asked: Asked) -> Outcome:
    """Count what came of an item; when all of it has come, it is in hand."""
    known = known_of(shop, request.item, asked)
    if isinstance(known, Outcome):
        return known
    if find(shop.deliveries, asked.moment.ref) is not None:
        text = say.arrived_already(known.item, known.found, asked.today)
        return answer(asked, (text,), stands=True)
    pieces = _pieces(known, request, _ordered(known, request))
    refusal = _refused(known, request, pieces, asked) or _asked(shop, known, request, pieces, asked)
    return refusal or _counted(shop, known, request, pieces, asked)


def _ordered(known: Known, request: ItemArrived) -> int | None:
    """How many were ordered: as told now, as agreed, else as the plan says."""
    return request.of or known.found.ordered or known.item.quantity


def _pieces(known: Known, request: ItemArrived, ordered: int | None) -> int | None:
    """How many came: as told, else all that were to come; None where that is not known."""
    if request.pieces is not None or ordered is None:
        return request.pieces
    return ordered - known.found.came - (request.missing or 0)


def _refused(
    known: Known, request: ItemArrived, pieces: int | None, asked: Asked
) -> Outcome | None:
    """Refuse what cannot be."""
    item, _, found = known
    on, today = request.on or asked.today, asked.today
    if on > today:
        return answer(asked, (say.not_yet(on, today),))
    if found.is_in and request == ItemArrived(item.id):
        return answer(asked, (say.arrived_already(item, found, today),), stands=True)
    if request.pieces == 0:
        return answer(asked, (say.none_came(item),))
    if request.of is not None and pieces is not None and pieces > request.of:
        return answer(asked, (say.more_than_of(pieces, request.of),))
    if request.missing and pieces is not None and pieces <= 0:
        rest = pieces + request.missing
        return answer(asked, (say.too_many_missing(request.missing, rest),))
    if request.damaged and pieces is not None and request.damaged > max(pieces, 0):
        return answer(asked, (say.too_many_damaged(request.damaged, max(pieces, 0)),))
    return None


def _asked(
    shop: Shop, known: Known, request: ItemArrived, pieces: int | None, asked: Asked
) -> Outcome | None:
    """Ask about what does not agree with what is known; nothing where it was asked already."""
    item, bought, found = known
    if request.sure:
        return None
    if not found.is_ordered:
        sure = Button("It was", _sure(shop, request))
        return ask(asked, say.not_ordered(item, "came", asked.today), (sure,))
    on = request.on or asked.today
    if bought is not None and bought.ordered is not None and on < bought.ordered:
        text = say.before_order(item, "came", on, bought.ordered, asked.today)
        return ask(asked, text, (Button("It did", _sure(shop, request)),))
    agreed = bought.quantity if bought is not None else None
    if agreed is not None and request.of not in (None, agreed):
        return _other_number(shop, known, request, agreed, asked)
    ordered = _ordered(known, request)
    if ordered is None or pieces is None:
        return None
    if pieces > ordered - found.came + _replaced(shop, known):
        return _more_came(shop, known, request, pieces, asked)
    return None


def _replaced(shop: Shop, known: Known) -> int:
    """Pieces that may come beyond the order: those that are claimed in place of damaged ones."""
    claim = find(shop.claims, known.item.id)
    return known.found.damaged if claim is not None and claim.settled is None else 0


def _sure(shop: Shop, request: ItemArrived) -> str:
    return says.arrived(shop, replace(request, sure=True))


def _other_number(
    shop: Shop, known: Known, request: ItemArrived, agreed: int, asked: Asked
) -> Outcome:
    """Ask which of two numbers was ordered."""
    of = request.of or 0
    order = says.ordered(shop, ItemOrdered(request.item, quantity=of, sure=True))
    came = says.arrived(shop, replace(request, of=of))
    offers = [Button(f"{of:,} were ordered", f"{order}; {came}")]
    if (request.pieces or 0) + known.found.came <= agreed:
        kept = says.arrived(shop, replace(request, of=agreed))
        offers.append(Button(f"{agreed:,} were ordered", kept))
    return ask(asked, say.other_number(known.item, agreed, of, asked.today), offers)


def _more_came(
    shop: Shop, known: Known, request: ItemArrived, pieces: int, asked: Asked
) -> Outcome:
    """Ask about more pieces than were ordered: so it is, or the number is that of all that came,
    or no more came than were ordered."""
    item, _, found = known
    ordered = _ordered(known, request) or 0
    offers = []
    rest = pieces - found.came
    if found.came and 0 < rest <= ordered - found.came:
        in_all = says.arrived(shop, replace(request, pieces=rest, of=None))
        offers.append(Button(f"{pieces:,} in all", in_all))
    told = replace(request, pieces=pieces, of=None)
    offers.append(Button(f"{found.came + pieces:,} came in all", _sure(shop, told)))
    return ask(asked, say.more_than(item, found, ordered, pieces, asked.today), offers)


def _counted(
    shop: Shop, known: Known, request: ItemArrived, pieces: int | None, asked: Asked
) -> Outcome:
    """Keep what came."""
    item, bought, found = known
    on, today = request.on or asked.today, asked.today
    ordered = _ordered(known, request)
    agreed = replace(bought or from_plan(item), quantity=ordered)
    if agreed.ordered is not None and on < agreed.ordered:
        agreed = replace(agreed, ordered=on)
    told = request.of is not None or bought is not None
    changes: list[Change] = [Put(agreed)] if told and agreed != bought else []
    if pieces is None or pieces <= 0:
        changes += marks(shop, item, STOCK, asked)
        return ended(shop, asked, known, changes, (_no_number(known, asked),))
    by, damaged = asked.person.id, request.damaged or 0
    new = Delivery(asked.moment.ref, item.id, on, pieces, damaged, request.note, by)
    changes.append(Put(new))
    whole = ordered is not None and found.came + pieces >= ordered
    changes += marks(shop, item, STOCK if whole else DISPATCH, asked)
    if found.is_in and not whole:
        changes += marks(shop, item, STOCK, asked, done=False)
    after = progress(apply(shop, changes), item.id, today)
    lines = (
        say.arrived(item, new, after, today),
        say.missing(after),
        say.enough(after, item, today),
        say.all_of_it(item) if ordered is None else "",
    )
    buttons = _after_count(shop, request, whole=whole)
    return ended(shop, asked, known, changes, lines, buttons)


def _no_number(known: Known, asked: Asked) -> str:
    if (known.found.ordered is None and not known.found.is_ordered) or not known.item.quantity:
        return say.uncounted(known.item, asked.today)
    return say.arrived_already(known.item, known.found, asked.today)


def _after_count(shop: Shop, request: ItemArrived, *, whole: bool) -> Iterable[Button]:
    """What may be said next: that nothing more is to come, or that what came was looked through."""
    if not whole:
        yield Button("That is all", sentences.done(shop, f"{request.item}/{STOCK}"))
    elif request.damaged is None:
        yield Button("Checked, all good", says.checked(shop, ItemChecked(request.item)))


# --- checked --------------------------------------------------------------------------------


def checked(shop: Shop, request: ItemChecked, asked: Asked) -> Outcome:
    """Keep that what came was looked through, and how many of it are unusable in all."""
    known = known_of(shop, request.item, asked)
    if isinstance(known, Outcome):
        return known
    item, bought, found = known
    today = asked.today
    if not found.came and not found.is_in:
        came = Button("It came", says.arrived(shop, ItemArrived(item.id)))
        return ask(asked, say.nothing_to_check(item, today), (came,))
    if request.damaged is not None and found.came and request.damaged > found.came:
        return answer(asked, (say.too_many_damaged(request.damaged, found.came),))
    changes: list[Change] = [*_unusable(shop, request, found.damaged)]
    if bought is not None and bought.checked and not changes:
        text = say.checked_already(item, bought.checked, today)
        return answer(asked, (text,), stands=True)
    good = replace(bought or from_plan(item), checked=today, checked_by=asked.person.id)
    changes.append(Put(good))
    after = progress(apply(shop, changes), item.id, today)
    lines = (
        say.checked(item, after, today),
        say.missing(after),
        say.enough(after, item, today) if after.came else "",
    )
    return ended(shop, asked, known, changes, lines)


def _unusable(shop: Shop, request: ItemChecked, before: int) -> Iterable[Change]:
    """Put on the deliveries, the last first, how many are unusable in all."""
    if request.damaged is None or request.damaged == before:
        return
    left = request.damaged
    for one in reversed(deliveries_of(shop, request.item)):
        here = min(one.pieces, left)
        left -= here
        if here != one.damaged:
            yield Put(replace(one, damaged=here, note=request.note or one.note))


HANDLERS: dict[type, Handler] = {ItemArrived: arrived, ItemChecked: checked}

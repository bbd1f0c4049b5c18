"""Quotes noted.

Knows: which offer a quote is kept as, what must be asked or refused. Must not know: how a quote is
worked out (planning/), how a sentence is written. Invariants: a quote in doubt of its currency, an
older one, or one that costs more in larger orders changes nothing; a supplier has one quote for the
same goods.
"""

from collections.abc import Sequence

from msgspec.structs import replace

from assistant.conversation.handle import plan
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import nearly, new_supplier, supplier_called, supplier_name
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import NoteQuote
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import quotes as say
from assistant.conversation.replies.plain import short
from assistant.conversation.sentences import bargaining as says
from assistant.planning.calendars import calendars
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Change, Item, Offer, Put, Shop
from assistant.planning.shipping import is_ordered
from assistant.planning.trade.comparing import quote
from assistant.planning.trade.quotes import (
    dearer,
    has_expired,
    kept_for,
    laid_over,
    quotes_for,
    take,
)

SHOWN = 3  # quotes of one comparison on a screen
LABEL = 20


# --- noted ----------------------------------------------------------------------------------


def note_quote(shop: Shop, request: NoteQuote, asked: Asked) -> Outcome:
    """Keep what a supplier quotes; a newer quote for the same goods takes the place of the old."""
    item = find(shop.items, request.item) if request.item else None
    if request.item and item is None:
        return plan.gone(asked)
    codes = _currencies(shop, request)
    if len(codes) > 1:
        return _ask_currency(shop, request, codes, asked)
    if wrong := dearer(request.price, request.breaks):
        code = codes[0] or profile_of(shop).currency
        return answer(asked, (say.dear_break(request.supplier, wrong, code),))
    changes, supplier = _supplier(shop, request, codes[0], asked)
    name = item.name if item else request.name
    kept = kept_for(shop, supplier, item, name)
    told = _told(request, item, supplier, codes[0], asked)
    what = say.goods(item, request.name, asked.today)
    if kept and kept.quoted and told.quoted and told.quoted < kept.quoted:
        text = say.newer(request.supplier, what, kept.quoted, asked.today)
        return answer(asked, (text,), compare_button(shop, item))
    new = laid_over(kept, told) if kept else replace(told, id=_new_id(shop, changes, asked))
    if new == kept:
        text = say.known(request.supplier, what)
        return answer(asked, (text,), compare_button(shop, item), stands=True)
    changes = (*changes, Put(new))
    return _noted(shop, changes, new, item, request, asked)


def _noted(
    shop: Shop,
    changes: tuple[Change, ...],
    offer: Offer,
    item: Item | None,
    request: NoteQuote,
    asked: Asked,
) -> Outcome:
    """Acknowledge a quote: what was kept, until when it holds, what it comes to."""
    after, currency = apply(shop, changes), profile_of(shop).currency
    name, what = supplier_name(after, offer.supplier), say.goods(item, request.name, asked.today)
    days = 0
    if offer.valid_until:
        days = calendars(after, asked.today).shop.count(asked.today, offer.valid_until)
    first = (
        say.noted(name, what, offer, currency),
        _new_supplier(shop, after, offer.supplier),
        "" if request.currency or not offer.currency else say.taken_as(offer.currency, name),
    )
    quoted = quote(after, item, offer, asked.today) if item else None
    lines = (
        *first,
        say.terms(offer, currency),
        say.holds(offer, days, asked.today),
        say.comes_to(quoted, currency, asked.today) if quoted and quoted.need else "",
    )
    buttons = (*compare_button(after, item), *take_button(after, offer, item, asked))
    talk = about(asked, item=item.id, box=item.box) if item else None
    return changed(shop, asked, changes, lines, buttons, talk=talk, brief=first)


def _told(
    request: NoteQuote, item: Item | None, supplier: str, currency: str, asked: Asked
) -> Offer:
    """The offer that a quote is."""
    return Offer(
        id="",
        supplier=supplier,
        name=item.name if item else request.name,
        type=item.type if item else "",
        price=request.price,
        currency=currency,
        minimum=request.minimum,
        case_pack=request.case_pack,
        quoted=request.quoted or asked.today,
        lead=request.lead,
        grams=request.grams,
        mm=request.mm,
        made_in=request.made_in,
        breaks=request.breaks,
        setup=request.setup,
        carriage=request.carriage,
        transit_days=request.transit_days,
        valid_until=request.valid_until,
        item=item.id if item else "",
    )


def _supplier(
    shop: Shop, request: NoteQuote, currency: str, asked: Asked
) -> tuple[tuple[Change, ...], str]:
    """The changes that make the supplier known, and its id; a new one is paid in the currency of
    its quote."""
    if known := supplier_called(shop, request.supplier):
        return (), known.id
    made = new_supplier(shop, asked, request.supplier, request.made_in)
    return (Put(replace(made, currency=currency)),), made.id


def _new_id(shop: Shop, changes: Sequence[Change], asked: Asked) -> str:
    """An id that no record of the shop has."""
    after = apply(shop, changes)
    taken = {one.id for one in after.offers} | {one.id for one in after.suppliers}
    taken |= {one.id for one in after.items}
    number = 1
    while f"{asked.moment.ref}.{number}" in taken:
        number += 1
    return f"{asked.moment.ref}.{number}"


def _currencies(shop: Shop, request: NoteQuote) -> tuple[str, ...]:
    """The currencies that a quote may be in, "" the shop's: one where it was said, where no amount
    was, where the supplier has its own, or where only one is in use."""
    own, known = profile_of(shop).currency, supplier_called(shop, request.supplier)
    if request.currency:
        return ("" if request.currency == own else request.currency,)
    amounts = (request.price, request.setup, request.carriage, *request.breaks)
    if all(one is None for one in amounts) or (known and known.currency):
        return (known.currency if known and known.currency != own else "",)
    theirs = {one.currency for one in shop.offers if known and one.supplier == known.id}
    theirs |= {one.currency for one in shop.items if known and one.supplier == known.id}
    if known and theirs == {""}:
        return ("",)
    used = {one.currency for one in shop.items} | {one.currency for one in shop.offers}
    used |= {one.currency for one in shop.suppliers} | {one.currency for one in shop.rates}
    return ("", *sorted(used - {"", own}))


def _ask_currency(shop: Shop, request: NoteQuote, codes: Sequence[str], asked: Asked) -> Outcome:
    """Ask in which currency a quote is; each choice is the whole quote again."""
    named = [code or profile_of(shop).currency for code in codes]
    sentences = tuple(says.quote(shop, replace(request, currency=code)) for code in named)
    buttons = [Button(code, one) for code, one in zip(named, sentences, strict=True)]
    prices = (request.price, *(one.price for one in request.breaks), request.setup)
    price = next((one for one in (*prices, request.carriage) if one is not None), None)
    lines = (say.which_currency(request.supplier, price, named),) if price is not None else ()
    return answer(asked, lines, buttons, talk=replace(about(asked), options=sentences))


def _new_supplier(before: Shop, after: Shop, id: str) -> str:
    supplier = find(after.suppliers, id)
    if supplier is None or find(before.suppliers, id):
        return ""
    near = nearly(before, supplier.name)
    return say_plan.new_supplier(supplier.name, supplier.country, near.name if near else "")


def compare_button(shop: Shop, item: Item | None) -> tuple[Button, ...]:
    """The button that compares the quotes for an item, where there are two."""
    if item is None or len(quotes_for(shop, item)) < 2:
        return ()
    return (Button("Compare the quotes", says.compare(shop, item.id)),)


def take_button(shop: Shop, offer: Offer, item: Item | None, asked: Asked) -> tuple[Button, ...]:
    """The button that buys an item by an offer, where that would change something."""
    if item is None or offer.price is None or is_ordered(shop, item, asked.today):
        return ()
    if has_expired(offer, asked.today) or not take(shop, item, offer):
        return ()
    label = f"Buy from {short(supplier_name(shop, offer.supplier), LABEL)}"
    return (Button(label, says.take(shop, offer.id, item.id)),)


HANDLERS: dict[type, Handler] = {NoteQuote: note_quote}
WRITES: frozenset[type] = frozenset({NoteQuote})

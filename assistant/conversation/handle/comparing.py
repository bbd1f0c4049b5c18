"""Quotes compared, and an item bought by one.

Knows: which quotes are for an item, what must be refused. Must not know: how a quote is worked out
(trade/comparing), how a sentence is written. Invariants: comparing changes nothing but the talk;
buying by a quote that moves dates is shown first; what is ordered stays.
"""

from collections.abc import Sequence

from assistant.conversation import sentences
from assistant.conversation.handle import dates, plan
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer, changed
from assistant.conversation.handle.previewing import as_done, effect_lines, preview
from assistant.conversation.handle.quotes import take_button
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.order_requests import CompareQuotes, TakeQuote
from assistant.conversation.replies import plan as say_plan
from assistant.conversation.replies import quotes as say
from assistant.conversation.replies.plain import short
from assistant.conversation.sentences import bargaining as says
from assistant.planning.changes import apply, find, profile_of
from assistant.planning.model import Item, Offer, Shop
from assistant.planning.shipping import ORDER, is_ordered
from assistant.planning.trade.comparing import Comparison, compare
from assistant.planning.trade.quotes import has_expired, quotes_for, take
from assistant.planning.year.offers import is_old
from assistant.planning.year.rearranging import effect

SHOWN = 3  # quotes of one comparison on a screen
LABEL = 20


def compare_quotes(shop: Shop, request: CompareQuotes, asked: Asked) -> Outcome:
    """Quotes for one item, compared on cost, time and risk, the best first."""
    item = find(shop.items, request.item)
    if item is None:
        return plan.gone(asked)
    offers = quotes_for(shop, item, request.suppliers)
    talk = about(asked, item=item.id, box=item.box)
    missing = [id for id in request.suppliers if all(one.supplier != id for one in offers)]
    if len(offers) < 2:
        return _nothing_to_compare(shop, item, offers, missing, asked)
    found = compare(shop, item.id, offers, asked.today)
    names = [supplier_name(shop, one.supplier) for one in found.quotes]
    currency, today = profile_of(shop).currency, asked.today
    shown = list(zip(found.quotes, names, strict=True))[:SHOWN]
    lines = (
        *(say.line(n, one, name, currency, today) for n, (one, name) in enumerate(shown, 1)),
        say.more(len(names) - len(shown)),
        say.criteria(found, names),
        say.verdict(found, names),
        say.no_quote_of(item, _names(shop, missing)) if missing else "",
    )
    buttons = (*_take_buttons(shop, item, found, asked), *_enquiry_buttons(shop, item, missing))
    return answer(asked, lines, buttons, title=say.title(item, found, today), talk=talk)


def _nothing_to_compare(
    shop: Shop, item: Item, offers: Sequence[Offer], missing: Sequence[str], asked: Asked
) -> Outcome:
    """Say that one quote or none is there, and who could be asked."""
    one = supplier_name(shop, offers[0].supplier) if offers else ""
    lines = (
        say.only_one(item, one, asked.today),
        say.no_quote_of(item, _names(shop, missing)) if missing else "",
    )
    talk = about(asked, item=item.id, box=item.box)
    return answer(asked, lines, _enquiry_buttons(shop, item, missing), talk=talk)


def _names(shop: Shop, ids: Sequence[str]) -> list[str]:
    return [supplier_name(shop, id) for id in ids]


def _take_buttons(shop: Shop, item: Item, found: Comparison, asked: Asked) -> tuple[Button, ...]:
    """A button for each quote that can be bought by, the best first."""
    kept = (find(shop.offers, one.offer) for one in found.quotes[:SHOWN])
    rows = (take_button(shop, one, item, asked) for one in kept if one)
    return tuple(button for row in rows for button in row)


def _enquiry_buttons(shop: Shop, item: Item, missing: Sequence[str]) -> tuple[Button, ...]:
    return tuple(
        Button(f"Ask {short(name, LABEL)}", says.enquiry(shop, name, item.id))
        for name in _names(shop, missing)
    )


# --- taken ----------------------------------------------------------------------------------


def take_quote(shop: Shop, request: TakeQuote, asked: Asked) -> Outcome:
    """Buy an item by a quote; what it does is shown first where a date moves."""
    item, offer = find(shop.items, request.item), find(shop.offers, request.offer)
    if item is None:
        return plan.gone(asked)
    if offer is None:
        return answer(asked, (say.GONE,))
    if refusal := _cannot_take(shop, item, offer, asked):
        return refusal
    changes, supplier = take(shop, item, offer), supplier_name(shop, offer.supplier)
    after, today = apply(shop, changes), asked.today
    talk = about(asked, item=item.id, box=item.box)
    if not changes:
        return answer(asked, (say.stands(item, supplier, today),), talk=talk, stands=True)
    what = say.buying(item.name, supplier, today, item.box)
    warnings = _warnings(shop, offer, item, asked)
    done = effect(shop, after, today)
    if (done.moved or done.late) and not request.sure:
        return preview(shop, after, what, says.take(shop, offer.id, item.id), asked, warnings)
    first = (say.bought(item, _differences(shop, after, item), today), *warnings)
    lines = (
        *first,
        say.suppliers_now(supplier, offer, profile_of(shop).currency),
        *(effect_lines(shop, after, asked)[:2] if request.sure else ()),
        *dates.item_lines(after, item.id, today, before=shop),
    )
    why = Button("Why that day", sentences.why(after, item=item.id))
    outcome = changed(shop, asked, changes, lines, (why,), talk=talk, brief=first)
    return as_done(outcome, what) if request.sure else outcome


def _cannot_take(shop: Shop, item: Item, offer: Offer, asked: Asked) -> Outcome | None:
    """The refusal to buy by a quote: the box has shipped, the item is ordered, no price is told."""
    if refusal := plan.shipped_already(shop, asked, item.box):
        return refusal
    if is_ordered(shop, item, asked.today):
        text = say.ordered(item, supplier_name(shop, item.supplier))
        again = Button("It is not ordered", sentences.open_again(shop, f"{item.id}/{ORDER}"))
        return answer(asked, (text,), (again,), talk=about(asked, item=item.id, box=item.box))
    return answer(asked, (say.NO_PRICE,)) if offer.price is None else None


def _warnings(shop: Shop, offer: Offer, item: Item, asked: Asked) -> tuple[str, ...]:
    """What to look at before an item is bought by a quote."""
    supplier, until = supplier_name(shop, offer.supplier), offer.valid_until
    lines = []
    if until and has_expired(offer, asked.today):
        lines.append(say.expired(supplier, until, asked.today))
    elif offer.quoted and not until and is_old(offer.quoted, asked.today):
        lines.append(say.old(supplier, offer.quoted, asked.today))
    if offer.minimum and item.quantity and offer.minimum > item.quantity:
        lines.append(say.minimum_over(offer.minimum, item.quantity))
    return tuple(lines)


def _differences(before: Shop, after: Shop, item: Item) -> tuple[str, ...]:
    """The facts of an item that a quote changes."""
    old, new = (_facts(shop, item.id) for shop in (before, after))
    gone = tuple(f"no longer {old[fact]}" for fact in old if fact not in new)
    return (*say_plan.differences(old, new), *(one for one in gone if "the main item" not in one))


def _facts(shop: Shop, id: str) -> dict[str, str]:
    item = find(shop.items, id)
    if item is None:
        return {}
    return say_plan.facts(item, supplier_name(shop, item.supplier), profile_of(shop).currency)


HANDLERS: dict[type, Handler] = {CompareQuotes: compare_quotes, TakeQuote: take_quote}
WRITES: frozenset[type] = frozenset({TakeQuote})

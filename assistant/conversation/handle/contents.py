"""What a box lacks, what could go into it, and offers taken into it.

Knows: which box, items, ideas and offers a question is about. Must not know: how an answer is
written (replies/), how a box is counted up or an offer is found (planning/). Invariants: a question
changes nothing but the talk, so that "add offer 2" means what was shown last; an offer that is
taken into a box keeps its price, minimum, case pack and date; what adding an item shows, adding an
offer shows.
"""

from collections.abc import Sequence
from datetime import date

from msgspec.structs import replace

from assistant.conversation import sentences
from assistant.conversation.handle import plan
from assistant.conversation.handle.asked import Asked, Handler
from assistant.conversation.handle.named import supplier_name
from assistant.conversation.handle.outcomes import about, answer
from assistant.conversation.messages import Button, Outcome
from assistant.conversation.replies import contents as say
from assistant.conversation.replies import offers as say_offers
from assistant.conversation.replies.plain import MONTHS, box_name
from assistant.conversation.requests import AddItem, ItemFacts
from assistant.conversation.sentences import contents as says
from assistant.conversation.year_requests import (
    AddOffer,
    FindOffers,
    SuggestItems,
    WhatIsMissing,
)
from assistant.planning.changes import find, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Change, Item, Offer, Put, Shop
from assistant.planning.shipping import shipped
from assistant.planning.trade.quotes import has_expired
from assistant.planning.year import contents as counted
from assistant.planning.year import offers

SHOWN = 8  # lines of a list on one screen
SUGGESTED = 6
TOUCHED = 3  # of a list, how many have buttons of their own


def what_is_missing(shop: Shop, request: WhatIsMissing, asked: Asked) -> Outcome:
    """What a box holds against its goals, and what is not known of it."""
    box, today = request.box, asked.today
    found = counted.contents(shop, box, today)
    inside = [item for item in shop.items if item.box == box]
    currency = profile_of(shop).currency
    long = [item.name for item in inside if item.id in found.too_long]
    main = next((item.name for item in inside if item.id == found.main), "")
    weighed, sized = found.grams_left is not None, found.volume_left is not None
    lines = (
        "" if found.missing else say.NOTHING_MISSING,
        say.how_many(found),
        say.cost(found, currency),
        say.grams(found),
        say.room(found, long),
        say.main(main, inside[0].name if inside else ""),
        _printed(shop, box, found, today),
        *say.unknown(
            [item.name for item in inside if counted.cost_of(item, currency) is None],
            [item.name for item in inside if weighed and item.grams is None],
            [item.name for item in inside if sized and item.mm is None],
        ),
    )
    suggest = Button("Suggest items", says.suggest_items(box))
    buttons = (*(() if shipped(shop, box, today) else (suggest,)), plan.how_is(box, asked))
    talk = about(asked, item="", box=box)
    return answer(asked, lines, buttons, title=say.title(box, today), talk=talk)


def _printed(shop: Shop, box: str, found: counted.Contents, today: date) -> str:
    """How far card and packaging are, and when the next of them is due."""
    stages = [counted.stage_of(shop, word) for word in (counted.CARD, counted.PACKAGING)]
    keys = [f"{box}/{stage}" for stage in stages if stage]
    due = (one for key in keys if (one := deadline(shop, key, today)) and one.state == "open")
    first = min((one.on for one in due), default=None)
    together = bool(stages[0]) and stages[0] == stages[1]
    return say.printed(found.card, found.packaging, together, first, today)


def missing_button(box: str) -> Button:
    """The button that asks what a box lacks."""
    return Button("What is missing", says.what_is_missing(box))


# --- what could go into a box ---------------------------------------------------------------


def suggest_items(shop: Shop, request: SuggestItems, asked: Asked) -> Outcome:
    """Ideas and offers that could go into a box, numbered, the best first."""
    box, today = request.box, asked.today
    if refusal := plan.shipped_already(shop, asked, box):
        return refusal
    planned = find(shop.boxes, box)
    theme = planned.theme if planned else ""
    every = offers.suggestions(shop, box, today)
    shown = every[:SUGGESTED]
    more = offers.elsewhere(shop, box)
    search = (Button("Their offers", says.find_offers(theme)),) if more else ()
    ask = missing_button(box)
    held = counted.contents(shop, box, today)
    still = say.in_short(held, profile_of(shop).currency)
    if not every:
        nothing = (say.nothing_fits(box, theme, today), say.others(more))
        return answer(asked, nothing, (*search, ask), talk=about(asked, item="", box=box))
    lines = (
        still,
        *(_suggestion(shop, number, one, box) for number, one in enumerate(shown, 1)),
        say.more(len(every) - len(shown)),
        say.others(more),
    )
    options = [_take(one, box) for one in shown]
    touches = (Button(f"Add {n}", option) for n, option in enumerate(options[:TOUCHED], 1))
    talk = replace(
        about(asked, item="", box=box),
        options=tuple(options),
        ideas=tuple(one.id if one.source == "idea" else "" for one in shown),
        offers=tuple(one.id if one.source == "offer" else "" for one in shown),
    )
    title = say.suggested(box, theme, today)
    return answer(asked, lines, (*touches, *search, ask), title=title, talk=talk)


def _suggestion(shop: Shop, number: int, found: offers.Suggestion, box: str) -> str:
    if found.source == "idea" and (idea := find(shop.ideas, found.id)):
        return say.of_idea(number, idea, found, MONTHS[int(box[5:7]) - 1])
    offer = find(shop.offers, found.id)
    if offer is None:
        return ""
    supplier, currency = supplier_name(shop, offer.supplier), profile_of(shop).currency
    return say.of_offer(number, offer, supplier, currency, found)


def _take(found: offers.Suggestion, box: str) -> str:
    """The sentence that takes a suggestion into a box."""
    if found.source == "idea":
        return sentences.use_idea(found.id, box)
    return says.add_offer(found.id, box)


# --- offers ---------------------------------------------------------------------------------


def find_offers(shop: Shop, request: FindOffers, asked: Asked) -> Outcome:
    """The offers about some words, the best first, a screen at a time."""
    supplier = supplier_name(shop, request.supplier)
    title = say_offers.found(request.words, supplier)
    if not shop.offers:
        return answer(asked, (say_offers.NO_LIST,))
    every = offers.search(shop, request.words, request.supplier)
    if not every:
        all_of_them = Button("All offers", says.find_offers())
        return answer(asked, (say_offers.none(title, len(shop.offers)),), (all_of_them,))
    first = min(request.start, len(every))
    last = min(first - 1 + SHOWN, len(every))
    numbered = list(enumerate(every[:last], 1))
    named = not request.supplier  # else the title names it
    lines = [_line(shop, n, offer, asked.today, named) for n, offer in numbered[first - 1 :]]
    box = _next_box(shop, asked)
    same = sentences.further(last + 1, says.find_offers(request.words, supplier))
    more = (Button("More", same),) if last < len(every) else ()
    options = [says.add_offer(offer.id, box) for _, offer in numbered]
    where = box_name(box, asked.today)
    touches = [Button(f"Add {n} to {where}", options[n - 1]) for n, _ in numbered[first - 1 :]]
    talk = replace(
        about(asked),
        offers=tuple(offer.id for _, offer in numbered),
        options=(*options, *(button.says for button in more)),
    )
    lines.append(say_offers.more(len(every) - last))
    return answer(asked, lines, (*touches[:TOUCHED], *more), title=title, talk=talk)


def _line(shop: Shop, number: int, offer: Offer, today: date, named: bool) -> str:
    supplier = supplier_name(shop, offer.supplier) if named else ""
    currency = profile_of(shop).currency
    old = not offer.valid_until and offers.is_old(offer.quoted, today)
    stale = "expired" if has_expired(offer, today) else "old quote" if old else ""
    return say_offers.line(number, offer, supplier, currency, stale)


def _next_box(shop: Shop, asked: Asked) -> str:
    """The box into which an offer would go: the one spoken of, else the next that may change."""
    month = f"{asked.today:%Y-%m}"
    coming = sorted(box.id for box in shop.boxes if box.id[:7] >= month)
    spoken = (asked.talk.box,) if asked.talk.box[:7] >= month else ()
    may = (box for box in (*spoken, *coming) if not shipped(shop, box, asked.today))
    return next(may, month)


def add_offer(shop: Shop, request: AddOffer, asked: Asked) -> Outcome:
    """Take an offer into a box: what adding an item does and shows, with the terms of the offer."""
    offer = find(shop.offers, request.offer)
    if offer is None:
        return answer(asked, (say_offers.GONE,))
    planned = plan.add_item(shop, AddItem(request.box, _facts(shop, offer)), asked)
    if not planned.changes:
        return planned
    extra = tuple(filter(None, _terms(shop, offer, asked.today)))
    first, *others = planned.replies
    head, *tail = first.text.split("\n")
    first = replace(first, text="\n".join((head, *extra, *tail)))
    changes = tuple(_from_offer(change, offer) for change in planned.changes)
    brief = "\n".join(filter(None, (planned.brief, *extra[1:])))
    return replace(planned, replies=(first, *others), changes=changes, brief=brief)


def _facts(shop: Shop, offer: Offer) -> ItemFacts:
    """The facts of an offer, as they are said of an item."""
    return ItemFacts(
        name=offer.name,
        supplier=supplier_name(shop, offer.supplier),
        unit_cost=offer.price,
        currency=offer.currency or profile_of(shop).currency,
        lead=offer.lead,
        made_in=offer.made_in,
        type=offer.type,
        grams=offer.grams,
        mm=offer.mm,
    )


def _from_offer(change: Change, offer: Offer) -> Change:
    """The change that makes an item, with all that its offer tells of it."""
    if not isinstance(change, Put) or not isinstance(change.record, Item):
        return change
    return Put(offers.item_of(offer, change.record))


def _terms(shop: Shop, offer: Offer, today: date) -> Sequence[str]:
    """What binds an order of an offer, a minimum that is too much, a quote that is old."""
    many, minimum = profile_of(shop).subscribers, offer.minimum or 0
    supplier = supplier_name(shop, offer.supplier)
    return (
        say_offers.terms(offer, today, profile_of(shop).currency),
        say_offers.too_many(minimum, many) if 0 < many < minimum else "",
        _stale(offer, supplier, today),
    )


def _stale(offer: Offer, supplier: str, today: date) -> str:
    """Point out an offer that has expired, or whose quote is old."""
    if offer.valid_until and has_expired(offer, today):
        return say_offers.expired(supplier, offer.valid_until, today)
    if offer.quoted and not offer.valid_until and offers.is_old(offer.quoted, today):
        return say_offers.old_quote(supplier, offer.quoted, today)
    return ""


HANDLERS: dict[type, Handler] = {
    WhatIsMissing: what_is_missing,
    SuggestItems: suggest_items,
    FindOffers: find_offers,
    AddOffer: add_offer,
}
WRITES: frozenset[type] = frozenset({AddOffer})

"""Ways to say what a box should hold, what it lacks, and what is offered.

Knows: requests of contents; weights, sizes and the item that stands out. Must not know: how a line
is matched. Invariants: a weight or a size is said with its unit; a mailer is measured down, an
item up, so that nothing is said to fit that does not.
"""

import re

from assistant.conversation.requests import ChangeItem, ChangeShop, ItemFacts
from assistant.conversation.sentences.contents import offer_ref
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.boxes import next_boxes
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import known_supplier, read_supplier
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.year_requests import (
    AddOffer,
    FindOffers,
    PriceListFrom,
    SuggestItems,
    WhatIsMissing,
)
from assistant.planning.changes import find, profile_of
from assistant.planning.measures import SIZE, WEIGHT, Size, read_grams, read_size
from assistant.planning.model import Item

_NO_WEIGHT = "is no weight I can use; say it as 180 g or 1.2 kg"
_NO_SIZE = "is no size I can use; say three sides, as 210 x 148 x 12 mm"


def _grams(down: bool) -> Kind:
    def read(text: str, _c: Context) -> int | Unclear:
        return read_grams(text, down=down) or Unclear(f'"{text.strip()[:40]}" {_NO_WEIGHT}')

    return Kind(WEIGHT, read)


def _size(down: bool) -> Kind:
    def read(text: str, _c: Context) -> Size | Unclear:
        return read_size(text, down=down) or Unclear(f'"{text.strip()[:40]}" {_NO_SIZE}')

    return Kind(SIZE, read)


def _offer(text: str, c: Context) -> str | Unclear | None:
    """The id of an offer: its number in the last list shown, or its eight-digit reference."""
    said = re.sub(r"^(?:the )?(?:offer )?(?:number |no\.? ?|#)?", "", text.strip().lower())
    if re.fullmatch(r"[0-9a-f]{8}", said):
        found = [one.id for one in c.shop.offers if offer_ref(one.id) == said]
        return found[0] if len(found) == 1 else Unclear("that offer is no longer there")
    if not said.isdecimal():
        return None
    if not c.talk.offers:
        return Unclear("no list of offers was shown yet; say: offers")
    number = int(said)
    if not 1 <= number <= len(c.talk.offers):
        return Unclear(f"the last list has {len(c.talk.offers)} and no {number}")
    return c.talk.offers[number - 1] or Unclear(
        f"{number} is an idea", ((f"Use {number}", f"use {number}"),)
    )


def _listed(text: str, c: Context) -> str | Unclear | None:
    """A bare number, where the last list was one of offers."""
    return _offer(text, c) if c.talk.offers and not _is_an_idea(text, c) else None


def _is_an_idea(text: str, c: Context) -> bool:
    """Whether a bare number is the place of an idea in the last list."""
    place = int(text) if text.strip().isdecimal() else 0
    return 0 < place <= len(c.talk.ideas) and bool(c.talk.ideas[place - 1])


KINDS: dict[str, Kind] = {
    "weight": _grams(down=False),
    "size": _size(down=False),
    "load": _grams(down=True),
    "mailer": _size(down=True),
    "offer": Kind(r"(?:number |no\.? ?|#)?(?:[0-9a-f]{8}|\d{1,4})", _offer),
    "listed": Kind(r"\d{1,4}", _listed),
    "waiting": Kind(r"[^:;]{2,60}", lambda text, c: _waiting(text, c)),
}


def _target(c: Context, target: Price) -> Built:
    counted = profile_of(c.shop).currency
    if target.currency not in ("", counted):
        return Unclear(f"the shop counts in {counted}; say the target in {counted}")
    return ChangeShop(target=target.amount)


def _main(c: Context, item: str, box: str = "", stands: bool = True) -> Built:
    """The main item of a box; where a box is named beside it, the item of that box."""
    held = find(c.shop.items, item)
    if box and held and held.box != box:
        same = (one for one in c.shop.items if one.box == box and one.name == held.name)
        held = next(same, None)
        if held is None:
            return Unclear("that item is in another box")
    return ChangeItem(held.id if isinstance(held, Item) else item, ItemFacts(main=stands))


def _price_list(c: Context, name: str) -> Built:
    """A list of offers, or whose the list is that waits."""
    draft = find(c.shop.drafts, c.talk.id) if c.talk.id else None
    if draft is not None and draft.offers:
        return _is_from(c, name)
    known = known_supplier(name, c)
    if known is None:
        return _is_from(c, name) if name[:1].isupper() else None
    if isinstance(known, Unclear):
        return known
    supplier = next(one.id for one in c.shop.suppliers if one.name == known)
    return FindOffers(supplier=supplier)


def _is_from(c: Context, name: str) -> Built:
    found = read_supplier(name, c)
    if isinstance(found, Unclear) and found.offers and found.offers[0][1].startswith("supplier "):
        found = found.offers[0][1].removeprefix("supplier ")
    return PriceListFrom(found) if isinstance(found, str) else found


def _waiting(text: str, c: Context) -> str | None:
    """A supplier's name alone, where a price list waits to be told whose it is."""
    draft = find(c.shop.drafts, c.talk.id) if c.talk.id else None
    if draft is None or not draft.offers or draft.supplier:
        return None
    found = _is_from(c, text)
    return found.supplier if isinstance(found, PriceListFrom) else None


def _add_where(c: Context, offer: str) -> Built:
    ref = offer_ref(offer)
    offers = tuple((label, f"add offer {ref} to {id}") for label, id in next_boxes(c))
    return Unclear("I do not know to which month", offers, whole=True)


_MISSING = "what is missing in March"
_SUGGEST = "suggest items for March"
_OFFERS = "offers about moss"

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "missing",
        """
        <what-is> (missing|lacking)[ still] (in|from|for|of) [the ]{box:anybox}
        <what-is> still (missing|needed|lacking) (in|from|for) [the ]{box:anybox}
        <what-is> {box:anymonth} [still ](missing|lacking)
        what (does|do we|do i) [still ](need|lack|miss) (for|in) [the ]{box:anybox}
        what does {box:anymonth} [still ](need|lack|miss|want)
        what (do we|do i|must i) still need (for|in) {box:anybox}
        what else (does {box:anymonth} need|do we need for {other:anymonth})
        (missing|gaps) (in|for) {box:anymonth}
        is {box:anymonth} (complete|full|finished|all set)
        """,
        lambda _c, box="", other="": WhatIsMissing(box or other),
        "what is missing in a box",
        _MISSING,
        asks=True,
    ),
    Phrasing(
        "suggest",
        """
        (suggest|propose)[ me][ some| more] (items|things|something) (for|in) [the ]{box:anybox}
        (item suggestions|suggested items|suggestions of items) (for|in) [the ]{box:anybox}
        suggest (for|in) {box:anymonth}
        suggest[ me][ some] {box:anymonth} items
        what (could|can|should|might) (go|we put|i put|we add|i add) (into|in|to) [the ]{box:anybox}
        what would (go in|fit in|fit|suit) {box:anymonth}
        """,
        lambda _c, box: SuggestItems(box),
        "items for a box",
        _SUGGEST,
        asks=True,
    ),
    Phrasing(
        "add offer",
        """
        (add|take|use|put) [the ](offer|ofer|offr) {offer:offer} (to|into|in|for) [the ]{box:box}
        offer {offer:offer} (to|into|in|for) {box:month}
        (add|take|put) {offer:listed} (to|into|in|for) [the ]{box:month}
        """,
        lambda _c, offer, box: AddOffer(offer, box),
        "an offer for a box",
        "add offer 2 to March",
    ),
    Phrasing(
        "the list is from",
        """
        (the|this|that) [price ]list is (from|by|of) {name:words}
        (it is|it's|its) [from ]{name:words}'s (price list|list|prices)
        """,
        _is_from,
        "whose price list it is, {name}",
        "the price list is from Aldermoor",
    ),
    Phrasing(
        "offers of",
        """
        [show |show me ][the ](price list|pricelist|prices) (of|from) {name:words}
        [show |show me ]{name:words}'s (price list|pricelist|prices|offers)
        """,
        _price_list,
        "a price list of {name}",
        "price list of Aldermoor",
        asks=True,
    ),
    Phrasing(
        "offers",
        """
        offers of {supplier:exactsupplier} about {words:text}
        [show |list |all |show me ][the |all ]offers (of|from|by) {supplier:supplierid}
        what (does|do|can) {supplier:supplierid} (offer|sell|have|supply)
        {supplier:supplierid} (offers|price list|pricelist)
        """,
        lambda _c, supplier, words="": FindOffers(words, supplier),
        "offers of a supplier",
        "what does Aldermoor offer",
        asks=True,
    ),
    Phrasing(
        "offers",
        """
        offers (about|for|with) {words:text}
        (search|find|look for|look through)[ all| the| any] offers (for|about|with) {words:text}
        show[ me][ all| the| any] offers (for|about|with) {words:text}
        (search|look in|look through)[ the][ price] (lists|list) for {words:text}
        (any|which|what) offers[ are there| do we have] (about|with|for|on) {words:text}
        who (offers|sells) {words:text}
        """,
        lambda _c, words: FindOffers(words),
        "offers about {words}",
        _OFFERS,
        asks=True,
    ),
    Phrasing(
        "offers",
        """
        [show |list |show me ][all |the |all the ](offers|price lists)
        """,
        lambda _c: FindOffers(),
        "all offers",
        "offers",
        asks=True,
    ),
    Phrasing(
        "items a box",
        """
        {n:count} (items|things|products) (a|per|in a|in each|in every|each|to a|in the) box
        (items|things) (a|per|in a|in each) box[ is| are][:| =] {n:count}
        (a|each|every|the) box (has|holds|gets|needs|should have|wants) {n:count} (items|things)
        (we|i) (put|want|pack) {n:count} (items|things) (in|into) (a|each|every|the) box
        """,
        lambda _c, n: ChangeShop(items_a_box=n),
        "a number of items a box",
        "6 items a box",
    ),
    Phrasing(
        "target",
        """
        [our |the ](target cost|cost target|target)[ is| of][:| =] {target:money} (a|per|each) box
        [our |the ](target cost|cost target|target)[ is| of][:| =] {target:money}
        [our |the ](items budget|item budget|budget)[ is| of][:| =] {target:money} (a|per|each) box
        [our |the ](target cost|target|budget) (a|per|of a) box[ is][:| =] {target:money}
        [the ]items (may|can|should|must) cost[ at most| up to] {target:money} (a|per|each) box
        [the ]items (may|can|should|must) cost[ at most| up to| no more than] {target:money}
        (spend|we spend|we can spend)[ at most| up to] {target:money} (a|per|on each|on a) box
        target cost[ is][:| =] {target:money}
        """,
        _target,
        "what the items of a box may cost",
        "items may cost 14 a box",
    ),
    Phrasing(
        "mailer",
        """
        [our |the ](mailer|mailing box|postal box)[ size][ is| measures][:| =] {mm:mailer}[ inside]
        [our |the ](shipping box|carton)[ size][ is| measures][:| =] {mm:mailer}[ inside]
        """,
        lambda _c, mm: ChangeShop(mailer_mm=mm),
        "a size of the mailer",
        "mailer 300 x 220 x 80 mm",
    ),
    Phrasing(
        "load",
        """
        [our |the |a ](mailer|mailing box|postal box) (holds|takes|carries)[ up to] {grams:load}
        [our |the |a ](mailer|mailing box|postal box) can (hold|take|carry)[ up to] {grams:load}
        [our |the ]mailer (weight|weight limit|limit|max|maximum)[ is][:| =] {grams:load}
        (a box|the box|each box|the contents) (may|can|must) weigh[ at most| up to] {grams:load}
        """,
        lambda _c, grams: ChangeShop(mailer_grams=grams),
        "what the mailer holds",
        "mailer holds 2 kg",
    ),
    Phrasing(
        "weight",
        """
        {item:item} (weighs|weigh) {grams:weight}[ each| a piece]
        {item:knownitem}['s] weight[ is][:| =] {grams:weight}
        [the ]weight of {item:item} is {grams:weight}
        {item:knownitem} (is|are) {grams:weight}[ each| a piece]
        """,
        lambda _c, item, grams: ChangeItem(item, ItemFacts(grams=grams)),
        "a weight of {item}",
        "notebook weighs 180 g",
    ),
    Phrasing(
        "size",
        """
        {item:item} (measures|measure) {mm:size}
        {item:knownitem}['s] (size|dimensions)[ is| are][:| =] {mm:size}
        [the ]size of {item:item} is {mm:size}
        {item:knownitem} (is|are) {mm:size}
        """,
        lambda _c, item, mm: ChangeItem(item, ItemFacts(mm=mm)),
        "a size of {item}",
        "notebook is 210 x 148 x 12 mm",
    ),
    Phrasing(
        "main",
        """
        {item:knownitem} (is|are) [the |our ](main|hero|star) (item|one) (in|of|for) [the ]{box:box}
        {item:knownitem} (is|are|should be) [the |our ](main|hero|star|lead) (item|thing|one|piece)
        {item:knownitem} (stands out|stand out) (in|for) [the ]{box:box}
        {item:knownitem} (stands out|stand out)
        make {item:knownitem} the (main|hero|star|lead) (item|thing|one|piece)
        [the ]main item (in|of|for) {box:box}[ is|:] {item:knownitem}
        """,
        _main,
        "the main item, {item}",
        "notebook is the main item",
    ),
    Phrasing(
        "not main",
        """
        {item:knownitem} (is not|isn't|is no longer) [the ]main (item|thing|one|piece)
        {item:knownitem} (does not stand out|doesn't stand out)
        """,
        lambda c, item: _main(c, item, stands=False),
        "an item that is not the main one, {item}",
        "notebook is not the main item",
    ),
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "the list is from",
        "{name:waiting}",
        lambda _c, name: PriceListFrom(name),
        "whose price list it is",
        "the price list is from Aldermoor",
        half=True,
    ),
    Phrasing(
        "add offer",
        """
        (add|take|use) [the ]offer {offer:offer}
        """,
        _add_where,
        "an offer",
        "add offer 2 to March",
        half=True,
    ),
)

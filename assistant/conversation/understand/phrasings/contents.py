"""Ways to say what a box lacks, what could go into it, and what an item weighs and measures.

Knows: requests of contents; weights, sizes and the item that stands out. Must not know: how a line
is matched. Invariants: a weight or a size is said with its unit; a mailer is measured down, an
item up, so that nothing is said to fit that does not.
"""

import re

from assistant.conversation.requests import ChangeItem, ItemFacts
from assistant.conversation.sentences import show_idea
from assistant.conversation.sentences.contents import offer_ref, suggest_items, what_is_missing
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
from assistant.planning.changes import find
from assistant.planning.model import Draft, Item
from assistant.planning.year.measures import SIZE, WEIGHT, Size, read_grams, read_size

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


def _two_sides(text: str, _c: Context) -> Unclear:
    """A size of two sides: what it holds or fills cannot be told by it."""
    return Unclear(f'"{text.strip()[:40]}" has two sides; say three, as 210 x 148 x 12 mm')


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
    if c.talk.offers[number - 1]:
        return c.talk.offers[number - 1]
    ideas = c.talk.ideas[number - 1 : number]
    shown = tuple(("Show the idea", show_idea(id)) for id in ideas if id)
    return Unclear(f"{number} is an idea; say: use {number} in March", shown, whole=True)


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
    "flat": Kind(
        r"\d[\d.,]* ?(?:mm|cm|in)? ?(?:[x\u00d7]|by) ?\d[\d.,]* ?(?:mm|cm|in)?", _two_sides
    ),
    "offer": Kind(r"(?:number |no\.? ?|#)?(?:[0-9a-f]{8}|\d{1,4})", _offer),
    "listed": Kind(r"\d{1,4}", _listed),
    "answer": Kind(r"[^:;]{2,60}", lambda text, c: _known_answer(text, c)),
    "newanswer": Kind(r"[^:;]{2,60}", lambda text, c: _new_answer(text, c)),
}


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
    """A list of offers, or whose the list is that waits; a supplier may be new."""
    unknown = known_supplier(name, c) is None
    return _is_from(c, name) if unknown and name[:1].isupper() else _prices(c, name)


def _prices(c: Context, name: str) -> Built:
    """The same of a known supplier; else the words mean something else."""
    known = known_supplier(name, c)
    if known is None or isinstance(known, Unclear):
        return known
    if (draft := _draft(c)) is not None and draft.offers:
        return PriceListFrom(known)
    supplier = next(one.id for one in c.shop.suppliers if one.name == known)
    return FindOffers(supplier=supplier)


def _is_from(c: Context, name: str) -> Built:
    found = read_supplier(name, c)
    if isinstance(found, Unclear) and found.offers and found.offers[0][1].startswith("supplier "):
        found = found.offers[0][1].removeprefix("supplier ")
    return PriceListFrom(found) if isinstance(found, str) else found


def _draft(c: Context) -> Draft | None:
    """The file that awaits an answer in this chat."""
    return find(c.shop.drafts, c.talk.id) if c.talk.id else None


def _nobodys(c: Context) -> bool:
    """Whether it was asked whose price list it is."""
    draft = _draft(c)
    return draft is not None and bool(draft.offers) and not draft.supplier


def _known_answer(text: str, c: Context) -> str | None:
    """A known supplier's name alone, where it was asked whose price list it is."""
    found = known_supplier(text, c) if _nobodys(c) else None
    return found if isinstance(found, str) else None


def _new_answer(text: str, c: Context) -> str | None:
    """Any supplier's name alone, where it was asked whose price list it is."""
    found = _is_from(c, text) if _nobodys(c) else None
    return found.supplier if isinstance(found, PriceListFrom) else None


def _which_missing(c: Context) -> Built:
    if c.talk.box:
        return WhatIsMissing(c.talk.box)
    offers = tuple((label, what_is_missing(id)) for label, id in next_boxes(c))
    return Unclear("I do not know of which month", offers, whole=True)


def _which_suggested(c: Context) -> Built:
    if c.talk.box[:7] >= c.month:
        return SuggestItems(c.talk.box)
    offers = tuple((label, suggest_items(id)) for label, id in next_boxes(c))
    return Unclear("I do not know for which month", offers, whole=True)


def _add_where(c: Context, offer: str) -> Built:
    ref = offer_ref(offer)
    offers = tuple((label, f"add offer {ref} to {id}") for label, id in next_boxes(c))
    return Unclear("I do not know to which month", offers, whole=True)


_MISSING = "what is missing in March"
_SUGGEST = "suggest items for March"
_OFFERS = "offers about moss"


def _whose(pattern: str) -> Phrasing:
    """A bare name, in answer to whose price list it is."""
    return Phrasing(
        "the list is from",
        pattern,
        lambda _c, name: PriceListFrom(name),
        "whose price list it is",
        "the price list is from Aldermoor",
        half=True,
    )


EXACT: tuple[Phrasing, ...] = (_whose("{name:answer}"),)
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
        [show |show me ][the ](price list|pricelist) (of|from) {name:words}
        """,
        _price_list,
        "a price list of {name}",
        "price list of Aldermoor",
        asks=True,
    ),
    Phrasing(
        "offers of",
        """
        [show |show me ][the ]prices (of|from) {name:words}
        [show |show me ]{name:words}['s] (price list|pricelist|prices)
        """,
        _prices,
        "prices of {name}",
        "prices of Aldermoor",
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
    _whose("{name:newanswer}"),
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
    Phrasing(
        "missing",
        "<what-is>[ still] (missing|lacking)",
        _which_missing,
        "what is missing",
        _MISSING,
        asks=True,
        half=True,
    ),
    Phrasing(
        "suggest",
        "(suggest|propose)[ me][ some| more] (items|something)",
        _which_suggested,
        "items to suggest",
        _SUGGEST,
        asks=True,
        half=True,
    ),
    Phrasing(
        "two sides",
        """
        [our |the ](mailer|mailing box|postal box)[ size][ is| measures][:| =] {size:flat}
        {item:knownitem} (is|are|measures|measure) {size:flat}
        """,
        lambda _c, **_said: None,  # the size says what is wrong with it
        "a size",
        "mailer 300 x 220 x 80 mm",
        half=True,
    ),
)

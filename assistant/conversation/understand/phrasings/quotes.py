"""Ways to tell a quote, to compare quotes and to buy by one.

Knows: requests about quotes. Must not know: how a line is matched, how terms are read
(understand/quotes.py). Invariants: a sentence of a button (EXACT) names suppliers in quotes and an
item with its box; "compare" and "buy ... from" are about quotes only where the words name goods and
suppliers of the shop, the second only where that supplier has quoted.
"""

import re

from msgspec.structs import replace

from assistant.conversation.order_requests import CompareQuotes, NoteQuote, TakeQuote
from assistant.conversation.sentences import idea_ref
from assistant.conversation.sentences.bargaining import compare as compare_sentence
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.names import read_supplier, supplier_id
from assistant.conversation.understand.quotes import (
    known_goods,
    read_goods,
    read_quote,
    read_terms,
)
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import fold, tidy
from assistant.planning.changes import find
from assistant.planning.model import Offer
from assistant.planning.trade.quotes import quotes_for

OFFERED = 4
_AND = re.compile(r" ?,? (?:and|or|with|to|against|vs\.?|versus) ?| ?, ?", re.IGNORECASE)


def quoted_name(text: str, c: Context) -> str | None:
    """A supplier's name as a button's sentence carries it, in quotes: a known one's as it is."""
    said = text.strip().strip('"')
    known = (one.name for one in c.shop.suppliers if _same(one.name, said))
    return next(known, said) or None


def quoted_supplier(text: str, c: Context) -> str | None:
    """The id of a supplier whose name stands in quotes."""
    said = text.strip().strip('"')
    return next((one.id for one in c.shop.suppliers if _same(one.name, said)), None)


def _same(name: str, said: str) -> bool:
    return fold(name.replace('"', "'")) == fold(said)


def _suppliers(text: str, c: Context) -> tuple[str, ...] | Unclear | None:
    """Ids of two suppliers or more: "Aldermoor and Brackenfold"."""
    parts = [part for part in _AND.split(text.strip()) if part]
    found = [supplier_id(part, c) for part in parts]
    if len(parts) < 2 or not any(isinstance(one, str) for one in found):
        return None
    for part, one in zip(parts, found, strict=True):
        if not isinstance(one, str):
            return one or Unclear(f'I know no supplier "{tidy(part)[:40]}"')
    return tuple(dict.fromkeys(one for one in found if isinstance(one, str)))


def _known_suppliers(text: str, c: Context) -> tuple[str, ...] | None:
    """The same, but None where one of them is no supplier of the shop."""
    found = _suppliers(text, c)
    return None if isinstance(found, Unclear) else found


def _offer_ref(text: str, c: Context) -> str | Unclear:
    said = text.strip().lower()
    found = [one.id for one in c.shop.offers if idea_ref(one.id) == said]
    return found[0] if len(found) == 1 else Unclear("that quote is not here any more")


def _plain_supplier(text: str, c: Context) -> str | None:
    """A supplier of the shop, or what can be nothing but the name of a new one."""
    found = read_supplier(text, c)
    return found if isinstance(found, str) else None


def _perhaps(text: str, c: Context) -> NoteQuote | None:
    """A quote with a price, read whole; else the words mean something else."""
    found = read_quote(text, c)
    return found if isinstance(found, NoteQuote) and found.price is not None else None


_TERMS = r"(?=.*\d).+"
_SEVERAL = r"[^:;]{2,120}? (?:and|or|with|to|against|vs\.?|versus) [^:;]{2,80}?"
KINDS: dict[str, Kind] = {
    "quotegoods": Kind(r"[^:;]{1,80}?", read_goods),
    "knowngoods": Kind(r"[^:;]{1,80}?", known_goods),
    "plainsupplier": Kind(r"[^:;\d]{1,60}?", _plain_supplier),
    "quotewords": Kind(_TERMS, read_quote),
    "perhapsquote": Kind(_TERMS, _perhaps),
    "quotefor": Kind(rf"(?:for|on) {_TERMS}", read_quote),
    "quoteterms": Kind(_TERMS, read_terms),
    "quotedby": Kind(r'"[^"]+"', quoted_name),
    "suppliers": Kind(_SEVERAL, _suppliers),
    "knownsuppliers": Kind(_SEVERAL, _known_suppliers),
    "offerref": Kind(r"[0-9a-f]{8}", _offer_ref),
    "quotedgoods": Kind(r'"[^"]+"', lambda text, _c: text.strip().strip('"') or None),
}


def _quote(c: Context, supplier: str, said: NoteQuote) -> Built:
    del c
    return replace(said, supplier=supplier)


def _quote_of_item(_c: Context, supplier: str, item: str, said: NoteQuote) -> Built:
    return replace(said, supplier=supplier, item=item)


def _quote_of_goods(_c: Context, supplier: str, name: str, said: NoteQuote) -> Built:
    return replace(said, supplier=supplier, name=name)


def _compare(_c: Context, item: str, suppliers: tuple[str, ...] = ()) -> Built:
    return CompareQuotes(item, suppliers)


def _compare_what(c: Context, suppliers: tuple[str, ...] = ()) -> Built:
    """Ask for which item quotes are to be compared, with those that have two."""
    item = find(c.shop.items, c.talk.item)
    if item is not None and len(quotes_for(c.shop, item, suppliers)) > 1:
        return CompareQuotes(item.id, suppliers)
    coming = sorted(
        (one for one in c.shop.items if one.box >= c.month), key=lambda one: (one.box, one.id)
    )
    able = [one for one in coming if len(quotes_for(c.shop, one, suppliers)) > 1]
    offers = tuple((one.name[:30], compare_sentence(c.shop, one.id)) for one in able[:OFFERED])
    return Unclear("I do not know for which item", offers, whole=True)


def _take(c: Context, item: str, supplier: str) -> Built:
    """Buy by the newest quote of a supplier; None where it made none, so that the words mean
    something else."""
    offer = _made_by(c, item, supplier)
    return TakeQuote(offer.id, item) if offer else None


def _take_named(c: Context, supplier: str, item: str = "") -> Built:
    item = item or c.talk.item
    if find(c.shop.items, item) is None:
        return Unclear("I do not know for which item")
    offer = _made_by(c, item, supplier)
    if offer is None:
        return Unclear("that supplier has quoted nothing for it")
    return TakeQuote(offer.id, item)


def _made_by(c: Context, item_id: str, supplier: str) -> Offer | None:
    item = find(c.shop.items, item_id)
    found = quotes_for(c.shop, item, (supplier,)) if item else ()
    return next((one for one in found if one.id), None)


def _take_now(_c: Context, offer: str, item: str) -> Built:
    return TakeQuote(offer, item, sure=True)


# Words that stand in many patterns of this room.
_WORDS = {
    "<can-i>": "(can|could|should|shall|may|do) (i|we)",
    "<bargain>": "(bargain|haggle|negotiate|deal)",
    "<got-a>": "[i have |we have |here is ][a |an |the |new |a new |another ]",
    "<quoting>": "{supplier:supplier}(:|,) {said:quotewords}",
    "<quoting-for>": "{supplier:supplier} {said:quotefor}",
    "<quotes>": "(quotes|quoted|quote|has quoted)",
    "<offers>": "(offers|offered|asks|wants|would take|has offered)",
    "<a-quote>": "(quote|quotes|quotation|price|prices|offer)",
    "<s>": "('s|s|'|)",
    "<take>": "(take|accept|use|go with|choose|pick)",
    "<buy>": "(buy|take|get|have|order|source)",
    "<write-me>": "[write |draft |make |prepare |compose |send ][me ][an |the |a |new |our ]",
    "<all-the>": "[the |all |all the |my |our ]",
    "<best>": "[the ](best|better|cheapest|cheaper)",
    "<better>": "[for ][a ](better|lower|cheaper) (rate|rates|price|prices|terms|deal|deals)",
    "<write-a>": "[write |give me |make |show ][me ][a |the |my |bargaining |a bargaining ]",
    "<any-new>": "[a |the |their |its |some |us a |me a |an |another ][new |fresh ]",
    "<about-goods>": "(about|on|for) {item:quotegoods}",
    "<goods>": "{item:quotegoods}",
    "<for-goods>": "[ (for|on|about|of) {item:quotegoods}]",
}


def ways(patterns: str) -> str:
    """Patterns with the words of this room written out."""
    for short, words in _WORDS.items():
        patterns = patterns.replace(short, words)
    return patterns


_QUOTE = "a quote"
_A_QUOTE = "Brackenfold quotes 1.40 for the pins, minimum 200, valid until 31 January"

# Sentences of buttons, and of what is said those that another room would read: "got ...".
EXACT: tuple[Phrasing, ...] = (
    Phrasing(
        "quote",
        ways("""
        [i |we |just |i just ]got (a|the|another) (quote|offer) (from|of) <quoting>
        [i |we |just |i just ]got (a|the|another) (quote|offer) (from|of) <quoting-for>
        """),
        _quote,
        "a quote of {supplier}",
        _A_QUOTE,
    ),
    Phrasing(
        "quote",
        "quote of {supplier:quotedby} on {item:exactitem}: {said:quoteterms}",
        _quote_of_item,
        _QUOTE,
        _A_QUOTE,
    ),
    Phrasing(
        "quote",
        "quote of {supplier:quotedby} on {name:quotedgoods}: {said:quoteterms}",
        _quote_of_goods,
        _QUOTE,
        _A_QUOTE,
    ),
    Phrasing(
        "compare quotes",
        "compare the quotes for {item:exactitem}",
        _compare,
        "quotes to compare",
        "compare quotes for the notebook",
        asks=True,
    ),
    Phrasing(
        "take quote",
        "take quote {offer:offerref} for {item:exactitem} now",
        _take_now,
        "a quote to buy by",
        "take the quote of Brackenfold for the pins",
    ),
    Phrasing(
        "take quote",
        "take quote {offer:offerref} for {item:exactitem}",
        lambda _c, offer, item: TakeQuote(offer, item),
        "a quote to buy by",
        "take the quote of Brackenfold for the pins",
    ),
)

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "quote",
        ways("""
        {supplier:supplier} <quotes> {said:quotewords}
        {supplier:plainsupplier} <offers> {said:perhapsquote}
        <got-a>(quote|offer) (from|of|by) <quoting>
        <got-a>(quote|offer) (from|of|by) <quoting-for>
        {supplier:known}<s> (quote|offer)(:| is| was|) {said:quotewords}
        """),
        _quote,
        "a quote of {supplier}",
        _A_QUOTE,
    ),
    Phrasing(
        "compare quotes",
        ways("""
        compare {suppliers:suppliers} (for|on) <goods>
        compare {item:knowngoods} (from|by|of|between) {suppliers:suppliers}
        compare <all-the>(quotes|offers|prices|suppliers) (for|of|on) <goods>
        compare [the ]{item:knowngoods} (quotes|offers|prices)
        {suppliers:knownsuppliers} for {item:knowngoods}
        (which|what) (quote|offer|supplier|one) is <best> for <goods>
        (who is|who's|whos) <best> for <goods>
        [show |show me ]<all-the>quotes (for|of|on) <goods>
        """),
        _compare,
        "quotes to compare",
        "compare Aldermoor and Brackenfold for pins",
        asks=True,
    ),
    Phrasing(
        "compare quotes",
        ways("""
        compare {suppliers:suppliers}
        compare <all-the>(quotes|offers)
        """),
        _compare_what,
        "suppliers to compare",
        "compare Aldermoor and Brackenfold for pins",
        asks=True,
    ),
    Phrasing(
        "take quote",
        ways("""
        <take> [the |that ](quote|offer) (of|from|by) {supplier:supplierid}<for-goods>
        <take> {supplier:supplierid}<s> (quote|offer)<for-goods>
        buy <goods> from {supplier:supplierid} by (that|the|this|its|their) (quote|offer)
        """),
        _take_named,
        "a quote to buy by",
        "take the quote of Brackenfold for the pins",
    ),
    Phrasing(
        "take quote",
        ways("""
        <buy> {item:knowngoods} from {supplier:supplierid}[ instead| then| at (that|this) price]
        <take> {supplier:supplierid} for {item:knowngoods}
        """),
        _take,
        "a quote to buy by",
        "take the quote of Brackenfold for the pins",
    ),
)

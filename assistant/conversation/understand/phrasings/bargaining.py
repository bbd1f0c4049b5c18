"""Ways to speak of bargaining and enquiries; those of quotes stand in quotes.py.

Knows: requests about bargaining. Must not know: how a line is matched. Invariants: a sentence of a
button (EXACT) names a supplier in quotes; an enquiry may go to a supplier that is new.
"""

from assistant.conversation.order_requests import ShowBrief, WhoToBargain, WriteEnquiry
from assistant.conversation.sentences.bargaining import brief, enquiry
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.phrasings import quotes
from assistant.conversation.understand.phrasings.quotes import ways
from assistant.conversation.understand.reading import Built, Kind, Phrasing
from assistant.conversation.understand.unclear import Unclear

OFFERED = 4

KINDS: dict[str, Kind] = {
    **quotes.KINDS,
    "letterto": Kind(r'"[^"]+"', quotes.quoted_supplier),
}


def _brief(_c: Context, supplier: str) -> Built:
    return ShowBrief(supplier)


def _enquiry(_c: Context, supplier: str, item: str = "") -> Built:
    return WriteEnquiry(supplier, item)


def _brief_for_whom(c: Context) -> Built:
    names = [one.name for one in c.shop.suppliers[:OFFERED]]
    offers = tuple((name[:30], brief(name)) for name in names)
    return Unclear("I do not know for which supplier", offers, whole=True)


def _enquiry_to_whom(c: Context, item: str = "") -> Built:
    names = [one.name for one in c.shop.suppliers[:OFFERED]]
    offers = tuple((name[:30], enquiry(c.shop, name, item)) for name in names)
    return Unclear("I do not know to whom", offers, whole=True)


_BRIEF, _ENQUIRY = "a brief for bargaining", "an enquiry"
_A_BRIEF, _AN_ENQUIRY = "brief for Aldermoor", "write an enquiry to Aldermoor"

EXACT: tuple[Phrasing, ...] = (
    Phrasing("brief", "brief for {supplier:letterto}", _brief, _BRIEF, _A_BRIEF, asks=True),
    Phrasing(
        "enquiry",
        """
        write an enquiry about {item:exactitem} to {supplier:quotedby}
        write an enquiry to {supplier:quotedby}
        """,
        _enquiry,
        _ENQUIRY,
        _AN_ENQUIRY,
        asks=True,
    ),
    *quotes.EXACT,
)

TABLE: tuple[Phrasing, ...] = (
    Phrasing(
        "bargain",
        ways("""
        (who|whom|which suppliers|which supplier|with whom) <can-i> <bargain>[ with]
        (who|whom|where) <can-i> (ask|get|press) <better>[ from]
        (where|how) <can-i> <bargain>
        [who |whom ](to )<bargain> with
        (bargaining|negotiating|negotiations|bargains)
        [is there ](any|some) (room|scope) (to|for) (bargain|haggle|negotiate|bargaining|haggling)
        (what|where) <can-i> <bargain> (for|over|about)
        """),
        lambda _c: WhoToBargain(),
        "a question about bargaining",
        "who can I bargain with",
        asks=True,
    ),
    Phrasing(
        "brief",
        ways("""
        <write-a>brief (for|on|about) {supplier:supplierid}
        what <can-i> (ask|get|want|request) (of|from) {supplier:supplierid}[ for]
        what <can-i> ask {supplier:supplierid} for
        what <can-i> ask for (from|of|at) {supplier:supplierid}
        [how ]<can-i> <bargain> with {supplier:supplierid}
        [how to ]<bargain> with {supplier:supplierid}
        {supplier:supplierid} brief
        """),
        _brief,
        _BRIEF,
        _A_BRIEF,
        asks=True,
    ),
    Phrasing(
        "enquiry",
        ways("""
        <write-me>(enquiry|inquiry|quote request|rfq) (to|for) {supplier:supplier}
        <write-me>(enquiry|inquiry|quote request|rfq) (to|for) {supplier:supplier} <about-goods>
        <write-me>(enquiry|inquiry|quote request|request) <about-goods> to {supplier:supplier}
        ask {supplier:supplier} (for|to give) <any-new><a-quote><for-goods>
        ask {supplier:supplier} to quote<for-goods>
        ask {supplier:known} about (prices|the price)<for-goods>
        (get|request|want) <any-new>(quote|quotation|offer) (from|of) {supplier:supplier}<for-goods>
        (enquire|inquire) (at|with|of|from) {supplier:supplier}<for-goods>
        """),
        _enquiry,
        _ENQUIRY,
        _AN_ENQUIRY,
        asks=True,
    ),
    *quotes.TABLE,
)

HALVES: tuple[Phrasing, ...] = (
    Phrasing(
        "brief",
        "[a |the |write |write a |make a ]brief",
        _brief_for_whom,
        _BRIEF,
        _A_BRIEF,
        half=True,
    ),
    Phrasing(
        "enquiry",
        """
        [write |draft |make ][an |the ](enquiry|inquiry)
        [write |draft |make ][an |the ](enquiry|inquiry) (about|for|on) {item:knowngoods}
        ask for (a quote|quotes)[ for {item:knowngoods}]
        (get|request) (a quote|quotes)[ for {item:knowngoods}]
        """,
        _enquiry_to_whom,
        _ENQUIRY,
        _AN_ENQUIRY,
        half=True,
    ),
)

"""What people say of quotes and bargaining: every sentence is invented.

About a third are misspelt, shortened or carelessly typed, as on a phone.
"""

from datetime import date
from decimal import Decimal

from assistant.conversation.order_requests import (
    CompareQuotes,
    NoteQuote,
    ShowBrief,
    TakeQuote,
    WhoToBargain,
    WriteEnquiry,
)
from assistant.conversation.requests import Request
from assistant.planning.model import Break, Lead
from tests.conversation.meant import MAY_PIN, NOTEBOOK, PIN_QUOTE, TEA

WHO = WhoToBargain()
A, B = "aldermoor", "brackenfold"
LINE = NoteQuote(
    "Brackenfold",
    item=MAY_PIN,
    price=Decimal("1.40"),
    breaks=(Break(500, Decimal("1.25")),),
    minimum=200,
    lead=Lead(25),
    valid_until=date(2027, 1, 31),
)


def quote(name: str, price: str, item: str = MAY_PIN, **more: object) -> NoteQuote:
    return NoteQuote(name, item=item, price=Decimal(price), **more)  # type: ignore[arg-type]


BARGAINING: list[tuple[str, Request]] = [
    # whom to ask
    ("who can I bargain with", WHO),
    ("whom can I bargain with?", WHO),
    ("who can i bargain with", WHO),
    ("who should I negotiate with", WHO),
    ("which suppliers can we haggle with", WHO),
    ("who can I ask for a better price", WHO),
    ("who should we ask for better rates", WHO),
    ("where can i bargain", WHO),
    ("who to bargain with", WHO),
    ("bargaining", WHO),
    ("any room to haggle?", WHO),
    ("is there any room for bargaining", WHO),
    ("who can i bargian with pls", WHO),
    # a brief
    ("brief for Aldermoor", ShowBrief(A)),
    ("breif for aldermoor", ShowBrief(A)),
    ("write a brief for Aldermor", ShowBrief(A)),
    ("bargaining brief for Aldermoor", ShowBrief(A)),
    ("a brief on Brackenfold please", ShowBrief(B)),
    ("aldermoor brief", ShowBrief(A)),
    ("what can I ask Aldermoor for", ShowBrief(A)),
    ("what should we ask of Aldermoor", ShowBrief(A)),
    ("what could I get from Brackenfold", ShowBrief(B)),
    ("how do I bargain with Hangfeng", ShowBrief("hangfeng")),
    ("bargain with hangfeng", ShowBrief("hangfeng")),
    ("can I negotiate with Brackenfold?", ShowBrief(B)),
    ("negotaite with Brackenfold", ShowBrief(B)),
    # an enquiry
    ("write an enquiry to Aldermoor", WriteEnquiry("Aldermoor")),
    ("write an inquiry to aldermoor", WriteEnquiry("Aldermoor")),
    ("enquiry to Aldermoor", WriteEnquiry("Aldermoor")),
    ("enqiury to Aldermoor", WriteEnquiry("Aldermoor")),
    ("enquiry for Kirigawa about the pins", WriteEnquiry("Kirigawa", MAY_PIN)),
    ("write an enquiry about the notebook to Tannwald", WriteEnquiry("Tannwald", NOTEBOOK)),
    ("ask Aldermoor for a quote", WriteEnquiry("Aldermoor")),
    ("ask aldermoor for a quote pls", WriteEnquiry("Aldermoor")),
    ("ask Aldermoor to quote", WriteEnquiry("Aldermoor")),
    ("ask Brackenfold for prices", WriteEnquiry("Brackenfold")),
    ("ask Kirigawa for a quote for the pins", WriteEnquiry("Kirigawa", MAY_PIN)),
    ("ask Brackenfold for a new quote for the notebook", WriteEnquiry("Brackenfold", NOTEBOOK)),
    ("get a quote from Brackenfold for the notebok", WriteEnquiry("Brackenfold", NOTEBOOK)),
    ("request a quote from Kirigawa for pins", WriteEnquiry("Kirigawa", MAY_PIN)),
    # a quote
    (
        "Brackenfold quotes 1.40 for the pins, from 500 1.25, minimum 200, 25 working days, "
        "valid until 31 January",
        LINE,
    ),
    (
        "brackenfold qoutes 1.40 for pins, 500+ at 1.25, min 200, 25 wd, good until 31 jan",
        LINE,
    ),
    (
        "quote from Brackenfold for the pins: 1.40, from 500 at 1.25, minimum 200, 25 working "
        "days, valid until 2027-01-31",
        LINE,
    ),
    ("Brackenfold quoted us 1.10 for the mint tea", quote("Brackenfold", "1.10", TEA)),
    ("Brackenfold quotes the pins at 1.40", quote("Brackenfold", "1.40")),
    ("Brackenfold quotes pins 1.40", quote("Brackenfold", "1.40")),
    ("Brackenfold quotes 2 each for the pins", quote("Brackenfold", "2")),
    ("brackenfold quoted 1.35 for them pins", quote("Brackenfold", "1.35")),
    ("Brackenfold offers the pins at 1.20", quote("Brackenfold", "1.20")),
    ("Kirigawa offers the pins at 1.20 EUR", quote("Kirigawa", "1.20", currency="EUR")),
    ("I got a quote from Kirigawa: pins 1.40", quote("Kirigawa", "1.40")),
    ("got a quote from Brackenfold for the pins: 1.40", quote("Brackenfold", "1.40")),
    ("Brackenfold's quote: pins 1.40", quote("Brackenfold", "1.40")),
    (
        "Hangfeng quotes $0.80 for the pins, transit 35 days, carriage 60, set-up 45",
        quote(
            "Hangfeng",
            "0.80",
            currency="USD",
            transit_days=35,
            carriage=Decimal(60),
            setup=Decimal(45),
        ),
    ),
    (
        "Hangfeng quotes 0.80 for the pins, prices in USD, 5 weeks by sea, free delivery",
        quote("Hangfeng", "0.80", currency="USD", transit_days=35, carriage=Decimal(0)),
    ),
    (
        "Tannwald quotes 1,40 EUR for the notebook, in cases of 24, valid for 30 days",
        quote(
            "Tannwald",
            "1.40",
            NOTEBOOK,
            currency="EUR",
            case_pack=24,
            valid_until=date(2026, 12, 26),
        ),
    ),
    (
        "Brackenfold quotes 1.40 for the pins, quoted 3 November, expires 15/12",
        quote("Brackenfold", "1.40", quoted=date(2026, 11, 3), valid_until=date(2026, 12, 15)),
    ),
    (
        "quote from Hangfeng for song thrush pin: 1.20, min 500, 30 days, made in China",
        NoteQuote(
            "Hangfeng",
            name="song thrush pin",
            price=Decimal("1.20"),
            minimum=500,
            lead=Lead(30),
            made_in="CN",
        ),
    ),
    (
        "Brackenfold quotes the pins, minimum 200, 25 working days",
        NoteQuote("Brackenfold", item=MAY_PIN, minimum=200, lead=Lead(25)),
    ),
    # quotes compared
    ("compare Aldermoor and Brackenfold for pins", CompareQuotes(MAY_PIN, (A, B))),
    ("compare aldermor and brackenfold for the pins", CompareQuotes(MAY_PIN, (A, B))),
    ("comapre Aldermoor with Brackenfold for pins", CompareQuotes(MAY_PIN, (A, B))),
    (
        "compare Aldermoor, Brackenfold and Hangfeng for pins",
        CompareQuotes(MAY_PIN, (A, B, "hangfeng")),
    ),
    ("compare the pins from Aldermoor and Brackenfold", CompareQuotes(MAY_PIN, (A, B))),
    ("Aldermoor or Brackenfold for the pins?", CompareQuotes(MAY_PIN, (A, B))),
    ("aldermoor vs brackenfold for pins", CompareQuotes(MAY_PIN, (A, B))),
    ("compare quotes for the notebook", CompareQuotes(NOTEBOOK)),
    ("comapre quotes for notbook", CompareQuotes(NOTEBOOK)),
    ("compare the quotes for the mint tea", CompareQuotes(TEA)),
    ("compare the notebook quotes", CompareQuotes(NOTEBOOK)),
    ("which quote is best for the pins", CompareQuotes(MAY_PIN)),
    ("who is cheapest for the pins?", CompareQuotes(MAY_PIN)),
    ("whos cheapest for pins", CompareQuotes(MAY_PIN)),
    ("quotes for the notebook", CompareQuotes(NOTEBOOK)),
    ("show me the quotes for the pins", CompareQuotes(MAY_PIN)),
    # bought by one
    ("buy the pins from Brackenfold", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("buy the pins from brackenfold instead", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("buy the pins from Brackenfold by that quote", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("take the pins from Brackenfold", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("take the quote of Brackenfold for the pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("tkae the quote of Brackenfold for the pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("accept the offer from Brackenfold for pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("take Brackenfold's quote for the pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("use brackenfolds quote for the pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("go with Brackenfold for the pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("choose Brackenfold for the pins", TakeQuote(PIN_QUOTE, MAY_PIN)),
    ("source the pins from Brackenfold", TakeQuote(PIN_QUOTE, MAY_PIN)),
]

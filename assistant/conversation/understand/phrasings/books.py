"""Ways to tell the figures that the shop reckons with; rows of the room "costs".

Knows: requests about the figures. Must not know: how a line is matched. Invariants: an amount is in
the shop's currency; each example is understood as its row.
"""

from decimal import Decimal

from assistant.conversation.order_requests import ChangeBooks, ShowBooks
from assistant.conversation.understand.amounts import Price
from assistant.conversation.understand.context import Context
from assistant.conversation.understand.reading import Build, Built, Kind, Phrasing
from assistant.conversation.understand.tariffs import own_money
from assistant.conversation.understand.unclear import Unclear
from assistant.conversation.understand.words import bare, slip
from assistant.planning.year.measures import Size

# Words for the figures that can be forgotten, and their fields.
FIGURES: dict[str, tuple[str, ...]] = {
    "packaging": ("packaging",),
    "card": ("card",),
    "parcel": ("parcel_mm",),
    "parcel size": ("parcel_mm",),
    "weight of packaging": ("packaging_grams",),
    "packaging weight": ("packaging_grams",),
    "fee": ("fee_percent", "fee_each"),
    "payment fee": ("fee_percent", "fee_each"),
    "tax": ("tax",),
    "vat": ("tax",),
    "import tax": ("import_tax",),
    "import vat": ("import_tax",),
    "confidence": ("confidence",),
    "damage": ("damage",),
    "cost of running short": ("short_cost",),
    "resale": ("resale",),
    "storage": ("storage",),
    "interest": ("interest",),
    "cost of an order": ("order_cost",),
    "order": ("order_cost",),
    "bank": ("bank", "bank_on"),
    "bank balance": ("bank", "bank_on"),
    "charge day": ("charge_day",),
    "payout day": ("payout_days",),
    "overhead": ("overhead",),
    "delivery address": ("deliver_to",),
}


def _figure(text: str, _c: Context) -> tuple[str, ...] | None:
    said = bare(text).removesuffix(" cost").removesuffix(" costs").removesuffix("s")
    names = (one for one in FIGURES if said == one or slip(said, one, "sure") == "sure")
    return FIGURES.get(next(names, ""))


def _half_size(text: str, _c: Context) -> Unclear:
    return Unclear(f'"{text.strip()[:40]}" is not three sides; say them as 350 x 250 x 80 mm')


KINDS: dict[str, Kind] = {
    "figure": Kind(r"[a-z ]{3,40}?", _figure),
    "halfsize": Kind(r"\d[\d.,]* ?(?:mm|cm|in)? ?[x\u00d7].{0,30}", _half_size),
}

_WORDS = {
    "<import-tax>": "(import tax|import vat|import gst|tax at import|vat at import)",
    "<empty>": "(packaging|empty parcel|empty box|empty mailer)",
    "<pc>": "[ ](%|percent|per cent)",
    "<a-box>": "[ a box| per box| each| for each box| for a box]",
    "<is>": "[ is| are| costs| cost][:| =]",
}


def _row(
    name: str, says: str, build: Build, gist: str, example: str, *, asks: bool = False
) -> Phrasing:
    for short, written in _WORDS.items():
        says = says.replace(short, written)
    return Phrasing(name, says, build, gist, example, asks=asks)


def _packaging(c: Context, price: Price) -> Built:
    amount = own_money(price, c)
    return amount if isinstance(amount, Unclear) else ChangeBooks(packaging=amount)


def _card(c: Context, price: Price) -> Built:
    amount = own_money(price, c)
    return amount if isinstance(amount, Unclear) else ChangeBooks(card=amount)


def _fees(c: Context, percent: Decimal | None = None, each: Price | None = None) -> Built:
    amount = own_money(each, c) if each else None
    if isinstance(amount, Unclear):
        return amount
    return ChangeBooks(fee_percent=percent, fee_each=amount)


def _parcel(_c: Context, mm: Size) -> Built:
    return ChangeBooks(parcel_mm=mm)


TABLE: tuple[Phrasing, ...] = (
    _row(
        "figures",
        """
        what do (you|we|i) reckon with
        (what|which) (figures|numbers|amounts) (do|are) (you|we|i|used)[ use| reckon with| know]
        [show |show me |what are ][my |our |the ](figures|books)
        """,
        lambda _c: ShowBooks(),
        "the figures that I reckon with",
        "what do you reckon with",
        asks=True,
    ),
    _row(
        "packaging",
        """
        [our |the ](packaging|packing material|packing materials)[ cost]<is> {price:money}<a-box>
        [our |the ](mailers|postal boxes|box and tissue) (cost|are) {price:money}<a-box>
        """,
        _packaging,
        "what packaging costs",
        "packaging 0.85 a box",
    ),
    _row(
        "card",
        """
        [our |the |an |a ](insert |theme |printed )(card|cards)<is> {price:money}<a-box>
        [our |the |an |a ](card|cards)<is> {price:money}<a-box>
        """,
        _card,
        "what a card costs",
        "card 0.12 a box",
    ),
    _row(
        "packaging weight",
        """
        [our |the |an ]<empty> (weighs|weigh) {grams:weight}
        [our |the ](packaging|parcel) weight<is> {grams:weight}
        [the ]weight of [the |our ]<empty><is> {grams:weight}
        """,
        lambda _c, grams: ChangeBooks(packaging_grams=grams),
        "what an empty parcel weighs",
        "packaging weighs 120 g",
    ),
    _row(
        "parcel",
        """
        [our |the |a ](parcel|parcels)[ size][ is| are| measures| measure][:] {mm:size}[ outside]
        [our |the ](outside|outer size) of the (parcel|box|mailer)[ is][:] {mm:size}
        """,
        _parcel,
        "the outside of a parcel",
        "parcel 350 x 250 x 80 mm",
    ),
    _row(
        "parcel",
        "[our |the |a ](parcel|parcels)[ size][ is| are| measures| measure][:] {size:halfsize}",
        lambda _c, **_said: None,  # the size says what is wrong with it
        "the outside of a parcel",
        "parcel 350 x 250 x 80 mm",
    ),
    _row(
        "fees",
        """
        <fees> {percent:percent}<pc>[ ](+|and|plus)[ ]{each:money}<each>
        <fees> {each:money}[ ](+|and|plus)[ ]{percent:percent}<pc>
        <fees> {percent:percent}<pc>
        <fees> {each:money} (a payment|each|per payment|a charge|for each payment)
        """.replace(
            "<fees>",
            "[our |the ](fees|payment fees|card fees|processing fees|the payments cost"
            "|the payment provider takes|payments cost)[ are| is][:]",
        ).replace("<each>", "[ each| a payment| per payment| a charge]"),
        _fees,
        "fees of payments",
        "fees 1.5% + 20p",
    ),
    _row(
        "import tax",
        """
        <import-tax><is> {percent:percent}<pc>
        {percent:percent}<pc> <import-tax>
        """,
        lambda _c, percent: ChangeBooks(import_tax=percent),
        "tax at import",
        "import tax 20%",
    ),
    _row(
        "tax",
        """
        <my> (include|includes|contain|contains|have|with) {percent:percent}<pc> <vat>
        <my> (include|includes|contain|contains|have|with) <vat>[ of| at] {percent:percent}<pc>
        (vat|gst|sales tax)<is> {percent:percent}<pc>
        {percent:percent}<pc> <vat> (is|are) (in|included in|contained in) <my>
        """.replace(
            "<my>", "[my |our |the ](prices|price|box price|price of the box|price of a box)"
        ).replace("<vat>", "(vat|tax|gst|sales tax)"),
        lambda _c, percent: ChangeBooks(tax=percent),
        "tax in your prices",
        "my prices include 20% VAT",
    ),
    _row(
        "no tax",
        """
        [my |our |the ](prices|price) (include|includes|contain|contains|have) no (vat|tax|gst)
        (i|we) (charge|pay|add) no (vat|gst|sales tax)
        (i am|i'm|we are|we're) not (vat registered|registered for vat|registered for gst)
        """,
        lambda _c: ChangeBooks(forget=("tax",)),
        "prices without tax",
        "my prices include no VAT",
    ),
    _row(
        "forget a figure",
        """
        (forget|clear|drop) [what ](the |my |our ){figures:figure}[ costs| cost| weighs| is]
        (forget|clear) {figures:figure}[ cost| costs]
        """,
        lambda _c, figures: ChangeBooks(forget=figures),
        "a figure to forget, {figures}",
        "forget the packaging cost",
    ),
)

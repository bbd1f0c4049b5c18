"""What people say of recurring types and of spreading them, and what it means: every sentence is
invented. About a third are misspelt, shortened or carelessly typed, as on a phone."""

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from msgspec.structs import replace

from assistant.conversation.requests import ChangeShop, Request
from assistant.conversation.year_requests import (
    AddType,
    ChangeType,
    DropType,
    PinType,
    SetRoom,
    ShowSpread,
    ShowTypes,
    SpreadTypes,
    TypeFacts,
    UseSpread,
)
from assistant.planning.model import Placement, Proposal, RecurringType
from tests.conversation.meant import SHOP, TALK

TEA = RecurringType(
    "tea", "tea", 6, ("mint", "chai"), (12,), (7,), apart=("biscuit",), pins=("2027-03",)
)
NOTEBOOK = RecurringType("field notebook", "field notebook", 4, ("lined", "dotted"))
KNOWN = (TEA, NOTEBOOK)
PROPOSAL = Proposal(
    id=TALK.id,
    at=datetime(2026, 11, 26, 9, tzinfo=UTC),
    first="2027-01",
    last="2027-12",
    options=((Placement("tea", "2027-03"),), (Placement("tea", "2027-04"),)),
)
WITH_TYPES = replace(SHOP, types=KNOWN)  # the shop with these types
WHILE_SHOWN = replace(WITH_TYPES, proposals=(PROPOSAL,))  # and with a spread, which SHOWN shows
SHOWN = replace(TALK, options=("use spread 1",))


def new(name: str, times: int | None = None, **facts: Any) -> AddType:
    return AddType(TypeFacts(name=name, times=times, **facts))


def tea(**facts: Any) -> ChangeType:
    return ChangeType("tea", TypeFacts(**facts))


def notebook(**facts: Any) -> ChangeType:
    return ChangeType("field notebook", TypeFacts(**facts))


FORMS = ("lined", "dotted", "blank", "grid")

# Said in a shop without types.
TYPES: list[tuple[str, Request]] = [
    (
        "field notebook four times a year: lined, dotted, blank, grid",
        new("field notebook", 4, forms=FORMS),
    ),
    (
        "Field Notebook 4 times a year: lined, dotted, blank and grid.",
        new("Field Notebook", 4, forms=FORMS),
    ),
    ("field notebook 4x: lined; dotted; blank; grid", new("field notebook", 4, forms=FORMS)),
    ("field notebook 4 tiems a year", new("field notebook", 4)),
    (
        "tea 6 times a year, not in July, costs 1.80, not with biscuits",
        new("tea", 6, must_not=(7,), unit_cost=Decimal("1.80"), apart=("biscuits",)),
    ),
    (
        "tea 6x, not in july or aug, £1.80",
        new("tea", 6, must_not=(7, 8), unit_cost=Decimal("1.80")),
    ),
    ("tea 6 x a yr, not july, aug", new("tea", 6, must_not=(7, 8))),
    (
        "seed packet 3x: wildflower, herb, salad; must be in March; suits spring, garden",
        new(
            "seed packet",
            3,
            forms=("wildflower", "herb", "salad"),
            must=(3,),
            suits=("spring", "garden"),
        ),
    ),
    ("enamel pin twice a year", new("enamel pin", 2)),
    ("enamel pin twise a year", new("enamel pin", 2)),
    ("an enamel pin once a year, always in December", new("enamel pin", 1, must=(12,))),
    ("recurring type: art print, every third box", new("art print", 4)),
    ("recurring type art print every other month", new("art print", 6)),
    ("postcard set every other month", new("postcard set", 6)),
    ("new type sticker in every box", new("sticker", 12)),
    ("new type: calendar, quarterly, takes 2 places", new("calendar", 4, room=2)),
    ("new type tea, 4 times", new("tea", 4)),
    (
        "add a recurring type: candle, 3 times a year, not with matches",
        new("candle", 3, apart=("matches",)),
    ),
    ("Add type balm", new("balm")),
    ("types", ShowTypes()),
    ("recurring types", ShowTypes()),
    ("recuring types", ShowTypes()),
    ("show me the types", ShowTypes()),
    ("what are our recurring types?", ShowTypes()),
    ("room for 4 types in a box", ChangeShop(room=4)),
    ("each box has room for four", ChangeShop(room=4)),
    ("at most 4 types per box", ChangeShop(room=4)),
    ("March has room for 2", SetRoom("2027-03", 2)),
    ("march has room for two types", SetRoom("2027-03", 2)),
    ("room for 2 in dec", SetRoom("2026-12", 2)),
    ("March has the usual room", SetRoom("2027-03", None)),
    ("spread the types", SpreadTypes()),
    ("spread teh types", SpreadTypes()),
    ("spread again", SpreadTypes()),
    ("spread", SpreadTypes()),
    ("can you spread the types evenly?", SpreadTypes()),
    ("spread the types over 2027", SpreadTypes(year=2027)),
    ("spread types for 2028", SpreadTypes(year=2028)),
    ("spread over the next 24 months", SpreadTypes(months=24)),
    ("spread over two years", SpreadTypes(months=24)),
    ("spread 2", ShowSpread(2)),
    ("show spread 3", ShowSpread(3)),
    ("use spread 2", UseSpread(2)),
    ("take way 2", UseSpread(2)),
]

# Said in a shop with KNOWN types.
CHANGES: list[tuple[str, Request]] = [
    ("tea 5 times a year", tea(times=5)),
    ("tea 5x", tea(times=5)),
    ("teas five times a year", tea(times=5)),
    ("the notebook 5 times a year", notebook(times=5)),
    ("notebook every other box", notebook(times=6)),
    ("recurring type: tea, 5 times a year", tea(times=5)),
    ("type tea: 3 times a year", tea(times=3)),
    ("tea not in August", tea(must_not=(7, 8))),
    ("tea never in aug", tea(must_not=(7, 8))),
    ("no tea in August and December", tea(must_not=(7, 8, 12), must=())),
    ("tea only in may or june", tea(must_not=(1, 2, 3, 4, 7, 8, 9, 10, 11, 12))),
    ("tea may be in July again", tea(must_not=())),
    ("tea can be in july", tea(must_not=())),
    ("tea must be in March", tea(must=(3, 12))),
    ("tea must be in July", tea(must=(7, 12), must_not=())),
    ("tea need not be in December", tea(must=())),
    ("notebook takes 2 places", notebook(room=2)),
    ("notebook takes up room 2", notebook(room=2)),
    ("the notebook needs room for two", notebook(room=2)),
    ("tea and notebook may not share a box", tea(apart=("biscuit", "notebook"))),
    ("candles and tea can't be in the same box", tea(apart=("biscuit", "candles"))),
    ("tea not with candles", tea(apart=("biscuit", "candles"))),
    ("never put tea with candles", tea(apart=("biscuit", "candles"))),
    ("tea and biscuits may share a box", tea(apart=())),
    ("type tea may share a box with biscuit", tea(apart=())),
    ("forms of tea: mint, chai, oolong", tea(forms=("mint", "chai", "oolong"))),
    ("tea comes in mint and rose", tea(forms=("mint", "rose"))),
    ("add form rose to tea", tea(forms=("mint", "chai", "rose"))),
    ("add the forms rose and lime to tea", tea(forms=("mint", "chai", "rose", "lime"))),
    ("drop form mint from tea", tea(forms=("chai",))),
    ("tea costs 1.80", tea(unit_cost=Decimal("1.80"))),
    ("type tea costs £2", tea(unit_cost=Decimal(2))),
    ("tea suits fog, moss", tea(suits=("fog", "moss"))),
    ("drop type tea", DropType("tea")),
    ("forget the type tea", DropType("tea")),
    ("forgte the type notebook", DropType("field notebook")),
    ("tea is no longer a recurring type", DropType("tea")),
    ("pin tea in March", PinType("tea", "2027-03")),
    ("pin the notebok in march", PinType("field notebook", "2027-03")),
    ("keep the notebook in May", PinType("field notebook", "2027-05")),
    ("unpin tea", PinType("tea", "2027-03", pin=False)),
    ("unpin tea from march", PinType("tea", "2027-03", pin=False)),
]

# Said while the first of two spreads is shown.
WHILE: list[tuple[str, Request]] = [
    ("another", ShowSpread(2)),
    ("another one please", ShowSpread(2)),
    ("show me another", ShowSpread(2)),
    ("next one", ShowSpread(2)),
    ("use it", UseSpread(1)),
    ("I'll take this one", UseSpread(1)),
    ("use 2", UseSpread(2)),
    ("take number 2", UseSpread(2)),
    ("yes", UseSpread(1)),
    ("1", UseSpread(1)),
]

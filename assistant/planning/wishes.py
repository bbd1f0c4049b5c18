"""What the owner wishes for the year, and what suppliers offer, as records.

Knows: recurring types, where they were placed, price lists. Must not know: how a year is spread
(spread/). Invariants: those of model.py, through which all of these are known.
"""

from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from assistant.planning.books import Break
from assistant.planning.records import Lead, Record

IdeaState = Literal["waiting", "used", "let go"]


class Idea(Record, tag="idea"):
    """A thought caught in chat. `id` is the id of the message that brought it."""

    id: str
    text: str
    at: datetime
    by: str = ""  # Person.id
    months: tuple[int, ...] = ()  # 1..12
    photo: str = ""  # id of a kept file
    link: str = ""
    source: str = ""  # of whom it was forwarded, or which subscriber suggested it
    votes: int = 0  # subscribers who asked for it
    state: IdeaState = "waiting"
    box: str = ""  # where it was put to use


class RecurringType(Record, tag="type"):
    """A product type that comes back `times` times in twelve months, each time in another form.

    `must` and `must_not` are months (1..12) in which it has to come and may not come. `room` is
    how much of a box's room it takes; `apart` names the types (ids) that may not share a box with
    it; `unit_cost` is in the shop's currency; `suits` are words of the themes that it goes with;
    `pins` are boxes (ids) in which it stays whatever is spread again.
    """

    id: str
    name: str
    times: int = 1
    forms: tuple[str, ...] = ()
    must: tuple[int, ...] = ()
    must_not: tuple[int, ...] = ()
    room: int = 1
    apart: tuple[str, ...] = ()
    unit_cost: Decimal | None = None
    suits: tuple[str, ...] = ()
    pins: tuple[str, ...] = ()


class Placement(Record):
    """One return of a recurring type: in which box, in which form, and the item that it is (""
    where it still has to be made)."""

    type: str
    box: str
    form: str = ""
    item: str = ""


class Score(Record):
    """How good one way to spread the types is, as it was worked out (fields as in spread.Option);
    `again` are the types (ids) that repeat a form too early."""

    proved: bool = True
    off: int = 0  # percent
    running: int = 0
    gaps: tuple[tuple[str, tuple[int, ...]], ...] = ()
    cost_low: Decimal = Decimal(0)
    cost_high: Decimal = Decimal(0)
    band: Decimal = Decimal(0)
    again: tuple[str, ...] = ()


class Proposal(Record, tag="proposal"):
    """Ways to spread the types that await the owner's choice, the best first, each with its score;
    `id` is the chat's address. `first` and `last` are the boxes (ids) between which they were
    spread; `rests_on` is a fingerprint of the wishes and the plan: under another one they are
    stale."""

    id: str
    at: datetime
    first: str
    last: str
    options: tuple[tuple[Placement, ...], ...]
    scores: tuple[Score, ...] = ()
    rests_on: str = ""


class OfferRow(Record):
    """One line of a price list as read: `where` names it ("row 7"). Empty fields were not there."""

    where: str
    name: str
    type: str = ""
    price: Decimal | None = None
    currency: str = ""
    minimum: int | None = None
    case_pack: int | None = None
    quoted: date | None = None
    lead: Lead | None = None
    grams: int | None = None
    mm: tuple[int, int, int] | None = None
    made_in: str = ""
    supplier: str = ""
    notes: str = ""
    breaks: tuple[Break, ...] = ()
    valid_until: date | None = None


class Offer(Record, tag="offer"):
    """What a supplier offers, by its price list or by a quote; fields as those of an item that is
    taken from it. `quoted` is the day of the list or quote, `valid_until` the last day on which it
    holds; `item` is the Item.id that a quote was asked for, "" in a list. `notes` are its own
    words, searched like the name."""

    id: str
    supplier: str  # Supplier.id
    name: str
    type: str = ""
    price: Decimal | None = None
    currency: str = ""  # "" is the shop's
    minimum: int | None = None
    case_pack: int | None = None
    quoted: date | None = None
    lead: Lead | None = None
    grams: int | None = None
    mm: tuple[int, int, int] | None = None
    made_in: str = ""
    notes: str = ""
    breaks: tuple[Break, ...] = ()
    setup: Decimal | None = None
    carriage: Decimal | None = None  # of the whole order, where the quote names one
    transit_days: int | None = None
    valid_until: date | None = None
    item: str = ""

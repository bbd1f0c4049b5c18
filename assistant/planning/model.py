"""The records of one shop, frozen.

Knows: what a shop is made of. Must not know: words of a conversation, where records are
kept, what time it is. Invariants: a record never changes; a sequence inside a record is a
tuple; every record that is kept has an `id` that was given to it (never counted), unique in
its table; money is `Decimal`; a date without a time is a `date`; a moment is an aware UTC
`datetime`. Deadlines are not here: they are derived, never stored.
"""

from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from assistant.planning.books import Band as Band
from assistant.planning.books import Books as Books
from assistant.planning.books import Break as Break
from assistant.planning.books import Cohort as Cohort
from assistant.planning.books import Count as Count
from assistant.planning.books import Group as Group
from assistant.planning.books import GroupKind as GroupKind
from assistant.planning.books import Order as Order
from assistant.planning.books import OrderLine as OrderLine
from assistant.planning.books import Rate as Rate
from assistant.planning.books import Spend as Spend
from assistant.planning.books import Tariff as Tariff
from assistant.planning.happened import Backup as Backup
from assistant.planning.happened import Claim as Claim
from assistant.planning.happened import Delivery as Delivery
from assistant.planning.happened import Material as Material
from assistant.planning.happened import Opinion as Opinion
from assistant.planning.happened import Purchase as Purchase
from assistant.planning.happened import Run as Run
from assistant.planning.happened import Sent as Sent
from assistant.planning.happened import Stock as Stock
from assistant.planning.happened import Tally as Tally
from assistant.planning.issued import Feed as Feed
from assistant.planning.issued import Issue as Issue
from assistant.planning.people import Invite as Invite
from assistant.planning.people import Person as Person
from assistant.planning.people import Place as Place
from assistant.planning.people import Role as Role
from assistant.planning.people import Stranger as Stranger
from assistant.planning.records import Almanac as Almanac
from assistant.planning.records import CautionRule as CautionRule
from assistant.planning.records import ChanceRule as ChanceRule
from assistant.planning.records import Closure as Closure
from assistant.planning.records import House as House
from assistant.planning.records import Lead as Lead
from assistant.planning.records import OccasionRule as OccasionRule
from assistant.planning.records import Party as Party
from assistant.planning.records import Record as Record
from assistant.planning.records import StageRule as StageRule
from assistant.planning.records import Unit as Unit
from assistant.planning.rows import Row as Row
from assistant.planning.wishes import Idea as Idea
from assistant.planning.wishes import IdeaState as IdeaState
from assistant.planning.wishes import Offer as Offer
from assistant.planning.wishes import OfferRow as OfferRow
from assistant.planning.wishes import Placement as Placement
from assistant.planning.wishes import Proposal as Proposal
from assistant.planning.wishes import RecurringType as RecurringType

# --- what a shop keeps ----------------------------------------------------------------------


class Profile(Record, tag="profile"):
    """The shop itself. Numbers left None are the house's defaults."""

    id: str = "shop"
    name: str = "My shop"
    currency: str = "GBP"
    zone: str = "Europe/London"
    country: str = "GB"
    subdivision: str = "ENG"
    week: str = "Mon-Fri"
    closures: tuple[Closure, ...] = ()
    ship_rule: str = "the 15th or the working day before"
    subscribers: int = 0
    price: Decimal | None = None
    boxes_per_hour: int | None = None
    crew: int | None = None
    hours_per_day: int | None = None
    lengths: tuple[tuple[str, int], ...] = ()  # (stage name, days) where she chose her own
    room: int | None = None  # recurring types that one box holds at most, by their `room`
    items_a_box: int | None = None
    target: Decimal | None = None  # what the items of one box may cost, shop's currency
    mailer_grams: int | None = None  # what the contents of one mailer may weigh
    mailer_mm: tuple[int, int, int] | None = None  # inside length, width, height
    school: tuple[Closure, ...] = ()  # school holidays: prompts for themes, no days off


class Supplier(Record, tag="supplier"):
    """Who sells an item. `country` "" means the shop's own."""

    id: str
    name: str
    country: str = ""
    subdivision: str = ""
    week: str = "Mon-Fri"
    closures: tuple[Closure, ...] = ()
    confirm_days: int = 0  # supplier working days from order to start of making
    lead: Lead | None = None  # where an item names none of its own
    transit_days: int | None = None  # calendar days; None: the house's default
    deposit_percent: Decimal | None = None
    net_days: int | None = None  # balance due so many days after dispatch
    end_of_month: bool = False  # net days count from the end of the month of dispatch
    early_percent: Decimal | None = None  # off the balance when paid within `early_days`
    early_days: int | None = None
    currency: str = ""  # of its prices; "" is the shop's
    minimum_value: Decimal | None = None  # of one order, its currency
    carriage: Decimal | None = None  # for each order, its currency
    free_from: Decimal | None = None  # order value from which carriage is free
    duty: Decimal | None = None  # percent of the value at import
    spends: tuple[Spend, ...] = ()


class Box(Record, tag="box"):
    """One shipment of the year plan. `id` is its month, `2027-03` (a second box of a month:
    `2027-03b`). `ship_on` overrides the shop's ship-day rule."""

    id: str
    theme: str = ""
    ship_on: date | None = None
    room: int | None = None  # None: the profile's


class Item(Record, tag="item"):
    """One product line in one box. Names are unique within a box."""

    id: str
    box: str  # Box.id
    name: str
    type: str = ""
    form: str = ""
    supplier: str = ""  # Supplier.id
    unit_cost: Decimal | None = None
    currency: str = ""  # "" is the shop's
    quantity: int | None = None
    lead: Lead | None = None
    made_in: str = ""  # ISO 3166 alpha-2
    minimum: int | None = None  # pieces the supplier sells at least
    case_pack: int | None = None  # pieces in a case
    quoted: date | None = None  # the day of the quote
    grams: int | None = None  # of one piece
    mm: tuple[int, int, int] | None = None  # of one piece, as it lies in the mailer
    main: bool = False  # the one that stands out in its box
    breaks: tuple[Break, ...] = ()
    setup: Decimal | None = None  # once an order: plates, moulds, artwork
    units: int = 1  # pieces in one box
    shares: tuple[tuple[str, Decimal], ...] = ()  # options (size, colour), percent of subscribers
    stock: int | None = None  # usable pieces on hand that this box may use
    damage: Decimal | None = None  # percent that arrive unusable; None: as the shop's books
    keeps_days: int | None = None  # from arrival, before its best-before date is too near
    goods: tuple[tuple[str, bool], ...] = ()  # (kind of goods, whether it is so) as answered


# --- the ledger and the conversation's memory -----------------------------------------------

MarkState = Literal["open", "done", "not needed"]


class Mark(Record, tag="mark"):
    """The ledger's line for one deadline; `id` is the deadline's key (`<item or box id>/<stage>`).

    `at` and `by` say when and by whom (Person.id) it was marked last.
    """

    id: str
    state: MarkState = "open"
    until: date | None = None  # put off: no nudge before this day
    at: datetime | None = None
    by: str = ""
    to: str = ""  # Person.id of who alone is nudged for it; "" is everybody


class Morning(Record, tag="morning"):
    """The last digest of one person (`id` is Person.id): its local day, and what it told of
    what lies ahead as (deadline key, deadline date)."""

    id: str
    day: date
    told: tuple[tuple[str, date], ...] = ()


class Talk(Record, tag="talk"):
    """What one chat was last about (`id` is the chat's address).

    `options` are the sentences that "1", "2", "yes" stand for; `item` and `box` are what "it"
    and "that box" mean; `ideas` (ids) and `deadlines` (keys) are the last list shown, so that
    "use 2 in May" and "done 1" can be said; `offers` (ids) likewise.
    """

    id: str
    options: tuple[str, ...] = ()
    item: str = ""
    box: str = ""
    ideas: tuple[str, ...] = ()
    deadlines: tuple[str, ...] = ()
    offers: tuple[str, ...] = ()
    sitting: str = ""  # Box.id whose theme the sitting asked for last


class Draft(Record, tag="draft"):
    """A file that was read and awaits the owner's yes; `id` is the chat's address."""

    id: str
    name: str
    at: datetime
    rows: tuple[Row, ...] = ()
    offers: tuple[OfferRow, ...] = ()
    supplier: str = ""  # name of the supplier whose price list `offers` are
    tallies: tuple[Tally, ...] = ()  # of a survey
    box: str = ""  # Box.id that the survey is taken to be about where it names none


class Variant(Record, tag="variant"):
    """A second version of the year, kept to be compared and adopted; `id` is its name in lower
    case. `boxes` and `items` are all those of the plan as they stood, `marks` their ledger."""

    id: str
    name: str
    at: datetime
    boxes: tuple[Box, ...]
    items: tuple[Item, ...]
    marks: tuple[Mark, ...] = ()


Kept = (
    Profile
    | Supplier
    | Box
    | Item
    | Idea
    | Person
    | Place
    | Invite
    | Stranger
    | Mark
    | Morning
    | Talk
    | Draft
    | Almanac
    | RecurringType
    | Offer
    | Proposal
    | Variant
    | Books
    | Count
    | Cohort
    | Group
    | Rate
    | Tariff
    | Order
    | Purchase
    | Delivery
    | Claim
    | Run
    | Material
    | Stock
    | Opinion
    | Sent
    | Backup
    | Issue
    | Feed
)

TABLES: tuple[tuple[str, type[Kept]], ...] = (
    ("profile", Profile),
    ("suppliers", Supplier),
    ("boxes", Box),
    ("items", Item),
    ("ideas", Idea),
    ("people", Person),
    ("places", Place),
    ("invites", Invite),
    ("strangers", Stranger),
    ("ledger", Mark),
    ("mornings", Morning),
    ("talks", Talk),
    ("drafts", Draft),
    ("almanac", Almanac),
    ("types", RecurringType),
    ("offers", Offer),
    ("proposals", Proposal),
    ("variants", Variant),
    ("books", Books),
    ("counts", Count),
    ("cohorts", Cohort),
    ("groups", Group),
    ("rates", Rate),
    ("tariffs", Tariff),
    ("orders", Order),
    ("purchases", Purchase),
    ("deliveries", Delivery),
    ("claims", Claim),
    ("runs", Run),
    ("materials", Material),
    ("stock", Stock),
    ("opinions", Opinion),
    ("sent", Sent),
    ("backups", Backup),
    ("issued", Issue),
    ("feeds", Feed),
)


class Put(Record, tag="put"):
    """Keep this record, in place of one of the same id if there is one."""

    record: Kept


class Remove(Record, tag="remove"):
    """Let go of a record."""

    table: str
    id: str


Change = Put | Remove


class Entry(Record, tag="entry"):
    """One commit in the shop's history: who changed what, why (the words that did it), and the
    changes that take it back. `number` is the shop's version after it."""

    number: int
    at: datetime
    by: str
    why: str
    changes: tuple[Change, ...]
    inverse: tuple[Change, ...]
    undoes: int = 0  # the number of the entry that this one took back


class Shop(Record):
    """All that is known of one shop, as one value."""

    id: str
    house: House
    version: int = 0
    profile: tuple[Profile, ...] = ()  # none before the first message; see `profile_of`
    suppliers: tuple[Supplier, ...] = ()
    boxes: tuple[Box, ...] = ()
    items: tuple[Item, ...] = ()
    ideas: tuple[Idea, ...] = ()
    people: tuple[Person, ...] = ()
    places: tuple[Place, ...] = ()
    invites: tuple[Invite, ...] = ()
    strangers: tuple[Stranger, ...] = ()
    ledger: tuple[Mark, ...] = ()
    mornings: tuple[Morning, ...] = ()
    talks: tuple[Talk, ...] = ()
    drafts: tuple[Draft, ...] = ()
    almanac: tuple[Almanac, ...] = ()
    types: tuple[RecurringType, ...] = ()
    offers: tuple[Offer, ...] = ()
    proposals: tuple[Proposal, ...] = ()
    variants: tuple[Variant, ...] = ()
    books: tuple[Books, ...] = ()
    counts: tuple[Count, ...] = ()
    cohorts: tuple[Cohort, ...] = ()
    groups: tuple[Group, ...] = ()
    rates: tuple[Rate, ...] = ()
    tariffs: tuple[Tariff, ...] = ()
    orders: tuple[Order, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    claims: tuple[Claim, ...] = ()
    runs: tuple[Run, ...] = ()
    materials: tuple[Material, ...] = ()
    stock: tuple[Stock, ...] = ()
    opinions: tuple[Opinion, ...] = ()
    sent: tuple[Sent, ...] = ()
    backups: tuple[Backup, ...] = ()
    issued: tuple[Issue, ...] = ()
    feeds: tuple[Feed, ...] = ()
    recent: tuple[Entry, ...] = ()  # the newest entries of the history, oldest first

"""What has happened to a box and its items: bought, arrived, packed, thought of it.

Knows: the fields of these records. Must not know: what follows from them. Invariants: those of
model.py, through which all of these are known; what happened is kept beside the plan and never
changes what was planned.
"""

from datetime import date, datetime
from decimal import Decimal

from assistant.planning.records import Record


class Purchase(Record, tag="purchase"):
    """What was agreed for an item; `id` is Item.id.

    `promised` is the day on which it is to arrive as last promised (`said` on which day, told by
    `said_by`), `first_promised` as promised first; `dispatched` the day it left, `tracking` the
    carrier's number; `checked` the day on which what came was found good, by `checked_by`. Who
    did something is a Person.id.
    """

    id: str
    quantity: int | None = None
    price: Decimal | None = None
    currency: str = ""
    ordered: date | None = None
    reference: str = ""
    first_promised: date | None = None
    promised: date | None = None
    said: date | None = None
    said_by: str = ""
    dispatched: date | None = None
    tracking: str = ""
    checked: date | None = None
    checked_by: str = ""


class Delivery(Record, tag="delivery"):
    """Pieces of an item that came on a day, `damaged` of them unusable."""

    id: str
    item: str  # Item.id
    on: date
    pieces: int
    damaged: int = 0
    note: str = ""
    by: str = ""  # Person.id of who counted


class Claim(Record, tag="claim"):
    """What a supplier was asked to make good for an item; `id` is Item.id. `follow_up` is the day
    on which to ask again, `settled` the day on which it was made good; with `enough` good pieces of
    it in all it is made good by itself."""

    id: str
    short: int = 0
    damaged: int = 0
    on: date | None = None
    follow_up: date | None = None
    settled: date | None = None
    how: str = ""  # "replaced", "credited", as told
    enough: int | None = None


class Run(Record, tag="run"):
    """The packing run of a box; `id` is Box.id. None is as the shop's profile has it.

    `first` is the first pack day as chosen, `collection` the day booked with the carrier;
    `packed` are boxes counted so far, each with its moment.
    """

    id: str
    first: date | None = None
    crew: int | None = None
    hours: Decimal | None = None
    collection: date | None = None
    packed: tuple[tuple[datetime, int], ...] = ()


class Material(Record, tag="material"):
    """What every box is packed with: mailers, tissue, cards, tape, labels. `per_box` pieces, or a
    part of one; `stock` pieces as `counted` at a moment."""

    id: str  # its name in lower case
    name: str
    per_box: Decimal = Decimal(1)
    stock: int | None = None
    counted: datetime | None = None


class Stock(Record, tag="stock"):
    """Pieces left over, to be used again."""

    id: str
    name: str
    pieces: int
    on: date
    box: str = ""  # Box.id of which they are left
    type: str = ""
    form: str = ""
    supplier: str = ""
    best_before: date | None = None


class Opinion(Record, tag="opinion"):
    """What subscribers said of an item, or of a box (`item` ""): `score` is the mean of `answers`
    scores from 1 to 5 (0: it was not told how many), `words` what they said. `id` is the id of the
    item or box; names are kept, since items of sent boxes may go."""

    id: str
    box: str
    item: str = ""
    name: str = ""
    type: str = ""
    score: Decimal | None = None
    answers: int = 0
    words: tuple[str, ...] = ()


class Tally(Record):
    """What the answers of a survey say of one thing. `where` names the place in the file at which
    it stands first; `name` is what the file calls it ("" is the box as a whole), `month` (1..12, 0
    where it was not told) and `year` those of its box. `score` is the mean of `answers` scores
    from 1 to 5, `words` are comments."""

    where: str
    name: str = ""
    month: int = 0
    year: int | None = None
    score: Decimal | None = None
    answers: int = 0
    words: tuple[str, ...] = ()


class Sent(Record, tag="sent"):
    """A box that has gone out; `id` is Box.id. What it came to, beside what was planned then."""

    id: str
    on: date
    boxes: int
    theme: str = ""
    planned_on: date | None = None
    cost: Decimal | None = None  # of one box, shop's currency
    planned_cost: Decimal | None = None
    hours: Decimal | None = None  # people's hours of packing


class Backup(Record, tag="backup"):
    """The newest backup: when it was made, the name of its file and its size. `tried` is the local
    day of the last one that was to be made by itself, `trouble` why that failed ("": it did
    not)."""

    id: str = "backup"
    at: datetime | None = None
    name: str = ""
    bytes: int = 0
    tried: date | None = None
    trouble: str = ""

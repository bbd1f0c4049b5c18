"""What a person can mean while a month runs, as frozen records.

Knows, must not know, invariants: as in requests.py, through which all of these are known.
"""

from datetime import date
from decimal import Decimal
from typing import Literal

from assistant.planning.model import Closure, Record

# --- the life of an item --------------------------------------------------------------------


class ItemOrdered(Record):
    """An item was ordered: pieces, price, the day on which it is to arrive, their reference.
    `sure`: what does not agree with what is known was asked about."""

    item: str
    quantity: int | None = None
    price: Decimal | None = None
    currency: str = ""
    promised: date | None = None
    reference: str = ""
    on: date | None = None
    sure: bool = False


class ItemPromised(Record):
    """An item is to arrive on another day, or (`days`) so many days later than promised."""

    item: str
    promised: date | None = None
    days: int = 0
    sure: bool = False


class ItemDispatched(Record):
    """An item has left its supplier, and is to arrive on a day."""

    item: str
    on: date | None = None
    promised: date | None = None
    tracking: str = ""
    sure: bool = False


class ItemArrived(Record):
    """So many pieces of an item came (None: all that were to come, but for `missing`), `damaged`
    of them unusable; `of` is how many there should have been, as said. `sure` as for an order."""

    item: str
    pieces: int | None = None
    of: int | None = None
    missing: int | None = None
    damaged: int | None = None
    on: date | None = None
    note: str = ""
    sure: bool = False


class ItemChecked(Record):
    """What came of an item was counted and found good, but for `damaged` pieces in all."""

    item: str
    damaged: int | None = None
    note: str = ""


class ItemStory(Record):
    """How far an item is: every step, by whom and when."""

    item: str


class CountIn(Record):
    """The count-in sheet for what is expected of a supplier, a box or an item; `page`: to print."""

    item: str = ""
    supplier: str = ""
    box: str = ""
    page: bool = False


class MakeClaim(Record):
    """A claim note to the supplier for what is short or broken of an item, or of the only such
    item of a supplier; `damaged_only` where the rest is still on its way."""

    item: str = ""
    damaged_only: bool = False
    supplier: str = ""


class ClaimMet(Record):
    """A claim for an item was made good, or the only open one on a supplier, and how."""

    item: str = ""
    how: str = ""
    supplier: str = ""


# --- the packing run ------------------------------------------------------------------------


class ShowPacking(Record):
    """Whether the packing of a box fits its days, and what would make it fit."""

    box: str


class ChangeRun(Record):
    """Change the packing run of a box; `clear` are fields that are as the shop has them again."""

    box: str
    first: date | None = None
    crew: int | None = None
    hours: Decimal | None = None
    collection: date | None = None
    clear: tuple[Literal["first", "crew", "hours", "collection"], ...] = ()


class RunSheet(Record):
    """The run sheet of a box; `page`: to print."""

    box: str
    page: bool = False


class Packed(Record):
    """So many boxes are packed (of a box of the plan, \"\": the one that is being packed); `all`
    counts from the start of the run, else these are more."""

    boxes: int
    box: str = ""
    all: bool = False


class SetMaterial(Record):
    """What is known of a packing material; `more` pieces came to what is left."""

    name: str
    per_box: Decimal | None = None
    stock: int | None = None
    more: int | None = None


class DropMaterial(Record):
    """A material that is used no more."""

    name: str


class ShowMaterials(Record):
    """Materials against what the next boxes need."""


# --- rescue and chance ----------------------------------------------------------------------


class Rescue(Record):
    """What can be done for an item that will be late, or for all of a box."""

    item: str = ""
    box: str = ""


class TakeRescue(Record):
    """Do one of the ways out for an item: its code as in planning.rescue, and what it needs."""

    item: str
    way: str
    other: str = ""
    sure: bool = False


class ShowChance(Record):
    """The chance that all of a box (or an item) is in hand in time; `confidence` percent asks for
    order-by dates at that chance, `on` for what ordering the item on that day comes to."""

    box: str = ""
    item: str = ""
    confidence: Decimal | None = None
    on: date | None = None


# --- cautions, learning, people -------------------------------------------------------------


class AnswerCaution(Record):
    """Whether an item is of a kind of goods (CautionRule.goods)."""

    item: str
    goods: str
    so: bool


class ShowCautions(Record):
    """What to check for an item, for the items of a box, or for all that is planned."""

    item: str = ""
    box: str = ""


class LookBack(Record):
    """A box that has gone out against what was planned; `whole`: item by item."""

    box: str
    whole: bool = False


class ShowRecord(Record):
    """A supplier's record: promised and actual."""

    supplier: str


class KeepLeftovers(Record):
    """So many pieces of an item are left over, to stock; none takes it off."""

    item: str
    pieces: int
    best_before: date | None = None


class ShowStock(Record):
    """What is left over and can be used again."""


class UseStock(Record):
    """Use pieces of the stock (Stock.id) for a box."""

    stock: str
    box: str
    pieces: int | None = None


class NoteOpinion(Record):
    """What subscribers said of an item, or of a box: `score` of so many at most, the mean of
    `answers` (0: it was not said how many)."""

    box: str
    item: str = ""
    score: Decimal | None = None
    of: int = 5
    answers: int = 0
    words: str = ""


class ShowLessons(Record):
    """What a year taught: loved or not, themes used, real lead times, pace."""

    year: int | None = None


class GiveTo(Record):
    """Deadlines that one person (Person.id) alone is nudged for; "" is everybody again."""

    keys: tuple[str, ...]
    person: str


class LetSeeMoney(Record):
    """Whether a helper may see money."""

    person: str
    may: bool


class PersonOff(Record):
    """Days on which a person (Person.id) does not work; `back` forgets those that touch a day."""

    person: str
    closure: Closure | None = None
    back: date | None = None


class WhoDid(Record):
    """What was done by whom, of an item, a box or a person; newest first."""

    item: str = ""
    box: str = ""
    person: str = ""


Ways = Literal["wait", "faster", "split", "idea", "later", "swap", "twice"]

MonthRequest = (
    ItemOrdered
    | ItemPromised
    | ItemDispatched
    | ItemArrived
    | ItemChecked
    | ItemStory
    | CountIn
    | MakeClaim
    | ClaimMet
    | ShowPacking
    | ChangeRun
    | RunSheet
    | Packed
    | SetMaterial
    | DropMaterial
    | ShowMaterials
    | Rescue
    | TakeRescue
    | ShowChance
    | AnswerCaution
    | ShowCautions
    | LookBack
    | ShowRecord
    | KeepLeftovers
    | ShowStock
    | UseStock
    | NoteOpinion
    | ShowLessons
    | GiveTo
    | LetSeeMoney
    | PersonOff
    | WhoDid
)

"""What a person can mean when she settles the year in one sitting, as frozen records.

Knows: records of the plan. Must not know: the words that were used to say it. Invariants: those of
requests.py, through which all of these are one `Request`: whatever is named is already resolved,
`box` is a Box.id that need not exist yet, a field left at its default was not said.
"""

from decimal import Decimal
from typing import Literal

from assistant.planning.model import Closure, Record

# --- themes ---------------------------------------------------------------------------------


class PlanYear(Record):
    """Begin the sitting, or go on with it: the first box without a theme, with prompts."""

    year: int | None = None


class ShowPrompts(Record):
    """What could be the theme of a box, from a place of the list on."""

    box: str
    start: int = 1


class SkipBox(Record):
    """Leave a box open and go on to the next open one."""

    box: str


class WhatIsOpen(Record):
    """Which boxes of the year lack a theme, types or items."""

    year: int | None = None


class LeaveSitting(Record):
    """Stop here; the sitting can be gone on with at any time."""


class Vote(Record):
    """Subscribers ask for an idea: `by` more of them."""

    idea: str
    by: int = 1


class SchoolHoliday(Record):
    """School is out on these days."""

    closure: Closure


class ForgetSchoolHolidays(Record):
    """Forget all school holidays."""


# --- recurring types and their spread -------------------------------------------------------


class TypeFacts(Record):
    """What was said of a recurring type. Months are 1..12; `apart` are type names as said; None is
    what was not said, an empty tuple takes away what was there."""

    name: str = ""
    times: int | None = None
    forms: tuple[str, ...] | None = None
    must: tuple[int, ...] | None = None
    must_not: tuple[int, ...] | None = None
    room: int | None = None
    apart: tuple[str, ...] | None = None
    unit_cost: Decimal | None = None
    suits: tuple[str, ...] | None = None


class AddType(Record):
    """A new recurring type."""

    facts: TypeFacts


class ChangeType(Record):
    """Change what is known of a recurring type."""

    type: str
    facts: TypeFacts


class DropType(Record):
    """Forget a recurring type; its items stay."""

    type: str


class ShowTypes(Record):
    """The recurring types and what is wished for them."""


class SetRoom(Record):
    """How much room for recurring types one box has; None goes back to the shop's."""

    box: str
    room: int | None


class SpreadTypes(Record):
    """Spread the recurring types over the boxes of a year, or of the next `months`."""

    year: int | None = None
    months: int | None = None


class ShowSpread(Record):
    """Show one of the proposed ways to spread, from 1."""

    option: int = 1


class UseSpread(Record):
    """Take a proposed way to spread into the plan."""

    option: int = 1


class PinType(Record):
    """Keep a recurring type in a box whatever is spread again; `pin` false lets it move."""

    type: str
    box: str
    pin: bool = True


# --- contents -------------------------------------------------------------------------------


class WhatIsMissing(Record):
    """What a box still lacks."""

    box: str


class SuggestItems(Record):
    """What of the inbox and of the suppliers' offers could go into a box."""

    box: str


class FindOffers(Record):
    """Search the price lists by words, or list those of a supplier, from a place on."""

    words: str = ""
    supplier: str = ""
    start: int = 1


class PriceListFrom(Record):
    """Whose price list the file is that was read: a supplier's name as said (it may be new)."""

    supplier: str


class AddOffer(Record):
    """Take an offer into a box as an item."""

    offer: str
    box: str


# --- the year sheet -------------------------------------------------------------------------


class YearSheet(Record):
    """The picture of the year, of one quarter (1..4), or as a page to print, or in words."""

    year: int | None = None
    quarter: int | None = None
    form: Literal["picture", "page", "words"] = "picture"


# --- rearranging ----------------------------------------------------------------------------


class MoveToMonths(Record):
    """Move items (ids) to the best boxes of some months. `sure`: what it does was shown."""

    items: tuple[str, ...]
    months: tuple[int, ...]
    sure: bool = False


class DropSupplier(Record):
    """Take every item of a supplier out of the plan. `sure`: what it does was shown."""

    supplier: str
    sure: bool = False


class KeepVariant(Record):
    """Keep the year as it stands under a name."""

    name: str


class ShowVariants(Record):
    """The versions of the year that were kept."""


class CompareVariant(Record):
    """How a kept version differs from the year as it stands."""

    variant: str


class AdoptVariant(Record):
    """Make a kept version the year plan; the present one is kept in its place."""

    variant: str
    sure: bool = False


class DropVariant(Record):
    """Forget a kept version."""

    variant: str


YearRequest = (
    PlanYear
    | ShowPrompts
    | SkipBox
    | WhatIsOpen
    | LeaveSitting
    | Vote
    | SchoolHoliday
    | ForgetSchoolHolidays
    | AddType
    | ChangeType
    | DropType
    | ShowTypes
    | SetRoom
    | SpreadTypes
    | ShowSpread
    | UseSpread
    | PinType
    | WhatIsMissing
    | SuggestItems
    | FindOffers
    | PriceListFrom
    | AddOffer
    | YearSheet
    | MoveToMonths
    | DropSupplier
    | KeepVariant
    | ShowVariants
    | CompareVariant
    | AdoptVariant
    | DropVariant
)

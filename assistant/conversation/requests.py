"""What a person can mean, as frozen records.

Knows: records of the plan. Must not know: the words that were used to say it (see
understand), or what follows from it (see handle). Invariants: whatever a request names is
already resolved, so `item`, `idea`, `supplier` are ids, `box` is a Box.id such as `2027-03`
(the box need not exist yet), `key` is a deadline's key; a field left at its default was not said.
"""

from datetime import date
from decimal import Decimal

from assistant.conversation.file_requests import FileRequest
from assistant.conversation.messages import Button
from assistant.conversation.month_requests import MonthRequest
from assistant.conversation.order_requests import OrderRequest
from assistant.conversation.shop_requests import ChangeMornings as ChangeMornings
from assistant.conversation.shop_requests import ChangeShop as ChangeShop
from assistant.conversation.shop_requests import ChangeSupplier as ChangeSupplier
from assistant.conversation.shop_requests import Close as Close
from assistant.conversation.shop_requests import Reopen as Reopen
from assistant.conversation.year_requests import YearRequest
from assistant.planning.model import Break, IdeaState, Lead, Record, Role


class Question(Record):
    """A question back: nothing is changed until it is answered. Each option is a whole sentence
    that can be understood on its own."""

    text: str
    options: tuple[Button, ...] = ()


# --- ideas ----------------------------------------------------------------------------------


class KeepIdea(Record):
    """Catch a thought. `taken_for_one` says that nothing else was understood in the words."""

    text: str
    months: tuple[int, ...] = ()
    link: str = ""
    taken_for_one: bool = False
    source: str = ""
    votes: int = 0


class ListIdeas(Record):
    """Show ideas by month, word or state, from the place `start` of the list on."""

    months: tuple[int, ...] = ()
    word: str = ""
    state: IdeaState = "waiting"
    start: int = 1


class ShowIdea(Record):
    """Show one idea whole, with its picture."""

    idea: str


class UseIdea(Record):
    """Put an idea to use in a box, as an item or as its theme."""

    idea: str
    box: str
    as_theme: bool = False


class LetIdeaGo(Record):
    """Let an idea go; it can be brought back."""

    idea: str


class BringIdeaBack(Record):
    """Let an idea wait again."""

    idea: str


# --- the year plan --------------------------------------------------------------------------


class SetTheme(Record):
    """Give a box its theme. `taken_for_one` says that the words were a bare answer to the
    sitting's question and nothing else was understood in them."""

    box: str
    theme: str
    taken_for_one: bool = False


class ItemFacts(Record):
    """What was said of an item. `supplier` is the name as said (it may be new). A quantity,
    minimum, case, set-up or stock of 0 takes back what was known; so do a break from 0 pieces and
    one share that is the whole."""

    name: str = ""
    supplier: str = ""
    unit_cost: Decimal | None = None
    currency: str = ""
    quantity: int | None = None
    lead: Lead | None = None
    made_in: str = ""
    type: str = ""
    form: str = ""
    grams: int | None = None
    mm: tuple[int, int, int] | None = None
    main: bool | None = None
    minimum: int | None = None
    case_pack: int | None = None
    breaks: tuple[Break, ...] = ()
    setup: Decimal | None = None
    units: int | None = None
    shares: tuple[tuple[str, Decimal], ...] = ()
    stock: int | None = None
    damage: Decimal | None = None
    keeps_days: int | None = None


class AddItem(Record):
    """Add an item to a box."""

    box: str
    facts: ItemFacts


class ChangeItem(Record):
    """Change what is known of an item."""

    item: str
    facts: ItemFacts


class MoveItem(Record):
    """Move an item to another box. `sure`: what it does was shown."""

    item: str
    box: str
    sure: bool = False


class DropItem(Record):
    """Take an item out of the plan. `sure`: what it does was shown."""

    item: str
    sure: bool = False


class SwapBoxes(Record):
    """Swap the contents and themes of two boxes, not their ship dates. `sure`: it was shown."""

    first: str
    second: str
    sure: bool = False


class SetShipRule(Record):
    """Set the shop's ship-day rule (canonical text of scheduling.shipdays)."""

    rule: str


class SetShipDate(Record):
    """Fix one box's ship date; None goes back to the rule."""

    box: str
    on: date | None


# --- answers --------------------------------------------------------------------------------


class WhatIsDue(Record):
    """What is to be done next, up to a day (None: the house's horizon), from a place on. `since`
    leaves out what is to be done before that day."""

    until: date | None = None
    start: int = 1
    since: date | None = None


class WhatIsLate(Record):
    """What should have been done, from a place of the list on."""

    start: int = 1


class HowIs(Record):
    """The state of one box."""

    box: str


class ShowYear(Record):
    """The year plan, a line a box."""

    year: int | None = None


class ShowSupplier(Record):
    """What is known of a supplier."""

    supplier: str


class When(Record):
    """The date of one stage of an item or, with `item` "", of a box."""

    stage: str
    item: str = ""
    box: str = ""


class Why(Record):
    """The chain behind a date, every stage of it. `stage` "" is the whole chain."""

    item: str = ""
    box: str = ""
    stage: str = ""


# --- nudges ---------------------------------------------------------------------------------


class MarkDone(Record):
    """These deadlines are met."""

    keys: tuple[str, ...]


class PutOff(Record):
    """No nudge for these before a day: `until`, or `days` working days from today."""

    keys: tuple[str, ...]
    days: int | None = None
    until: date | None = None


class NotNeeded(Record):
    """These deadlines do not apply."""

    keys: tuple[str, ...]


class Reopened(Record):
    """These deadlines are open again after all."""

    keys: tuple[str, ...]


class Rehearse(Record):
    """Run a year of nudges against a pretend clock."""

    first: date | None = None
    last: date | None = None


# --- files, history, people, talk -----------------------------------------------------------


class BringIn(Record):
    """Yes to the file that was read."""


class LeaveOut(Record):
    """No to the file that was read."""


class Undo(Record):
    """Take back one commit: the speaker's last, or the one with this number. `again` puts back
    what the speaker took back last."""

    number: int | None = None
    again: bool = False


class ShowHistory(Record):
    """The latest changes, newest first."""


class LetIn(Record):
    """Make a one-time code for a helper, another owner or a group chat."""

    role: Role = "helper"
    group: bool = False


class SendAway(Record):
    """Take a person's access away."""

    person: str


class ShowPeople(Record):
    """Who was let in."""


class Hello(Record):
    """A greeting: the welcome, this month and what is due."""


class Help(Record):
    """What can be said; `topic` narrows it."""

    topic: str = ""


class OldButton(Record):
    """A button whose sentence is no longer known."""


Request = (
    KeepIdea
    | ListIdeas
    | ShowIdea
    | UseIdea
    | LetIdeaGo
    | BringIdeaBack
    | SetTheme
    | AddItem
    | ChangeItem
    | MoveItem
    | DropItem
    | SwapBoxes
    | SetShipRule
    | SetShipDate
    | Close
    | Reopen
    | ChangeSupplier
    | ChangeShop
    | ChangeMornings
    | WhatIsDue
    | WhatIsLate
    | HowIs
    | ShowYear
    | ShowSupplier
    | When
    | Why
    | MarkDone
    | PutOff
    | NotNeeded
    | Reopened
    | Rehearse
    | BringIn
    | LeaveOut
    | Undo
    | ShowHistory
    | LetIn
    | SendAway
    | ShowPeople
    | Hello
    | Help
    | OldButton
    | YearRequest
    | OrderRequest
    | MonthRequest
    | FileRequest
)

"""One line of a year that was read from a file.

Knows: what a file can say of a box and an item. Must not know: kinds of files, the plan that it is
laid over. Invariants: those of model.py, through which it is known.
"""

from datetime import date
from decimal import Decimal

from assistant.planning.books import Break
from assistant.planning.records import Lead, Record
from assistant.planning.year.measures import Size


class Row(Record):
    """One line of a file as read: `where` names it for the owner ("row 7", "cell D4").

    Empty fields were not in the file. `month` is 1..12; `year` None means the next such month;
    `letter` is that of a later box of the month, "b" for the second.
    """

    where: str
    month: int
    year: int | None = None
    theme: str = ""
    item: str = ""
    type: str = ""
    supplier: str = ""
    unit_cost: Decimal | None = None
    currency: str = ""
    quantity: int | None = None
    lead: Lead | None = None
    ship_on: date | None = None
    letter: str = ""
    form: str = ""
    made_in: str = ""
    minimum: int | None = None
    case_pack: int | None = None
    grams: int | None = None
    mm: Size | None = None
    units: int | None = None
    breaks: tuple[Break, ...] = ()
    setup: Decimal | None = None
    quoted: date | None = None

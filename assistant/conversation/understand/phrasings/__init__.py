"""Every phrasing, in the order in which they are tried. Rows where a name could be several things
stand in the order: ledger, numbers and money, shop, the year in one sitting, plan, suppliers."""

from assistant.conversation.understand import kinds
from assistant.conversation.understand.kinds import SHORTHAND
from assistant.conversation.understand.phrasings import (
    answers,
    backup,
    bargaining,
    calendar,
    cash,
    cautions,
    chance,
    contents,
    costs,
    counting,
    counting_in,
    crew,
    exact,
    learning,
    lots,
    nudging,
    orders,
    packing,
    page,
    plan,
    quantities,
    rearranging,
    receiving,
    rescue,
    sheet,
    shop,
    sitting,
    suppliers,
    talking,
    types,
    variants,
    workbook,
)
from assistant.conversation.understand.reading import Kind, Phrasing, Table

_YEAR = (sitting, types, contents, sheet, rearranging, variants)
_TRADE = (counting, lots, quantities, costs, cash, bargaining, orders)
_MONTH = (receiving, counting_in, packing, rescue, chance, cautions, learning, crew)
_FILES = (backup, calendar, workbook, page)
_ROOMS = (talking, *_FILES, answers, *_MONTH, nudging, *_TRADE, shop, *_YEAR, plan, suppliers)
SPOKEN: tuple[Phrasing, ...] = (
    *(row for room in _ROOMS for row in room.TABLE),
    *(row for room in _ROOMS for row in room.HALVES),
)
_EXACT = (*exact.TABLE, *rearranging.EXACT, *variants.EXACT, *contents.EXACT)
_EXACT_TRADE = tuple(row for room in (*_TRADE, *_MONTH, *_FILES) for row in room.EXACT)
PHRASINGS: tuple[Phrasing, ...] = (*_EXACT, *_EXACT_TRADE, *SPOKEN)
KINDS: dict[str, Kind] = dict(kinds.KINDS)
for room in (*_YEAR, *_TRADE, *_MONTH, *_FILES):
    KINDS.update(room.KINDS)
TABLE = Table.of(PHRASINGS, KINDS, SHORTHAND)

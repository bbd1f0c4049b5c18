"""Every phrasing, in the order in which they are tried. Rows where a name could be several things
stand in the order: ledger, shop, the year in one sitting, plan, suppliers."""

from assistant.conversation.understand import kinds
from assistant.conversation.understand.kinds import SHORTHAND
from assistant.conversation.understand.phrasings import (
    answers,
    contents,
    exact,
    nudging,
    plan,
    rearranging,
    sheet,
    shop,
    sitting,
    suppliers,
    talking,
    types,
    variants,
)
from assistant.conversation.understand.reading import Kind, Phrasing, Table

_YEAR = (sitting, types, contents, sheet, rearranging, variants)
_ROOMS = (talking, answers, nudging, shop, *_YEAR, plan, suppliers)
SPOKEN: tuple[Phrasing, ...] = (
    *(row for room in _ROOMS for row in room.TABLE),
    *(row for room in _ROOMS for row in room.HALVES),
)
_EXACT = (*exact.TABLE, *rearranging.EXACT, *variants.EXACT, *contents.EXACT)
PHRASINGS: tuple[Phrasing, ...] = (*_EXACT, *SPOKEN)
KINDS: dict[str, Kind] = dict(kinds.KINDS)
for room in _YEAR:
    KINDS.update(room.KINDS)
TABLE = Table.of(PHRASINGS, KINDS, SHORTHAND)

"""Every phrasing, in the order in which they are tried. Rows where a name could be several things
stand in the order: ledger, shop, plan, suppliers."""

from assistant.conversation.understand.kinds import KINDS, SHORTHAND
from assistant.conversation.understand.phrasings import (
    answers,
    exact,
    nudging,
    plan,
    shop,
    suppliers,
    talking,
)
from assistant.conversation.understand.reading import Phrasing, Table

_ROOMS = (talking, answers, nudging, shop, plan, suppliers)
SPOKEN: tuple[Phrasing, ...] = (
    *(row for room in _ROOMS for row in room.TABLE),
    *(row for room in _ROOMS for row in room.HALVES),
)
PHRASINGS: tuple[Phrasing, ...] = (*exact.TABLE, *SPOKEN)
TABLE = Table.of(PHRASINGS, KINDS, SHORTHAND)

"""Every phrasing, in the order in which they are tried. Rows where a name could be several things
stand in the order: ledger, plan, suppliers, shop."""

from assistant.conversation.understand.kinds import KINDS, SHORTHAND
from assistant.conversation.understand.phrasings import (
    answers,
    nudging,
    plan,
    shop,
    suppliers,
    talking,
)
from assistant.conversation.understand.reading import Phrasing, Table

_ROOMS = (talking, answers, nudging, shop, plan, suppliers)
PHRASINGS: tuple[Phrasing, ...] = (
    *(row for room in _ROOMS for row in room.TABLE),
    *(row for room in _ROOMS for row in room.HALVES),
)
TABLE = Table.of(PHRASINGS, KINDS, SHORTHAND)

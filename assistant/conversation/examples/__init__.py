"""Sample conversations: the help text, the documentation and a test, all at once.

Knows: what people say and what must be heard back. Must not know: how it comes about. Invariants:
every conversation works on an empty shop, from its first moment on, exactly as it stands here
(tested); shops, suppliers and goods in them are invented.
"""

from assistant.conversation.examples import (
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
    first,
    learning,
    lots,
    orders,
    packing,
    page,
    quantities,
    rearranging,
    receiving,
    rescue,
    sheet,
    sitting,
    types,
    workbook,
)
from assistant.conversation.examples.turns import START as START
from assistant.conversation.examples.turns import Example as Example
from assistant.conversation.examples.turns import Turn as Turn

_YEAR = (first, sitting, types, contents, sheet, rearranging)
_MONTH = (receiving, counting_in, packing, rescue, chance, cautions, learning, crew)
_FILES = (backup, calendar, workbook, page)
_TRADE = (counting, quantities, lots, bargaining, orders, costs, cash)
_ROOMS = (*_YEAR, *_TRADE, *_MONTH, *_FILES)
EXAMPLES: tuple[Example, ...] = tuple(one for room in _ROOMS for one in room.EXAMPLES)


def topics() -> tuple[str, ...]:
    """Return the topics of the help, in their order."""
    return tuple(dict.fromkeys(example.topic for example in EXAMPLES))


def on(topic: str) -> tuple[Example, ...]:
    """Return the conversations on a topic."""
    return tuple(example for example in EXAMPLES if example.topic == topic)


def phrases(example: Example) -> tuple[str, ...]:
    """Return the words of a conversation that stand in the help."""
    return tuple(example.turns[number].says for number in example.help_with)

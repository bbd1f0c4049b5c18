"""What boxes and items cost, and what would make a dear box cheaper.

Knows: which box, item or year a question is about. Must not know: how an answer is written
(replies/), how anything is reckoned (planning/). Invariant: nothing here changes anything; what
does is in books.py and postage.py, whose handlers belong to this room.
"""

from assistant.conversation.handle import books, postage
from assistant.conversation.handle.asked import Handler

HANDLERS: dict[type, Handler] = {**books.HANDLERS, **postage.HANDLERS}
WRITES: frozenset[type] = books.WRITES | postage.WRITES

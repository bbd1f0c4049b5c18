"""How likely a box is to be complete."""

from assistant.conversation.handle.asked import Handler

HANDLERS: dict[type, Handler] = {}
WRITES: frozenset[type] = frozenset()

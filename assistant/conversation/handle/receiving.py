"""What was ordered and came."""

from assistant.conversation.handle.asked import Handler

HANDLERS: dict[type, Handler] = {}
WRITES: frozenset[type] = frozenset()

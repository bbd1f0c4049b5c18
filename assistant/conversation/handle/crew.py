"""Who does what."""

from assistant.conversation.handle.asked import Handler

HANDLERS: dict[type, Handler] = {}
WRITES: frozenset[type] = frozenset()

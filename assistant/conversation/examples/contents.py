"""Sample conversations: contents."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

"""Sample conversations: types."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

"""Sample conversations: sitting."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

"""Sample conversations about what was ordered and came."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

"""Sample conversations about how many to order."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

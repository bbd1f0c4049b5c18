"""Sample conversations about purchase orders."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

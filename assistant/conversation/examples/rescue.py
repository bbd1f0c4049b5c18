"""Sample conversations about ways out for what is late."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

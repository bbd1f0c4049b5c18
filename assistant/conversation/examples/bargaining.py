"""Sample conversations about quotes and bargaining."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

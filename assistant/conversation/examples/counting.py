"""Sample conversations about counts of subscribers."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

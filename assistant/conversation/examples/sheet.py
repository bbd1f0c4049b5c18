"""Sample conversations: sheet."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

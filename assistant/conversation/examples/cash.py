"""Sample conversations about money in and out."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

"""Sample conversations about who does what."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

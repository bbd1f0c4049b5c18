"""Sample conversations about what a box taught."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

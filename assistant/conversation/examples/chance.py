"""Sample conversations about how likely a box is to be complete."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

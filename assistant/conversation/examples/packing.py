"""Sample conversations about the packing run."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

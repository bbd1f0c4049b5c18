"""Sample conversations about costs, postage and rates."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

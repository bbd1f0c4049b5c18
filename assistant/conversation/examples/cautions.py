"""Sample conversations about goods that carry duties."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

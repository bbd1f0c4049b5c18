"""Sample conversations about one lot or several."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

"""Sample conversations about counting in, and claims."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

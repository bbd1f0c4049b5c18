"""Sample conversations: rearranging."""

from assistant.conversation.examples.turns import Example

EXAMPLES: tuple[Example, ...] = ()

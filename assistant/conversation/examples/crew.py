"""Sample conversations about who does what."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="people",
        title="Give a thing to one person, and see who did what",
        turns=(
            Turn("add to March: field notebook, 20 working days", ("Added to March",)),
            Turn("who is in", ("an owner",)),
            Turn("give packing March to me", ("You alone are nudged for: start packing (March)",)),
            Turn("nudge everybody about packing March", ("Everybody is nudged for",)),
            Turn("done: order notebook", ("Done: order field notebook",)),
            Turn(
                "who ordered the notebook",
                ("Who did what: field notebook (March)", "you: done: order notebook"),
            ),
        ),
        help_with=(2, 3, 5),
    ),
)

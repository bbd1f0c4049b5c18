"""Sample conversations: the calendar."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="files",
        title="Have the dates in your own calendar",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn("add to March: field notebook, 3.10, 20 working days", ("Added to March",)),
            Turn(
                "calendar file",
                ("Calendar", "up to Mon 15 Mar", "Open it", "changes it in place"),
            ),
            Turn("calendar of March", ("Calendar of March",)),
            Turn("share the calendar", ("none is served", "--feed-port")),
        ),
        help_with=(2, 3),
    ),
)

"""Sample conversations: the workbook."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="files",
        title="Take the plan along as a workbook",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn(
                "add to March: field notebook from Aldermoor, 3.10, 20 working days",
                ("Added to March",),
            ),
            Turn("send me the workbook", ("1 box, 1 item", "1 supplier", "send it back")),
            Turn("items as csv", ("1 item", "what would change before anything does")),
        ),
        help_with=(2, 3),
    ),
)

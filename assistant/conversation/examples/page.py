"""Sample conversations: the year as a web page."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="files",
        title="Read the year as a web page",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn("add to March: field notebook, 3.10, 20 working days", ("Added to March",)),
            Turn(
                "send me the year as a page",
                ("The year 2027", "1 box, 1 item", "Open it in any browser"),
            ),
        ),
        help_with=(2,),
    ),
)

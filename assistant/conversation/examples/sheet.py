"""Sample conversations: the year sheet."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="year",
        title="See the year on one picture",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn("May theme first swifts", ("May",)),
            Turn("add to March: field notebook, 3.10, 20 working days", ("Added to March",)),
            Turn("year sheet", ("The year 2027", "2 boxes, 1 item", "No items: May")),
            Turn("picture of the first quarter", ("First quarter 2027", "1 box, 1 item")),
            Turn("print the year", ("The year 2027", "One A4 page")),
            Turn(
                "year sheet in words",
                ("March: rain and roots", "Ships Mon 15 Mar", "Field notebook", "May: first"),
            ),
        ),
        help_with=(3, 4, 5),
    ),
)

"""Sample conversations about how many to order."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="orders",
        title="Order the right number",
        turns=(
            Turn("420 subscribers", ("420 subscribers",)),
            Turn(
                "add to March: field notebook from Aldermoor, 3.10, cases of 24, from 500 at 2.70",
                ("Added to March: field notebook", "cases of 24, from 500 at £2.70"),
            ),
            Turn(
                "how many notebooks for March",
                (
                    *("field notebook, March: 504 to order", "504 = 420 expected"),
                    *("14 spares", "as 504 cost less than 456", "£2.70 each, £1,360.80 in all"),
                ),
            ),
            Turn("why so many", ("why 504", "Compared: 456 for £1,413.60, 504 for £1,360.80")),
            Turn("be 98% sure", ("98%",)),
            Turn("running short costs 12 a box", ("12.00",)),
            Turn("3% of the notebooks arrive broken", ("field notebook, March: 3% arrive broken",)),
            Turn("we have 40 notebooks left", ("40 in stock", "- 40 in stock")),
            Turn("notebook minimum 600", ("minimum 600", "to the minimum of 600")),
            Turn(
                "how many of everything for March",
                ("March: how many to order", "1. field notebook 600, 25 cases of 24, £1,620.00"),
            ),
        ),
        help_with=(2, 4, 9),
    ),
)

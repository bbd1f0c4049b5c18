"""Sample conversations about one lot or several."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="orders",
        title="Buy at once, or in several orders",
        turns=(
            Turn("we are 450", ("450",)),
            Turn("add to March: field notebook from Aldermoor, 3.10, 20 working days", ("Added",)),
            Turn("add to May: field notebook from Aldermoor, 3.10, 20 working days", ("Added",)),
            Turn("add to July: field notebook from Aldermoor, 3.10, 20 working days", ("Added",)),
            Turn("an order costs me 95 to place", ("Noted",)),
            Turn("storage costs 0.05 a piece a month", ("Noted",)),
            Turn("money costs 8% a year", ("8%",)),
            Turn(
                "one lot or several for the notebooks",
                (
                    "field notebook: one lot or several",
                    "Cheapest: 2 orders",
                    "for March",
                    "for May and July",
                    "over buying box by box",
                    "on orders, less",
                    "for keeping",
                ),
            ),
            Turn(
                "every way to buy the notebooks",
                ("Cheapest: 2 orders", "Box by box: 3 orders", "All at once: 1 order"),
            ),
        ),
        help_with=(4, 5, 7),
    ),
)

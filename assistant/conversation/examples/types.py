"""Sample conversations: recurring types, and spreading them."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="types",
        title="Spread recurring types over the year",
        turns=(
            Turn(
                "field notebook four times a year: lined, dotted, blank, grid",
                ("New type, field notebook: 4 times a year", "lined, dotted, blank and grid"),
            ),
            Turn(
                "tea 6 times a year, not in July, costs 1.80, not with biscuits",
                ("New type, tea: 6 times a year", "not in Jul", "not with biscuits", "£1.80 each"),
            ),
            Turn("biscuits 3x: oat, ginger, lemon", ("New type, biscuits: 3 times a year",)),
            Turn("seed packet once a year, must be in March", ("seed packet", "must be in Mar")),
            Turn("tea not in August", ("Tea: not in Jul and Aug",)),
            Turn("notebook takes 2 places", ("Field notebook: takes 2 places",)),
            Turn("room for 3 types in a box", ("room for 3",)),
            Turn("March has room for 4", ("March has room for 4",)),
            Turn("types", ("Recurring types", "field notebook: 4 times", "tea: 6 times")),
            Turn(
                "spread the types over 2027",
                ("Types over 2027", "field notebook", "tea", "even", "14 new"),
            ),
            Turn("another", ("Types over 2027, way 2",)),
            Turn("use spread 1", ("The types are in the plan over 2027: 14 new items",)),
            Turn("pin seed packet in March", ("Seed packet stays in March",)),
            Turn("spread again", ("Types over 2027", "14 stay")),
        ),
        help_with=(0, 1, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13),
    ),
)

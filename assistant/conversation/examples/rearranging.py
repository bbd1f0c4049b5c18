"""Sample conversations: swaps, moves and drops that are shown before they happen; versions."""

from assistant.conversation.examples.turns import Example, Turn

_LEAD = "5 working days"

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="undo",
        title="See what a change does before it happens",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn(f"add to March: field notebook from Aldermoor, 3.10, {_LEAD}", ("Added",)),
            Turn("May theme first swifts", ("May",)),
            Turn(f"add to May: swift pin from Hangfeng, 1.80, {_LEAD}", ("Added",)),
            Turn(
                "swap March and May",
                ("Swap March and May?", "order-by dates move", "Cost: March £1.80 (was £3.10)"),
            ),
            Turn("leave it", ("Left as it was",)),
            Turn("swap March and May", ("Swap March and May?",)),
            Turn("do it", ("Swapped March and May", "Cost: March £1.80 (was £3.10)")),
            Turn(f"add to June: moth pin from Hangfeng, 1.80, {_LEAD}", ("Added",)),
            Turn(
                "move the pins to autumn",
                (
                    "Move 2 items to September-November?",
                    "swift pin (March to September) and moth pin (June to November)",
                    "2 order-by dates move",
                ),
            ),
            Turn("yes", ("Moved swift pin (March to September)",)),
            Turn("undo", ("Taken back: move 2 items to September-November",)),
            Turn("ordered the notebook", ("Done: order field notebook",)),
            Turn(
                "drop Aldermoor everywhere",
                (
                    "Drop everything from Aldermoor?",
                    "1 item goes: field notebook (May)",
                    "Ordered already: field notebook (May, call it off)",
                ),
            ),
            Turn("do it", ("Dropped 1 item from Aldermoor", "Aldermoor itself stays known")),
        ),
        help_with=(4, 7, 5, 9, 13, 11),
    ),
    Example(
        topic="undo",
        title="Keep a second version of the year",
        turns=(
            Turn("March theme rain and roots", ("March",)),
            Turn(f"add to March: field notebook from Aldermoor, 3.10, {_LEAD}", ("Added",)),
            Turn("keep this year as plan B", ('Kept as "plan B": 1 box, 1 item',)),
            Turn("March theme mud and moss", ("March",)),
            Turn("drop the notebook", ("Dropped field notebook",)),
            Turn("versions", ("Versions of the year", "1. plan B, Mon 11 Jan: 1 box differs")),
            Turn(
                "compare with plan B",
                (
                    '"plan B" against the year',
                    'March: "rain and roots", not "mud and moss"; in field notebook',
                    "Cost: March £3.10 (was £0.00)",
                ),
            ),
            Turn("adopt plan B", ("Adopt plan B?", "1 box changes: March")),
            Turn("do it", ('"plan B" is the year now', 'kept as "before plan B"')),
            Turn("undo", ("Taken back: adopt plan B",)),
            Turn("forget plan B", ('Forgot "plan B"',)),
        ),
        help_with=(2, 5, 6, 7, 10),
    ),
)

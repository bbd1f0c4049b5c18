"""Sample conversations about what was ordered and came."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="month",
        title="Follow an item from the order to the shelf",
        turns=(
            Turn("we are 420", ("420",)),
            Turn(
                "add to March: field notebook from Aldermoor, 3.10, 20 working days",
                ("Added to March: field notebook",),
            ),
            Turn(
                "ordered 460 notebooks, they say 3 March",
                (
                    "Ordered: 460 field notebook (March)",
                    "It is expected Wed 3 Mar, 4 working days before it must be here (Tue 9 Mar)",
                ),
            ),
            Turn(
                "notebooks now 8 March",
                (
                    "Promised for Mon 8 Mar: field notebook (March)",
                    *("It is now expected Mon 8 Mar, 1 working day before", "It was Wed 3 Mar"),
                ),
            ),
            Turn(
                "notebooks dispatched, tracking 12345",
                ("Dispatched Mon 11 Jan: field notebook (March), tracking 12345",),
            ),
            Turn(
                "notebooks: 412 of 460 came, 6 bent",
                (
                    "412 of 460 field notebook (March), 6 bent",
                    *("48 still missing", "406 good of 420 needed: 14 short for March"),
                ),
            ),
            Turn(
                "the rest of the notebooks came",
                ("That makes all 460", "454 good of 420 needed: enough for March, 34 to spare"),
            ),
            Turn("notebooks checked", ("Checked: 460 field notebook (March), 6 of them unusable",)),
            Turn(
                "how far are the notebooks",
                (
                    "field notebook, March: checked",
                    "Ordered Mon 11 Jan: 460, from Aldermoor",
                    "Promised for Mon 8 Mar: at first Wed 3 Mar",
                    *("Dispatched Mon 11 Jan: tracking 12345", "412, 6 bent", "Checked Mon 11 Jan"),
                ),
            ),
        ),
        help_with=(2, 3, 5),
    ),
)

"""Sample conversations about the packing run."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="month",
        title="Pack a box",
        turns=(
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("add to March: field notebook, 180 g", ("field notebook",)),
            Turn("add to March: honey jar, 250 g", ("honey jar",)),
            Turn("we are 431 today", ("431 subscribers",)),
            Turn(
                "does packing March fit",
                ("431 boxes expected", "1 person, 6 hours a day", "3 working days"),
            ),
            Turn(
                "pack March with 2 people, 7 hours",
                ("Packing March: 2 people, 7 hours a day", "420 boxes a day", "2 working days"),
            ),
            Turn(
                "collection booked for 15 March",
                ("collection booked for Mon 15 Mar", "It fits: collection is booked"),
            ),
            Turn("mailers: 1 a box, 380 in stock", ("380 left, 51 short for March",)),
            Turn("tape 0.02 a box", ("tape: 0.02 a box", "8.6 needed for March")),
            Turn("500 mailers came", ("880 in stock", "enough for 880 boxes")),
            Turn("materials", ("Packing materials", "mailers: 880 left")),
            Turn(
                "run sheet for March",
                ("Place: 1 field notebook, 2 honey jar (breaks)", "430 g", "photograph it open"),
            ),
            Turn("print the run sheet for March", ("To print for the packing table",)),
            Turn(
                "March: 140 packed",
                ("140 of 431 packed", "has started", "140 of 431, 32%", "291 left"),
            ),
            Turn("packed 60 more", ("60 more, 200 of 431 packed",)),
            Turn("March: 431 packed so far", ("431 of 431, 100%", "All packed")),
        ),
        help_with=(4, 11, 14),
    ),
)

"""Sample conversations about ways out for what is late."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="late",
        title="Find a way out for what will be late",
        turns=(
            Turn("we are 420", ("420",)),
            Turn("March theme rain and roots", ("March",)),
            Turn("add to March: mint tea from Brackenfold, 1.20, 5 working days", ("Added",)),
            Turn(
                "add to March: enamel pin from Hangfeng, 1.80, 35 working days, made in China",
                ("Added", "too late"),
            ),
            Turn("May theme first swifts", ("May",)),
            Turn("add to May: swift print from Aldermoor, 2.10, 5 working days", ("Added",)),
            Turn("how is March", ("Cannot ship complete Mon 15 Mar", "enamel pin")),
            Turn(
                "what can I do about the pin",
                (
                    "Ways out: enamel pin (March)",
                    "In hand Mon 15 Mar: 4 working days too late for Tue 9 Mar",
                    "1. Take swift print from May, which gets the enamel pin",
                    "Swap with May: both complete",
                    "Faster carriage",
                    "Send it with May",
                    "Ship March",
                ),
            ),
            Turn("1", ("Take swift print from May for enamel pin (March)?", "Cost: March")),
            Turn("do it", ("Done: take swift print from May for enamel pin (March)",)),
            Turn("undo", ("Taken back: take swift print from May for enamel pin (March)",)),
            Turn("wait for the pin", ("for enamel pin (March)?", "Ship March", "later")),
            Turn("leave it", ("Left as it was",)),
            Turn(
                "faster carriage for the pin",
                ("Faster carriage for enamel pin (March)?", "quicker: in hand"),
            ),
            Turn("yes", ("Done: faster carriage", "Agree it with Hangfeng today")),
            Turn(
                "rescue March",
                ("March can ship complete Mon 15 Mar", "as agreed, once it is ordered"),
            ),
        ),
        help_with=(7, 11, 15),
    ),
)

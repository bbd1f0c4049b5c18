"""Sample conversations about counting in, and claims."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="month",
        title="Count in a delivery, and claim what is short or broken",
        turns=(
            Turn("we are 420", ("420",)),
            Turn(
                "add to March: field notebook from Aldermoor, 3.10, 20 working days, 460 pieces",
                ("Added to March: field notebook",),
            ),
            Turn("ordered 460 notebooks", ("Ordered: 460 field notebook (March)",)),
            Turn(
                "count in the notebooks",
                (
                    "Count in: field notebook for March",
                    "460 pieces from Aldermoor",
                    "Look at 50: 4 bad ones are too many",
                    "Look for: bent corners",
                ),
            ),
            Turn("print the count-in sheet for March", ("Count in: for March", "To print")),
            Turn("412 of 460 notebooks came, 6 bent", ("412 of 460 field notebook (March), 6",)),
            Turn(
                "claim for the notebooks",
                (
                    *("field notebook: 48 short, 6 damaged", "Dear Aldermoor"),
                    *("Please send 54 good pieces", "54 at £3.10, £167.40"),
                    *("Claim kept for field notebook (March): 48 short, 6 damaged.",),
                    *("You send it: I never do", "follow up Thu 14 Jan"),
                ),
            ),
            Turn(
                "Aldermoor credited the notebooks",
                ("Aldermoor: field notebook (March) credited (48 short, 6 damaged)",),
            ),
        ),
        help_with=(3, 4, 6),
    ),
)

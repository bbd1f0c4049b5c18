"""Sample conversations about money in and out."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="money",
        title="See when money is tightest, and what would help",
        turns=(
            Turn("300 subscribers", ("300 subscribers",)),
            Turn("our box costs 24", ("£24.00",)),
            Turn(
                "add to April: field notebook from Aldermoor, 3.10, 300 pieces, 20 working days",
                ("Added to April",),
            ),
            Turn("Aldermoor deposit 30%", ("deposit 30%",)),
            Turn(
                "Aldermoor 2/10 net 30",
                ("balance 30 days after dispatch; 2% off if paid in 10 days", "37.2% a year"),
            ),
            Turn("we have 900 in the bank", ("£900.00 in the bank",)),
            Turn("overheads 150 a month", ("£150.00 a month",)),
            Turn(
                "cash",
                ("Cash, Jan to May 2027", "Feb: £150 out", "Lowest: "),
            ),
            Turn(
                "when is money tightest",
                ("Thu 1 Apr: £171.00 left", "Largest before it:", "£279.00, deposit for field"),
            ),
            Turn("what would help the cash", ("1. Aldermoor, no deposit: +£279",)),
            Turn(
                "is paying Aldermoor early worth it",
                ("37.2% a year, 44.6% compounded", "so it is worth it"),
            ),
        ),
        help_with=(5, 8, 10),
    ),
)

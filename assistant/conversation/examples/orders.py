"""Sample conversations about purchase orders."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="orders",
        title="Write an order, and say when it has gone",
        turns=(
            Turn("we are 420", ("420",)),
            Turn("deliver to 4 Mill Lane, Settle, BD24 9XX", ("4 Mill Lane",)),
            Turn(
                "add to March: field notebook from Aldermoor, 3.10, 20 working days, 460 pieces",
                ("Added to March: field notebook",),
            ),
            Turn("add to March: linen bag from Aldermoor, 1.20, 440 pieces", ("Added to March",)),
            Turn(
                "write the order for Aldermoor",
                (
                    "Order 2027-001 for Aldermoor",
                    *("460 field notebook at £3.10: £1,426.00", "440 linen bag at £1.20"),
                    *("Total £1,954.00", "All in hand by Tue 9 Mar", "You send it, I never do"),
                ),
            ),
            Turn(
                "order 2027-001: 480 notebooks at 2.95",
                ("480 at £2.95, was 460 at £3.10", "Total £1,944.00", "was £1,954.00"),
            ),
            Turn("order 2027-001 as a page", ("Order 2027-001 for Aldermoor", "To print")),
            Turn(
                "I sent the order to Aldermoor",
                (
                    "Order 2027-001 went to Aldermoor on Mon 11 Jan",
                    "Ordered: field notebook and linen bag",
                ),
            ),
            Turn(
                "take the bag off order 2027-001",
                ("Order 2027-001, revision 1: linen bag (March) is off", "send it again"),
            ),
            Turn("orders", ("2027-001 Aldermoor, £1,416.00, revision 1 not sent yet",)),
        ),
        help_with=(4, 5, 7),
    ),
)

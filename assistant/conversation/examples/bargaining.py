"""Sample conversations about quotes and bargaining."""

from assistant.conversation.examples.turns import Example, Turn

_NOTEBOOK = "field notebook from Aldermoor, 3.10, from 500 at 2.90, from 1000 at 2.60"

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="orders",
        title="Note quotes, compare them, buy by one",
        turns=(
            Turn("420 subscribers", ("420 subscribers",)),
            Turn(
                "add to March: enamel pin from Hangfeng, 1.05, 30 working days, made in China",
                ("Added to March: enamel pin",),
            ),
            Turn(
                "Brackenfold quotes 1.40 for the pins, from 500 at 1.25, 10 working days, "
                "valid until 31 January",
                (
                    "Quote of Brackenfold for enamel pin (March): £1.40, from 500 at £1.25",
                    "Valid until Sun 31 Jan, in 15 working days",
                    "For 434: £607.60 landed",
                ),
            ),
            Turn(
                "Aldermoor quotes 1.30 for the pins, minimum 200, 15 working days, free delivery",
                ("Quote of Aldermoor", "Minimum 200, carriage free, 15 working days"),
            ),
            Turn(
                "compare Aldermoor and Brackenfold for pins",
                (
                    *("1. Aldermoor £1.30", "2. Brackenfold £1.40"),
                    "Cost: Aldermoor; time: Brackenfold",
                    "On the whole Aldermoor: costs least of those with 5 working days or more",
                ),
            ),
            Turn("take the quote of Aldermoor for the pins", ("Buy enamel pin (March) from Ald",)),
            Turn("do it", ("enamel pin, March: from Aldermoor, was from Hangfeng", "Order enamel")),
        ),
        help_with=(2, 4),
    ),
    Example(
        topic="orders",
        title="Ask for a better rate",
        turns=(
            Turn("our shop is called Mossgate Field Club", ("Mossgate Field Club",)),
            Turn("420 subscribers", ("420 subscribers",)),
            Turn(f"add to March: {_NOTEBOOK}", ("Added to March: field notebook",)),
            Turn(f"add to May: {_NOTEBOOK}", ("Added to May: field notebook",)),
            Turn(f"add to September: {_NOTEBOOK}", ("Added to September: field notebook",)),
            Turn(
                "who can I bargain with",
                ("1. Aldermoor, worth ", "field notebook at its price from 1,000"),
            ),
            Turn(
                "brief for Aldermoor",
                (
                    *("Brief for Aldermoor, to paste", "Dear Aldermoor"),
                    "1. field notebook at your price from 1,000",
                    *("For you, not for Aldermoor", "You send it, I never do"),
                ),
            ),
            Turn(
                "ask Aldermoor for a quote",
                (
                    *("Enquiry to Aldermoor, to paste", "450 pieces in our hands by"),
                    *("lead time", "For all of it: carriage", "You send it, I never do"),
                ),
            ),
        ),
        help_with=(5,),
    ),
)

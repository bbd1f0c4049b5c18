"""Sample conversations about costs, postage and rates."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="money",
        title="See what a box costs, and bring it under its target",
        turns=(
            Turn("we are 420", ("420 subscribers",)),
            Turn("the box is 32", ("\u00a332.00 a box",)),
            Turn("items may cost 7 a box", ("items may cost \u00a37.00 a box",)),
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("add to March: tin mug, 4.20, 320 g", ("Added to March: tin mug",)),
            Turn("add to March: field notebook, 3.10, 180 g", ("Added to March",)),
            Turn("packaging 0.85 a box", ("packaging \u00a30.85 a box", "March costs")),
            Turn("fees 1.5% + 20p", ("fees 1.5%", "\u00a30.20 a payment")),
            Turn("my prices include 20% VAT", ("contain 20% tax", "your tax authority")),
            Turn("packaging weighs 120 g", ("an empty parcel weighs 120 g",)),
            Turn(
                "postage small parcel up to 2 kg 3.45",
                ("up to 2 kg \u00a33.45", "the carrier's current tariff decides", "620 g"),
            ),
            Turn(
                "is March over budget",
                (
                    *("Over by", "of \u00a37.00", "tin mug", "Packaging \u00a30.85", "\u00a33.45"),
                    *("leaves", "of \u00a326.67 (\u00a332.00 less tax)", "420 boxes leave"),
                ),
            ),
            Turn("make March cheaper", ("without field notebook: saves", "(enough)")),
            Turn("costs of the year", ("They leave", "Over the target: March by")),
        ),
        help_with=(6, 11, 12),
    ),
    Example(
        topic="money",
        title="Buy in another currency",
        turns=(
            Turn("we are 420", ("420 subscribers",)),
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("add to March: enamel pin, 1.50 EUR", ("enamel pin, \u20ac1.50",)),
            Turn("what does March cost", ("rate of its currency of enamel pin",)),
            Turn("1 EUR is 0.86", ("1 EUR = 0.86 GBP from Mon 11 Jan", "1 item is reckoned by it")),
            Turn("what does the pin cost", ("at \u20ac1.50", "1 EUR = 0.86 GBP", "each")),
            Turn("what do you reckon with", ("95% sure", "2% arrive unusable")),
        ),
        help_with=(),
    ),
)

"""Sample conversations about goods that carry duties."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="goods",
        title="Know what to check, and with whom",
        turns=(
            Turn("June theme long evenings", ("long evenings",)),
            Turn("October theme hearth", ("hearth",)),
            Turn(
                "add to June: clip-on lamp, 4.20",
                ("Does the clip-on lamp hold a lithium cell or another battery?",),
            ),
            Turn(
                "the lamp has a lithium cell",
                ("Noted: clip-on lamp (June)", "Caution, lithium cells", "ask your carrier"),
            ),
            Turn(
                "what must I check for the lamp",
                ("Before you order", "Before you pack", "The last word have your carrier"),
            ),
            Turn(
                "add to June: beeswax balm, 3.20",
                (
                    "Caution, cosmetics",
                    "hot months: beeswax balm may melt. October is cooler",
                ),
            ),
            Turn("cautions for June", ("Cosmetics (beeswax balm)", "The last word")),
            Turn("no battery in the lamp", ("nothing of lithium cells and batteries",)),
            Turn("cautions", ("June: cosmetics 1, goods that melt 1", "The last word")),
        ),
        help_with=(3, 4, 6),
    ),
)

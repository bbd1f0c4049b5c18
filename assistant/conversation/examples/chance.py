"""Sample conversations about how likely a box is to be complete."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="late",
        title="Know how sure a box is, and when to order for it",
        turns=(
            Turn("we are 420 today", ("Noted: 420 subscribers",)),
            Turn(
                "add to May: enamel pin from Hangfeng, 20 working days, made in China",
                ("Added to May: enamel pin from Hangfeng",),
            ),
            Turn(
                "add to May: art print from Aldermoor, 10 working days",
                ("Added to May: art print from Aldermoor",),
            ),
            Turn(
                "how sure is May",
                (
                    "May: packing from",
                    "Nine in ten that all is in by",
                    "latest by the quotes in brackets",
                    "enamel pin by",
                    "Weak spot: ",
                    "Rests on quotes",
                ),
            ),
            Turn("chance of the pin", ("In hand by", "19 in 20", "the latest by its quote")),
            Turn("when must I order the pin for 95%", ("Order it by", "for 95%")),
            Turn(
                "what if I order the pin on 25 March", ("Ordered Thu 25 Mar", "For 95% the day is")
            ),
            Turn("order dates for May at 80%", ("Four in five that all is in",)),
        ),
        help_with=(3, 5, 6),
    ),
)

"""Sample conversations: the sitting about themes."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="year",
        title="Settle the year: a theme for each box",
        turns=(
            Turn("Ann suggests a lantern walk for November", ("Kept for November, from Ann",)),
            Turn("3 more votes for the lantern walk", ("4 votes in all",)),
            Turn("half term 15-19 February", ("Half term: Mon 15 Feb to Fri 19 Feb",)),
            Turn("plan the year", ("2027", "It could be", "1. ")),
            Turn("back to March", ("March", "Ships Mon 15 Mar", "1. ")),
            Turn("rain and roots", ('March: theme "rain and roots"', "April", "1. ")),
            Turn("skip", ("May", "1. ")),
            Turn(
                "October dark evenings, December quiet",
                ('October: theme "dark evenings"', 'December: theme "quiet"', "May"),
            ),
            Turn("prompts for November", ("November", "1. a lantern walk", "4 votes")),
            Turn("1", ('November: theme "a lantern walk"', "Used the idea")),
            Turn("what is open", ("Open in 2027", "No theme")),
            Turn("that's enough for today", ("carry on planning",)),
            Turn("carry on planning", ("2027", "without a theme")),
        ),
        help_with=(0, 1, 2, 3, 6, 7, 8, 10, 12),
    ),
)

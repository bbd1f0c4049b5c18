"""Sample conversations about what a box taught."""

from datetime import UTC, datetime

from assistant.conversation.examples.turns import Example, Turn

_SURVEY = "Item,Score,Comment\nlamp,5,bright enough to read by\nlamp,4,\nmug,2,too small\nmug,3,\n"

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="learning",
        title="Look back on a box, and learn from it",
        turns=(
            Turn("we are 40 today", ("Noted: 40 subscribers",)),
            Turn("January theme frost and stars", ("frost and stars",)),
            Turn("add to January: lamp, 4.20, 50 pieces", ("Added to January: lamp",)),
            Turn("add to January: mug, 2.00, 45 pieces", ("Added to January: mug",)),
            Turn("add to May: lamp, 4.40", ("Added to May: lamp",)),
            Turn(at=datetime(2027, 1, 18, 9, 0, tzinfo=UTC)),
            Turn("done: ship for 2027-01", ("Done: hand the boxes to the carrier",)),
            Turn(
                "8 lamps left over from January",
                ("lamp: 8 left over from January", "May has lamp too"),
            ),
            Turn("lamp scored 8.8 of 10 from 21 answers", ("4.4 of 5", "8.8 of 10 is 4.4 of 5")),
            Turn(
                "survey for January",
                ("Read answers.csv: answers about 2 things", "lamp, January", "mug, January"),
                file="answers.csv",
                content=_SURVEY,
            ),
            Turn("bring it in", ("Noted what subscribers said of 2 things",)),
            Turn(
                "how did January go",
                ("Shipped Mon 18 Jan, 3 days after Fri 15 Jan", "Left over: lamp 8", "Loved: lamp"),
            ),
            Turn("use 5 of the leftover lamps in May", ("May: 5 of lamp", "3 stay left over")),
            Turn("what is left over", ("1. lamp 3, from January",)),
            Turn("what did we learn", ("Loved: lamp 4.5", "Not loved: mug 2.5", "Themes used")),
            Turn("add to June: mug, 2.10", ("Added to June: mug", "Mug was not loved before")),
        ),
        help_with=(11, 8, 14),
    ),
)

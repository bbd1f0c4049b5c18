"""Sample conversations: ideas, a typed year, deadlines, nudges, files, people."""

from datetime import UTC, datetime

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="ideas",
        title="Catch ideas, and put them to use",
        turns=(
            Turn(
                "Idea: lantern walk for November, maybe a beeswax wrap",
                ("Kept for November: lantern walk", "beeswax wrap"),
            ),
            Turn("a tin mug with a map on it", ("Kept as an idea: a tin mug",)),
            Turn("ideas", ("1. a tin mug", "2. lantern walk")),
            Turn("ideas for November", ("Ideas for November", "1. lantern walk")),
            Turn("ideas about tin", ("1. a tin mug",)),
            Turn("use 1 in May", ("Added to May: a tin mug", "Used the idea")),
            Turn("ideas for November", ("1. lantern walk",)),
            Turn("use 1 as the theme of November", ("November", 'theme "lantern walk')),
            Turn("used ideas", ("Used ideas", "in May", "in November")),
            Turn("bring back 1", ("Waiting again",)),
            Turn("ideas", ("1. a tin mug",)),
            Turn("let 1 go", ("Let go: a tin mug",)),
        ),
        help_with=(0, 2, 3, 4, 5, 7, 8, 9, 11),
    ),
    Example(
        topic="plan",
        title="Type a year, a line at a time",
        turns=(
            Turn("March theme rain and roots", ('March: theme "rain and roots"', "Mon 15 Mar")),
            Turn(
                "add to March: field notebook from Aldermoor, 3.10, 20 working days, "
                "made in Germany",
                ("Added to March: field notebook from Aldermoor, £3.10, 20 working days",),
            ),
            Turn("notebook costs 3.40", ("field notebook, March", "£3.40", "£3.10")),
            Turn("May theme first swifts", ("May", "first swifts")),
            Turn("move the notebook to May", ("Moved field notebook from March to May",)),
            Turn("swap March and May", ("Swap March and May?", "order-by date moves")),
            Turn("do it", ("Swapped March and May",)),
            Turn("show the year", ("March", "May")),
            Turn("drop the notebook", ("Dropped field notebook from March",)),
        ),
        help_with=(0, 1, 2, 4, 5, 7, 8),
    ),
    Example(
        topic="dates",
        title="Ask when, and why then",
        turns=(
            Turn("ship day the 15th or the working day before", ("15th or the working day",)),
            Turn("add to March: field notebook, 20 working days", ("Added to March",)),
            Turn("when must I order the notebook", ("rder field notebook",)),
            Turn("why", ("field notebook", "Mon 15 Mar", "weekend")),
            Turn("how is March", ("March", "Mon 15 Mar")),
            Turn("this month", ("January", "March")),
            Turn("what is due", ("field notebook",)),
            Turn("what is due in February", ("Due Mon 1 to Sun 28 Feb", "field notebook")),
            Turn("what is late", ("late",)),
            Turn("ship March on the 12th", ("Fri 12 Mar",)),
            Turn("March ships by the rule again", ("Mon 15 Mar",)),
        ),
        help_with=(0, 2, 3, 4, 5, 6, 7, 8, 9, 10),
    ),
    Example(
        topic="suppliers",
        title="Tell how suppliers work",
        turns=(
            Turn("Aldermoor is in Germany", ("Aldermoor", "Germany")),
            Turn("Aldermoor lead time 20 working days", ("Aldermoor", "20 working days")),
            Turn("Aldermoor transit 6 days", ("Aldermoor", "6")),
            Turn("Aldermoor works Tue-Sat", ("Aldermoor", "Tue-Sat")),
            Turn("Aldermoor closed 2-20 August", ("Aldermoor", "2", "20 Aug")),
            Turn(
                "Hangfeng closed 10 days either side of the lunar new year",
                ("Hangfeng", "lunar new year"),
            ),
            Turn("Aldermoor deposit 30%", ("Aldermoor", "30%")),
            Turn("show Aldermoor", ("Aldermoor", "Germany", "20 working days")),
        ),
        help_with=(0, 1, 2, 3, 4, 5, 6, 7),
    ),
    Example(
        topic="shop",
        title="Tell about the shop",
        turns=(
            Turn("we are 420", ("420",)),
            Turn("the box is £32", ("£32.00",)),
            Turn("we pack 40 an hour", ("40",)),
            Turn("we work Mon-Sat", ("Mon-Sat",)),
            Turn("we are closed 24 Dec - 2 Jan", ("24 Dec", "2 Jan")),
            Turn("time zone Europe/Berlin", ("Europe/Berlin",)),
        ),
        help_with=(0, 1, 2, 3, 4, 5),
    ),
    Example(
        topic="nudges",
        title="What comes each morning",
        turns=(
            Turn("add to March: field notebook, 20 working days", ("Added to March",)),
            Turn("morning at 7:30", ("7:30",)),
            Turn("no nudges at weekends", ("weekend",)),
            Turn("what is due until 1 February", ("1.", "field notebook")),
            Turn("done 1", ("Done",)),
            Turn("what is due until 1 February", ("1.", "field notebook")),
            Turn("put off 1 by 3 days", ("3 working days", "field notebook")),
            Turn(at=datetime(2027, 1, 14, 8, 0, tzinfo=UTC), hears=("Thursday 14 January",)),
            Turn("what is due", ("1. Mon 18 Jan  settle sourcing of field notebook",)),
            Turn("rehearse", ("year of nudges",)),
        ),
        help_with=(1, 2, 4, 6, 9),
    ),
    Example(
        topic="files",
        title="Bring in a year from a file",
        turns=(
            Turn(
                file="year.csv",
                content=(
                    "Month,Theme,Item,Supplier,Unit cost,Lead time\n"
                    "March 2027,rain and roots,field notebook,Aldermoor,3.10,20 working days\n"
                    "May 2027,first swifts,enamel pin,Hangfeng,1.80,30 working days\n"
                    "Febtember,,tea,Brackenfold,1.20,5 working days\n"
                ),
                hears=("Read year.csv", "2 boxes", "2 items", "row 4", "Febtember"),
            ),
            Turn("bring it in", ("2 boxes",)),
            Turn("how is May", ("first swifts",)),
        ),
        help_with=(1,),
    ),
    Example(
        topic="undo",
        title="Change your mind",
        turns=(
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("March theme mud and moss", ("mud and moss",)),
            Turn("undo", ("Taken back: March theme mud and moss", "rain and roots")),
            Turn("history", ("Latest changes", "March theme mud and moss (taken back)")),
            Turn("put it back", ("Put back: March theme mud and moss",)),
        ),
        help_with=(2, 3, 4),
    ),
    Example(
        topic="people",
        title="Let others in",
        turns=(
            Turn("let a helper in", ("A code for a helper:", "once")),
            Turn("who is in", ("an owner", "1 code not used yet")),
        ),
        help_with=(0, 1),
    ),
)

"""Sample conversations: contents."""

from assistant.conversation.examples.turns import Example, Turn

_LIST = (
    "Trade prices from 4 January 2027\n"
    "Product,Price,Minimum,Case pack,Lead time,Weight (g),Made in,Notes\n"
    "moss print,£2.10,200,50,20 working days,40,Germany,printed on cotton\n"
    "rain gauge,£4.80,100,10,15 working days,210,Germany,clear\n"
    "tin kettle,£9.50,24,6,30 working days,600,China,for the trail\n"
)

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="contents",
        title="See what a box still lacks",
        turns=(
            Turn("6 items a box", ("6 items a box",)),
            Turn("items may cost 14 a box", ("items may cost £14.00 a box",)),
            Turn("mailer 300 x 220 x 80 mm", ("mailer 300 x 220 x 80 mm",)),
            Turn("mailer holds 2 kg", ("mailer holds 2 kg",)),
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("add to March: tin mug, 4.20, 320 g", ("Added to March: tin mug, £4.20, 320 g",)),
            Turn("mug is 90 x 90 x 80 mm", ("tin mug, March: 90 x 90 x 80 mm",)),
            Turn("mug is the main item", ("tin mug, March: the main item",)),
            Turn(
                "what is missing in March",
                (
                    *("1 of 6 items: 5 short", "£4.20 of £14.00: £9.80 left", "1.68 kg left"),
                    *("By volume 4.6 litres left", "Main item: tin mug", "Card and packaging open"),
                ),
            ),
            Turn("how is March", ("5 items short, £9.80 left of £14.00",)),
        ),
        help_with=(0, 1, 2, 3, 5, 7, 8),
    ),
    Example(
        topic="contents",
        title="Bring in a price list, and choose from it",
        turns=(
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("add to March: tin mug from Aldermoor, 4.20", ("New supplier: Aldermoor",)),
            Turn("Idea: a song about rain for March", ("Kept for March",)),
            Turn(
                "price list from Aldermoor",
                (
                    "Read spring.csv: price list of Aldermoor, 3 offers",
                    "New: 3 offers",
                    "Mon 4 Jan",
                ),
                file="spring.csv",
                content=_LIST,
            ),
            Turn("bring it in", ("Brought in: 3 new offers",)),
            Turn("offers about moss", ("1. moss print, £2.10, Aldermoor, from 200",)),
            Turn(
                "add offer 1 to March",
                (
                    "Added to March: moss print from Aldermoor, £2.10, 20 working days",
                    "Minimum 200, in cases of 50, quoted Mon 4 Jan",
                    "Order moss print by Mon 8 Feb",
                ),
            ),
            Turn("suggest items for March", ("1. a song about rain", "2. rain gauge, £4.80")),
            Turn("add offer 2 to March", ("Added to March: rain gauge",)),
            Turn("what does Aldermoor offer", ("1. moss print", "2. rain gauge", "3. tin kettle")),
        ),
        help_with=(3, 5, 6, 7, 9),
    ),
)

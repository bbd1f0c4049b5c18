"""Sample conversations about counts of subscribers."""

from assistant.conversation.examples.turns import Example, Turn

EXAMPLES: tuple[Example, ...] = (
    Example(
        topic="counts",
        title="Know how many you will be",
        turns=(
            Turn("March theme rain and roots", ("rain and roots",)),
            Turn("May theme first swifts", ("first swifts",)),
            Turn("we had 402 on 1 October", ("Noted: 402 subscribers on Thu 1 Oct",)),
            Turn("we are 431 today", ("Noted: 431 subscribers, 29 more than on Thu 1 Oct",)),
            Turn("churn 4%", ("Noted: churn 4% a month",)),
            Turn("30 join a month", ("Noted: 30 join a month", "March: ", "nine times in ten")),
            Turn("subscribers", ("Subscribers expected", "March: ", "May: ", "Each range")),
            Turn("8 skip March", ("Noted: 8 skip March",)),
            Turn("20 gifts end with March, half renew", ("20 gifts end with March, 50% renew",)),
            Turn("15 single boxes for May", ("15 boxes of May sold singly",)),
            Turn(
                "how many subscribers in May",
                ("431 counted Mon 11 Jan", "30 join a month, as told", "4% leave a month"),
            ),
            Turn("of 60 who joined in October 41 are left", ("41 are left", "Your own 4%")),
            Turn("joins and churn", ("30 join a month, as told", "half leave within 17")),
            Turn("skips and gifts", ("1. 20 gifts", "2. 8 skip March", "3. 15 boxes of May")),
        ),
        help_with=(3, 4, 5),
    ),
    Example(
        topic="counts",
        title="Tell who is not as the others",
        turns=(
            Turn("we are 431 today", ("Noted: 431 subscribers",)),
            Turn("5 pause from March until May", ("5 pause from March, back in May",)),
            Turn("12 prepaid end with June", ("12 prepaid terms end with June, none renews",)),
            Turn("how many subscribers in April", ("5 pause",)),
        ),
        help_with=(1, 2, 3),
    ),
)

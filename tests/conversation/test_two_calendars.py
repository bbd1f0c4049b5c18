"""One item worked back over two calendars, from the words typed to the day told.

The chain is constructed: ship date, 2 working days of packing and 1 of checking in England, 5
calendar days of transit that begin on a Chinese working day, 10 Chinese working days of making, 2
to begin. Its calendars: bank holidays of England (gov.uk) and the notice of holiday arrangements
for 2026 of the State Council of China, dated 2025-11-04, by which Saturday 28 February is worked.
The supplier is invented.
"""

from datetime import UTC, date, datetime

import pytest

from assistant.planning.deadlines import deadline
from tests.conversation.chat import Chat

TYPED = (
    "March theme spring",
    "ship March on 10 March 2026",
    "packing takes 2 days",
    "add to March: lamp from Hangfeng, 2.00, 10 working days, made in China",
    "Hangfeng starts 2 working days after the order",
    "Hangfeng transit 5 days",
)
BY_HAND = {
    "pack": date(2026, 3, 6),
    "stock": date(2026, 3, 5),
    "dispatch": date(2026, 2, 28),
    "start": date(2026, 2, 9),
    "order": date(2026, 2, 5),
}


@pytest.fixture(scope="module")
def chat() -> Chat:
    chat = Chat(now=datetime(2025, 12, 1, 9, tzinfo=UTC))
    for line in TYPED:
        chat.say(line)
        assert chat.changes, line
    return chat


@pytest.mark.parametrize(("stage", "day"), BY_HAND.items())
def test_each_date_is_the_one_worked_by_hand(chat: Chat, stage: str, day: date) -> None:
    (item,) = chat.shop.items
    owner = "2026-03" if stage == "pack" else item.id
    found = deadline(chat.shop, f"{owner}/{stage}", chat.now.date())
    assert found
    assert found.on == day


def test_the_day_to_order_is_told(chat: Chat) -> None:
    assert chat.say("when must I order the lamp").startswith(
        "Order lamp (March, Hangfeng) by Thu 5 Feb, in "
    )


def test_asking_why_shows_both_calendars_and_what_was_passed(chat: Chat) -> None:
    chat.say("when must I order the lamp")
    said = chat.say("why")
    assert "Packing from Fri 6 Mar: 2 working days before shipping, your calendar" in said
    assert (
        "Dispatched by Sat 28 Feb: 5 calendar days before it is in hand, landing on Hangfeng"
        in (said)
    )
    assert "Tue 17 to Thu 19 Feb (Chinese New Year" in said
    assert "Order by Thu 5 Feb: 2 working days before making, Hangfeng's calendar" in said


def test_the_rehearsed_year_has_the_order_on_its_morning(chat: Chat) -> None:
    chat.say("rehearse")
    (file,) = chat.outcome.files
    mornings = dict(
        morning.split("\n", 1) for morning in file.content.decode().strip().split("\n\n")[1:]
    )
    today = mornings["Thursday 5 February 2026"].split("Today\n")[1]
    assert "Thu 5 Feb  order lamp (March)" in today

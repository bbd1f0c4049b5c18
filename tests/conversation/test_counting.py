"""Subscribers counted, joining, leaving, skipping and expected: whole conversations.

The shop is invented.
"""

from datetime import date
from decimal import Decimal

import pytest

from assistant.conversation.handle.counting import HANDLERS
from assistant.conversation.order_requests import (
    CountSubscribers,
    DropGroup,
    NoteCohort,
    NoteGroup,
    SetFlow,
    ShowCounts,
)
from assistant.conversation.requests import Question, Request
from assistant.conversation.sentences import counting as says
from assistant.conversation.understand import understand
from assistant.planning.changes import apply, profile_of
from assistant.planning.deadlines import deadline
from assistant.planning.model import Books, Cohort, Count, Group, Put, Shop, Talk
from tests.conversation.asking import TODAY, asking, text
from tests.conversation.chat import Chat, plan_of
from tests.conversation.meant import SHOP
from tests.conversation.meant import TODAY as UTTERED
from tests.trade import shop

BOXES = tuple(f"2027-{month:02}" for month in (2, 3, 5, 6, 7, 8, 9, 11))


def year(number: int = 0, **books: Decimal) -> Shop:
    made = shop(*BOXES, **({"subscribers": number} if number else {}))
    return apply(made, (Put(Books(**books)),)) if books else made


def told(number: int = 431) -> Shop:
    """A shop that told all: 30 join and 4% leave."""
    return year(number, joins=Decimal(30), churn=Decimal(4))


def lines(text_: str) -> list[str]:
    return text_.split("\n")[1:]


def unchanged(chat: Chat, said: str) -> str:
    before = plan_of(chat.shop)
    answer = chat.say(said)
    assert plan_of(chat.shop) == before
    return answer


# --- counts ---------------------------------------------------------------------------------


def test_a_count_is_kept_and_is_the_number_of_the_shop() -> None:
    chat = Chat(year())
    assert chat.say("we are 431 today").startswith("Noted: 431 subscribers.")
    assert chat.shop.counts == (Count("2027-01-11", TODAY, 431),)
    assert profile_of(chat.shop).subscribers == 431
    assert "As I have it already: 431 subscribers today." in chat.say("we are 431")
    assert chat.changes == ()
    assert chat.say("we are 440").startswith("Noted: 440 subscribers, was 431.")
    assert [one.subscribers for one in chat.shop.counts] == [440]
    chat.hear("undo")
    assert profile_of(chat.shop).subscribers == 431
    assert [one.subscribers for one in chat.shop.counts] == [431]


def test_a_count_of_the_past_is_kept_beside_the_newest() -> None:
    chat = Chat(year())
    chat.hear("we are 431")
    answer = chat.say("we had 402 on 1 October")
    assert answer.startswith("Noted: 402 subscribers on Thu 1 Oct.")
    assert profile_of(chat.shop).subscribers == 431
    assert chat.say("we had 380 on 1 August").startswith("Noted: 380 subscribers on Sat 1 Aug.")
    assert "431 subscribers" not in answer
    assert "29 more than on Thu 1 Oct" in Chat(chat.shop).say("we are 431 on 2027-01-10")


def test_the_number_that_was_known_stays_todays() -> None:
    chat = Chat(year(431))
    chat.hear("we had 402 on 1 October")
    assert profile_of(chat.shop).subscribers == 431
    assert [(one.on, one.subscribers) for one in chat.shop.counts] == [
        (TODAY, 431),
        (date(2026, 10, 1), 402),
    ]


def test_more_subscribers_take_longer_to_pack() -> None:
    # 420 boxes at 30 x 1 x 6 = 180 a day are 3 days; 800 are 5.
    chat = Chat(year(420))
    before = deadline(chat.shop, "2027-03/pack", TODAY)
    answer = chat.say("we are 800")
    after = deadline(chat.shop, "2027-03/pack", TODAY)
    assert before
    assert after
    assert (before.on, after.on) == (date(2027, 3, 10), date(2027, 3, 8))
    assert "dates move; the first: " in answer


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("we are -5", '"-5" is below zero, and a count cannot be, so nothing was changed'),
        ("we are 0", "a count is from 1 to 1,000,000. Nothing was changed"),
        ("we are 99000000", "is more than I count, so nothing was changed"),
        ("we had 402 on 1 May 2028", "still to come. Nothing was changed"),
        ("churn 120%", "nobody can lose more than all, so nothing was changed"),
        ("we lose 120 % a month", "nobody can lose more than all, so nothing was changed"),
        ("churn -3%", "cannot be below zero, so nothing was changed"),
        ("churn 100%", "all of them would be gone, so nothing was changed"),
        ("999999 join a month", "they are from 0 to 100,000. Nothing was changed"),
        ("900 skip March", "431 subscribers were counted. Nothing was changed"),
        ("0 skip March", "a group of none"),
        ("5 pause from May until March", "ends before it begins. Nothing was changed"),
        ("5 pause for 900 months from March", "are more than I plan"),
        ("20 gifts end with March, 140% renew", "more than the whole"),
        ("of 40 who joined in October 60 are left", "60 cannot be left of 40"),
        ("of 0 who joined in October 0 are left", "nobody joined then"),
        ("40% of the May gifts renew", "I know of none that end then"),
    ],
)
def test_what_cannot_be_changes_nothing_and_says_what_works(said: str, why: str) -> None:
    answer = unchanged(Chat(told()), said)
    assert why in answer
    assert "For example: " in answer


@pytest.mark.parametrize(
    ("request_", "why"),
    [
        (CountSubscribers(-1), "I read -1 subscribers"),
        (SetFlow(churn=Decimal(120)), "I read a churn of 120% a month, but nobody can lose more"),
        (SetFlow(churn=Decimal(-1)), "churn cannot be below zero"),
        (SetFlow(churn=Decimal(100)), "all of them would be gone"),
        (SetFlow(joins=Decimal(-1)), "they are from 0 to 100,000"),
    ],
)
def test_a_handler_refuses_what_no_words_can_say(request_: Request, why: str) -> None:
    outcome = HANDLERS[type(request_)](told(), request_, asking())
    assert outcome.changes == ()
    assert why in text(outcome)
    assert "Nothing was changed. For example: " in text(outcome)


def test_a_jump_of_more_than_half_is_said_plainly() -> None:
    chat = Chat(year(400))
    chat.hear("we had 400 on 1 January")
    assert "jump" not in chat.say("we are 590")
    assert "take it back" not in chat.say("we are 595")
    answer = chat.say("we are 1000")
    assert "That is 68% up from 595. If it is a slip, take it back." in answer
    assert "That is 60% down from 1,000." in chat.say("we are 400")


# --- joins and churn ------------------------------------------------------------------------


def test_joins_and_churn_are_told_apart_or_together() -> None:
    chat = Chat(year(431))
    assert "Noted: churn 4% a month." in chat.say("churn 4%")
    assert "One stays 25 months on average, half leave within 17" in chat.say("churn 3,9 %") + (
        chat.say("churn 4%")
    )
    assert "churn 5% a month, was 4%" in chat.say("we lose 5% a month")
    answer = chat.say("30 join and 4% leave a month")
    assert "Noted: 30 join a month; churn 4% a month, was 5%." in answer
    assert "November: 536, between 505 and 566, nine times in ten." in answer
    assert "As I have it already: churn 4% a month." in chat.say("churn 4")
    assert chat.changes == ()


def test_a_number_that_leaves_is_offered_as_a_share() -> None:
    chat = Chat(told())
    answer = unchanged(chat, "we lose 12 a month")
    assert "churn is a share: of 431 that is 2.8%" in answer
    assert "Noted: churn 2.8% a month" in chat.touch("churn 2.8% a month")
    assert "I must know how many you are" in Chat(year()).say("we lose 12 a month")


@pytest.mark.parametrize(
    ("said", "now"),
    [
        ("3 joined today", 434),
        ("3 new subscribers this week", 434),
        ("we gained 3", 434),
        ("we lost 4", 427),
        ("4 people left", 427),
        ("4 cancellations this month", 427),
    ],
)
def test_what_changed_is_offered_as_a_count(said: str, now: int) -> None:
    chat = Chat(told())
    assert f"from 431 that makes {now}" in unchanged(chat, said)
    assert f"Noted: {now} subscribers" in chat.touch(f"we are {now}")
    assert "I must know how many you are first" in Chat(year()).say(said)


def test_what_was_told_can_be_learned_again() -> None:
    chat = Chat(told())
    for said in ("we had 402 on 1 November", "we had 424 on 1 December"):
        chat.hear(said)
    assert "30 join a month, as told" in chat.say("joins and churn")
    answer = chat.touch("Learn it")
    assert "What you told of joins and churn is forgotten." in answer
    assert "12.5 more each month, from 3 counts" in answer
    assert chat.shop.books[0].joins is None
    assert "You told me nothing of churn" in chat.say("learn churn")
    chat.hear("30 join a month")
    assert "leave a month, from 3 counts" in chat.say("joins and churn")


def test_counts_that_contradict_joins_are_said_to() -> None:
    chat = Chat(year(431))
    chat.hear("we had 300 on 1 December")
    assert "no churn is reckoned" in chat.say("20 join a month")


def test_newcomers_who_leave_sooner_are_seen() -> None:
    chat = Chat(year(900))
    seen = [(300, 195), (300, 172), (300, 158), (300, 150), (300, 146), (300, 142)]
    months = ("December", "November", "October", "September", "August", "July")
    for month, (number, left) in zip(months, seen, strict=True):
        answer = chat.say(f"of {number} who joined in {month} {left} are left")
        assert f"Noted: of {number} who joined in {month} {left} are left." in answer
    answer = chat.say("joins and churn")
    assert "leave in their first month" in answer
    assert "Newcomers leave sooner: 6 months' joiners show it" in answer
    assert "after a year" in answer
    assert len(chat.shop.cohorts) == 6


def test_who_is_left_can_only_become_fewer() -> None:
    chat = Chat(year(900))
    chat.hear("of 60 who joined in October 41 are left on 1 December")
    answer = unchanged(chat, "of 60 who joined in October 45 are left")
    assert "on Tue 1 Dec 41 of 60 were left" in answer
    assert "As I have it already" in chat.say(
        "of 60 who joined in October 41 are left on 1 December"
    )
    assert "40 are left." in chat.say("of 60 who joined in October 40 are left")


def test_joiners_of_long_ago_keep_their_year() -> None:
    chat = Chat(year(431))
    answer = chat.say("of 60 who joined in March 2024 12 are left")
    assert "Noted: of 60 who joined in March 2024 12 are left." in answer


def test_churn_as_told_holds_and_the_way_out_is_a_button() -> None:
    chat = Chat(told())
    assert "Your own 4% a month holds" in chat.say("of 60 who joined in October 30 are left")
    assert "from your cohorts" in chat.touch("Learn it")


# --- what is expected -----------------------------------------------------------------------


def test_the_boxes_that_come_are_told_in_eight_lines() -> None:
    chat = Chat(told())
    answer = chat.say("subscribers")
    assert answer.startswith("Subscribers expected\nFebruary: 440, between 431 and 450\n")
    assert lines(answer)[5:] == [
        "November: 536, between 505 and 566",
        "Each range holds nine times in ten.",
        "30 join and 4% leave a month, as told",
    ]
    assert list(chat.buttons) == ["Why February", "Why March", "Joins and churn", "Skips and gifts"]
    assert all(len(line) <= 45 for line in lines(answer))


def test_each_number_is_explained_a_line_for_each_part() -> None:
    chat = Chat(told())
    for said in ("8 skip March", "5 pause from March", "15 single boxes for March"):
        chat.hear(said)
    answer = chat.say("how many subscribers in March")
    assert answer.split("\n") == [
        "March: 454 expected",
        "Between 440 and 469, nine times in ten",
        "431 counted Mon 11 Jan",
        "+ 51 join and stay (30 join a month, as told)",
        "\u2212 29 leave (4% leave a month, as told)",
        "\u2212 8 skip it",
        "\u2212 5 pause",
        "+ 15 sold singly",
        "Counted finally Wed 3 Mar",
    ]


def test_without_boxes_the_coming_months_are_told() -> None:
    chat = Chat()
    assert "Not counted yet. For example: we are 420" in chat.say("subscribers")
    chat.hear("we are 431")
    answer = chat.say("how many will we be")
    assert lines(answer)[0] == "January: 431"
    assert lines(answer)[-1] == "Joins and churn are not known: say 30 join a month; churn 4%"


def test_what_is_not_known_is_asked_for() -> None:
    assert "Joins are not known" in Chat(year(431, churn=Decimal(4))).say("subscribers")
    assert "Churn is not known" in Chat(year(431, joins=Decimal(4))).say("subscribers")
    answer = Chat(year(431)).say("how many subscribers in March")
    assert "Joins and churn: say 30 join a month, churn 4%" in answer


def test_a_range_from_few_counts_is_said_to_be_a_guess() -> None:
    chat = Chat(year())
    chat.hear("we had 402 on 1 December")
    chat.hear("we are 431")
    answer = chat.say("joins and churn")
    assert "more each month, from 2 counts" in answer
    assert "half a guess" in answer


# --- what buttons say -----------------------------------------------------------------------

GIFTS = Group("gift/2027-05", "gift", 20, last="2027-05", renew=Decimal("33.5"))
SAID: list[tuple[str, Request]] = [
    (says.show_counts(), ShowCounts()),
    (says.show_counts("2027-03"), ShowCounts("2027-03")),
    (says.show_counts("2027-03b"), ShowCounts("2027-03b")),
    (says.flow(), ShowCounts(part="flow")),
    (says.groups(), ShowCounts(part="groups")),
    (says.count(1431), CountSubscribers(1431)),
    (says.joins(30), SetFlow(joins=Decimal(30))),
    (says.churn(Decimal("4.0")), SetFlow(churn=Decimal(4))),
    (says.churn(Decimal("2.8")), SetFlow(churn=Decimal("2.8"))),
    (says.learn("joins"), SetFlow(learn=("joins",))),
    (says.learn("churn"), SetFlow(learn=("churn",))),
    (says.learn("joins", "churn"), SetFlow(learn=("joins", "churn"))),
    (says.drop_group("one-off/2027-03b"), DropGroup("one-off/2027-03b")),
    (says.drop_group("pause/2027-03/2027-05"), DropGroup("pause/2027-03/2027-05")),
    (says.group(GIFTS), NoteGroup("gift", 20, last="2027-05", renew=Decimal("33.5"))),
    (
        says.group(Group("", "prepaid", 12, last="2027-06")),
        NoteGroup("prepaid", 12, last="2027-06"),
    ),
]


@pytest.mark.parametrize(("sentence", "meant"), SAID, ids=lambda x: str(x)[:60])
def test_a_button_means_what_it_was_made_for(sentence: str, meant: Request) -> None:
    assert understand(sentence, SHOP, Talk(id=""), UTTERED) == (meant,)


@pytest.mark.parametrize("said", ["8 skip breakfast", "how many subscribers for pins"])
def test_words_that_are_no_month_are_asked_about(said: str) -> None:
    asked = understand(said, SHOP, Talk(id=""), UTTERED)
    assert isinstance(asked, Question)
    assert "is no month I know" in asked.text


def test_a_month_of_joiners_is_the_last_such_one() -> None:
    said = "of 60 who joined in December 41 are left"
    assert understand(said, SHOP, Talk(id=""), UTTERED) == (NoteCohort("2025-12", 60, 41),)
    chat = Chat(year(431))
    chat.hear(said)
    assert chat.shop.cohorts == (Cohort("2026-12/2027-01-11", "2026-12", 60, 41, TODAY),)

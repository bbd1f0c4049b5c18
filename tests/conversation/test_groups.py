"""Subscribers who skip, pause, or whose gifts end: whole conversations. The shop is invented."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.order_requests import NoteGroup
from assistant.conversation.sentences import counting as says
from assistant.conversation.understand import understand
from assistant.planning.model import Group, Talk
from tests.conversation.chat import Chat
from tests.conversation.meant import SHOP
from tests.conversation.meant import TODAY as UTTERED
from tests.conversation.test_counting import lines, told, unchanged
from tests.trade import shop


def test_a_group_is_noted_changed_shown_and_dropped() -> None:
    chat = Chat(told())
    assert "Noted: 8 skip March.\nMarch: 444, between" in chat.say("8 skip March")
    assert "As I have it already: 8 skip March." in chat.say("8 skip March")
    assert "Noted: 10 skip March; was: 8 skip March." in chat.say("2 more skip March")
    assert "Noted: 9 skip March; was: 10 skip March." in chat.say("9 skip March")
    chat.hear("5 pause from March until June")
    chat.hear("15 single boxes for May")
    answer = chat.touch("Skips and gifts")
    assert lines(answer) == [
        "1. 5 pause from March, back in June",
        "2. 9 skip March",
        "3. 15 boxes of May sold singly",
    ]
    assert "Forgotten: 9 skip March." in chat.touch("Drop 2")
    assert [one.group for one in chat.shop.groups] == ["pause", "one-off"]
    assert "no longer there" in chat.say("drop group skip/2027-03")
    chat.hear("undo")
    assert len(chat.shop.groups) == 3
    assert "All are alike. For example" in Chat(told()).say("skips")


@pytest.mark.parametrize(
    ("noted", "said"),
    [
        ("8 skip March", "drop the skips of March"),
        ("5 pause from March until May", "forget the March pauses"),
        ("20 gifts end with May", "drop the gifts that end with May"),
        ("12 prepaid end with June", "remove the prepaid terms for June"),
        ("15 single boxes for May", "cancel the one-offs for May"),
        ("15 single boxes for May", "drop the single boxes for May"),
    ],
)
def test_a_group_is_dropped_in_words_too(noted: str, said: str) -> None:
    chat = Chat(told())
    assert "I know of none there" in unchanged(chat, said)
    chat.hear(noted)
    assert "Forgotten: " in chat.say(said)
    assert chat.shop.groups == ()


def test_a_group_without_its_box_is_asked_about() -> None:
    chat = Chat(told())
    assert "I do not know which box" in unchanged(chat, "8 skip")
    assert "Noted: 8 skip March" in chat.touch("March")
    assert "I do not know which box" in unchanged(chat, "20 gifts")
    assert "20 gifts end with May" in chat.touch("May")


def test_terms_end_and_a_share_renews() -> None:
    chat = Chat(told())
    answer = chat.say("20 gifts end with March")
    assert "20 gifts end with March, none renews" in answer
    assert "I reckon that none renews; say for example: 40% renew" in answer
    assert "50% renew" in chat.touch("Half renew")
    assert "40% renew" in chat.say("40% of the March gifts renew")
    assert chat.shop.groups[0].renew == 40
    assert "25 gifts end with March, 40% renew" in chat.say("25 gifts end with March")
    answer = chat.say("how many subscribers in May")
    assert "\u2212 15 end, gifts and prepaid terms" in answer


def test_many_groups_are_counted_not_listed() -> None:
    chat = Chat(told())
    for month in ("February", "March", "May", "June", "July", "August", "September", "November"):
        chat.hear(f"3 skip {month}")
    answer = chat.say("skips and gifts")
    assert lines(answer)[-1] == "And 1 more, later in the year"
    assert len(lines(answer)) == 8


def test_a_box_that_has_shipped_cannot_be_skipped() -> None:
    chat = Chat(shop("2026-11", "2027-03", subscribers=431))
    assert "shipped" in unchanged(chat, "8 skip November 2026")


MONTHS = st.integers(1, 12).map(lambda month: f"2027-{month:02}")


@given(
    st.sampled_from(("skip", "pause", "one-off", "gift", "prepaid")),
    st.integers(1, 99_999),
    MONTHS,
    st.one_of(st.just(""), MONTHS),
    st.one_of(st.none(), st.integers(0, 100)),
)
def test_whatever_group_a_button_notes(
    kind: str, number: int, first: str, last: str, renew: int | None
) -> None:
    term = kind in ("gift", "prepaid")
    one = Group(
        "",
        kind,  # type: ignore[arg-type]
        number,
        "" if term else first,
        first if term else last if kind == "pause" else "",
        Decimal(renew) if term and renew is not None else None,
    )
    (meant,) = understand(says.group(one), SHOP, Talk(id=""), UTTERED)  # type: ignore[misc]
    assert meant == NoteGroup(one.group, one.number, one.first, one.last, one.renew)

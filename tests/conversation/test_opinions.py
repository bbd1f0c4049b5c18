"""What subscribers said, in a sentence or a survey: whole conversations. Everything is invented."""

from datetime import UTC, datetime
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.planning.model import Mark
from tests.conversation.chat import Chat, plan_of
from tests.conversation.shipped import LAMP, MUG, at, chat, refused, shipped
from tests.conversation.test_files import send
from tests.trade import shop


def test_a_score_is_kept_and_told() -> None:
    one = chat()
    text = one.say("lamp scored 4.6 from 38 answers")
    assert text.startswith("lamp, March: 4.6 of 5 from 38 answers.")
    (kept,) = one.shop.opinions
    assert (kept.id, kept.score, kept.answers) == (LAMP, Decimal("4.60"), 38)
    assert refused(one, "lamp scored 4.6 from 38 answers").endswith("what I have already.")
    assert "Before: 4.6 of 5 from 38 answers." in one.say("lamp got 2 of 5")
    one.hear("undo")
    assert one.shop.opinions == (kept,)


def test_another_scale_is_said() -> None:
    text = chat().say("March scored 8.2 of 10 from 40 answers")
    assert "March: 4.1 of 5 from 40 answers." in text
    assert "8.2 of 10 is 4.1 of 5." in text


def test_words_are_kept_as_words() -> None:
    one = chat()
    text = one.say("subscribers loved the lamp")
    assert "lamp, March: “loved”." in text
    assert "A number makes it comparable" in text
    one.hear("subscribers said of the lamp: " + "bright " * 60)
    (kept,) = one.shop.opinions
    assert kept.score is None
    assert kept.words[0] == "loved"
    assert len(kept.words[1]) <= 120
    assert "Loved: lamp" in one.say("what was loved")


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("lamp scored 7", "scores go from 1 to 5"),
        ("lamp scored 0", "scores go from 1 to 5"),
        ("lamp scored -2 of 5", "scores go from 1 to 5"),
        ("lamp scored 12 of 10", "12 of 10, which cannot be"),
        ("lamp oil scored 4.6", "nobody has had it yet"),
        ("tea was a hit", "nobody has had it yet"),
        ("July scored 4", "is not in the plan"),
        ("kettle scored 4", 'I know no item or box "kettle"'),
        ("lamp scored 4 from 900 answers", "418 boxes of March went out"),
    ],
)
def test_an_opinion_that_cannot_be(said: str, why: str) -> None:
    assert why in refused(chat(), said)


def test_a_score_above_5_is_offered_as_one_of_10() -> None:
    one = chat()
    one.hear("lamp scored 7 from 20 answers")
    one.touch("7 of 10")
    assert one.shop.opinions[0].score == Decimal("3.5")
    assert one.shop.opinions[0].answers == 20


def test_two_items_of_one_name_are_asked_about() -> None:
    made = shipped("2027-02 Frost: lamp")
    made = replace(made, ledger=(*made.ledger, Mark("2027-02/ship", "done", at=at(1, 9))))
    one = Chat(made, datetime(2027, 4, 6, 9, tzinfo=UTC))
    assert "could be 2 items" in refused(one, "lamp scored 4.6 from 38 answers")
    one.touch(next(iter(one.buttons)))
    assert len(one.shop.opinions) == 1
    one.hear("lamp in March scored 4 from 10 answers")
    assert {kept.box for kept in one.shop.opinions} >= {"2027-03"}


def test_whose_box_has_not_shipped_can_be_said_to_have() -> None:
    one = chat(replace(shipped(), ledger=()))
    assert "Has it gone out?" in refused(one, "lamp scored 4.6")
    one.touch("It has gone out")
    one.hear("lamp scored 4.6")
    assert len(one.shop.opinions) == 1


# --- surveys --------------------------------------------------------------------------------

SURVEY = (
    "Item,Score,Comment\n"
    "lamp,5,bright enough to read by\n"
    "lamp,4,\n"
    "mug,2,too small\n"
    "kettle,4,\n"
    "mug,great,\n"
)


def test_a_survey_is_shown_and_changes_nothing_until_it_is_brought_in() -> None:
    one = chat()
    before = plan_of(one.shop)
    text = send(one, SURVEY, "answers.csv", "survey for March")
    assert text.split("\n")[:8] == [
        "Read answers.csv: answers about 3 things",
        "• lamp, March: 4.5 of 5 from 2 answers, 1 comment",
        "• mug, March: 2 of 5 from 1 answer, 1 comment",
        "Not read:",
        "• row 6: B6 says “great”, which is no score; write 4 or 4.5.",
        "• row 5: no item “kettle” in a box that has gone out.",
    ]
    assert plan_of(one.shop) == before
    brought = one.touch("Bring it in")
    assert "Noted what subscribers said of 2 things." in brought
    assert [(kept.id, kept.answers) for kept in one.shop.opinions] == [(LAMP, 2), (MUG, 1)]
    assert one.shop.drafts == ()
    assert "All of it is noted already." in send(one, SURVEY, "answers.csv")
    one.hear("undo")
    assert one.shop.opinions == ()


def test_a_survey_can_be_left() -> None:
    one = chat()
    send(one, SURVEY, "answers.csv")
    assert one.touch("Leave it") == "Left answers.csv. Nothing was changed."
    assert one.shop.opinions == ()


def test_a_row_for_each_person_and_the_box_that_it_is_taken_for() -> None:
    one = chat()
    text = send(one, "lamp,mug,Overall\n5,2,4\n4,3,5\n", "form.csv")
    assert "• March: 4.5 of 5 from 2 answers" in text
    assert "Taken for March, the newest box that went out" in text
    one.hear("yes")
    assert len(one.shop.opinions) == 3


def test_the_box_is_read_from_the_name_of_the_file() -> None:
    made = shipped("2027-02 Frost: lamp")
    made = replace(made, ledger=(*made.ledger, Mark("2027-02/ship", "done", at=at(1, 9))))
    one = chat(made)
    assert "February" in send(one, "Item,Score\nlamp,5\n", "survey-february.csv")
    one.hear("yes")
    assert one.shop.opinions[0].box == "2027-02"


def test_a_table_that_is_about_nothing_of_the_shop_is_what_it_was() -> None:
    text = send(chat(), "Height,Weight\n7,8\n6,9\n", "a.csv")
    assert "names no months" in text


def test_a_survey_before_anything_went_out_says_so() -> None:
    one = Chat(shop("2027-03 Rain: lamp"))
    text = send(one, "Item,Score\nlamp,5\n", "a.csv")
    assert "no box has gone out yet" in text
    assert "Bring it in" not in one.buttons


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=30))
def test_no_comment_does_anything(words: str) -> None:
    one = chat()
    line = words.replace('"', "'")
    send(one, f'Item,Score,Comment\nlamp,5,"{line}"\n', "a.csv")
    one.hear("yes")
    assert len(one.shop.opinions) == 1
    assert len(one.shop.items) == len(shipped().items)

"""What is left over: kept, listed, used again: whole conversations. Everything is invented."""

import pytest

from tests.conversation.shipped import chat, refused, shipped


def test_leftovers_are_kept_listed_and_used() -> None:
    one = chat()
    text = one.say("38 notebooks left over from March")
    assert "field notebook: 38 left over from March." in text
    assert "May has field notebook too." in text
    assert "1. field notebook 38, from March" in one.say("what is left over")
    text = one.say("use 12 of the leftover notebooks in May")
    assert "May: 12 of field notebook come from leftovers; 26 stay left over." in text
    assert "- 12 in stock" in text
    assert [i.stock for i in one.shop.items if i.box == "2027-05"] == [12, None]
    one.hear("use the leftover notebooks in May")
    assert [i.stock for i in one.shop.items if i.box == "2027-05"] == [38, None]
    assert not one.shop.stock
    one.hear("undo")
    assert [kept.pieces for kept in one.shop.stock] == [26]


def test_leftovers_make_an_item_where_a_box_has_none_of_the_name() -> None:
    one = chat()
    one.hear("12 mugs left over from March")
    text = one.say("use the leftover mugs in May")
    assert "May: 12 of mug come from leftovers; none is left over." in text
    made = one.shop.items[-1]
    assert (made.box, made.name, made.stock, made.quantity) == ("2027-05", "mug", 12, None)
    one.hear("undo")
    assert len(one.shop.items) == len(shipped().items)


def test_leftovers_are_pointed_out_when_the_like_is_planned() -> None:
    one = chat()
    one.hear("12 mugs left over from March")
    assert "12 left over from March." in one.say("add to June: mug, 2.10")
    one.touch("Use the 12 left over")
    assert one.shop.items[-1].stock == 12
    one.hear("38 notebooks left over from March")
    assert "38 left over of field notebook from March." in one.say(
        "add to June: dotted book, type notebook"
    )


def test_a_count_said_again_takes_the_place_of_the_old() -> None:
    one = chat()
    one.hear("38 notebooks left over from March")
    assert "30 left over from March, was 38" in one.say("30 notebooks left over from March")
    assert refused(one, "30 notebooks left over from March")
    assert "none left over" in one.say("no notebooks left over from March")
    assert one.shop.stock == ()


@pytest.mark.parametrize(
    ("said", "why"),
    [
        ("500 notebooks left over from March", "there were 412"),
        ("use 40 of the leftover notebooks in May", "38 of field notebook are left over"),
        ("use 0 of the leftover notebooks in May", "no pieces"),
        ("use 2 of the leftover kettles in May", 'nothing called "kettles" is left over'),
        ("use the leftover notebooks in March", "March"),
        ("5 lamp oil left over from April", "nothing is left over of it yet"),
        ("5 kettles left over from March", 'has no item "kettles"'),
    ],
)
def test_leftovers_that_cannot_be(said: str, why: str) -> None:
    one = chat()
    one.hear("38 notebooks left over from March")
    assert why in refused(one, said)


def test_pieces_of_a_box_to_come_are_offered_as_on_hand() -> None:
    one = chat()
    one.hear("5 lamp oil left over from April")
    one.touch("5 on hand")
    assert [i.stock for i in one.shop.items if i.name == "lamp oil"] == [5]


def test_what_is_past_its_day_is_not_planned() -> None:
    one = chat()
    one.hear("20 mugs left over from March, best before 3 April")
    assert "best before Sat 3 Apr" in one.say("what is left over")
    text = refused(one, "use the leftover mugs in May")
    assert "is best before Sat 3 Apr, and May ships Fri 14 May" in text


def test_nothing_left_over_says_how() -> None:
    assert "For example: 38 notebooks left over from March" in refused(chat(), "leftovers")

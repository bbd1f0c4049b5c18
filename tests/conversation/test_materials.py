"""Materials of packing in whole conversations; buttons and words of the packing run.

Shops and goods are invented.
"""

import re
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.month_requests import (
    ChangeRun,
    DropMaterial,
    Packed,
    RunSheet,
    SetMaterial,
    ShowMaterials,
    ShowPacking,
)
from assistant.conversation.requests import KeepIdea, Question, Request
from assistant.conversation.sentences import packing as says
from assistant.conversation.understand import understand
from assistant.planning.model import Material, Talk
from tests.conversation.chat import Chat
from tests.conversation.meant import SHOP, TODAY
from tests.conversation.test_packing import BOX, packing_day, planned
from tests.trade import shop

D = Decimal


# --- materials ----------------------------------------------------------------------------------


def test_materials_from_the_first_word_to_the_last_roll() -> None:
    chat = Chat(planned())
    assert "No packing material is noted yet" in chat.say("materials")
    text = chat.say("mailers: 1 a box, 380 in stock")
    assert text == (
        "mailers: 1 a box, 380 in stock.\n"
        "mailers: 380 left, 51 short for March, needed by Wed 10 Mar"
    )
    text = chat.say("500 mailers came")
    assert text.startswith("mailers: 500 more, 880 in stock.")
    assert "enough for 880 boxes (until May)" in text
    assert "tape: not counted, 8.6 needed for March" in chat.say("tape 0.02 a box")
    assert "9 left, 9 short for May" in chat.say("we have 9 rolls of tape left")
    listed = chat.say("materials").split("\n")
    assert listed[0] == "Packing materials"
    assert [line.split(":")[0] for line in listed[1:]] == ["tape", "mailers"]
    assert "tape is no packing material any more." in chat.say("drop the tape")
    chat.say("undo")
    assert [one.id for one in chat.shop.materials] == ["mailers", "tape"]


def test_packing_uses_materials_up() -> None:
    chat = packing_day()
    chat.say("mailers: 1 a box, 620 in stock")
    chat.say("packed 140")
    assert "mailers: 480 left" in chat.say("materials")
    chat.say("we have 470 mailers left")
    assert "mailers: 470 left" in chat.say("materials")
    chat.say("packed 100")
    assert "mailers: 370 left" in chat.say("materials")


def test_a_material_without_a_number_is_reckoned_with_one_a_box() -> None:
    text = Chat(planned()).say("we have 300 mailers left")
    assert "I reckon 1 a box" in text
    assert "131 short for March" in text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("mailers: 0 a box", "cannot be meant"),
        ("mailers: 5000 a box", "I read 5000 a box, but that cannot be meant"),
        ("drop material moss", 'I know no packing material "moss"'),
    ],
)
def test_materials_that_cannot_be(text: str, words: str) -> None:
    chat = Chat(planned())
    assert words in chat.say(text)
    assert chat.shop.materials == ()


def test_an_item_of_that_name_is_no_material() -> None:
    made = shop("2027-03 Rain: gift wrap; card")
    talk = Talk(id="")
    for text in ("gift wrap 2 a box", "we have 40 gift wraps left", "card 0.30 a box"):
        found = understand(text, made, talk, date(2027, 1, 11))
        assert isinstance(found, Question) or not isinstance(found[0], SetMaterial)


# --- buttons ------------------------------------------------------------------------------------

MARCH = date(2027, 3, 8)
SAID: list[tuple[str, Request]] = [
    (says.show_packing(BOX), ShowPacking(BOX)),
    (says.change_run(BOX, MARCH), ChangeRun(BOX, MARCH)),
    (says.change_run(BOX, MARCH, 3, D("7.5")), ChangeRun(BOX, MARCH, 3, D("7.5"))),
    (says.change_run(BOX, crew=1), ChangeRun(BOX, crew=1)),
    (says.change_run(BOX, hours=D(1)), ChangeRun(BOX, hours=D(1))),
    (says.change_run(BOX, collection=MARCH), ChangeRun(BOX, collection=MARCH)),
    (says.as_planned(BOX), ChangeRun(BOX, clear=("first", "crew", "hours"))),
    (says.no_collection(BOX), ChangeRun(BOX, clear=("collection",))),
    (says.run_sheet(BOX), RunSheet(BOX)),
    (says.run_sheet(BOX, page=True), RunSheet(BOX, page=True)),
    (says.packed(BOX, 140), Packed(140, BOX)),
    (says.packed(BOX, 1400, all=True), Packed(1400, BOX, all=True)),
    (says.packed("2027-03b", 1), Packed(1, "2027-03b")),
    (says.set_material("wood wool", D("0.1"), 12), SetMaterial("wood wool", D("0.1"), 12)),
    (says.set_material("wood wool", stock=1200), SetMaterial("wood wool", stock=1200)),
    (says.set_material("wood wool", D(2)), SetMaterial("wood wool", D(2))),
    (says.drop_material("wood wool"), DropMaterial("wood wool")),
    (says.materials(), ShowMaterials()),
]


@pytest.mark.parametrize(("text", "meant"), SAID, ids=lambda x: str(x)[:50])
def test_a_button_means_what_it_was_made_for(text: str, meant: Request) -> None:
    assert understand(text, SHOP, Talk(id=""), TODAY) == (meant,)


@given(
    st.dates(date(2027, 2, 8), date(2027, 4, 20)),
    st.integers(1, 100),
    st.decimals("0.5", 16, places=1),
)
def test_whatever_is_chosen_for_a_run(first: date, crew: int, hours: Decimal) -> None:
    said = understand(says.change_run(BOX, first, crew, hours), SHOP, Talk(id=""), TODAY)
    assert said == (ChangeRun(BOX, first, crew, hours),)


@given(st.text("abcdefgh 'x-0123456789,.", min_size=1, max_size=40))
def test_whatever_a_material_is_called(name: str) -> None:
    name = " ".join(name.split())
    if not re.search("[a-z0-9]", name):
        return
    said = understand(says.set_material(name, D(1), 5), SHOP, Talk(id=""), TODAY)
    assert said == (SetMaterial(name, D(1), 5),)
    kept = replace(SHOP, materials=(Material(name.casefold(), name),))
    assert understand(says.drop_material(name), kept, Talk(id=""), TODAY) == (DropMaterial(name),)


def test_a_known_material_is_found_however_it_is_counted() -> None:
    known = replace(SHOP, materials=(Material("wood wool bags", "wood wool bags"),))
    for text in ("wood wool bag: 2 a box", "Wood Wool Bags: 2 a box"):
        found = understand(text, known, Talk(id=""), TODAY)
        assert found == (SetMaterial("wood wool bags", D(2)),)


@pytest.mark.parametrize(
    "thought",
    [
        "a pack of cards",
        "a card with a map",
        "wrapping paper with moss",
        "labels shaped like leaves",
    ],
)
def test_a_thought_about_such_things_is_kept(thought: str) -> None:
    found = understand(thought, SHOP, Talk(id=""), TODAY)
    assert isinstance(found, tuple)
    assert isinstance(found[0], KeepIdea)

"""A question's example is about what the shop has, so that it works as it stands."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.requests import Question
from assistant.conversation.understand import understand
from assistant.planning.model import Shop, Talk
from tests.conversation.chat import MORNING, Chat
from tests.trade import shop

BAKERS = shop("Millbeck", "2027-02 Rise: rye flour@Millbeck 260 x 0.90; banneton, lead 25d")
BARE = shop()
TODAY = MORNING.date()
UNREAD = (
    "what is the weather",
    "when must the loaf",
    "when do we need the card printed",
    "why is it like this",
    "how much is the weather",
    "who is the printer",
    "rename",
    "move it somewhere",
    "show me the money",
    "order date",
)


def asked(text: str, of: Shop) -> Question:
    found = understand(text, of, Talk(id=""), TODAY)
    assert isinstance(found, Question), text
    return found


@pytest.mark.parametrize("text", UNREAD)
@pytest.mark.parametrize("of", [BAKERS, BARE], ids=["with a plan", "without one"])
def test_a_button_that_is_offered_leads_to_no_question(text: str, of: Shop) -> None:
    for option in asked(text, of).options:
        assert not isinstance(understand(option.says, of, Talk(id=""), TODAY), Question), option


@pytest.mark.parametrize("text", UNREAD)
def test_no_example_names_what_the_shop_does_not_have(text: str) -> None:
    question = asked(text, BAKERS)
    shown = " ".join((question.text, *(option.label for option in question.options)))
    for stranger in ("notebook", "Aldermoor", "the tea"):
        assert stranger not in shown.replace(text, "")


def test_the_next_box_to_ship_lends_the_item() -> None:
    question = asked("when must the loaf", BAKERS)
    says = [one.says for one in question.options]
    assert "when must I order the rye flour" in says
    assert "when must February be packed" in (*says, question.text.partition("example: ")[2])


def test_an_example_that_the_shop_can_use_stays_as_it_is() -> None:
    known = shop("Aldermoor", "2027-03 Rain: field notebook@Aldermoor")
    assert "notebook" in repr(asked("when must the loaf", known))


ODD = ("tea \\1", "a; b", "order", "the notebook 2", "%s")


@given(st.sampled_from(UNREAD), st.sampled_from(ODD))
def test_odd_names_do_no_harm(text: str, name: str) -> None:
    chat = Chat(shop("2027-02 Rise: loaf"))
    chat.hear(f"rename the loaf to {name}")
    assert asked(text, chat.shop).text


def test_a_person_in_an_example_is_one_who_was_let_in() -> None:
    chat = Chat()
    chat.hear("hello", name="Nell")
    assert chat.say("send nobody away").endswith("For example: send Nell away")
    assert Chat().say("send nobody away").endswith("For example: who is in")

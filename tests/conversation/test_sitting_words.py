"""What is said in the sitting becomes a theme only where it can hardly be anything else; what its
buttons say is understood back."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from assistant.conversation.requests import KeepIdea, Question, Request, SetTheme
from assistant.conversation.sentences import sitting as says
from assistant.conversation.understand import understand
from assistant.conversation.year_requests import (
    LeaveSitting,
    PlanYear,
    ShowPrompts,
    SkipBox,
    Vote,
    WhatIsOpen,
)
from assistant.planning.changes import apply
from assistant.planning.model import Idea, Put, Shop, Talk
from tests.conversation.meant import SHOP, TODAY
from tests.conversation.utterances_sitting import ASKED, THOUGHTS

NOVEMBER = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)  # a Thursday

ASKING = Talk(
    id="terminal:you",
    box="2027-03",
    sitting="2027-03",
    options=(
        "2027-03 theme: wet leaves",
        "2027-03 theme: hares",
        "from 3: prompts for 2027-03",
    ),
)


def meant(text: str, talk: Talk = ASKING, of: Shop = SHOP) -> tuple[Request, ...] | Question:
    return understand(text, of, talk, TODAY)


@pytest.mark.parametrize(("text", "requests"), ASKED, ids=lambda x: str(x)[:50])
def test_right_after_the_question(text: str, requests: tuple[Request, ...]) -> None:
    assert meant(text) == requests


@pytest.mark.parametrize("text", THOUGHTS)
def test_a_thought_stays_a_thought(text: str) -> None:
    found = meant(text)
    assert isinstance(found, tuple)
    assert all(isinstance(one, KeepIdea) for one in found)


@pytest.mark.parametrize("text", ["what is due", "how is May", "undo", "ideas", "May", "help"])
def test_another_sentence_is_that(text: str) -> None:
    assert meant(text) == understand(text, SHOP, replace(ASKING, sitting="", options=()), TODAY)


@pytest.mark.parametrize("text", ["rain and roots", "March rain and roots", "skip", "no"])
def test_without_the_question_nothing_is_a_theme(text: str) -> None:
    for talk in (replace(ASKING, sitting=""), replace(ASKING, options=("what is due",))):
        found = meant(text, talk)
        assert isinstance(found, Question) or not isinstance(found[0], SetTheme)


def test_a_question_offers_the_theme_too() -> None:
    asked = meant("mint tea")  # the name of an item
    assert isinstance(asked, Question)
    assert asked.options[0].says == "2027-03 theme: mint tea"
    asked = meant("is it wet?")
    assert isinstance(asked, Question)
    assert not any("theme:" in one.says for one in asked.options)


def test_a_month_and_one_word_may_be_a_name() -> None:
    asked = meant("April showers")
    assert isinstance(asked, Question)
    first, second, _ = (meant(one.says) for one in asked.options)
    assert first == (SetTheme("2027-04", "showers"),)
    assert second == (SetTheme("2027-03", "April showers"),)


def test_one_theme_with_a_comma_or_several() -> None:
    asked = meant("March theme rain, May flowers and hail")
    assert isinstance(asked, Question)
    several, one = (meant(option.says) for option in asked.options)
    assert several == (SetTheme("2027-03", "rain"), SetTheme("2027-05", "flowers and hail"))
    assert one == (SetTheme("2027-03", "rain, May flowers and hail"),)


@pytest.mark.parametrize(
    ("text", "request_"),
    [
        ("December quiet and dark", SetTheme("2027-12", "quiet and dark")),
        ("December theme quiet", SetTheme("2027-12", "quiet")),
        ("back to December", ShowPrompts("2027-12")),
        ("skip December", SkipBox("2027-12")),
        ("December 2026 theme quiet", SetTheme("2026-12", "quiet")),
    ],
)
def test_a_month_is_one_of_the_year_that_is_being_planned(text: str, request_: Request) -> None:
    """Today is in November 2026."""
    assert meant(text) == (request_,)
    if "theme" in text:  # at any time of the sitting
        assert meant(text, replace(ASKING, options=())) == (request_,)


def test_commands_of_several_months_are_no_themes() -> None:
    found = meant("March ships on the 12th, April ships on the 14th")
    assert isinstance(found, Question) or not any(isinstance(r, SetTheme) for r in found)


@pytest.mark.parametrize(
    "text",
    [f"March theme {'x' * 300}", f"March {'x ' * 150}, April birdsong"],
)
def test_a_theme_that_is_too_long_is_refused_with_what_works(text: str) -> None:
    asked = meant(text)
    assert isinstance(asked, Question)
    assert "at most 200 characters" in asked.text
    assert asked.text.endswith("For example: March theme rain and roots")


@given(st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=80))
def test_whatever_is_typed_only_a_theme_is_written(text: str) -> None:
    found = meant(text)
    if isinstance(found, tuple):
        assert all(len(one.theme) <= 200 for one in found if isinstance(one, SetTheme))


IDEA = Idea("telegram:1/2", "lantern walk", NOVEMBER)
WITH_IDEAS = apply(SHOP, (Put(IDEA), Put(replace(IDEA, id="b", text="a walk by the sea"))))


@pytest.mark.parametrize(
    ("sentence", "request_"),
    [
        (says.plan_year(2027), PlanYear(2027)),
        (says.plan_year(), PlanYear()),
        (says.prompts("2027-03b"), ShowPrompts("2027-03b")),
        (says.skip("2027-03"), SkipBox("2027-03")),
        (says.open_boxes(), WhatIsOpen()),
        (says.open_boxes(2028), WhatIsOpen(2028)),
        (says.stop_planning(), LeaveSitting()),
        (says.vote(IDEA.id, 1), Vote(IDEA.id, 1)),
        (says.vote(IDEA.id, 3), Vote(IDEA.id, 3)),
        (says.take_prompt("2027-03", "to the sea"), SetTheme("2027-03", "to the sea")),
        (says.take_prompt("2027-03", "is it spring"), SetTheme("2027-03", "is it spring")),
    ],
)
def test_a_button_means_what_it_was_made_for(sentence: str, request_: Request) -> None:
    assert meant(sentence, Talk(id=""), WITH_IDEAS) == (request_,)


def test_an_idea_is_found_by_words() -> None:
    for words in ("the lantern walk", "lanterns", "lantren walk"):
        assert meant(f"2 more votes for {words}", Talk(id=""), WITH_IDEAS) == (Vote(IDEA.id, 2),)
    asked = meant("a vote for the walk", Talk(id=""), WITH_IDEAS)
    assert isinstance(asked, Question)
    assert meant(asked.options[1].says, Talk(id=""), WITH_IDEAS) == (Vote("b", 1),)

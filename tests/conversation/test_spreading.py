"""Recurring types spread, shown, used, pinned, clashing: whole conversations. All invented."""

import re
from datetime import UTC, datetime

import pytest
from msgspec.structs import replace

from assistant.conversation.requests import Question
from assistant.conversation.understand import understand
from assistant.planning.model import Mark, Proposal, RecurringType, Talk
from assistant.planning.year.recurring import plain
from tests.conversation.chat import OWNER, Chat, plan_of
from tests.trade import shop

NOTEBOOK = RecurringType("notebook", "notebook", 4, ("lined", "dotted", "blank", "grid"))
TEA = RecurringType("tea", "tea", 6, must_not=(7,))
LINES = 14  # of a spread of up to eight types, with all that is told of it


def chat(*types: RecurringType, plan: tuple[str, ...] = ()) -> Chat:
    return Chat(replace(shop(*plan), types=types))


def boxes_of(here: Chat, name: str) -> list[str]:
    """The boxes in which a type comes."""
    return sorted(item.box for item in here.shop.items if plain(item.type or "-") == plain(name))


def proposal(here: Chat) -> Proposal:
    (found,) = here.shop.proposals
    return found


def all_buttons_mean_something(here: Chat) -> None:
    talk = next((one for one in here.shop.talks if one.id == OWNER), Talk(id=OWNER))
    for says in here.buttons.values():
        found = understand(says, here.shop, talk, here.now.date())
        assert says == "leave it" or not isinstance(found, Question), says


# --- working it out -------------------------------------------------------------------------


def test_without_types_it_says_how_to_begin() -> None:
    said = Chat().say("spread the types")
    assert "no recurring types yet" in said
    assert "tea 6 times a year" in said


def test_four_times_in_twelve_boxes_is_every_third() -> None:
    """Common practice, no source: one in each quarter, never back to back."""
    here = chat(NOTEBOOK)
    said = here.say("spread the types")
    assert said.startswith("Types over 2027, way 1 of")
    assert "every 3 boxes" in said
    assert "No more even year exists." in said
    assert "Against the plan: 4 new." in said
    assert list(here.buttons) == ["Use it", "Another", "Leave it"]
    assert here.changes == ()
    all_buttons_mean_something(here)


def test_a_proposal_changes_nothing_and_leaves_nothing_in_the_history() -> None:
    here = chat(NOTEBOOK, TEA)
    before = replace(plan_of(here.shop), proposals=())
    here.hear("spread the types")
    here.hear("another")
    here.touch("Leave it")
    assert replace(plan_of(here.shop), proposals=()) == before
    assert here.shop.recent == ()


def test_the_default_is_this_year_and_from_october_the_coming_one() -> None:
    here = chat(NOTEBOOK)
    here.now = datetime(2026, 11, 26, 9, tzinfo=UTC)
    assert here.say("spread the types").startswith("Types over 2027")


def test_again_is_over_the_same_boxes() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types over 2028")
    assert here.say("spread again").startswith("Types over 2028")


def test_two_years_are_told_by_year_with_a_file() -> None:
    here = chat(NOTEBOOK)
    said = here.say("spread over the next 24 months")
    assert "Types over Jan 2027 to Dec 2028" in said
    assert re.search(r"2027: [A-Z][a-z]{2} .*; 2028: ", said)
    (file,) = here.outcome.files
    text = file.content.decode()
    assert "notebook (lined)" in text
    assert len([line for line in text.splitlines() if re.match(r"20\d\d-\d\d", line)]) == 24
    here.touch("Use it")
    assert len(boxes_of(here, "notebook")) == 8


def test_four_and_twenty_six_boxes_a_year_work_too() -> None:
    few = chat(replace(NOTEBOOK, times=2), plan=("2027-01", "2027-04", "2027-07", "2027-10"))
    themed = tuple(replace(box, theme="tides") for box in few.shop.boxes)
    few.shop = replace(few.shop, boxes=themed)
    assert "every 2 boxes" in few.say("spread the types over 2027")
    many = chat(replace(NOTEBOOK, times=13))
    many.shop = replace(
        many.shop,
        profile=shop(ship_rule="every 2 weeks from 2027-01-05").profile,
    )
    assert "every 2 boxes" in many.say("spread the types over 2027")
    many.touch("Use it")
    assert len(boxes_of(many, "notebook")) == 13


@pytest.mark.parametrize("year", [2020, 2026, 2044])
def test_a_year_that_is_over_or_too_far_is_refused(year: int) -> None:
    here = chat(NOTEBOOK)
    said = here.say(f"spread the types over {year}")
    assert f"I read {year}" in said
    assert here.shop.proposals == ()
    here.touch("Over 2027")
    assert proposal(here).first == "2027-01"


def test_many_types_fit_a_phone_and_are_whole_in_a_file() -> None:
    types = tuple(
        RecurringType(f"t{n}", f"rather long name of thing {n}", 2 + n % 4) for n in range(12)
    )
    here = chat(*types)
    here.hear("spread the types")
    first = here.outcome.replies[0]
    assert len(first.text.splitlines()) <= LINES
    assert "and 4 types more, in the file below" in first.text
    (file,) = here.outcome.files
    assert all(one.name in file.content.decode() for one in types)


# --- showing and using ----------------------------------------------------------------------


def test_ways_differ_and_come_round_again() -> None:
    here = chat(NOTEBOOK, TEA)
    said = [here.say("spread the types")]
    many = len(proposal(here).options)
    assert many > 1
    said += [here.say("another") for _ in range(many)]
    assert said[-1] == said[0]
    assert len(set(said)) == many
    assert here.say("show spread 2") == said[1]
    assert f"but {many} ways were worked out" in here.say("show spread 9")


def test_use_it_is_one_commit_and_undo_brings_everything_back() -> None:
    here = chat(NOTEBOOK, TEA, plan=("2027-03 Rain: mug", "2027-05"))
    before = replace(plan_of(here.shop), proposals=())
    here.hear("spread the types")
    said = here.touch("Use it")
    assert said.startswith("The types are in the plan over 2027: 10 new items.")
    assert "Caution: food and drink 6. Before you order" in said
    assert len(boxes_of(here, "notebook")) == 4
    assert len(boxes_of(here, "tea")) == 6
    assert "2027-07" not in boxes_of(here, "tea")
    forms = [item.form for item in here.shop.items if item.type == "notebook"]
    assert sorted(forms) == sorted(NOTEBOOK.forms)
    assert len(here.shop.boxes) == 12
    assert len(here.shop.recent) == 1
    here.touch("Undo")
    assert replace(plan_of(here.shop), proposals=()) == before
    assert "10 new items" in here.say("use spread 1")  # what it rests on is as it was


def test_yes_uses_the_way_that_is_shown() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types")
    here.hear("another")
    wanted = sorted(p.box for p in proposal(here).options[1])
    here.hear("yes")
    assert boxes_of(here, "notebook") == wanted


def test_using_it_twice_stands() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types")
    here.hear("use spread 1")
    assert "stands so already" in here.say("use spread 1")
    assert here.changes == ()


def test_a_stale_proposal_is_told_and_worked_out_anew() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types")
    here.hear("notebook twice a year")
    said = here.say("use spread 1")
    assert "changed since" in said
    assert here.changes == ()
    assert "every 6 boxes" in said
    here.touch("Use it")
    assert len(boxes_of(here, "notebook")) == 2


def test_what_a_spread_moves_and_what_stays_is_told() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types over 2027")
    here.touch("Use it")
    item = next(one for one in here.shop.items if one.box == boxes_of(here, "notebook")[1])
    to = f"{item.box[:5]}{int(item.box[5:]) + 1:02}"
    here.shop = replace(
        here.shop,
        items=tuple(replace(one, box=to) if one.id == item.id else one for one in here.shop.items),
    )
    said = here.say("spread again")
    assert "1 item moves, 3 stay" in said
    said = here.touch("Use it")
    assert "1 moved, 3 as before" in said


def test_an_ordered_item_stays_where_it_is() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types over 2027")
    here.touch("Use it")
    first = boxes_of(here, "notebook")[1]
    item = next(one for one in here.shop.items if one.box == first)
    here.shop = replace(here.shop, ledger=(Mark(f"{item.id}/order", "done"),))
    here.hear("notebook 3 times a year")
    here.hear("spread again")
    for option in range(1, len(proposal(here).options) + 1):
        here.hear(f"use spread {option}")
        kept = next(one for one in here.shop.items if one.id == item.id)
        assert kept == item
        here.hear("undo")


def test_nothing_proposed_yet() -> None:
    here = chat(NOTEBOOK)
    for text in ("use spread 1", "show spread 2"):
        assert "No spread is worked out yet" in here.say(text)
        assert "Spread the types" in here.buttons


def test_a_proposal_is_of_its_own_chat() -> None:
    here = chat(NOTEBOOK)
    here.hear("spread the types", chat="terminal:other")
    assert "No spread is worked out yet" in here.say("use spread 1")


def test_fit_with_themes_and_cost_are_told() -> None:
    plan = ("2027-03 Moss and rain: mug", "2027-06 High summer: mug")
    here = chat(replace(TEA, times=2, suits=("moss",)), plan=plan)
    here.hear("tea costs 1.80")
    said = here.say("spread the types over 2027")
    assert "suit the theme of their box" in said
    assert "£0.00 to £1.80 a box" in said


def test_forms_that_are_too_few_are_told() -> None:
    here = chat(NOTEBOOK)
    assert "repeats a form early" not in here.say("spread the types over 2027")
    here = chat(replace(NOTEBOOK, forms=("lined",)))
    assert "Notebook repeats a form early" in here.say("spread the types over 2027")


# --- pins -----------------------------------------------------------------------------------


def test_a_pin_holds_in_every_way() -> None:
    here = chat(NOTEBOOK, TEA)
    here.hear("pin notebook in May")
    here.touch("Spread again")
    for option in proposal(here).options:
        assert "2027-05" in {p.box for p in option if p.type == "notebook"}
    here.hear("unpin notebook")
    assert "Spread again" in here.buttons


# --- clashes --------------------------------------------------------------------------------


def test_too_little_room_is_told_with_what_would_have_to_give() -> None:
    here = chat(TEA, replace(NOTEBOOK, times=8))
    here.hear("room for 1 types in a box")
    said = here.say("spread the types over 2027")
    assert said.startswith("These wishes cannot all hold over 2027")
    assert "tea comes 6 times" in said
    assert "a box has room for 1" in said
    assert "Any one of these would do:" in said
    assert here.shop.proposals == ()
    all_buttons_mean_something(here)


@pytest.mark.parametrize("number", [1, 2, 3])
def test_every_choice_of_a_clash_leads_to_a_year(number: int) -> None:
    here = chat(TEA, replace(NOTEBOOK, times=8))
    here.hear("room for 1 types in a box")
    here.hear("spread the types over 2027")
    said = here.say(str(number))
    assert "Types over 2027" in said
    assert here.changes
    here.touch("Use it")
    assert boxes_of(here, "notebook")
    here.hear("undo")
    here.hear("undo")


def test_a_pin_against_a_month_that_is_ruled_out_elsewhere() -> None:
    both = replace(TEA, id="balm", name="balm", times=1, pins=("2027-03",), apart=("tea",))
    here = chat(replace(TEA, must=(3,), must_not=()), both)
    said = here.say("spread the types over 2027")
    for words in ("tea must be in Mar", "balm stays in March", "share no box"):
        assert words in said
    assert len(said.splitlines()) <= 10
    for label in list(here.buttons):
        again = chat(replace(TEA, must=(3,), must_not=()), both)
        again.hear("spread the types over 2027")
        assert "Types over 2027" in again.touch(label)


def test_wishes_that_need_several_to_give_are_changed_together() -> None:
    """Two boxes for one type each, and three that must all be in each of the two months."""
    types = tuple(RecurringType(name, name, 2, must=(3, 9)) for name in ("balm", "candle", "soap"))
    here = chat(*types)
    here.hear("March has room for 1")
    here.hear("September has room for 1")
    said = here.say("spread the types over 2027")
    assert "cannot all hold" in said
    assert len(said.splitlines()) <= 14
    all_buttons_mean_something(here)
    for _ in range(6):
        if "Types over 2027" in said:
            break
        said = here.touch(next(iter(here.buttons)))
    assert "Types over 2027" in said

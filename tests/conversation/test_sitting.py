"""The sitting about themes as whole conversations: in order, out of order, left, gone on with."""

from datetime import UTC, date, datetime, timedelta

import pytest

from assistant.conversation.messages import Outcome
from assistant.planning.changes import find, profile_of
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

NOVEMBER = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)  # a Thursday
LINES = 10  # of one message


class Sitting(Chat):
    """A chat in which no message is longer than a phone's screen."""

    def __init__(self, *boxes: str, now: datetime = NOVEMBER) -> None:
        super().__init__(shop(*boxes) if boxes else None, now)

    def hear(self, *args: object, **fields: object) -> Outcome:
        outcome = super().hear(*args, **fields)  # type: ignore[arg-type]
        for reply in outcome.replies:
            lines = [*filter(None, (reply.title,)), *reply.text.split("\n")]
            assert len(lines) <= LINES, reply
        return outcome

    def theme(self, box: str) -> str:
        kept = find(self.shop.boxes, box)
        return kept.theme if kept else ""

    @property
    def themes(self) -> dict[str, str]:
        return {box.id: box.theme for box in self.shop.boxes if box.theme}

    @property
    def asked(self) -> str:
        """The box that the chat was asked about last."""
        return self.shop.talks[0].sitting


WORDS = ("mist", "frost", "roots", "birdsong", "swifts", "hay", "bees", "harvest")
MONTHS = [f"2027-{month:02}" for month in range(1, 13)]


def year(*open_months: int) -> tuple[str, ...]:
    """The boxes of 2027; those of `open_months` have no theme (none given: all)."""
    every = open_months or tuple(range(1, 13))
    return tuple(id if int(id[5:]) in every else f"{id} quiet {id[5:]}" for id in MONTHS)


# --- the sitting ----------------------------------------------------------------------------


def test_a_year_from_its_first_box_to_its_last() -> None:
    chat = Sitting(*year(1, 3, 4))
    text = chat.say("plan the year")
    assert text.startswith("2027: 3 of 12 boxes without a theme\nJanuary ships Fri 15 Jan.")
    assert "\n1. " in text
    assert chat.changes == ()
    text = chat.say("still water")
    assert text.startswith('January: theme "still water".\nShips Fri 15 Jan.')
    assert "March (2 open)" in text
    text = chat.say("rain and roots")
    assert "April (the last one open)" in text
    text = chat.say("birdsong")
    assert text.endswith("Every box of 2027 has a theme.")
    assert len(chat.themes) == 12
    assert chat.theme("2027-01") == "still water"
    assert chat.theme("2027-03") == "rain and roots"
    assert chat.theme("2027-04") == "birdsong"
    assert chat.asked == ""
    assert chat.say("plan the year 2027").startswith("Every box of 2027 has a theme.")


def test_a_prompt_is_taken_by_number_and_by_touch() -> None:
    chat = Sitting(*year())
    chat.hear("Idea: lantern walk for January")
    chat.hear("Idea: snow prints for February")
    chat.hear("plan the year")
    labels = [label for label in chat.buttons if label.startswith("Theme: ")]
    number = labels.index("Theme: lantern walk") + 1
    text = chat.say(str(number))
    assert 'January: theme "lantern walk".' in text
    assert "Used the idea: lantern walk." in text
    assert "February (11 open)" in text
    assert chat.shop.ideas[0].state == "used"
    text = chat.touch("Theme: snow prints")
    assert 'February: theme "snow prints".' in text
    assert "March (10 open)" in text


def test_an_idea_waits_again_when_its_theme_is_undone() -> None:
    chat = Sitting(*year())
    chat.hear("Idea: lantern walk for January")
    before = plan_of(chat.shop)
    chat.hear("plan the year")
    chat.touch("Theme: lantern walk")
    chat.touch("Undo")
    assert plan_of(chat.shop) == before


def test_a_bare_answer_can_be_made_an_idea_again() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    chat.hear("moss; and fog, mostly")
    chat.touch("It was an idea")
    assert chat.themes == {}
    assert [idea.text for idea in chat.shop.ideas] == ["moss, and fog, mostly"]
    assert "January (12 open)" in chat.told(chat.outcome.replies)
    chat.hear("still water")
    assert chat.themes == {"2027-01": "still water"}


def test_a_theme_taken_back_is_asked_for_again() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    chat.hear("skip")
    chat.hear("moss and fog")
    assert "February (12 open)" in chat.touch("Undo")
    chat.hear("snow prints")
    assert chat.themes == {"2027-02": "snow prints"}
    chat.hear("undo")
    assert chat.asked == "2027-02"
    text = chat.touch("Put it back")
    assert chat.themes == {"2027-02": "snow prints"}
    assert "It could be" not in text


def test_any_order_and_three_months_in_one_message() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    text = chat.say("October theme dark evenings")
    assert 'October: theme "dark evenings".' in text
    assert "January (11 open)" in text
    text = chat.say("March rain and roots, April birdsong, May first swifts")
    assert text.count("(8 open)") == 1
    assert "January" in text
    assert len(chat.outcome.replies) == 2
    text = chat.say("January still water\nFebruary: frost\nJune theme hay")
    assert "July (5 open)" in text
    assert len(chat.themes) == 7
    before = plan_of(chat.shop)
    chat.touch("Undo")
    assert len(chat.themes) == 4
    chat.touch("Put it back")
    assert plan_of(chat.shop) == before


def test_many_months_at_once_are_told_in_brief() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    text = chat.say(
        "; ".join(f"{id} theme: {word}" for id, word in zip(MONTHS, WORDS, strict=False))
    )
    assert len(chat.themes) == 8
    assert "September (4 open)" in text


def test_skipping_and_going_back() -> None:
    chat = Sitting(*year(1, 2, 3, 4))
    chat.hear("plan the year")
    assert "February (4 open)" in chat.say("skip")
    assert "March (4 open)" in chat.touch("Skip")
    assert chat.say("back to January").startswith("January\nShips Fri 15 Jan.")
    assert "February (3 open)" in chat.say("still water")
    assert "April (3 open)" in chat.say("skip March")
    text = chat.say("birdsong")
    assert text.endswith("That was the last box of 2027. Still open: February and March.")
    assert chat.touch("Back to February").startswith("February")
    assert "March (the last one open)" in chat.say("frost")
    assert chat.changes


def test_skipping_changes_nothing() -> None:
    chat = Sitting(*year(1, 2, 3))
    before = plan_of(chat.shop)
    for text in ("plan the year", "skip", "no", "pass"):
        chat.hear(text)
    assert plan_of(chat.shop) == before
    assert "Still open: January, February and March." in chat.told(chat.outcome.replies)
    assert chat.say("skip").startswith("I read a box to skip, but I did not ask about a box.")


def test_left_and_gone_on_with_the_next_day() -> None:
    chat = Sitting(*year(1, 2, 3))
    chat.hear("plan the year")
    chat.hear("still water")
    text = chat.say("that's enough for today")
    assert text.startswith("All right. February and March have no theme yet.")
    assert "carry on planning" in text
    assert chat.asked == ""
    chat.now += timedelta(days=1)
    assert "Kept as an idea" in chat.say("fog on the moor")
    assert "Theme of February" not in chat.buttons
    assert chat.say("carry on planning").startswith("2027: 2 of 12 boxes without a theme\nFebruary")


def test_anything_else_in_between_does_not_lose_the_sitting() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    chat.hear("skip")
    chat.hear("what is due")
    assert chat.asked == "2027-02"
    text = chat.say("moss and fog")
    assert text.startswith("Kept as an idea: moss and fog.")
    assert chat.themes == {}
    text = chat.touch("Theme of February")
    assert 'February: theme "moss and fog".' in text
    assert "March (11 open)" in text
    chat.hear("how is May")
    assert chat.say("carry on").startswith("2027: 11 of 12 boxes without a theme\nMarch")


def test_more_prompts_go_on_with_the_numbers() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    first = [label for label in chat.buttons if label.startswith("Theme: ")]
    text = chat.say("more")
    assert "\n5. " in text
    assert not any(label in first for label in chat.buttons if label.startswith("Theme: "))
    while "More prompts" in chat.buttons:
        chat.hear("more")
    assert "Those are all prompts for January." in chat.say("more")
    chat.hear("5")
    assert chat.theme("2027-01")


def test_the_same_words_twice_are_no_second_theme() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    chat.hear("rain and roots")
    text = chat.say("Rain and roots")
    assert text.startswith('January has the theme "rain and roots" already.')
    assert "February (11 open)" in text
    assert chat.themes == {"2027-01": "rain and roots"}


def test_a_button_pressed_twice_is_done_once() -> None:
    chat = Sitting(*year())
    chat.hear("Idea: lantern walk for January")
    chat.hear("plan the year")
    sentence = chat.buttons["Theme: lantern walk"]
    chat.hear(sentence, pressed=True)
    before = plan_of(chat.shop)
    text = chat.say(sentence, pressed=True)
    assert plan_of(chat.shop) == before
    assert "used in January already" in text
    assert "February (11 open)" in text


def test_a_like_theme_is_pointed_out_not_forbidden() -> None:
    chat = Sitting("2026-03 rain and roots", *year())
    chat.hear("plan the year")
    text = chat.say("March theme rain and roots")
    assert 'March: theme "rain and roots".' in text
    assert 'March 2026 had "rain and roots" already.' in text
    text = chat.say("April theme rain and roots")
    assert 'March, right beside it, has "rain and roots".' in text
    assert chat.theme("2027-04") == "rain and roots"


def test_a_long_thought_is_kept_and_can_be_the_theme() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    text = chat.say("I think we should ask the printer about foil")
    assert text == "Kept as an idea: I think we should ask the printer about foil."
    assert list(chat.buttons) == ["Undo", "Theme of January", "What you can say"]
    assert chat.themes == {}


def test_a_picture_with_words_is_no_answer() -> None:
    chat = Sitting(*year())
    chat.hear("plan the year")
    text = chat.say("moss and fog", photo="photo/1")
    assert text.startswith("Picture kept as an idea: moss and fog.")
    assert chat.themes == {}


def test_an_edit_of_an_idea_is_no_answer() -> None:
    chat = Sitting(*year())
    chat.hear("Idea: moss", message="m1")
    chat.hear("plan the year")
    text = chat.say("moss and fog", message="m1", edited=True)
    assert text == "Changed the idea: moss and fog."
    assert chat.themes == {}


# --- odd years ------------------------------------------------------------------------------


def test_an_empty_shop_is_offered_the_coming_year() -> None:
    chat = Sitting()
    text = chat.say("plan the year")
    assert text.startswith("2027: 12 boxes, no theme yet\nJanuary ships Fri 15 Jan.")
    assert chat.shop.boxes == ()
    chat.hear("still water")
    chat.hear("frost")
    assert [box.id for box in chat.shop.boxes] == ["2027-01", "2027-02"]
    assert chat.asked == "2027-03"
    assert "No theme: March" in chat.say("what is open")


def test_a_box_that_has_shipped_is_not_asked_for() -> None:
    chat = Sitting(*year(), now=datetime(2027, 4, 20, 9, tzinfo=UTC))
    chat.hear("done: ship for 2027-04")
    text = chat.say("plan 2027")
    assert "May ships Fri 14 May." in text
    assert "shipped" in chat.say("back to January 2027")
    assert "shipped" in chat.say("January 2027 theme late snow")
    assert chat.themes == {}


def test_a_year_that_is_over_or_too_far_is_refused() -> None:
    chat = Sitting(*year())
    assert chat.say("plan 2024") == "All boxes of 2024 have shipped. For example: plan 2027"
    assert "2300 is too far from today" in chat.say("plan 2300")
    assert chat.say("what is open in 2024").startswith("All boxes of 2024 have shipped.")
    assert chat.changes == ()


def test_what_is_open_tells_themes_types_and_items() -> None:
    chat = Sitting("2027-01 Frost: notebook", "2027-02: tea", "2027-03 Rain", now=NOVEMBER)
    text = chat.say("what is open")
    assert text.startswith("Open in 2027\nNo theme: February")
    assert "No items: March" in text
    assert "types" not in text
    assert "February ships" in chat.touch("Carry on")


# --- suggestions, votes, school holidays ----------------------------------------------------


def test_a_suggestion_is_an_idea_with_votes() -> None:
    chat = Sitting()
    text = chat.say("Ann suggests a tea tasting for May")
    assert text == "Kept for May, from Ann: a tea tasting."
    text = chat.say("3 more votes for the tea tasting")
    assert text == "3 votes more for a tea tasting: 4 votes in all."
    chat.hear("moss frames")
    text = chat.say("ideas")
    assert "2. a tea tasting (May, from Ann, 4 votes)" in text
    assert chat.say("another vote for 2").endswith("5 votes in all.")
    chat.touch("Undo")
    assert chat.shop.ideas[0].votes == 4
    assert "4 votes of subscribers." in chat.say("show idea 2")
    assert chat.shop.ideas[0].source == "Ann"


def test_a_vote_for_what_is_not_there_is_asked_about() -> None:
    chat = Sitting()
    assert 'I know no idea "the lantern walk"' in chat.say("3 more votes for the lantern walk")
    chat.hear("Idea: lantern walk")
    assert "votes are counted from 1 on" in chat.say("0 votes for lantern walk")
    chat.hear("let 1 go")
    chat.hear("ideas")
    chat.hear("let 1 go")
    text = chat.say("2 more votes for lantern walk")
    assert text == "2 votes more for lantern walk: 2 votes in all.\nIt was let go."
    assert "Waiting again" in chat.touch("Bring it back")


def test_school_holidays_are_kept_corrected_and_forgotten() -> None:
    chat = Sitting()
    text = chat.say("half term 15-19 February")
    assert text.startswith("Half term: Mon 15 Feb to Fri 19 Feb.")
    assert "that is what I have already" in chat.say("half term 15-19 February")
    text = chat.say("half term 16 to 20 February")
    assert "instead of Mon 15 Feb to Fri 19 Feb" in text
    chat.hear("school holidays 29 March to 9 April")
    assert [one.first for one in profile_of(chat.shop).school] == [
        date(2027, 2, 16),
        date(2027, 3, 29),
    ]
    assert "half term Tue 16 Feb to Sat 20 Feb" in chat.say("when are the school holidays?")
    assert chat.say("forget the school holidays") == "Forgot 2 school holidays."
    chat.touch("Undo")
    assert len(profile_of(chat.shop).school) == 2


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("school holidays", "not on which days"),
        ("school holidays from 1 May", "a first and a last day"),
        ("school holidays 1 May to 30 September", "longer than school holidays are"),
        ("school holidays 31 February", "February has"),
        ("school holidays 20-15 February", "ends before it begins"),
        ("forget the school holidays", "I know of no school holidays"),
    ],
)
def test_school_holidays_that_cannot_be(text: str, why: str) -> None:
    chat = Sitting()
    heard = chat.say(text)
    assert why in heard
    assert chat.changes == ()
    assert "15 to 19 February" in heard

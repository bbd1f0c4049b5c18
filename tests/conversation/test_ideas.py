"""Ideas: caught in words and pictures, edited, listed, put to use, let go, brought back."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.conversation.messages import Reply
from assistant.planning.model import Idea
from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

PNG = b"\x89PNG\r\n\x1a\n then anything"


@pytest.fixture
def chat() -> Chat:
    return Chat(shop("2027-03 rain and roots: field notebook 450 x 3.10, lead 20d"))


def only(chat: Chat) -> Idea:
    (idea,) = chat.shop.ideas
    return idea


# --- caught ---------------------------------------------------------------------------------


def test_an_idea_is_acknowledged_with_what_was_understood(chat: Chat) -> None:
    text = chat.say("Idea: lantern walk for November, maybe a beeswax wrap")
    assert text.startswith("Kept for November: lantern walk")
    assert "\n" not in text
    assert list(chat.buttons) == ["Undo"]
    assert only(chat).months == (11,)
    assert "beeswax wrap" in only(chat).text


def test_a_bare_thought_is_kept_and_the_help_offered(chat: Chat) -> None:
    text = chat.say("a biscuit tin with a map on the lid")
    assert text == "Kept as an idea: a biscuit tin with a map on the lid."
    assert list(chat.buttons) == ["Undo", "What you can say"]


def test_an_idea_has_the_id_of_its_message_and_knows_who_when(chat: Chat) -> None:
    chat.hear("Idea: tin mug", message="telegram:1/77")
    idea = only(chat)
    assert idea.id == "telegram:1/77"
    assert idea.by == "terminal:you"
    assert idea.at < chat.now


def test_several_ideas_of_one_message_are_several(chat: Chat) -> None:
    chat.hear("Idea: tin mug\nIdea: wool socks for December", message="m")
    assert [idea.id for idea in chat.shop.ideas] == ["m", "m#2"]


@pytest.mark.parametrize("link", ["https://example.org/mugs?a=1", "www.example.org/mugs"])
def test_a_bare_link_is_an_idea(chat: Chat, link: str) -> None:
    assert "Kept" in chat.say(link)
    assert only(chat).link == link


def test_a_picture_with_a_caption_is_an_idea_with_a_picture(chat: Chat) -> None:
    text = chat.say("moss terrarium for April", photo="file/9")
    assert "moss terrarium" in text
    idea = only(chat)
    assert (idea.photo, idea.months) == ("file/9", (4,))
    chat.hear("ideas")
    shown = chat.hear("show 1").replies[0]
    assert shown.photo == "file/9"


def test_a_picture_without_words_is_an_idea_too(chat: Chat) -> None:
    assert "Picture kept" in chat.say("", photo="file/9")
    assert only(chat).photo == "file/9"


def test_a_caption_that_is_a_command_is_done_and_the_picture_is_not_kept(chat: Chat) -> None:
    text = chat.say("April theme moss", photo="file/9")
    assert '"moss"' in text
    assert "picture was not kept" in text
    assert chat.shop.ideas == ()


@pytest.mark.parametrize("caption", ["which one?", "add to", "???", "Smarch theme x"])
def test_a_caption_that_is_not_understood_is_kept_with_its_picture(
    chat: Chat, caption: str
) -> None:
    assert "Picture kept" in chat.say(caption, photo="file/9")
    assert only(chat).text == caption


def test_words_of_a_lost_picture_are_kept_and_the_loss_is_said(chat: Chat) -> None:
    text = chat.say("moss terrarium for April", lost=True)
    assert "could not be fetched" in text
    assert only(chat).photo == ""
    assert "could not be fetched" in chat.say("", lost=True)
    assert len(chat.shop.ideas) == 1


def test_a_picture_sent_as_a_file_is_a_picture(chat: Chat) -> None:
    chat.hear("moss terrarium", document="file/5", document_name="IMG_1.png", content=PNG)
    assert only(chat).photo == "file/5"
    assert [file.id for file in chat.outcome.files] == ["file/5"]
    assert chat.outcome.files[0].content == PNG


@pytest.mark.parametrize("words", ["what is due", "March theme moss", "undo", "look at this"])
def test_what_is_forwarded_is_an_idea_and_never_a_command(chat: Chat, words: str) -> None:
    before = chat.shop.boxes
    text = chat.say(words, forwarded_from="Wren")
    assert "from Wren" in text
    assert (only(chat).text, only(chat).source) == (words, "Wren")
    assert chat.shop.boxes == before


def test_a_long_forwarded_text_keeps_its_lines(chat: Chat) -> None:
    chat.hear("a mug\n\nseen in March 2026\n" + "x" * 9000, forwarded_from="Wren")
    assert only(chat).text.startswith("a mug\n\nseen in")
    assert len(only(chat).text) == 4000


# --- edited ---------------------------------------------------------------------------------


def test_editing_the_message_edits_the_idea(chat: Chat) -> None:
    chat.hear("Idea: lantern walk for November", message="m")
    text = chat.say("Idea: lantern walk for October", message="m", edited=True)
    assert text.startswith("Changed the idea for October: lantern walk")
    assert only(chat).months == (10,)
    chat.touch("Undo")
    assert only(chat).months == (11,)


def test_an_edit_that_changes_nothing_is_not_answered(chat: Chat) -> None:
    chat.hear("Idea: lantern walk", message="m")
    assert chat.hear("Idea: lantern walk", message="m", edited=True).replies == ()


def test_an_edited_caption_keeps_the_picture(chat: Chat) -> None:
    chat.hear("moss", photo="file/9", message="m")
    chat.hear("moss terrarium", message="m", edited=True)
    assert (only(chat).text, only(chat).photo) == ("moss terrarium", "file/9")


def test_lines_of_an_edited_message_come_and_go(chat: Chat) -> None:
    chat.hear("Idea: tin mug\nIdea: wool socks", message="m")
    chat.hear("Idea: enamel mug", message="m", edited=True)
    assert [idea.text for idea in chat.shop.ideas] == ["enamel mug"]
    chat.hear("Idea: enamel mug\nIdea: wool socks\nIdea: tea", message="m", edited=True)
    assert [idea.text for idea in chat.shop.ideas] == ["enamel mug", "wool socks", "tea"]


def test_an_edit_never_runs_a_command(chat: Chat) -> None:
    chat.hear("a thought about moss", message="m")
    boxes = chat.shop.boxes
    text = chat.say("April theme moss", message="m", edited=True)
    assert "anew" in text
    assert chat.shop.boxes == boxes
    assert only(chat).text == "April theme moss"
    assert "April theme moss" in chat.buttons.values()


def test_an_edit_of_a_command_changes_nothing_and_says_so(chat: Chat) -> None:
    chat.hear("April theme moss", message="m")
    before = plan_of(chat.shop)
    text = chat.say("April theme mud", message="m", edited=True)
    assert "anew" in text
    assert plan_of(chat.shop) == before
    assert '"mud"' in chat.touch("April theme mud")


def test_a_used_idea_can_be_edited_and_stays_used(chat: Chat) -> None:
    chat.hear("Idea: tin mug for May", message="m")
    chat.hear("ideas")
    chat.hear("use 1 in May")
    chat.hear("Idea: enamel mug for May", message="m", edited=True)
    assert (only(chat).text, only(chat).state) == ("enamel mug", "used")


# --- listed ---------------------------------------------------------------------------------


@pytest.fixture
def full(chat: Chat) -> Chat:
    for text in ("lantern walk for November", "tin mug", "lantern glass for May", "oat biscuits"):
        chat.hear(f"Idea: {text}")
    return chat


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("ideas", ["oat biscuits", "lantern glass", "tin mug", "lantern walk"]),
        ("ideas for November", ["lantern walk"]),
        ("ideas about lantern", ["lantern glass", "lantern walk"]),
        ("ideas about LANTERN", ["lantern glass", "lantern walk"]),
    ],
)
def test_ideas_are_listed_newest_first(full: Chat, asked: str, found: list[str]) -> None:
    lines = [line for line in full.say(asked).splitlines() if line[:1].isdigit()]
    assert len(lines) == len(found)
    for number, (line, text) in enumerate(zip(lines, found, strict=True), 1):
        assert line.startswith(f"{number}. {text}")


def test_an_empty_list_says_what_else_there_is(full: Chat) -> None:
    assert "4 ideas wait" in full.say("ideas for February")
    assert "For example: Idea:" in Chat().say("ideas")


def test_a_number_means_the_list_shown_last(full: Chat) -> None:
    full.hear("ideas about lantern")
    assert "Let go: lantern walk" in full.say("let 2 go")
    full.hear("ideas")
    assert "Let go: lantern glass" in full.say("let 2 go")


def test_a_long_list_shows_the_newest_and_counts_the_rest(chat: Chat) -> None:
    for number in range(20):
        chat.hear(f"Idea: mug number {number}")
    text = chat.say("ideas")
    assert "1. mug number 19" in text
    assert "8. mug number 12" in text
    assert "9. " not in text
    assert "12 older" in text


@given(st.text(min_size=1, max_size=300).filter(str.strip))
def test_whatever_an_idea_says_its_list_has_one_line_for_it(text: str) -> None:
    chat = Chat()
    chat.hear(text, forwarded_from="x")
    listed = chat.hear("ideas").replies[0]
    assert len(listed.text.splitlines()) == 1
    assert len(listed.text) <= 100


# --- put to use, let go, brought back -------------------------------------------------------


def test_an_idea_is_used_as_an_item(full: Chat) -> None:
    full.hear("ideas for November")
    text = full.say("use 1 in November")
    assert "Added to November: lantern walk" in text
    assert "lantern walk" in [item.name for item in full.shop.items]
    used = [idea for idea in full.shop.ideas if idea.state == "used"]
    assert [(idea.text, idea.box) for idea in used] == [("lantern walk", "2027-11")]
    assert "lantern walk" not in full.say("ideas")
    assert "lantern walk" in full.say("used ideas")


def test_an_idea_is_used_as_a_theme(full: Chat) -> None:
    full.hear("ideas for November")
    full.hear("use 1 as the theme of November")
    themes = {box.id: box.theme for box in full.shop.boxes}
    assert themes["2027-11"] == "lantern walk"


def test_undoing_a_use_lets_the_idea_wait_again(full: Chat) -> None:
    before = plan_of(full.shop)
    full.hear("ideas for November")
    full.hear("use 1 in November")
    full.touch("Undo")
    assert plan_of(full.shop) == before


def test_an_idea_is_not_used_twice(full: Chat) -> None:
    full.hear("ideas for November")
    use = full.buttons["Use 1 in November"]
    full.hear(use)
    items = full.shop.items
    assert "already" in full.say(use)
    assert full.shop.items == items
    assert "Waiting again" in full.touch("Bring it back")


def test_an_idea_waits_on_when_the_plan_refuses_it(full: Chat) -> None:
    full.hear("add to November: lantern walk")
    full.hear("ideas for November")
    assert "already" in full.say("use 1 in November")
    assert all(idea.state == "waiting" for idea in full.shop.ideas)


def test_an_idea_goes_and_comes_back(full: Chat) -> None:
    full.hear("ideas about mug")
    assert "Let go: tin mug" in full.touch("Let 1 go")
    assert "tin mug" not in full.say("ideas")
    assert "tin mug" in full.say("ideas let go")
    assert "Waiting again: tin mug" in full.touch("Bring 1 back")
    assert "tin mug" in full.say("ideas")


def test_an_idea_that_was_undone_is_said_to_be_gone(chat: Chat) -> None:
    chat.hear("Idea: tin mug for May")
    chat.hear("ideas")
    show = chat.buttons["Use 1 in May"]
    chat.hear("undo")
    assert chat.shop.ideas == ()
    replies: tuple[Reply, ...] = chat.hear(show).replies
    assert replies
    assert chat.changes == ()


# --- one of a list, looked at ---------------------------------------------------------------


def test_the_numbers_of_a_list_stay_when_one_of_it_was_shown(chat: Chat) -> None:
    for text in ("Idea: tin mug", "Idea: oat biscuits", "Idea: lantern walk"):
        chat.hear(text)
    chat.hear("ideas")
    assert "oat biscuits" in chat.say("show 2")
    assert "tin mug" in chat.say("3")
    assert "Added to May: lantern walk" in chat.say("use 1 in May")


def test_it_is_the_idea_that_was_shown_last(chat: Chat) -> None:
    for text in ("Idea: tin mug", "Idea: oat biscuits"):
        chat.hear(text)
    chat.hear("ideas")
    chat.hear("show 2")
    assert "Added to May: tin mug" in chat.say("use it in May")


@pytest.mark.parametrize("text", ["delete idea 1", "drop idea 1", "let 1 go"])
def test_an_idea_is_let_go_in_several_ways(chat: Chat, text: str) -> None:
    chat.hear("Idea: tin mug")
    chat.hear("ideas")
    assert "Let go: tin mug." in chat.say(text)


@pytest.mark.parametrize("link", ["https://example.org/whisk", "www.example.org/egg?a=1"])
def test_a_link_is_said_back_so_that_it_can_be_opened(chat: Chat, link: str) -> None:
    assert chat.say(link) == f"Kept as an idea: {link}"
    assert chat.say(f"a whisk {link}").endswith(link)


def test_a_month_whose_ship_day_is_past_means_the_next_of_its_name() -> None:
    chat = Chat(shop(), now=datetime(2026, 11, 25, 9, tzinfo=UTC))
    chat.say("Idea: willow lantern for November")
    chat.say("ideas")
    assert chat.buttons["Use 1 in November"].endswith("in 2027-11")
    chat.say("use 1 in november")
    assert [item.box for item in chat.shop.items] == ["2027-11"]
    chat.say("december theme evergreen")
    assert {box.id for box in chat.shop.boxes} == {"2026-12", "2027-11"}

"""A year that comes in as a file: shown, brought in, left. What the readers make of each kind of
file is tested in tests/sheets; here it is what the owner sees and what changes."""

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook

from tests.conversation.chat import Chat, plan_of
from tests.trade import shop

YEAR = (
    "Month,Theme,Item,Supplier,Unit cost,Lead time\n"
    "March 2027,rain and roots,field notebook,Aldermoor,3.10,20 working days\n"
    "March 2027,,tea,Brackenfold,1.20,5 working days\n"
    "May 2027,first swifts,enamel pin,Hangfeng,1.80,30 working days\n"
    "Febtember,,oat biscuits,Brackenfold,1.20,5 working days\n"
)


def send(chat: Chat, content: bytes | str, name: str = "year.csv", caption: str = "") -> str:
    """Send a file as a channel hands it on."""
    raw = content.encode() if isinstance(content, str) else content
    return chat.say(caption, document="file/1", document_name=name, content=raw)


def test_a_file_is_shown_and_changes_nothing_until_it_is_brought_in() -> None:
    chat = Chat()
    before = plan_of(chat.shop)
    text = send(chat, YEAR)
    assert text.startswith("Read year.csv: 2 boxes, 3 items")
    assert "New: 2 boxes, 3 items and 3 suppliers." in text
    assert "row 5" in text
    assert "Febtember" in text
    assert list(chat.buttons) == ["Bring it in", "Leave it"]
    assert chat.changes == ()
    assert plan_of(chat.shop) == before
    brought = chat.touch("Bring it in")
    assert "Brought in" in brought
    assert {box.id: box.theme for box in chat.shop.boxes} == {
        "2027-03": "rain and roots",
        "2027-05": "first swifts",
    }
    assert len(chat.shop.items) == 3
    assert chat.shop.drafts == ()


@pytest.mark.parametrize("word", ["bring it in", "yes"])
def test_a_word_brings_it_in(word: str) -> None:
    chat = Chat()
    send(chat, YEAR)
    chat.hear(word)
    assert len(chat.shop.items) == 3


@pytest.mark.parametrize("word", ["leave it", "no"])
def test_a_word_leaves_it(word: str) -> None:
    chat = Chat()
    send(chat, YEAR)
    assert "Nothing was changed" in chat.say(word)
    assert chat.shop.items == ()
    assert chat.shop.drafts == ()
    assert "No file waits" in chat.say("bring it in")


def test_the_same_file_twice_changes_nothing() -> None:
    chat = Chat()
    send(chat, YEAR)
    chat.touch("Bring it in")
    after = plan_of(chat.shop)
    text = send(chat, YEAR)
    assert "Nothing in it is new" in text
    assert chat.buttons == {}
    assert chat.shop.drafts == ()
    assert plan_of(chat.shop) == after


def test_bringing_in_can_be_undone_and_put_back() -> None:
    chat = Chat()
    before = plan_of(chat.shop)
    send(chat, YEAR)
    chat.touch("Bring it in")
    after = plan_of(chat.shop)
    assert "year.csv brought in" in chat.touch("Undo")
    assert plan_of(chat.shop) == before
    chat.touch("Put it back")
    assert set(plan_of(chat.shop).items) == set(after.items)


def test_a_file_shows_what_it_changes_from_what_to_what() -> None:
    chat = Chat(shop("2027-03 old theme: field notebook 450 x 2.90; tea 450 x 1.20"))
    text = send(chat, YEAR)
    assert "theme rain and roots, was old theme" in text
    assert "field notebook, March: unit cost 3.10, was 2.90" in text
    assert chat.shop.boxes[0].theme == "old theme"


def test_a_draft_is_laid_over_the_plan_as_it_is_when_it_is_brought_in() -> None:
    chat = Chat()
    send(chat, YEAR)
    chat.hear("add to March: tea from Brackenfold, 1.20, 5 working days")
    chat.hear("bring it in")
    assert [item.name for item in chat.shop.items].count("tea") == 1


def test_the_newest_file_of_a_chat_is_the_one_that_waits() -> None:
    chat = Chat()
    send(chat, YEAR)
    send(chat, "Month,Item\nJune 2027,tin mug\n", name="june.csv")
    chat.hear("bring it in")
    assert [item.name for item in chat.shop.items] == ["tin mug"]


def test_a_workbook_is_read_too() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (["", "March 2027", "May 2027"], ["Theme", "rain and roots", "first swifts"]):
        sheet.append(row)
    sheet.append(["Item 1", "field notebook (Aldermoor) 3.10", "enamel pin"])
    raw = io.BytesIO()
    book.save(raw)
    chat = Chat()
    assert send(chat, raw.getvalue(), "year.xlsx").startswith("Read year.xlsx: 2 boxes, 2 items")
    chat.touch("Bring it in")
    assert sorted(item.name for item in chat.shop.items) == ["enamel pin", "field notebook"]


@pytest.mark.parametrize(
    ("content", "name", "says"),
    [
        (b"%PDF-1.7 ...", "menu.pdf", "PDF"),
        (b"", "year.csv", "empty"),
        (b"Colour,Shelf\nred,4\n", "year.csv", "onth"),
        (b"x" * 11_000_000, "year.csv", "MB"),
    ],
)
def test_a_file_that_is_no_year_is_answered_in_a_sentence(
    content: bytes, name: str, says: str
) -> None:
    chat = Chat()
    assert says in send(chat, content, name)
    assert chat.shop.drafts == ()
    assert chat.changes == ()


def test_a_file_that_did_not_arrive_is_asked_for_again() -> None:
    chat = Chat()
    text = chat.say("", document_name="year.csv", lost=True)
    assert "Send it again" in text


def test_what_comes_late_is_said_at_once_and_what_comes_next() -> None:
    chat = Chat()
    send(chat, "Month,Item,Lead time\nFebruary 2027,tin mug,20 working days\nMay 2027,tea,5 days\n")
    text = chat.touch("Bring it in")
    assert "late already" in text
    assert "Next: " in text
    assert "Tightest: tin mug (February)" in text
    assert "tin mug" in chat.touch("What is late")


def test_a_file_of_which_nothing_can_be_read_says_so() -> None:
    chat = Chat()
    text = send(chat, "Month,Item\nFebtember,tea\n")
    assert "Nothing of it could be read" in text
    assert "Febtember" in text
    assert chat.shop.drafts == ()


def test_long_lists_are_cut_and_counted() -> None:
    rows = "".join(f"Smarch,item {number}\n" for number in range(60))
    chat = Chat()
    text = send(chat, f"Month,Item\nMarch 2027,tea\n{rows}")
    assert "Not read" in text
    assert "and 54 more, in the file below" in text
    assert len(text.splitlines()) < 12
    assert list(chat.buttons) == ["Bring it in", "Leave it"]
    shown, rest = chat.outcome.replies
    (file,) = chat.outcome.files
    assert (rest.document, rest.document_name) == (file.id, file.name)
    whole = file.content.decode()
    assert whole.startswith(shown.title)
    assert [line for line in whole.splitlines() if line.startswith("row ")] == [
        f"row {number}: A{number} says “Smarch”, which is no month; write March or March 2027."
        for number in range(3, 63)
    ]


def test_a_short_file_is_shown_whole_without_another_file() -> None:
    chat = Chat()
    send(chat, YEAR)
    assert chat.outcome.files == ()
    assert len(chat.outcome.replies) == 1


@pytest.mark.parametrize(
    ("items", "caution"),
    [
        (("tin mug", "field notebook"), None),
        (("tin mug", "beeswax candle"), "Caution: candles and incense 1. Before you"),
        (("candle", "oat biscuits"), "Caution: food and drink 1, candles and incense 1. "),
        (("tea", "jam", "candle", "mug"), "Caution: food and drink 2, candles and incense 1."),
    ],
)
def test_goods_that_plainly_carry_duties_are_pointed_out_in_one_line(
    items: tuple[str, ...], caution: str | None
) -> None:
    chat = Chat()
    send(chat, "Month,Item\n" + "".join(f"March 2027,{item}\n" for item in items))
    said = chat.touch("Bring it in")
    assert said.count("Caution") == (caution is not None)
    if caution:
        assert said.splitlines()[-1].startswith(caution)
        assert "local authority, or ask a qualified adviser." in said


def test_what_comes_next_is_said_of_the_whole_plan_not_only_of_what_came() -> None:
    chat = Chat(shop("2027-02 frost: tin mug 450 x 1.20"))
    send(chat, "Month,Item\nJune 2027,tea\n")
    said = chat.touch("Bring it in")
    assert "(February)" in said.split("Next: ")[1].splitlines()[0]


@given(st.binary(max_size=300), st.sampled_from(["a.csv", "a.xlsx", "a", "\u202e.exe", ""]))
def test_no_file_raises_or_changes_the_plan(content: bytes, name: str) -> None:
    chat = Chat()
    chat.hear("", document="file/1", document_name=name, content=content)
    assert chat.outcome.replies
    assert plan_of(chat.shop) == plan_of(Chat().shop) or len(chat.shop.ideas) == 1  # a picture
    assert chat.shop.boxes == chat.shop.items == ()

"""The year sheet in chat: which year and which part is shown, in which form, and what is said."""

from datetime import UTC, datetime
from io import BytesIO
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from pypdf import PdfReader

from assistant.conversation.messages import File, Reply
from assistant.conversation.replies import sheet as say
from assistant.conversation.sentences.sheet import Form, year_sheet
from assistant.conversation.understand import understand
from assistant.conversation.year_requests import YearSheet
from assistant.planning.model import Shop
from assistant.planning.year.year_view import NO_BOX
from assistant.sheets import year_words
from tests.conversation.chat import Chat
from tests.conversation.meant import SHOP, TALK, TODAY
from tests.sheets.years import FOREIGN, LONG, ORDINARY, YEARS, lengthened, many
from tests.trade import shop

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
PNG, PDF = b"\x89PNG\r\n\x1a\n", b"%PDF-"


def chat(made: Shop = ORDINARY, now: datetime = NOW) -> Chat:
    return Chat(made, now)


def sent(one: Chat) -> tuple[Reply, File]:
    """The reply that carries the only file, and the file."""
    [file] = one.outcome.files
    [reply] = [r for r in one.outcome.replies if file.id in (r.photo, r.document)]
    return reply, file


# --- as a picture ---------------------------------------------------------------------------


def test_the_year_is_a_picture_with_its_parts_under_it() -> None:
    c = chat()
    text = c.say("year sheet")
    reply, file = sent(c)
    assert reply.photo == file.id
    assert file.content.startswith(PNG)
    assert file.name == "Mossgate Field Club year sheet 2027 (2026-11-25).png"
    assert text.startswith("The year 2027\n10 boxes, 14 items, £4.27 a box on average so far")
    assert "No theme: Apr." in text
    assert "No items: May." in text
    assert list(c.buttons) == [
        *("First quarter", "Second quarter", "Third quarter", "Fourth quarter"),
        *("To print", "In words", "Web page", "Workbook"),
    ]
    assert c.changes == ()


def test_a_quarter_is_larger_and_leads_on() -> None:
    c = chat()
    c.say("year sheet")
    text = c.touch("Second quarter")
    _, file = sent(c)
    assert text.startswith("Second quarter 2027\n3 boxes, 3 items")
    assert file.content.startswith(PNG)
    assert "quarter 2" in file.name
    assert list(c.buttons)[:2] == ["The year", "First quarter"]
    assert c.touch("The year").startswith("The year 2027")


def test_a_caption_fits_a_phone() -> None:
    for made in (ORDINARY, lengthened(ORDINARY), many(), FOREIGN):
        c = chat(made)
        text = c.say("year sheet")
        assert len(text) < 400
        assert len(text.splitlines()) <= 8


def test_many_boxes_are_named_in_part() -> None:
    text = chat(shop(*(f"2027-{month:02}" for month in range(1, 13)))).say("year sheet")
    assert "No theme: Jan, Feb, Mar, Apr and 8 more." in text


def test_what_the_typeface_lacks_is_said() -> None:
    assert "question mark" in chat(FOREIGN).say("year sheet")
    assert "question mark" not in chat().say("year sheet")


# --- on paper -------------------------------------------------------------------------------


def test_the_year_to_print_is_one_page() -> None:
    c = chat()
    assert c.say("print the year") == "The year 2027\nOne A4 page, good in black and white."
    reply, file = sent(c)
    assert (reply.document, reply.photo, reply.document_name) == (file.id, "", file.name)
    assert file.name == "Mossgate Field Club year sheet 2027 (2026-11-25).pdf"
    assert file.content.startswith(PDF)
    [page] = PdfReader(BytesIO(file.content)).pages
    assert "Bare branches" in page.extract_text()


@given(st.text(max_size=300))
def test_the_name_of_a_file_is_safe(name: str) -> None:
    made = say.file_name(replace(YEARS["ordinary"], shop=name), "pdf")
    assert made.endswith("year sheet 2027 (2026-11-25).pdf")
    assert len(made) <= 100
    assert not set(made) & set('/\\:*?"<>|\n\r\x00')
    assert not made.startswith((".", " "))


# --- in words -------------------------------------------------------------------------------


def test_a_quarter_in_words_is_a_message() -> None:
    text = chat().say("first quarter in words")
    assert "January: Bare branches\nShips Fri 15 Jan. To source, 2 of 4 items" in text
    assert "Notebook (ruled): log; " in text or "Notebook (ruled): log." in text
    assert "balm" in text
    assert not chat().outcome.files


def test_the_year_in_words_is_a_file_with_every_fact() -> None:
    c = chat()
    text = c.say("year sheet in words")
    assert len(text) < 400
    _, file = sent(c)
    assert file.name.endswith(".txt")
    told, view = file.content.decode(), YEARS["ordinary"]
    for box in view.boxes:
        assert year_words.theme(box).lower() in told.lower()
        if box.state == NO_BOX:
            continue
        for fact in (year_words.state(box), year_words.items(box), year_words.over(box, "GBP")):
            assert fact.lower() in told.lower()
        for name in (*box.others, *(name for back in box.returns for name in back.items)):
            assert name in told
    assert "notebook, 4 times: January, March, April, June" in told
    assert "November: no box" in told


def test_the_words_have_what_the_picture_cannot_show() -> None:
    c = chat(FOREIGN)
    c.say("year sheet in words")
    assert "桜の季節" in sent(c)[1].content.decode()
    c = chat(lengthened(ORDINARY))
    c.say("year sheet in words")
    assert LONG in sent(c)[1].content.decode()
    assert len(chat(lengthened(ORDINARY)).say("q1 in words")) < 2000


# --- which year -----------------------------------------------------------------------------

TWO = shop(
    *(f"2026-{month:02} x" for month in range(1, 13)),
    *(f"2027-{month:02} x" for month in range(1, 13)),
)


@pytest.mark.parametrize(
    ("said", "now", "title"),
    [
        ("year sheet", datetime(2026, 3, 1, 9, tzinfo=UTC), "The year 2026"),
        ("year sheet", NOW, "The year 2027"),
        ("year sheet 2026", NOW, "The year 2026"),
        ("year sheet for this year", NOW, "The year 2026"),
        ("this quarter", NOW, "Fourth quarter 2026"),
        ("next quarter", NOW, "First quarter 2027"),
        ("q3", NOW, "Third quarter 2027"),
    ],
)
def test_the_year_that_is_meant(said: str, now: datetime, title: str) -> None:
    assert chat(TWO, now).say(said).startswith(title)


def test_a_year_without_boxes_is_refused_with_what_would_work() -> None:
    c = chat()
    text = c.say("year sheet 2031")
    assert text.startswith("No box is planned for 2031. The plan has boxes of 2027.")
    assert not c.outcome.files
    assert c.touch("2027").startswith("The year 2027")
    c.say("year sheet 2031 in words")
    assert c.buttons == {"2027": "year sheet 2027 in words"}


def test_a_quarter_without_boxes_is_refused_with_those_that_have_some() -> None:
    c = chat(shop("2027-02 x", "2027-11 y"))
    assert c.say("q2") == "No box is planned for the second quarter 2027."
    assert list(c.buttons) == ["The year", "First quarter", "Fourth quarter"]


def test_a_shop_without_boxes_is_told_how_to_begin() -> None:
    c = Chat()
    text = c.say("year sheet")
    assert text.startswith("Nothing is planned yet")
    assert understand("March theme rain and roots", SHOP, TALK, TODAY)
    assert not c.outcome.files


@pytest.mark.parametrize("said", ["year sheet 1066", "year sheet 2099"])
def test_a_year_beyond_all_plans_is_no_year(said: str) -> None:
    assert "is no year of a plan" in chat().say(said)


# --- what buttons say -----------------------------------------------------------------------

FORMS: tuple[Form, ...] = ("picture", "page", "words")


@pytest.mark.parametrize(
    ("year", "quarter", "form"), [*product((None, 2026, 2027), (None, 1, 2, 3, 4), FORMS)]
)
def test_what_a_button_says_is_understood_back(
    year: int | None, quarter: int | None, form: Form
) -> None:
    said = year_sheet(year, quarter, form)
    assert understand(said, SHOP, TALK, TODAY) == (YearSheet(year, quarter, form),)


def test_every_button_of_every_form_leads_to_a_sheet() -> None:
    c = chat(many(14, 4))
    for first in ("year sheet", "year sheet to print", "year sheet in words", "q1", "q1 in words"):
        c.say(first)
        for says in c.buttons.values():
            assert "For example" not in c.say(says)
            assert c.outcome.files or "quarter" in says


def test_costs_without_a_target_are_told_alone() -> None:
    made = shop("2027-03 Rain: a 1 x 3.10; b")
    text = chat(made).say("q1 in words")
    assert "2 items, £3.10, 1 without cost" in text
    assert "over" not in text

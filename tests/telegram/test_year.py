"""A year of boxes brought in, asked about and rehearsed, through the whole application. All
invented."""

from pathlib import Path

from tests.edges.bot_api import WREN, Sent
from tests.edges.inbox import in_loop
from tests.sheets.books import HEADINGS, book
from tests.telegram.rig import Bot, labels, whole

ROWS = (
    HEADINGS,
    ("May 2027", "first swifts", "field notebook", "notebook", "Aldermoor", 3.10, "20", ""),
    ("June 2027", "long light", "lino print", "print", "Brackenfold", 1.80, "10", ""),
    ("Febtember", "", "tea", "", "Tannwald", 1.20, "5", ""),
)
NOTEBOOK = "add to May: field notebook from Aldermoor, 3.10, 20 working days, made in Germany"
TEXT = 4096  # source: Bot API, "sendMessage"


async def brought_in(bot: Bot) -> Sent:
    await bot.api.document(WREN, book(ROWS), "year.xlsx")
    return await bot.answer()


@in_loop
async def test_a_workbook_is_shown_and_brought_in_by_its_button(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        shown = await brought_in(bot)
        assert shown.bold == "Read year.xlsx: 2 boxes, 2 items"
        assert "Febtember" in shown.text
        assert labels(shown) == ["Bring it in", "Leave it"]
        assert (await bot.shop()).boxes == ()
        await bot.api.press(WREN, "Bring it in")
        assert "Brought in" in (await bot.answer()).text
        assert [box.theme for box in (await bot.shop()).boxes] == ["first swifts", "long light"]
        await bot.api.press(WREN, "The year")
        assert "long light" in (await bot.answer()).text
        assert "Nothing in it is new" in (await brought_in(bot)).text


@in_loop
async def test_bringing_in_is_taken_back_by_its_button(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await brought_in(bot)
        await bot.api.press(WREN, "Bring it in")
        await bot.answer()
        await bot.api.press(WREN, "Undo")
        assert "year.xlsx brought in" in (await bot.answer()).text
        assert (await bot.shop()).items == ()


@in_loop
async def test_a_file_that_is_no_year_is_told_so(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        for content, name in ((b"%PDF-1.4", "year.pdf"), (b"PK\x03\x04", "year.xlsx"), (b"", "")):
            await bot.api.document(WREN, content, name)
            assert (await bot.answer()).text
        assert (await bot.shop()).drafts == ()


@in_loop
async def test_a_file_too_big_for_a_bot_is_told_so(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        # 20 MB. Source: Bot API, "getFile".
        ref = bot.api.upload(b"month", size=50_000_000)
        document = {"file_id": ref, "file_unique_id": "d", "file_name": "year.csv"}
        said = await bot.says("", document=document)
        assert "could not be fetched" in said


@in_loop
async def test_when_to_order_and_why_then(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("May theme first swifts")
        await bot.says(NOTEBOOK)
        # 20 working days of a German supplier before 10 days of carriage, one day of counting in
        # and one of packing before Friday 14 May 2027.
        said = await bot.says("when must I order the notebook")
        assert said.startswith("Order field notebook (May, Aldermoor) by Fri 2 Apr")
        await bot.api.press(WREN, "Why that day")
        assert "Ships Fri 14 May (the 15th or the working day before)" in (await bot.answer()).text
        assert "first swifts" in await bot.says("how is May")


@in_loop
async def test_a_rehearsal_brings_its_year_as_a_document(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says(NOTEBOOK)
        await bot.api.say(WREN, "rehearse")
        told, whole_year = await bot.answers()
        assert told.bold.startswith("A year of nudges")
        assert whole_year.method == "sendDocument"
        assert whole_year.file_name == "nudges 2027-03-01.txt"
        assert whole_year.file is not None
        assert b"field notebook" in whole_year.file


@in_loop
async def test_a_long_answer_comes_in_pieces_and_loses_nothing(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        thought = " ".join(["🪵 bark"] * 511)  # 4087 UTF-16 units; what shows it needs some more
        await bot.says(f"Idea: {thought}")
        await bot.says("ideas")
        await bot.api.say(WREN, "show 1")
        pieces = await bot.answers()
        assert len(pieces) > 1
        assert all(len(piece.text.encode("utf-16-le")) <= 2 * TEXT for piece in pieces)
        assert "".join(piece.text for piece in pieces).count("🪵 bark") == 511
        assert [bool(piece.keys) for piece in pieces] == [False] * (len(pieces) - 1) + [True]

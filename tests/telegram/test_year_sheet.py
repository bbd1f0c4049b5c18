"""The year sheet through the whole application: pictures and pages as they leave for the chat.
Limits: Bot API, "sendPhoto"."""

from pathlib import Path

from tests.edges.bot_api import WREN
from tests.edges.inbox import in_loop
from tests.telegram.rig import labels, whole

YEAR = "March 2027 theme rain and roots\nadd to March 2027: field notebook, 3.10, 20 working days"


@in_loop
async def test_the_year_leaves_as_a_picture_and_its_buttons_lead_on(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says(YEAR)
        await bot.api.say(WREN, "year sheet")
        sheet = await bot.answer()
        assert sheet.method == "sendPhoto"
        assert sheet.bold == "The year 2027"
        assert sheet.file is not None
        assert sheet.file.startswith(b"\x89PNG")
        assert labels(sheet) == ["First quarter", "To print", "In words", "Web page", "Workbook"]
        await bot.api.press(WREN, "First quarter")
        quarter = await bot.answer()
        assert quarter.method == "sendPhoto"
        assert quarter.text.startswith("First quarter 2027")
        await bot.api.press(WREN, "In words")
        assert "March: rain and roots" in (await bot.answer()).text


@in_loop
async def test_the_page_leaves_as_a_document(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says(YEAR)
        await bot.api.say(WREN, "print the year")
        page = await bot.answer()
        assert page.method == "sendDocument"
        assert page.file is not None
        assert page.file.startswith(b"%PDF-")
        assert page.file_name.endswith(".pdf")
        assert "year sheet 2027" in page.file_name

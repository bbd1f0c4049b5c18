"""Ideas as they are caught on a phone, through the whole application. All invented."""

from pathlib import Path

import pytest

from assistant.edges.telegram.saying import DATA_BYTES
from tests.edges.bot_api import ROWAN, WREN, BotApi
from tests.edges.inbox import in_loop
from tests.telegram.rig import Bot, at_work, code_in, labels, let_in, pair, whole

PICTURE = b"\xff\xd8\xff a lino print"
FORWARDED = {"type": "hidden_user", "sender_user_name": "Tannwald", "date": 1803888000}


async def ideas(bot: Bot) -> list[str]:
    return [idea.text for idea in (await bot.shop()).ideas if idea.state == "waiting"]


@in_loop
async def test_a_thought_is_kept_in_one_line_with_an_undo(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.api.say(WREN, "Idea: lantern walk for November, maybe a beeswax wrap")
        kept = await bot.answer()
        assert kept.text == "Kept for November: lantern walk, maybe a beeswax wrap."
        assert labels(kept) == ["Undo"]
        assert await bot.says("ideas for November") == (
            "Ideas for November\n1. lantern walk, maybe a beeswax wrap"
        )
        await bot.api.press(WREN, "Undo")
        assert (await bot.answer()).text.startswith("Taken back")
        await bot.api.called("answerCallbackQuery")
        assert await ideas(bot) == []


@in_loop
async def test_a_photo_is_kept_to_the_byte_and_shown_again(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.api.photo(WREN, PICTURE, "puddle print for May")
        assert (await bot.answer()).text == "Picture kept for May: puddle print."
        [idea] = (await bot.shop()).ideas
        kept = await bot.at_work.shelf.file("shop", idea.photo)
        assert kept is not None
        assert kept.content == PICTURE
        await bot.says("ideas")
        await bot.says("show 1")
        shown = bot.api.out[-1]
        assert (shown.method, shown.file) == ("sendPhoto", PICTURE)
        assert "puddle print" in shown.text


@in_loop
async def test_a_picture_sent_as_a_file_is_a_picture(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.api.document(WREN, PICTURE, "print.jpg", "puddle print")
        assert "icture kept as an idea" in (await bot.answer()).text
        await bot.says("ideas")
        await bot.api.press(WREN, "Show 1")
        assert (await bot.answer()).file == PICTURE


@in_loop
async def test_a_picture_without_words_is_an_idea(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.api.photo(WREN, PICTURE)
        assert "icture kept" in (await bot.answer()).text


@in_loop
async def test_a_picture_that_is_gone_is_told_and_its_words_are_kept(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        bot.api.fail("getFile", 400, "Bad Request: file is temporarily unavailable")
        await bot.api.photo(WREN, PICTURE, "Idea: puddle print")
        assert "puddle print" in (await bot.answer()).text
        [idea] = (await bot.shop()).ideas
        assert (idea.text, idea.photo) == ("puddle print", "")


@in_loop
async def test_a_link_and_a_forwarded_message_are_ideas(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("https://example.org/lino")
        await bot.says("two colours of ink, from May on", forward_origin=FORWARDED)
        await bot.says(
            "Idea: this pin",
            entities=[
                {"type": "text_link", "offset": 6, "length": 8, "url": "https://example.org/pin"}
            ],
        )
        one, two, three = (await bot.shop()).ideas
        assert one.link == "https://example.org/lino"
        assert (two.text, two.source) == ("two colours of ink, from May on", "Tannwald")
        assert (three.text, three.link) == (
            "this pin https://example.org/pin",
            "https://example.org/pin",
        )


@in_loop
async def test_an_edit_of_the_sent_message_edits_its_idea(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        number = await bot.api.say(WREN, "Idea: lantern walk for November")
        await bot.answer()
        await bot.api.edit(WREN, number, "Idea: lantern walk for December")
        assert "December" in (await bot.answer()).text
        [idea] = (await bot.shop()).ideas
        assert (idea.text, idea.months) == ("lantern walk", (12,))


@in_loop
async def test_an_edit_of_a_caption_keeps_the_picture(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        number = await bot.api.photo(WREN, PICTURE, "puddle print")
        await bot.answer()
        [photo] = bot.api.emulator.assets
        size = {"file_id": photo, "file_unique_id": "l", "width": 900, "height": 600}
        body = bot.api.message(WREN, message_id=number, photo=[size], caption="lino print")
        await bot.api.push("edited_message", {**body, "edit_date": body["date"] + 60})
        await bot.answer()
        [idea] = (await bot.shop()).ideas
        kept = await bot.at_work.shelf.file("shop", idea.photo)
        assert idea.text == "lino print"
        assert kept is not None
        assert kept.content == PICTURE


@in_loop
async def test_an_edit_repeats_no_command(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        number = await bot.api.say(WREN, "March theme rain and roots")
        await bot.answer()
        await bot.api.edit(WREN, number, "March theme mud and moss")
        await bot.answer()
        assert [box.theme for box in (await bot.shop()).boxes] == ["rain and roots"]


@in_loop
async def test_a_repeated_update_is_heard_once_and_a_late_one_at_all(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        words = {900: "tea", 902: "oat biscuits", 901: "beeswax wrap"}
        for id, text in words.items():
            body = bot.api.message(WREN, text=f"Idea: {text}")
            await bot.api.push("message", body, id=id)
            await bot.api.push("message", body, id=id)
        assert len(await bot.answers()) == 3
        assert sorted(await ideas(bot)) == sorted(words.values())


@in_loop
async def test_a_button_says_its_sentence_however_long(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        name = "hand-bound all-weather field notebook with a pocket for pressed leaves"
        await bot.says(f"add to May: {name} from Aldermoor, 3.10, 20 working days")
        assert name[:40] in await bot.says("what is due until 15 May")
        long = [
            says for sent in bot.api.out for row in sent.keys for _, says in row if says[0] == "#"
        ]
        assert long
        assert all(len(says) <= DATA_BYTES for says in long)
        await bot.api.press(WREN, "Done 1")
        assert (await bot.answer()).text.startswith("Done: ")
        assert [mark.state for mark in (await bot.shop()).ledger] == ["done"]


@in_loop
async def test_a_long_button_is_good_after_a_restart(tmp_path: Path) -> None:
    name = "hand-bound all-weather field notebook with a pocket for pressed leaves"
    async with BotApi() as api:
        async with at_work(tmp_path, api) as bot:
            await pair(bot)
            await bot.says(f"add to May: {name} from Aldermoor, 3.10, 20 working days")
            await bot.says("what is due until 15 May")
        async with at_work(tmp_path, api) as bot:
            await api.press(WREN, "Done 1")
            assert (await bot.answer()).text.startswith("Done: ")


@in_loop
async def test_a_button_does_no_more_than_who_presses_it_may(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        await let_in(bot, ROWAN)
        await bot.says("Idea: oat biscuits")
        [[undo]] = bot.api.out[-1].keys
        await bot.api.press_data(ROWAN, undo[1])
        assert "Wren Ashby did that" in (await bot.answer()).text
        assert await ideas(bot) == ["oat biscuits"]


@pytest.mark.parametrize("data", ["#0123456789abcdef0123456789abcdef", "let idea 00000000 go"])
@in_loop
async def test_an_old_button_is_answered_and_changes_nothing(tmp_path: Path, data: str) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("Idea: oat biscuits")
        before = (await bot.shop()).version
        await bot.api.press_data(WREN, data)
        assert (await bot.answer()).text
        shop = await bot.shop()
        assert [idea.state for idea in shop.ideas] == ["waiting"]
        assert shop.recent[-1].number <= before


@in_loop
async def test_what_is_no_text_is_answered(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        voice = {"file_id": "v", "file_unique_id": "v", "duration": 2}
        await bot.api.say(WREN, voice=voice)
        assert (await bot.answer()).text
        place = {"latitude": 54.0, "longitude": -1.5}
        await bot.api.say(WREN, location=place)
        assert (await bot.answer()).text


HOSTILE = (
    "<b>bold</b> & <script>alert(1)</script>",
    "*stars* _lines_ [link](tg://user?id=1) `code` ||spoiler||",
    "&lt;b&gt; &amp;amp; </b></i>",
    "=HYPERLINK(\"https://example.org\") +cmd|' /C calc'!A0",
    "🪵 lantern 👩‍🌾 walk",
)


@pytest.mark.parametrize("text", HOSTILE)
@in_loop
async def test_markup_in_an_idea_appears_as_it_was_written(tmp_path: Path, text: str) -> None:
    async with whole(tmp_path) as bot:
        kept = await bot.says(f"Idea: {text}")
        assert text in kept
        listed = (await bot.says("ideas"), bot.api.out[-1])
        assert text in listed[0]
        assert listed[1].bold == "Ideas"
        assert "parse_mode" not in listed[1].fields


@in_loop
async def test_markup_in_names_appears_as_it_was_written(tmp_path: Path) -> None:
    async with whole(tmp_path) as bot:
        code = code_in(await bot.says("let a helper in"))
        person = {"id": ROWAN, "is_bot": False, "first_name": "<i>Rowan</i>", "last_name": "&amp;"}
        body = bot.api.message(ROWAN, text=code)
        await bot.api.push("message", {**body, "from": person})
        greeting, told = await bot.answers()
        assert "<i>Rowan</i> &amp;" in greeting.text
        assert "<i>Rowan</i> &amp;" in told.text
        assert "<b>Aldermoor</b>" in await bot.says(
            "add to March: tea <3 from <b>Aldermoor</b>, 1.20, 5 working days"
        )

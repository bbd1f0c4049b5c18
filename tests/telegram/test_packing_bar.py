"""A day of packing through the whole application: one bar, changed in place."""

from pathlib import Path

from tests.edges.bot_api import WREN
from tests.edges.inbox import in_loop
from tests.telegram.rig import labels, whole


@in_loop
async def test_the_bar_of_a_day_is_one_message_and_survives_a_count_that_fails(
    tmp_path: Path,
) -> None:
    async with whole(tmp_path) as bot:
        await bot.says("March 2027 theme rain and roots")
        await bot.says("we are 200")
        await bot.api.say(WREN, "packed 60")
        told, bar = await bot.answers()
        assert told.text.startswith("March: 60 of 200 packed.")
        assert bar.bold == "March: packing"
        assert "60 of 200, 30%" in bar.text
        assert labels(bar) == ["Packing", "Run sheet"]

        await bot.waits(hours=1)
        await bot.answers()  # the morning's digest
        assert (await bot.says("packed 60 more")).startswith("March: 60 more, 120 of 200 packed.")
        assert [sent.text for sent in bot.api.out].count(bar.text) == 0
        [changed] = [sent for sent in bot.api.out if sent.id == bar.id]
        assert "120 of 200, 60%" in changed.text

        bot.api.fail("editMessageText", 400, "Bad Request: message to edit not found")
        await bot.api.say(WREN, "200 packed so far")
        told, anew = await bot.answers()
        assert "200 of 200, 100%" in anew.text
        assert anew.id > bar.id

        assert "Nothing was changed" in await bot.says("packed 900 for March")

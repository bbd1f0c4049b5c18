"""A backup through the whole application, from the chat to a shop restored from what was sent.
Limits: Bot API, "sendDocument"."""

from contextlib import closing
from pathlib import Path
from unittest.mock import patch

from assistant.edges.embedded import Database, Shelf
from assistant.edges.embedded.restoring import restore
from assistant.edges.telegram.channel import TelegramChannel
from tests.edges.bot_api import WREN
from tests.edges.inbox import in_loop
from tests.telegram.rig import whole
from tests.trade import house


@in_loop
async def test_what_is_sent_can_be_restored(tmp_path: Path) -> None:
    async with whole(tmp_path / "data") as bot:
        await bot.says("Idea: lantern walk")
        await bot.api.say(WREN, "back up")
        making, sent = await bot.answers()
        assert making.text.startswith("Making a backup of")
        assert sent.method == "sendDocument"
        assert sent.file is not None
        assert sent.file_name.endswith(").zip")
        (tmp_path / "sent.zip").write_bytes(sent.file)
    restore(tmp_path / "sent.zip", tmp_path / "new")
    with closing(Database(tmp_path / "new")) as database:
        shop = await Shelf(database, house()).load("shop")
    assert [idea.text for idea in shop.ideas] == ["lantern walk"]


@in_loop
async def test_what_is_too_big_for_telegram_is_kept_and_told(tmp_path: Path) -> None:
    with patch.object(TelegramChannel, "most", 1000):
        async with whole(tmp_path) as bot:
            await bot.says("Idea: lantern walk")
            await bot.api.say(WREN, "back up")
            _, told = await bot.answers()
    assert told.method == "sendMessage"
    assert "too big to be sent here: 1 KB at most" in told.text
    [file] = (tmp_path / "backups").iterdir()
    assert file.stat().st_size > 1000

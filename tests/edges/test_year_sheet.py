"""The year sheet at the terminal: a picture that was made is put where it can be opened."""

from pathlib import Path

from assistant.edges.terminal.channel import YOU, TerminalChannel
from assistant.flow.messages import Outgoing
from tests.conversation.chat import Chat
from tests.edges.bot_api import FixedClock
from tests.edges.inbox import in_loop
from tests.sheets.years import ORDINARY


@in_loop
async def test_each_form_can_be_opened(tmp_path: Path) -> None:
    written: list[str] = []
    channel = TerminalChannel(written.append, FixedClock(), bold=False, files=tmp_path)
    for said, ending in (("year sheet", "png"), ("q1", "png"), ("print the year", "pdf")):
        chat = Chat(ORDINARY)
        chat.say(said)
        [reply], [file] = chat.outcome.replies, chat.outcome.files
        await channel.send(Outgoing(shop="mossgate", chat=YOU, reply=reply), file)
        path = tmp_path / file.name
        assert path.suffix == f".{ending}"
        assert path.read_bytes() == file.content
        assert str(path) in "".join(written[-1].split("\n")) or path.name[:20] in written[-1]

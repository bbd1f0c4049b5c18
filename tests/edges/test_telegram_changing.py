"""Messages that are changed in place, on a Bot API server that we did not write."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest

from assistant.conversation.messages import Button, File, Reply
from assistant.edges.telegram.channel import TelegramChannel
from assistant.flow.messages import Outgoing
from assistant.flow.ports import Later, NoRoom, Unreachable
from tests.edges.bot_api import GROUP, ROWAN, WREN, BotApi, PretendKeep
from tests.edges.inbox import Inbox, in_loop, running

UNCHANGED = (
    "Bad Request: message is not modified: specified new message content and reply markup are "
    "exactly the same as a current content and reply markup of the message"
)  # from memory: the Bot API does not publish its error texts


def out(text: str, chat: int = WREN, live: str = "packing", **more: object) -> Outgoing:
    reply = Reply(text=text, live=live, **more)  # type: ignore[arg-type]
    return Outgoing(shop="mossgate", chat=f"telegram:{chat}", reply=reply)


@asynccontextmanager
async def sending(keep: PretendKeep | None = None) -> AsyncIterator[tuple[BotApi, TelegramChannel]]:
    """Give a server and a running channel of it."""
    async with BotApi() as api:
        channel = api.channel(keep)
        async with running(channel.run(Inbox().take)):
            yield api, channel


def shown(api: BotApi, chat: int = WREN) -> list[str]:
    return [sent.text for sent in api.out if sent.chat == chat]


@in_loop
async def test_one_message_shows_what_is_so_now() -> None:
    async with sending() as (api, channel):
        await channel.send(out("140 of 431", title="March"), None)
        await channel.send(out("Noted", live=""), None)
        buttons = ((Button("Run sheet", "run sheet for 2027-03"),),)
        await channel.send(out("200 of 431", title="March", buttons=buttons), None)
        assert shown(api) == ["March\n200 of 431", "Noted"]
        assert api.out[0].bold == "March"
        assert api.out[0].keys == ((("Run sheet", "run sheet for 2027-03"),),)
        told = [call for call in api.calls if "Message" in call]
        assert told == ["sendMessage", "sendMessage", "editMessageText"]


@in_loop
async def test_each_chat_and_each_name_has_a_message_of_its_own() -> None:
    async with sending() as (api, channel):
        for text in ("1", "2"):
            await channel.send(out(text), None)
            await channel.send(out(text, chat=ROWAN), None)
            await channel.send(out(f"other {text}", live="other"), None)
        assert shown(api) == ["2", "other 2"]
        assert shown(api, ROWAN) == ["2"]


@in_loop
async def test_it_is_found_again_after_a_restart() -> None:
    keep = PretendKeep()
    async with sending(keep) as (api, channel):
        await channel.send(out("140 of 431"), None)
        other = api.channel(keep)
        async with running(other.run(Inbox().take)):
            await other.send(out("200 of 431"), None)
        assert shown(api) == ["200 of 431"]


@in_loop
async def test_what_is_sent_again_harms_nothing() -> None:
    async with sending() as (api, channel):
        await channel.send(out("140 of 431"), None)
        api.drop("editMessageText", after=True)
        with pytest.raises(Later):
            await channel.send(out("200 of 431"), None)
        api.fail("editMessageText", 400, UNCHANGED)
        await channel.send(out("200 of 431"), None)
        assert shown(api) == ["200 of 431"]


@pytest.mark.parametrize(
    "why",
    [
        "Bad Request: message to edit not found",
        "Bad Request: message can't be edited",
        "Bad Request",
    ],
)
@in_loop
async def test_a_message_that_is_gone_or_too_old_is_sent_anew(why: str) -> None:
    async with sending() as (api, channel):
        await channel.send(out("140 of 431"), None)
        api.fail("editMessageText", 400, why)
        await channel.send(out("200 of 431"), None)
        assert shown(api) == ["140 of 431", "200 of 431"]
        await channel.send(out("300 of 431"), None)
        assert shown(api) == ["140 of 431", "300 of 431"]


@in_loop
async def test_a_server_that_asks_to_wait_and_a_person_who_left() -> None:
    async with sending() as (api, channel):
        await channel.send(out("140 of 431"), None)
        api.fail("editMessageText", 429, "Too Many Requests", retry_after=7)
        with pytest.raises(Later) as later:
            await channel.send(out("200 of 431"), None)
        assert later.value.seconds == 7
        api.fail("editMessageText", 403, "Forbidden: bot was blocked by the user")
        with pytest.raises(Unreachable):
            await channel.send(out("200 of 431"), None)
        assert shown(api) == ["140 of 431"]


@in_loop
async def test_a_group_that_moved_gets_a_new_message() -> None:
    new = -1002001
    async with sending() as (api, channel):
        await channel.send(out("140 of 431", GROUP), None)
        for method in ("editMessageText", "sendMessage"):
            api.fail(method, 400, "Bad Request: upgraded", migrate_to_chat_id=new)
        await channel.send(out("200 of 431", GROUP), None)
        await channel.send(out("300 of 431", GROUP), None)
        assert shown(api, GROUP) == ["140 of 431"]
        assert shown(api, new) == ["300 of 431"]


class NoRoomKeep(PretendKeep):
    async def remember(self, name: str, value: str) -> None:
        raise NoRoom(f"the disk is full: {name}, {value}")


@in_loop
async def test_what_cannot_be_remembered_is_sent_all_the_same() -> None:
    async with sending(NoRoomKeep()) as (api, channel):
        await channel.send(out("140 of 431"), None)
        await channel.send(out("200 of 431"), None)
        assert shown(api) == ["140 of 431", "200 of 431"]


@in_loop
async def test_a_file_and_a_very_long_text_are_messages_like_any_other() -> None:
    async with sending() as (api, channel):
        file = File(id="f1", name="run.pdf", content=b"a page")
        for _ in range(2):
            await channel.send(out("The sheet.", document="f1"), file)
            await channel.send(out("a line\n" * 1000), None)
        assert "editMessageText" not in api.calls
        assert [sent.method for sent in api.out].count("sendDocument") == 2

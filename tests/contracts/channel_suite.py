"""What every channel promises, seen by a person at its other end.

A channel takes part by a rig: a factory in RIGS of test_channels.py that opens the channel with a
pretend person at it.
"""

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import AbstractAsyncContextManager
from datetime import timedelta
from functools import wraps
from typing import Any, Protocol

import pytest

from assistant.conversation.messages import Button, File, Reply
from assistant.flow.messages import Incoming, Outgoing, prefix
from assistant.flow.ports import Channel, Take
from tests.edges.inbox import Inbox

LONG = "move the field notebook from Aldermoor to May and the beeswax wrap to March"


class Rig(Protocol):
    """A channel and a person at it. What she does has reached `take` when the call returns, or
    reaches it soon after."""

    @property
    def channel(self) -> Channel: ...

    @property
    def chat(self) -> str:
        """Her address."""
        ...

    def running(self, take: Take) -> AbstractAsyncContextManager[object]:
        """Run the channel for as long as the block lasts."""
        ...

    async def say(self, text: str) -> None: ...

    async def press(self, label: str) -> None:
        """Press the newest button of this label."""
        ...

    async def attach(self, content: bytes, name: str) -> None:
        """Send a file."""
        ...

    def shown(self) -> str:
        """All that she has been shown, without markup."""
        ...


Open = Callable[[], AbstractAsyncContextManager[Rig]]


def talk(test: Callable[[Any, Rig], Awaitable[None]]) -> Callable[[Any, Open], None]:
    """Run an async test of the suite at a freshly opened rig. The time limit only ends a test that
    would hang for ever."""

    @wraps(test)
    def run(self: Any, rig: Open) -> None:
        async def whole() -> None:
            async with asyncio.timeout(60), rig() as opened:
                await test(self, opened)

        asyncio.run(whole())

    return run


def reply(rig: Rig, text: str, **more: Any) -> Outgoing:
    return Outgoing(shop="mossgate", chat=rig.chat, reply=Reply(text=text, **more))


class ChannelSuite:
    @talk
    async def test_messages_are_taken_in_order_each_with_an_id_of_its_own(self, rig: Rig) -> None:
        inbox = Inbox()
        texts = [f"idea number {number}" for number in range(12)]
        async with rig.running(inbox.take):
            for text in texts:
                await rig.say(text)
            await inbox.until(len(texts))
        assert inbox.texts == texts
        assert len({heard.id for heard in inbox.heard}) == len(texts)
        assert all(heard.at.utcoffset() == timedelta(0) for heard in inbox.heard)

    @talk
    async def test_addresses_begin_with_the_name_of_the_channel(self, rig: Rig) -> None:
        inbox = Inbox()
        async with rig.running(inbox.take):
            await rig.say("hello")
            await inbox.until(1)
        (heard,) = inbox.heard
        assert heard.chat == rig.chat
        assert prefix(heard.chat) == prefix(heard.sender) == rig.channel.name

    @talk
    async def test_a_message_that_was_taken_before_stops_nothing(self, rig: Rig) -> None:
        inbox = Inbox()

        async def take(body: Any) -> bool:
            await inbox.take(body)
            return False

        async with rig.running(take):
            await rig.say("one")
            await rig.say("two")
            await inbox.until(2)

    @talk
    async def test_a_reply_is_shown(self, rig: Rig) -> None:
        async with rig.running(Inbox().take):
            await rig.channel.send(reply(rig, "order the notebook", title="Due"), None)
        assert "Due" in rig.shown()
        assert "order the notebook" in rig.shown()

    @talk
    async def test_what_is_told_anew_is_shown_as_it_is_now(self, rig: Rig) -> None:
        async with rig.running(Inbox().take):
            for packed in (140, 200, 200, 431):
                await rig.channel.send(reply(rig, f"{packed} of 431", live="packing"), None)
                assert f"{packed} of 431" in rig.shown()

    @talk
    async def test_words_are_shown_as_they_are(self, rig: Rig) -> None:
        words = [
            "<b>notebook</b>",
            "*5*",
            "&amp;",
            "`seed`",
            "_tea_",
            "[tin](x)",
            "50%",
            "\\n",
            "🌱",
        ]
        async with rig.running(Inbox().take):
            await rig.channel.send(reply(rig, " ".join(words)), None)
        assert [word for word in words if word not in rig.shown()] == []

    @pytest.mark.parametrize("says", ["done 3", LONG, "#3", "é" * 40])
    def test_a_button_is_a_shorter_way_to_say_a_sentence(self, rig: Open, says: str) -> None:
        @talk
        async def press(_: object, rig: Rig) -> None:
            inbox = Inbox()
            async with rig.running(inbox.take):
                buttons = ((Button("Other", "other"),), (Button("Do it", says),))
                await rig.channel.send(reply(rig, "Shall I?", buttons=buttons), None)
                await rig.press("Do it")
                await inbox.until(1)
            assert [(heard.text, heard.pressed) for heard in inbox.heard] == [(says, True)]

        press(self, rig)

    @talk
    async def test_a_file_that_was_sent_can_be_fetched(self, rig: Rig) -> None:
        inbox = Inbox()
        async with rig.running(inbox.take):
            await rig.attach(b"month,theme\n2027-03,Rain", "year.csv")
            (body,) = await inbox.until(1)
            assert isinstance(body, Incoming)
            assert body.heard.document_name == "year.csv"
            assert await rig.channel.fetch(body.document_ref) == b"month,theme\n2027-03,Rain"

    @talk
    async def test_a_file_that_is_gone_is_none(self, rig: Rig) -> None:
        async with rig.running(Inbox().take):
            assert await rig.channel.fetch("no such file") is None

    @talk
    async def test_a_reply_with_a_file_is_shown_with_its_words(self, rig: Rig) -> None:
        file = File(id="f1", name="year.png", content=b"picture")
        async with rig.running(Inbox().take):
            await rig.channel.send(reply(rig, "The year so far.", photo="f1"), file)
        assert "The year so far." in rig.shown()

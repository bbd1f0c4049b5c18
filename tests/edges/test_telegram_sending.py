"""Sending to a Bot API server that we did not write, through every fault."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest

from assistant.conversation.messages import Button, File, Reply
from assistant.edges.telegram.channel import FETCH_TRIES, TelegramChannel
from assistant.edges.telegram.faults import CLOSED, WAIT, Refused
from assistant.edges.telegram.saying import CAPTION, TEXT
from assistant.edges.telegram.texts import units
from assistant.flow.messages import Outgoing
from assistant.flow.ports import Later, NoRoom, Unreachable
from tests.edges.bot_api import GROUP, WREN, BotApi, PretendKeep
from tests.edges.inbox import Inbox, in_loop, running

YEAR = File(id="f1", name="year.png", content=b"a picture of the year")
LONG = "move the field notebook from Aldermoor to May and the beeswax wrap to March"
HOSTILE = (
    "<b>not bold</b> &amp; <a href='tg://user?id=1'>no link</a> *_~`[x](http://x.example)\n"
    "<script>alert(1)</script> \u202eright to left\u202c \x07 &lt; </code>"
)


def out(text: str, chat: int = WREN, **more: object) -> Outgoing:
    return Outgoing(
        shop="mossgate",
        chat=f"telegram:{chat}",
        reply=Reply(text=text, **more),  # type: ignore[arg-type]
    )


@asynccontextmanager
async def sending(keep: PretendKeep | None = None) -> AsyncIterator[tuple[BotApi, TelegramChannel]]:
    """Give a server and a running channel of it."""
    async with BotApi() as api:
        channel = api.channel(keep)
        async with running(channel.run(Inbox().take)):
            yield api, channel


@in_loop
async def test_a_text_with_its_title_and_buttons() -> None:
    rows = (
        (Button("Done", "done 3"), Button("Put off", "put off 3 days")),
        (Button("Why", "why"),),
    )
    async with sending() as (api, channel):
        await channel.send(out("order the notebook by Thu 11 Feb", title="Due", buttons=rows), None)
        (sent,) = api.out
        assert (sent.method, sent.chat) == ("sendMessage", WREN)
        assert (sent.text, sent.bold) == ("Due\norder the notebook by Thu 11 Feb", "Due")
        assert sent.keys == (
            (("Done", "done 3"), ("Put off", "put off 3 days")),
            (("Why", "why"),),
        )


@in_loop
async def test_text_from_outside_is_never_markup() -> None:
    async with sending() as (api, channel):
        await channel.send(out(HOSTILE, title="<i>🌱 title</i>"), None)
        (sent,) = api.out
        assert sent.text == f"<i>🌱 title</i>\n{HOSTILE}"
        assert sent.bold == "<i>🌱 title</i>"
        assert "parse_mode" not in sent.fields
        assert sent.fields["preview"] == {"is_disabled": True}


@in_loop
async def test_a_long_reply_comes_in_pieces_with_the_buttons_under_the_last() -> None:
    lines = [f"{number}. seed packet 🌱 <{number}>" for number in range(600)]
    async with sending() as (api, channel):
        reply = out("\n".join(lines), title="Ideas", buttons=((Button("More", "more"),),))
        await channel.send(reply, None)
        assert len(api.out) > 2
        assert all(units(sent.text) <= TEXT for sent in api.out)
        assert "\n".join(sent.text for sent in api.out) == "\n".join(["Ideas", *lines])
        assert [sent.bold for sent in api.out] == ["Ideas"] + [""] * (len(api.out) - 1)
        assert [bool(sent.keys) for sent in api.out] == [False] * (len(api.out) - 1) + [True]


@in_loop
async def test_a_picture_with_its_words() -> None:
    async with sending() as (api, channel):
        await channel.send(out("Twelve boxes.", title="2027", photo="f1"), YEAR)
        (sent,) = api.out
        assert (sent.method, sent.file) == ("sendPhoto", YEAR.content)
        assert (sent.text, sent.bold) == ("2027\nTwelve boxes.", "2027")


@in_loop
async def test_words_too_many_for_a_picture_follow_it() -> None:
    lines = [f"box {number}" for number in range(300)]
    async with sending() as (api, channel):
        reply = out("\n".join(lines), photo="f1", buttons=((Button("Next", "next"),),))
        await channel.send(reply, YEAR)
        first, second = api.out
        assert (first.method, second.method) == ("sendPhoto", "sendMessage")
        assert units(first.text) <= CAPTION
        assert f"{first.text}\n{second.text}" == "\n".join(lines)
        assert (first.keys, second.keys) == ((), ((("Next", "next"),),))


@in_loop
async def test_a_document_with_its_name() -> None:
    async with sending() as (api, channel):
        reply = out("The year.", document="f1", document_name="Year 2027 = plan.xlsx")
        await channel.send(reply, YEAR)
        (sent,) = api.out
        assert (sent.method, sent.file) == ("sendDocument", YEAR.content)
        assert sent.file_name == "Year 2027 = plan.xlsx"


@in_loop
async def test_a_file_alone_is_sent() -> None:
    async with sending() as (api, channel):
        await channel.send(out("", photo="f1"), YEAR)
        assert [(sent.method, sent.text) for sent in api.out] == [("sendPhoto", "")]


@in_loop
async def test_words_of_a_file_that_is_gone_are_sent() -> None:
    async with sending() as (api, channel):
        await channel.send(out("Twelve boxes.", photo="f1"), None)
        assert [(sent.method, sent.text) for sent in api.out] == [("sendMessage", "Twelve boxes.")]


@pytest.mark.parametrize("says", ["done", LONG, "#3", "#" + LONG, "é" * 40])
@in_loop
async def test_a_button_says_its_sentence_even_after_a_restart(says: str) -> None:
    keep, inbox = PretendKeep(), Inbox()
    async with BotApi() as api:
        channel = api.channel(keep)
        async with running(channel.run(inbox.take)):
            await channel.send(out("Move it?", buttons=((Button("Yes", says),),)), None)
        async with running(api.channel(keep).run(inbox.take)):
            await api.press(WREN, "Yes")
            await inbox.until(1)
    assert [(heard.text, heard.pressed) for heard in inbox.heard] == [(says, True)]


@in_loop
async def test_a_button_is_not_shown_before_its_sentence_is_kept() -> None:
    class Full(PretendKeep):
        async def remember(self, *_: str) -> None:
            raise NoRoom

    async with sending(Full()) as (api, channel):
        with pytest.raises(Later):
            await channel.send(out("Move it?", buttons=((Button("Yes", LONG),),)), None)
        assert api.out == []


# --- faults -------------------------------------------------------------------------------------


@in_loop
async def test_429_waits_as_long_as_it_says() -> None:
    # Source: Bot API, "ResponseParameters": retry_after in seconds.
    async with sending() as (api, channel):
        api.fail("sendMessage", 429, "Too Many Requests: retry after 13", retry_after=13)
        with pytest.raises(Later) as later:
            await channel.send(out("Due"), None)
        assert later.value.seconds == 13
        await channel.send(out("Due"), None)
        assert len(api.out) == 1


@in_loop
async def test_a_piece_that_was_taken_is_not_sent_again() -> None:
    lines = "\n".join(f"{number}. seed packet" for number in range(600))
    async with sending() as (api, channel):
        await channel.send(out(lines), None)
        whole = [sent.text for sent in api.out]
        assert len(whole) == 3

        api.out.clear()
        api.fail("sendMessage", 429, "Too Many Requests", skip=1, times=2, retry_after=1)
        for _ in range(2):
            with pytest.raises(Later):
                await channel.send(out(lines), None)
        await channel.send(out(lines), None)
        assert [sent.text for sent in api.out] == whole
        await channel.send(out(lines), None)  # the same words another day are sent whole
        assert [sent.text for sent in api.out] == whole * 2


@pytest.mark.parametrize("status", [0, 409, 500, 502, 503])
@in_loop
async def test_a_server_in_trouble_is_tried_again(status: int) -> None:
    async with sending() as (api, channel):
        if status == 0:
            api.drop("sendMessage", times=2)
        else:
            api.fail("sendMessage", status, times=2)
        for _ in range(2):
            with pytest.raises(Later) as later:
                await channel.send(out("Due"), None)
            assert later.value.seconds == WAIT
        await channel.send(out("Due"), None)
        assert [sent.text for sent in api.out] == ["Due"]


@in_loop
async def test_no_server_at_all_is_tried_again() -> None:
    async with BotApi() as api:
        channel = api.channel()
    with pytest.raises(Later):
        await channel.send(out("Due"), None)
    with pytest.raises(Later):
        await channel.fetch("ref")


@in_loop
async def test_a_channel_that_was_stopped_is_tried_again() -> None:
    async with BotApi() as api:
        channel = api.channel()
        async with running(channel.run(Inbox().take)):
            await api.called("getUpdates")
        with pytest.raises(Later):
            await channel.send(out("Due"), None)


@in_loop
async def test_a_withdrawn_token_loses_no_reply() -> None:
    async with sending() as (api, channel):
        api.fail("sendMessage", 401, "Unauthorized")
        with pytest.raises(Later):
            await channel.send(out("Due"), None)


@pytest.mark.parametrize(
    ("status", "description"),
    [
        (403, "Forbidden: bot was blocked by the user"),
        (403, "Forbidden: user is deactivated"),
        (403, "Forbidden: bot was kicked from the supergroup chat"),
        (400, "Bad Request: chat not found"),
        *((400, f"Bad Request: {text}") for text in CLOSED),
        (400, "Bad Request: CHAT_WRITE_FORBIDDEN"),
    ],
)  # texts from memory: the Bot API does not publish them
@in_loop
async def test_a_closed_chat_is_unreachable(status: int, description: str) -> None:
    async with sending() as (api, channel):
        api.fail("sendMessage", status, description)
        with pytest.raises(Unreachable):
            await channel.send(out("Due"), None)


@in_loop
async def test_a_group_that_moved_gets_its_reply() -> None:
    # Source: Bot API, "ResponseParameters": migrate_to_chat_id.
    keep, new = PretendKeep(), -1002001
    async with sending(keep) as (api, channel):
        api.fail("sendMessage", 400, "Bad Request: upgraded", migrate_to_chat_id=new)
        await channel.send(out("Due", GROUP), None)
        await channel.send(out("Due again", GROUP), None)
        assert [sent.chat for sent in api.out] == [new, new]
    async with sending(keep) as (api, channel):
        await channel.send(out("Due later", GROUP), None)
        assert [sent.chat for sent in api.out] == [new]


@in_loop
async def test_what_is_refused_is_tried_once_more_and_plainer() -> None:
    async with sending() as (api, channel):
        api.fail("sendMessage", 400, "Bad Request: BUTTON_DATA_INVALID")
        await channel.send(out("Due", title="T", buttons=((Button("Done", "done"),),)), None)
        assert [(sent.text, sent.bold, sent.keys) for sent in api.out] == [("T\nDue", "", ())]

        api.fail("sendMessage", 400, "Bad Request: message text is odd", times=2)
        with pytest.raises(Refused, match="odd"):
            await channel.send(out("Due"), None)


@in_loop
async def test_a_picture_that_is_refused_goes_as_a_document() -> None:
    async with sending() as (api, channel):
        api.fail("sendPhoto", 400, "Bad Request: PHOTO_INVALID_DIMENSIONS")
        await channel.send(out("The year.", photo="f1"), YEAR)
        (sent,) = api.out
        assert (sent.method, sent.file, sent.text) == ("sendDocument", YEAR.content, "The year.")


@in_loop
async def test_a_file_too_big_to_send_is_refused_here() -> None:
    async with sending() as (api, channel):
        big = File(id="f2", name="big.bin", content=bytes(50 * 1024 * 1024 + 1))
        with pytest.raises(Refused, match="50 MB"):
            await channel.send(out("Here.", document="f2"), big)
        assert api.out == []


# --- fetching -----------------------------------------------------------------------------------


@in_loop
async def test_files_that_are_too_big_or_gone_are_not_fetched() -> None:
    # Source: Bot API, "getFile": bots can download files of up to 20 MB.
    limit = 20 * 1024 * 1024
    async with sending() as (api, channel):
        assert await channel.fetch(api.upload(b"x", size=limit)) == b"x"
        assert await channel.fetch(api.upload(b"x", size=limit + 1)) is None
        assert await channel.fetch("unknown") is None
        api.fail("getFile", 400, "Bad Request: file is too big")
        assert await channel.fetch(api.upload(b"x")) is None
        api.fail("download", 404)
        assert await channel.fetch(api.upload(b"x")) is None


@pytest.mark.parametrize("method", ["getFile", "download"])
@pytest.mark.parametrize("status", [0, 429, 502])
@in_loop
async def test_a_file_that_does_not_come_now_is_fetched_later(method: str, status: int) -> None:
    async with sending() as (api, channel):
        ref = api.upload(b"lino print")
        if status == 0:
            api.drop(method)
        elif status == 429:
            api.fail(method, 429, "Too Many Requests", retry_after=9)
        else:
            api.fail(method, 502)
        with pytest.raises(Later) as later:
            await channel.fetch(ref)
        assert later.value.seconds == (9 if status == 429 else WAIT)
        assert await channel.fetch(ref) == b"lino print"


@in_loop
async def test_a_file_that_never_comes_does_not_hold_up_the_chat() -> None:
    async with sending() as (api, channel):
        ref = api.upload(b"x")
        api.fail("download", 500, times=FETCH_TRIES)
        for _ in range(FETCH_TRIES - 1):
            with pytest.raises(Later):
                await channel.fetch(ref)
        assert await channel.fetch(ref) is None
        api.drop("download", times=FETCH_TRIES + 5)  # but a dropped network never loses it
        for _ in range(FETCH_TRIES + 5):
            with pytest.raises(Later):
                await channel.fetch(ref)
        assert await channel.fetch(ref) == b"x"

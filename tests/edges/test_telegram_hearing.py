"""What each kind of update says. Shapes of updates: Bot API, "Update", "Message", "CallbackQuery",
"ChatMemberUpdated", "MessageOrigin"."""

from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from telegram import Update

from assistant.conversation.messages import Heard
from assistant.edges.telegram.hearing import Moved, Said, hear, number
from assistant.flow.messages import Incoming, Unreached, encode
from tests.edges.bot_api import BOT, GROUP, NOW, ROWAN, WREN, BotApi, Json

SIZE: Json = {"file_unique_id": "u", "width": 9, "height": 6}
LOCATION: Json = {"location": {"latitude": 54.3, "longitude": -1.9}}
VOICE: Json = {"voice": {"file_id": "v", "file_unique_id": "v", "duration": 3}}
VIDEO: Json = {"file_id": "v", "file_unique_id": "v", "width": 9, "height": 6, "duration": 3}
ROWAN_HERSELF = BotApi.person(ROWAN)
ALDERMOOR = {"id": -5, "type": "channel", "title": "Aldermoor news"}
TABLE = BotApi.chat(GROUP)


def said(kind: str, body: Json) -> Said:
    update = Update.de_json({"update_id": 501, kind: body}, None)
    return hear(update, BOT, NOW)


def message(chat: int = WREN, **more: Any) -> Json:
    return {
        "message_id": 12,
        "date": int(NOW.timestamp()),
        "chat": BotApi.chat(chat),
        "from": BotApi.person(WREN),
        **more,
    }


def incoming(kind: str = "message", chat: int = WREN, **more: Any) -> Incoming:
    body = said(kind, message(chat, **more))
    assert isinstance(body, Incoming)
    return body


def heard(chat: int = WREN, **more: Any) -> Heard:
    return incoming(chat=chat, **more).heard


def test_a_text() -> None:
    assert incoming(text="Idea: lantern walk for November") == Incoming(
        heard=Heard(
            id="telegram:501",
            chat="telegram:1001",
            sender="telegram:1001",
            at=NOW,
            message="telegram:1001/12",
            text="Idea: lantern walk for November",
            name="Wren Ashby",
        )
    )


def test_a_group_is_named_and_each_of_its_people_is_one() -> None:
    one = heard(GROUP, text="done")
    assert (one.chat, one.sender, one.group) == (
        "telegram:-2001",
        "telegram:1001",
        "Mossgate packing table",
    )


@pytest.mark.parametrize(
    ("written", "understood"),
    [
        ("/help", "/help"),
        ("/help@mossgate_bot", "/help"),
        ("/help@Mossgate_Bot", "/help"),
        ("/start 4711", "/start 4711"),
        ("/idea@mossgate_bot oat biscuits", "/idea oat biscuits"),
        ("/idea@mossgate_bot\noat biscuits", "/idea\noat biscuits"),
        ("@mossgate_bot what is due", "what is due"),
        ("@mossgate_bot, what is due", "what is due"),
        ("@mossgate_bot", ""),
        ("@aldermoor has new notebooks", "@aldermoor has new notebooks"),
        ("ask @mossgate_bot", "ask @mossgate_bot"),
        ("tea@brackenfold.example", "tea@brackenfold.example"),
        ("  two  spaces ", "  two  spaces "),
        ("half \ud83c pair", "half ? pair"),
    ],
)
def test_text_is_as_typed_less_the_name_of_the_bot(written: str, understood: str) -> None:
    assert heard(text=written).text == understood


def test_addresses_behind_words_are_told() -> None:
    hidden = {"type": "text_link", "offset": 4, "length": 4, "url": "https://aldermoor.example/n"}
    assert heard(text="see this", entities=[hidden]).text == "see this https://aldermoor.example/n"
    assert heard(caption="see this", caption_entities=[hidden], **VOICE).text.endswith("example/n")
    shown = "https://aldermoor.example/n"
    both = [{**hidden, "offset": 0, "length": 27}, {"type": "url", "offset": 0, "length": 27}]
    assert heard(text=shown, entities=both).text == shown


def test_a_photo_is_the_largest_of_its_sizes() -> None:
    large = {**SIZE, "file_id": "large", "width": 90, "height": 60}
    body = incoming(caption="lino print", photo=[{**SIZE, "file_id": "small"}, large])
    assert (body.photo_ref, body.document_ref, body.heard.text) == ("large", "", "lino print")
    assert not body.heard.lost


def test_a_document_keeps_its_name() -> None:
    document = {"file_id": "d", "file_unique_id": "d", "file_name": "2027 \udc00.xlsx"}
    body = incoming(document=document)
    assert (body.document_ref, body.heard.document_name) == ("d", "2027 ?.xlsx")
    assert body.heard.text == ""


@pytest.mark.parametrize(
    "body",
    [
        VOICE,
        LOCATION,
        {"contact": {"phone_number": "000", "first_name": "Rowan"}},
        {"sticker": {**SIZE, "file_id": "s", "type": "regular", "is_animated": False}
         | {"is_video": False}},
    ],
)  # fmt: skip
def test_what_is_not_taken_is_heard_without_words(body: Json) -> None:
    one = incoming(**body)
    assert (one.heard.text, one.photo_ref, one.document_ref) == ("", "", "")
    assert not one.heard.lost


def test_words_under_what_is_not_taken_are_kept_and_the_loss_is_told() -> None:
    one = incoming(caption="how they fold it", video=VIDEO)
    assert (one.heard.text, one.heard.lost, one.document_ref) == ("how they fold it", True, "")


def test_a_moving_picture_is_no_document() -> None:
    document = {"file_id": "d", "file_unique_id": "d", "file_name": "wave.mp4"}
    assert incoming(animation=VIDEO, document=document).document_ref == ""


@pytest.mark.parametrize(
    ("origin", "name"),
    [
        ({"type": "user", "sender_user": ROWAN_HERSELF}, "Rowan Teasel"),
        ({"type": "hidden_user", "sender_user_name": "R. T."}, "R. T."),
        ({"type": "chat", "sender_chat": TABLE}, "Mossgate packing table"),
        ({"type": "channel", "chat": ALDERMOOR, "message_id": 3}, "Aldermoor news"),
    ],
)
def test_a_forwarded_message_names_who_wrote_it(origin: Json, name: str) -> None:
    forwarded = heard(text="new seed tins", forward_origin={**origin, "date": 1})
    assert forwarded.forwarded_from == name
    assert forwarded.sender == "telegram:1001"


def test_an_edit_is_the_same_message_again() -> None:
    later = {"edit_date": int(NOW.timestamp()) + 60}
    edited = incoming("edited_message", text="lantern walk, December", **later).heard
    assert (edited.edited, edited.message) == (True, "telegram:1001/12")
    assert edited.at == NOW + timedelta(minutes=1)


def test_a_press_says_its_sentence() -> None:
    query = {
        "id": "q",
        "from": BotApi.person(ROWAN),
        "message": message(GROUP),
        "chat_instance": "x",
        "data": "done 3",
    }
    one = said("callback_query", query)
    assert isinstance(one, Incoming)
    assert one.heard == Heard(
        id="telegram:501",
        chat="telegram:-2001",
        sender="telegram:1002",
        at=NOW,
        text="done 3",
        name="Rowan Teasel",
        group="Mossgate packing table",
        pressed=True,
    )


def test_a_press_under_a_message_long_gone_counts() -> None:
    # Source: Bot API, "InaccessibleMessage": date is always 0.
    gone = {"message_id": 4, "date": 0, "chat": BotApi.chat(WREN)}
    query = {"id": "q", "from": BotApi.person(WREN), "message": gone, "chat_instance": "x"}
    one = said("callback_query", {**query, "data": "done"})
    assert isinstance(one, Incoming)
    assert (one.heard.chat, one.heard.text) == ("telegram:1001", "done")


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("message", {**message(GROUP, text="x"), "sender_chat": TABLE}),
        ("message", {**message(text="x"), "from": {**ROWAN_HERSELF, "is_bot": True}}),
        ("message", message(GROUP, text="/help@another_bot")),
        ("message", message(GROUP, new_chat_members=[ROWAN_HERSELF])),
        ("message", message(GROUP, new_chat_title="Packing")),
        ("message", message(GROUP, pinned_message=message(GROUP, text="x"))),
        ("edited_message", message(**LOCATION)),
        ("channel_post", {**message(text="x"), "chat": ALDERMOOR}),
        ("callback_query", {"id": "q", "from": ROWAN_HERSELF, "chat_instance": "x", "data": "d"}),
    ],
)
def test_what_is_not_said_to_us_is_not_heard(kind: str, body: Json) -> None:
    assert said(kind, body) is None


@pytest.mark.parametrize(
    ("chat", "status", "gone"),
    [
        (WREN, "kicked", True),  # she blocked the bot
        (WREN, "member", False),
        (GROUP, "left", True),
        (GROUP, "kicked", True),
        (GROUP, "member", False),
    ],
)
def test_a_chat_that_lets_the_bot_go_is_unreached(chat: int, status: str, gone: bool) -> None:
    bot = {"id": 7, "is_bot": True, "first_name": "Bot"}
    new: Json = {"user": bot, "status": status} | ({"until_date": 0} if status == "kicked" else {})
    change = {
        "chat": BotApi.chat(chat),
        "from": BotApi.person(WREN),
        "date": 1,
        "old_chat_member": {"user": bot, "status": "member"},
        "new_chat_member": new,
    }
    assert said("my_chat_member", change) == (Unreached(f"telegram:{chat}") if gone else None)


def test_a_group_that_becomes_a_supergroup_has_moved() -> None:
    moved = Moved(old="telegram:-2001", new="telegram:-1002001")
    assert said("message", message(GROUP, migrate_to_chat_id=-1002001)) == moved
    assert said("message", message(-1002001, migrate_from_chat_id=GROUP)) == moved


@given(st.text(st.characters()), st.text(st.characters()))
def test_whatever_is_written_can_be_kept(text: str, name: str) -> None:
    person = {**BotApi.person(WREN), "first_name": name, "last_name": text}
    body = said("message", {**message(text=text), "from": person})
    assert body is None or encode(body)  # type: ignore[arg-type]


def test_an_address_of_another_channel_is_a_bug() -> None:
    with pytest.raises(ValueError, match="not an address"):
        number("terminal:you")

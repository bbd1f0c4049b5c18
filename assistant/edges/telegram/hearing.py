"""What an update from Telegram says, in the assistant's own words.

Knows: the shapes of updates. Must not know: the network, where messages are kept, what they mean.
Invariants: pure; an update gives the same record each time it comes; nothing of a channel, a bot
or another bot's command is heard; text is as it was typed, less the name of the bot.
"""

import re
from datetime import datetime

from telegram import (
    CallbackQuery,
    Chat,
    ChatMember,
    ChatMemberUpdated,
    Message,
    MessageEntity,
    MessageOrigin,
    MessageOriginChannel,
    MessageOriginChat,
    MessageOriginHiddenUser,
    MessageOriginUser,
    Update,
    User,
)

from assistant.conversation.messages import Heard
from assistant.edges.telegram.texts import clean
from assistant.flow.messages import Incoming, Unreached
from assistant.planning.model import Record

PREFIX = "telegram:"
KINDS = (
    Update.MESSAGE,
    Update.EDITED_MESSAGE,
    Update.CALLBACK_QUERY,
    Update.MY_CHAT_MEMBER,
)
GROUPS = (Chat.GROUP, Chat.SUPERGROUP)
LEFT = (ChatMember.BANNED, ChatMember.LEFT)


class Moved(Record):
    """A group was made a supergroup: the same people under another address."""

    old: str
    new: str


Said = Incoming | Unreached | Moved | None


def hear(update: Update, me: str, now: datetime) -> Said:
    """Return what the update says, or None when it says nothing to us.

    `me` is the bot's user name; `now` dates the presses of buttons, which carry no date.
    """
    id = f"{PREFIX}{update.update_id}"
    if update.callback_query is not None:
        return _press(id, update.callback_query, now)
    if update.my_chat_member is not None:
        return _membership(update.my_chat_member)
    if update.message is not None:
        return _moved(update.message) or _message(id, update.message, me, edited=False)
    if update.edited_message is not None:
        return _message(id, update.edited_message, me, edited=True)
    return None


def address(id: int) -> str:
    """Return the address of a chat or a person."""
    return f"{PREFIX}{id}"


def number(address: str) -> int:
    """Return Telegram's number behind an address of this channel.

    Raises ValueError for an address of another channel.
    """
    if not address.startswith(PREFIX):
        raise ValueError("not an address of Telegram")
    return int(address.removeprefix(PREFIX))


def _message(id: str, message: Message, me: str, *, edited: bool) -> Incoming | None:
    person = message.from_user
    if person is None or person.is_bot or message.sender_chat is not None:
        return None
    text = _text(message)
    words = _without_name(text, me)
    other = message.effective_attachment is not None
    if words is None or not (text or (other and not edited)):
        return None  # for another bot, or a notice that a chat was changed, or a walking location
    photo, document, document_name = _files(message)
    heard = Heard(
        id=id,
        chat=address(message.chat.id),
        sender=address(person.id),
        at=message.edit_date if edited and message.edit_date else message.date,
        message=f"{address(message.chat.id)}/{message.message_id}",
        text=words,
        name=_name(person),
        group=_group(message.chat),
        document_name=document_name,
        forwarded_from=clean(_origin(message.forward_origin)),
        edited=edited,
        lost=bool(text and other and not photo and not document),
    )
    return Incoming(heard=heard, photo_ref=photo, document_ref=document)


def _press(id: str, query: CallbackQuery, now: datetime) -> Incoming | None:
    if query.message is None or query.message.chat.type == Chat.CHANNEL:
        return None
    heard = Heard(
        id=id,
        chat=address(query.message.chat.id),
        sender=address(query.from_user.id),
        at=now,
        text=clean(query.data or ""),
        name=_name(query.from_user),
        group=_group(query.message.chat),
        pressed=True,
    )
    return Incoming(heard=heard)


def _membership(change: ChatMemberUpdated) -> Unreached | None:
    if change.chat.type == Chat.CHANNEL or change.new_chat_member.status not in LEFT:
        return None
    return Unreached(chat=address(change.chat.id))


def _moved(message: Message) -> Moved | None:
    here = address(message.chat.id)
    if message.migrate_to_chat_id is not None:
        return Moved(old=here, new=address(message.migrate_to_chat_id))
    if message.migrate_from_chat_id is not None:
        return Moved(old=address(message.migrate_from_chat_id), new=here)
    return None


def _text(message: Message) -> str:
    """Return the words, followed by the addresses that are behind them but not among them."""
    text = message.text or message.caption or ""
    entities = message.entities or message.caption_entities
    links = [entity.url for entity in entities if entity.type == MessageEntity.TEXT_LINK]
    hidden = [link for link in dict.fromkeys(links) if link and link not in text]
    return clean(" ".join([text, *hidden]))


def _without_name(text: str, me: str) -> str | None:
    """Return the text less "@me" at its beginning or after its command; None when the command is
    for another bot."""
    named = re.match(r"(/\w+)?@(\w+)(?:[,:]? )?", text)
    if named is None:
        return text
    command, name = named.groups()
    if name.lower() != me.lower():
        return None if command else text
    rest = text[named.end() :]
    gap = " " if command and named.group().endswith(" ") else ""
    return f"{command or ''}{gap}{rest}"


def _files(message: Message) -> tuple[str, str, str]:
    """Return the references of the photo and of the document, and the document's name."""
    if message.photo:
        return max(message.photo, key=lambda size: size.width * size.height).file_id, "", ""
    if message.document and not message.animation:
        return "", message.document.file_id, clean(message.document.file_name or "")
    return "", "", ""


def _name(person: User) -> str:
    # The library gives None for the empty name of an account that was deleted.
    return clean(person.full_name or "")


def _group(chat: Chat) -> str:
    return clean(chat.title or "") if chat.type in GROUPS else ""


def _origin(origin: MessageOrigin | None) -> str:
    match origin:
        case MessageOriginUser():
            return _name(origin.sender_user)
        case MessageOriginHiddenUser():
            return origin.sender_user_name
        case MessageOriginChat():
            return origin.sender_chat.title or ""
        case MessageOriginChannel():
            return origin.chat.title or ""
    return ""

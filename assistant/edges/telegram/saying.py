"""A reply as the posts that carry it.

Knows: Telegram's limits for a post. Must not know: the network, who answers a button.
Invariants: text is sent as it stands, the bold title marked by its length, so that nothing in it
can be taken for markup; the buttons are under the last post; a button carries its sentence, or,
when that is too long, the name under which it was kept.
"""

import re
from hashlib import sha256

from assistant.conversation.messages import Reply
from assistant.edges.telegram.texts import clean, shorten, split, units
from assistant.flow.messages import Outgoing, encode
from assistant.planning.model import Record

# Source of the limits: Bot API, "sendMessage", "sendPhoto", "InlineKeyboardButton".
TEXT = 4096
CAPTION = 1024
DATA_BYTES = 64
PHOTO_BYTES = 10 * 1024 * 1024
# Ours, so that a title stays a title and a label can be read on a phone.
TITLE = 256
LABEL = 64

KEPT = "#"  # begins the name of a sentence that was kept

Key = tuple[str, str]  # what a button shows, what it sends back


class Attached(Record):
    """A file on its way: sent as a picture or as a document."""

    name: str
    content: bytes
    picture: bool


class Post(Record):
    """One message as Telegram takes it; the first `bold` UTF-16 units of the text are bold."""

    text: str
    bold: int = 0
    keys: tuple[tuple[Key, ...], ...] = ()
    attached: Attached | None = None


def compose(reply: Reply, name: str = "", content: bytes | None = None) -> tuple[Post, ...]:
    """Return the posts of a reply, in order; none when there is nothing to be seen in it.

    `name` and `content` are the file that goes with it, if any.
    """
    title = shorten(clean(reply.title), TITLE)
    text = clean(reply.text)
    whole = f"{title}\n{text}" if title and text else title or text
    attached = None if content is None else _attach(reply, name, content)
    pieces = split(whole, TEXT, CAPTION if attached else TEXT) or (("",) if attached else ())
    keys = tuple(tuple(_key(b.label, b.says) for b in row) for row in reply.buttons if row)
    last = len(pieces) - 1
    return tuple(
        Post(
            text=piece,
            bold=units(title) if place == 0 else 0,
            keys=keys if place == last else (),
            attached=attached if place == 0 else None,
        )
        for place, piece in enumerate(pieces)
    )


def data_of(says: str) -> str:
    """Return what a button sends back when pressed: its sentence, or the name of a kept one.

    A sentence that itself begins like such a name is kept too, so that the two never meet.
    """
    says = clean(says)
    if says and not says.startswith(KEPT) and len(says.encode()) <= DATA_BYTES:
        return says
    return KEPT + sha256(says.encode()).hexdigest()[:32]


def to_keep(reply: Reply) -> tuple[tuple[str, str], ...]:
    """Return (name, sentence) of each button whose sentence must be kept before it is sent."""
    pairs = ((data_of(b.says), clean(b.says)) for row in reply.buttons for b in row)
    return tuple((data, says) for data, says in pairs if data != says)


def fingerprint(out: Outgoing) -> bytes:
    """Return a short name of an outgoing reply, the same whenever it is tried again."""
    return sha256(encode(out)).digest()


def _key(label: str, says: str) -> Key:
    return shorten(clean(label), LABEL) or "…", data_of(says)


def _attach(reply: Reply, name: str, content: bytes) -> Attached:
    wanted = clean(reply.document_name or name)
    safe = re.sub(r'[\x00-\x1f\\/:*?"<>|]', "_", wanted).strip(" .")[-100:] or "file"
    picture = bool(reply.photo) and len(content) <= PHOTO_BYTES
    return Attached(name=safe, content=content, picture=picture)

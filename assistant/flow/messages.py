"""What travels in the lanes, and how it is written down.

Knows: the bodies of the lanes "in", "out" and "backup". Must not know: how a lane keeps them.
"""

from datetime import datetime

import msgspec

from assistant.conversation.messages import BackedUp, Heard, Reply
from assistant.planning.model import Record

IN = "in"  # key: the shop
OUT = "out"  # key: the chat
BACKUP = "backup"  # key: the shop


class Incoming(Record, tag="incoming"):
    """A message as its channel took it. `photo_ref` and `document_ref` are the channel's own
    references, fetched before the message is handled."""

    heard: Heard
    photo_ref: str = ""
    document_ref: str = ""


class Tick(Record, tag="tick"):
    """The clock has reached the shop's next due time."""

    at: datetime


class Unreached(Record, tag="unreached"):
    """A chat that cannot be written to any more (the person blocked the assistant or left)."""

    chat: str


class Outgoing(Record, tag="outgoing"):
    """A reply of a shop on its way to `chat`."""

    shop: str
    chat: str
    reply: Reply
    last: bool = False  # tells of something given up; when this fails too, nobody is told


class Backing(Record, tag="backing"):
    """A backup to be made: for the chat that asked, or ("") by itself."""

    chat: str = ""


Inward = Incoming | Tick | Unreached | BackedUp

_inward: msgspec.json.Decoder[Inward] = msgspec.json.Decoder(Inward)
_outward: msgspec.json.Decoder[Outgoing] = msgspec.json.Decoder(Outgoing)
_backing: msgspec.json.Decoder[Backing] = msgspec.json.Decoder(Backing)


def encode(body: Inward | Outgoing | Backing) -> bytes:
    """Write a lane body as JSON."""
    return msgspec.json.encode(body)


def decode_inward(raw: bytes) -> Inward:
    """Read a body of lane "in"."""
    return _inward.decode(raw)


def decode_outward(raw: bytes) -> Outgoing:
    """Read a body of lane "out"."""
    return _outward.decode(raw)


def decode_backing(raw: bytes) -> Backing:
    """Read a body of lane "backup"."""
    return _backing.decode(raw)


def prefix(address: str) -> str:
    """Return the name of the channel that an address belongs to: "telegram:1234" -> "telegram"."""
    return address.partition(":")[0]

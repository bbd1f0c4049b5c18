"""Who was let in, and who was not.

Knows: people, group chats, invitations, strangers. Must not know: what any of them may say or see.
Invariants: those of model.py, through which all of these are known.
"""

from datetime import datetime, time
from typing import Literal

from assistant.planning.records import Closure, Record

Role = Literal["owner", "helper"]


class Person(Record, tag="person"):
    """Someone who was let in. `chat` is an address such as `telegram:1234` or `terminal:`."""

    id: str
    chat: str
    name: str = ""
    role: Role = "helper"
    zone: str = ""  # "" is the shop's
    digest_at: time | None = None
    weekends: bool | None = None
    reachable: bool = True
    money: bool = False  # whether a helper may see money; an owner always may
    off: tuple[Closure, ...] = ()  # days on which this person does not work


class Place(Record, tag="place"):
    """A group chat that the owner let in; `id` is its address."""

    id: str
    name: str = ""


class Invite(Record, tag="invite"):
    """A one-time code, kept only as its SHA-256 in hex (`id`)."""

    id: str
    role: Role
    until: datetime
    group: bool = False


class Stranger(Record, tag="stranger"):
    """An address that was refused, so that it is refused once; `tries` counts wrong codes."""

    id: str
    at: datetime
    tries: int = 0

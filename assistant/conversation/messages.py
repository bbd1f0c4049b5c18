"""What is heard and what is replied, whatever the channel.

Knows: text, pictures, files, buttons. Must not know: which channel carries them.
Invariants: a button is a shorter way to say a sentence (`says`), so it needs no state; text is
plain, a channel escapes it for its own markup.
"""

from datetime import datetime

from assistant.planning.model import Change, Record


class Heard(Record, tag="heard"):
    """One message from a person.

    `id` is stable and unique (a redelivery carries the same); `message` names the chat message,
    so that an edit (`edited`) carries the `message` of the original. `photo` and `document` are
    ids of kept files, or "" when there is none; `lost` says that a file could not be fetched.
    """

    id: str
    chat: str  # address to answer to, "telegram:-100123"
    sender: str  # address of the person, "telegram:1234"
    at: datetime
    message: str = ""
    text: str = ""
    name: str = ""  # what the sender is called
    group: str = ""  # name of the group when the chat is one
    photo: str = ""
    document: str = ""
    document_name: str = ""
    forwarded_from: str = ""
    edited: bool = False
    pressed: bool = False  # a button said it
    lost: bool = False


class Button(Record):
    """A sentence to be said by a touch."""

    label: str
    says: str


class Reply(Record):
    """One message to a chat. `title` is shown in bold where a channel can. `to` is an address;
    "" means the chat that was heard. `photo` and `document` are ids of kept files. `live` names
    what is told anew as it changes: where a channel can, the message of the same name in the same
    chat is changed to this one; where it cannot, this is a message like any other."""

    text: str
    title: str = ""
    buttons: tuple[tuple[Button, ...], ...] = ()  # rows
    to: str = ""
    photo: str = ""
    document: str = ""
    document_name: str = ""
    live: str = ""


class File(Record):
    """A file made by the assistant, to be kept under `id` in the same commit."""

    id: str
    name: str
    content: bytes


class Moment(Record):
    """What a pure handler is told of the outside world: the time (aware UTC), a stable reference
    from which new ids are given, a fresh unguessable token, and the content of the file that was
    heard, if any."""

    now: datetime
    ref: str
    token: str = ""
    content: bytes | None = None


class Outcome(Record):
    """What follows from a message or a tick, all of it in one commit.

    `changes` touch the plan: they enter the history under `why` and can be undone. `notes` are
    the assistant's own memory (talks, doors, digests sent): kept, but nobody's to undo. `stands`
    says that what was asked for is so already: nothing had to change, and nothing was refused.
    `brief` is what must be told of it where many things are told at once; "" is all of it.
    `backup` is the address to which a backup of the shop is to be sent: it is made afterwards, and
    what became of it is heard as `BackedUp`.
    """

    replies: tuple[Reply, ...] = ()
    changes: tuple[Change, ...] = ()
    notes: tuple[Change, ...] = ()
    files: tuple[File, ...] = ()
    why: str = ""
    undoes: int = 0  # the number of the entry that this takes back
    stands: bool = False
    brief: str = ""
    backup: str = ""


class BackedUp(Record, tag="backed up"):
    """What became of a backup. `chat` is who asked for it, "" when it was made by itself. `file` is
    the id under which it can be sent, "" when it is bigger than the `most` bytes that its chat
    takes. `trouble` says why it could not be made."""

    chat: str
    at: datetime
    name: str = ""
    file: str = ""
    bytes: int = 0
    most: int = 0
    trouble: str = ""
